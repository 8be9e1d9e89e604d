"""What each rule makes of the solved volts: coils, fuses, overloads, delays and rotors.

Each function looks at a batch and the volts that it was solved to, and says what its rule asks
for; nothing is changed here.
"""

from __future__ import annotations

import numpy as np

from rungwise.circuit.assemble import (
    branch_admittance,
    machine_constants,
    machine_of,
    pair_admittance,
)
from rungwise.circuit.batch import Batch, BoolArray
from rungwise.circuit.elimination import ComplexArray, Factors
from rungwise.circuit.motion import Drive, Load, settle_speed
from rungwise.circuit.netlist import Link, PairLink
from rungwise.parts.element import FloatArray
from rungwise.parts.refrigeration import load_share
from rungwise.parts.rule import CoilRule, DelayRule, FuseRule, MotorRule, OverloadRule

DEAD_VOLT = 3.0
"""Volts across a motor's windings below which it is not driven."""


def coil_wanted(part: Batch, volts: ComplexArray, block: str, rule: CoilRule) -> FloatArray:
    """1 where the coil's volts pull it in, or hold it where it is in; 0 elsewhere."""
    link, view = part.plan.link_by_key[(block, rule.element)], part.view(block)
    closed = link.element.closed
    across = np.abs(volts[link.a] - volts[link.b])
    if closed is not None:
        across = across * closed(view)
    is_in = part.states[(block, rule.state)] > 0
    level = np.where(is_in, rule.drop_out_volt(view), rule.pull_in_volt(view))
    return np.asarray((across >= level) * 1.0)


def melts_at_once(part: Batch, volts: ComplexArray, block: str, rule: FuseRule) -> BoolArray:
    """Where a whole fuse or breaker carries so much that it opens at once."""
    amp = amp_through(part, volts, part.plan.link_by_key[(block, rule.element)])
    whole = part.states[(block, rule.state)] == 0
    return np.broadcast_to((amp >= rule.fast_amp(part.view(block))) & whole, (part.size,))


def delay_volt_ratio(part: Batch, volts: ComplexArray, block: str, rule: DelayRule) -> FloatArray:
    """Volts on the delay over those it needs to count."""
    link = part.plan.link_by_key[(block, rule.element)]
    return np.asarray(np.abs(volts[link.a] - volts[link.b]) / rule.volts(part.view(block)))


def delay_starts_over(part: Batch, volts: ComplexArray, block: str, rule: DelayRule) -> BoolArray:
    """Where a delay that has run out has lost its volts."""
    lost = delay_volt_ratio(part, volts, block, rule) < 0.5
    return np.asarray(lost & (part.states[(block, rule.state)] > 0))


def heat_ratio(
    part: Batch, volts: ComplexArray, block: str, rule: FuseRule | OverloadRule
) -> FloatArray:
    """Amps through a thermal element over those it carries for ever."""
    link = part.plan.link_by_key[(block, rule.element)]
    return np.asarray(amp_through(part, volts, link) / rule.slow_amp(part.view(block)))


def wait_s(
    part: Batch, volts: ComplexArray, block: str, rule: FuseRule | OverloadRule | DelayRule
) -> FloatArray:
    """Seconds until the rule's slow event from a cold start, infinite where it will not come."""
    done = part.states[(block, rule.state)] > 0
    if isinstance(rule, DelayRule):
        comes = (delay_volt_ratio(part, volts, block, rule) >= 1.0) & ~done
        return np.where(comes, rule.delay_s(part.view(block)), np.inf)
    seconds = trip_seconds(heat_ratio(part, volts, block, rule), rule.slow_s)
    return np.where(done, np.inf, seconds)


def trip_seconds(ratio: FloatArray, slow_s: float) -> FloatArray:
    """Seconds for a thermal element to open at ``ratio`` times its limit: slow_s/(ratio² - 1).

    Infinite at or below the limit.  The I²t shape is the usual one of a bimetal that starts cold
    (textbook heat balance; the constant is common practice, no source).
    """
    over = np.maximum(ratio**2 - 1.0, 1e-12)
    return np.where(ratio > 1.0, slow_s / over, np.inf)


def slip_wanted(
    part: Batch, volts: ComplexArray, factors: Factors, block: str, rule: MotorRule
) -> FloatArray:
    """The slip that each rotor comes to from the one it has: 1 where it stands or is not driven."""
    pair = part.plan.pair_by_key[(block, rule.machine)]
    across = [np.abs(volts[p] - volts[q]) for p, q in (pair.first, pair.second)]
    free = rule.seized(part.view(block)) == 0
    driven = np.flatnonzero((np.maximum(*across) > DEAD_VOLT) & free)
    wanted = np.ones(part.size)
    if driven.size:
        if driven.size < part.size:
            nodes = (*pair.first, *pair.second)
            part, volts = part.take(driven), volts[:, driven]
            factors = factors.take(driven, nodes)
        speed = 1.0 - part.states[(block, rule.state)]
        wanted[driven] = 1.0 - settle_speed(_drive(part, volts, factors, pair), speed)
    return wanted


def load_nm(part: Batch, block: str) -> tuple[FloatArray, FloatArray]:
    """Torque in N·m that a motor's load asks for at standstill and at the rated speed.

    A compressor's follows the temperatures of its two sides.
    """
    p = part.view(block)
    rated_nm = p["load_ratio"] * p["rated_torque_nm"]
    if part.plan.blocks[block].kind.motor == "compressor":
        rated_nm = rated_nm * load_share(p["condensing_c"], p["evaporating_c"])
    return np.asarray(p["start_load_ratio"] * p["start_torque_nm"]), np.asarray(rated_nm)


def amp_through(part: Batch, volts: ComplexArray, link: Link) -> FloatArray:
    """Amps through a two-terminal element without a source of its own."""
    admittance = branch_admittance(part, link, "ac")
    if admittance is None:
        return np.zeros(part.size)
    return np.asarray(np.abs(admittance * (volts[link.a] - volts[link.b])))


def _drive(part: Batch, volts: ComplexArray, factors: Factors, pair: PairLink) -> Drive:
    """The motor and the network that feeds it, reduced to its two ports."""
    element = machine_of(pair)
    ports = (pair.first, pair.second)
    z11, z21 = factors.port_volts(ports, 0)
    z12, z22 = factors.port_volts(ports, 1)
    determinant = z11 * z22 - z12 * z21
    whole = (z22 / determinant, -z12 / determinant, -z21 / determinant, z11 / determinant)
    own = pair_admittance(part, pair, "ac")
    size = (part.size,)
    network = tuple(np.broadcast_to(t - m, size) for t, m in zip(whole, own, strict=True))
    v1, v2 = (volts[p] - volts[q] for p, q in ports)
    source = (whole[0] * v1 + whole[1] * v2, whole[2] * v1 + whole[3] * v2)
    view = part.view(pair.block)
    constants = machine_constants(part, pair.block)
    speed = view["rated_rpm"] * 2 * np.pi / 60 / constants.sync_rad_per_s
    standstill_nm, rated_nm = load_nm(part, pair.block)
    load = Load(standstill_nm, rated_nm, np.asarray(speed))
    closed = (
        np.broadcast_to(element.main_closed(view), size),
        np.broadcast_to(element.aux_closed(view), size),
    )
    return Drive.fed(constants, load, source, network, closed)  # type: ignore[arg-type]
