"""What every load of every variant does in every situation, and what is harmed.

The batched twin of :mod:`rungwise.circuit.behaviour`: one plan, many variants (candidate parts,
moved wires), all situations.  Equal codes everywhere and no harm means interchangeable.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from rungwise.circuit.behaviour import ALIVE_SHARE, RUNNING_SLIP
from rungwise.circuit.netlist import Key, Plan
from rungwise.circuit.situations import Situation
from rungwise.circuit.solution import Solution
from rungwise.circuit.solve_many import Asked, solve_whole
from rungwise.parts.element import FloatArray
from rungwise.parts.facets import Coil
from rungwise.parts.rule import Rule

IntArray = npt.NDArray[np.int8]

WORDS = ("is off", "runs", "hums", "runs backwards", "heats", "pulls in", "chatters")
OFF, RUNS, HUMS, BACKWARDS, HEATS, PULLED, CHATTERS = range(len(WORDS))

COIL_OVER_VOLT = 1.3
"""A coil burns at more than this share of its rated volts (110 % is allowed: IEC 60947-4-1)."""

CAPACITOR_OVER_VOLT = 1.10
"""A run capacitor bears 10 % over its rated volts (IEC 60252-1, from memory)."""

HEATS_SHARE = 0.3
"""A heater with less than this share of its rated watts does not keep the oil warm."""

HEATER_OVER_WATT = 1.35
"""A heater on more than this share of its rated watts burns out (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Harm:
    """Something that suffers: which part, and how it is put."""

    part: str
    what: str


@dataclass(frozen=True)
class Doings:
    """Over situations C, loads L, harms H and variants B.

    ``code`` int [C, L, B] indexes WORDS; ``amount`` float [C, L, B] is the load's watts (volts
    for a coil); ``harmed`` bool [C, H, B]; ``harm_amount`` float [C, H, B] the volts or amps of it.
    """

    situations: tuple[Situation, ...]
    loads: tuple[str, ...]
    harms: tuple[Harm, ...]
    code: IntArray
    amount: FloatArray
    harmed: npt.NDArray[np.bool_]
    harm_amount: FloatArray

    def same_as(self, other: Doings, variant: int = 0) -> npt.NDArray[np.bool_]:
        """Bool [B]: which variants do in every situation what ``other``'s ``variant`` does.

        Loads are compared by part name, those that only one circuit has are left out; a variant
        that is harmed anywhere where the other is not, is not the same.
        """
        mine = [self.loads.index(name) for name in self.loads if name in other.loads]
        theirs = [other.loads.index(self.loads[at]) for at in mine]
        same = self.code[:, mine] == other.code[:, theirs, variant][:, :, None]
        excused = {h for at, h in enumerate(other.harms) if other.harmed[:, at, variant].any()}
        suffers = np.array([harm not in excused for harm in self.harms], bool)
        unharmed = ~(self.harmed & suffers[None, :, None]).any(axis=(0, 1))
        return np.asarray(same.all(axis=(0, 1)) & unharmed)


def doings(
    plan: Plan,
    situations: Sequence[Situation],
    values: Mapping[Key, FloatArray] | None = None,
    size: int = 1,
) -> Doings:
    """Solve ``size`` variants in every situation and say what each load does."""
    asked = [Asked(each.condition, each.values) for each in situations]
    every = doings_of(situations[:1], [solve_whole(plan, asked, values, size)])
    code, amount, harmed, harm_amount = (
        array[0].reshape(-1, len(situations), size).swapaxes(0, 1)
        for array in (every.code, every.amount, every.harmed, every.harm_amount)
    )
    return Doings(tuple(situations), every.loads, every.harms, code, amount, harmed, harm_amount)


def doings_of(situations: Sequence[Situation], solved: Sequence[Solution]) -> Doings:
    """What each load does in situations that are solved: one solution each, all of one plan."""
    loads = tuple(_loads(solved[0].plan))
    told = [[_doing(solution, part) for part in loads] for solution in solved]
    harms = [list(_harms(solution)) for solution in solved]
    return Doings(
        tuple(situations),
        loads,
        tuple(harm for harm, _, _ in harms[0]),
        np.array([[code for code, _ in row] for row in told], np.int8),
        np.array([[amount for _, amount in row] for row in told]),
        np.array([[harmed for _, harmed, _ in row] for row in harms]) > 0,
        np.array([[amount for _, _, amount in row] for row in harms]),
    )


def _loads(plan: Plan) -> Iterator[str]:
    for name, block in plan.blocks.items():
        coil = block.kind.facet(Coil) is not None
        if block.kind.motor or coil or block.kind.name == "crankcase_heater":
            yield name


def _doing(solution: Solution, part: str) -> tuple[FloatArray, FloatArray]:
    kind = solution.plan.blocks[part].kind
    if kind.motor:
        return _motor(solution, part)
    if kind.name == "crankcase_heater":
        watt = solution.element_watt((part, "element"))
        heats = watt > HEATS_SHARE * solution.batch.number((part, "watt"))
        return np.where(heats, HEATS, OFF), watt
    (rule,) = (rule for rule in kind.rules if rule.pulls)
    return _coil(solution, part, rule)


def _motor(solution: Solution, part: str) -> tuple[FloatArray, FloatArray]:
    pair = solution.plan.pair_by_key[(part, "windings")]
    volts, amps = solution.pair_volt(pair), solution.pair_amp(pair)
    watt = np.real(volts[0] * np.conj(amps[0]) + volts[1] * np.conj(amps[1]))
    most = np.maximum(np.abs(amps[0]), np.abs(amps[1]))
    slip = solution.state((part, "slip"))
    turning = np.where(slip > 2.0 - RUNNING_SLIP, BACKWARDS, HUMS)
    turning = np.where(slip < RUNNING_SLIP, RUNS, turning)
    alive = most >= ALIVE_SHARE * solution.batch.number((part, "rated_a"))
    return np.where(alive, turning, OFF), np.broadcast_to(watt, (solution.batch.size,))


def _coil(solution: Solution, part: str, rule: Rule) -> tuple[FloatArray, FloatArray]:
    key = (part, rule.state)
    volt = np.abs(solution.link_volt(solution.plan.link_by_key[(part, rule.element)]))
    code = np.where(solution.state(key) > 0, PULLED, OFF)
    chatters = solution.chatter.get(key)
    return (code if chatters is None else np.where(chatters, CHATTERS, code)), volt


def _harms(solution: Solution) -> Iterator[tuple[Harm, FloatArray, FloatArray]]:
    """Each thing that may suffer, whether it does, and the volts or amps of it."""
    for name, block in solution.plan.blocks.items():
        opened = {rule.state: rule for rule in block.kind.rules if rule.watches == "amps"}
        for state, rule in opened.items():
            amp = np.abs(solution.element_amp((name, rule.element)))
            yield Harm(name, state), solution.state((name, state)), amp
        yield from _over_rating(solution, name)


def _over_rating(solution: Solution, name: str) -> Iterator[tuple[Harm, FloatArray, FloatArray]]:
    size = (solution.batch.size,)
    view = solution.batch.view(name)
    for key, link in solution.plan.link_by_key.items():
        if key[0] != name:
            continue
        kind = solution.plan.blocks[name].kind.name
        volt = np.broadcast_to(np.abs(solution.link_volt(link)), size)
        if key[1] == "coil" and kind in ("contactor_1p", "contactor_2p", "relay"):
            limit = COIL_OVER_VOLT * view["coil_volt"]
            yield Harm(name, "coil over its volts"), np.asarray(volt > limit), volt
        elif link.element.farad is not None and key[1] in ("herm", "fan", "run"):
            limit = CAPACITOR_OVER_VOLT * view["volt"]
            yield Harm(name, f"{key[1]} section over its volts"), np.asarray(volt > limit), volt
        elif kind == "crankcase_heater" and key[1] == "element":
            watt = np.broadcast_to(solution.element_watt(key), size)
            limit = HEATER_OVER_WATT * view["watt"]
            yield Harm(name, "heater over its watts"), np.asarray(watt > limit), watt
