"""Whether a unit as described can do its work at all; one that cannot is described wrongly."""

from __future__ import annotations

from collections.abc import Sequence

from rungwise.other_world.live_truth import LiveTruth, Stance, Volts
from rungwise.other_world.wired import DEVICES, Wired
from rungwise.unit import terminal_of

SHORT_AMP = 600.0
"""More than any locked rotor here with everything else on (the largest ships at 104 A)."""

RUNNING_SHARE = 0.6
"""Of its rated volts, between C and R, that a motor needs."""

STARTING_SHARE = 0.05
LOAD_SIEMENS = 2.0
"""What lets less through is a load; a closed contact, a switch or a fuse lets more."""
MOTORS = ("compressor", "fan_motor")
LOADS = (*MOTORS, "crankcase_heater", "dual_capacitor", "run_capacitor", "start_capacitor",
         "transformer", "contactor_1p", "contactor_2p", "relay", "potential_relay")  # fmt: skip
LEFT_FREE = {"contactor_1p": ("T2",), "contactor_2p": ("T1", "T2"), "dual_capacitor": ()}
"""Terminals of loads that may have no wire in a unit that works."""


def unsound(unit: Wired) -> list[tuple[str, str]]:
    """What must be refused in a description, each as (why, where); empty when it can be true."""
    truth = LiveTruth(unit)
    called, rest = (truth.at(truth.settled(Stance(calls=calls))) for calls in (True, False))
    found = []
    if max(called.source_amp, rest.source_amp) > SHORT_AMP:
        found.append(("supply shorted", f"{max(called.source_amp, rest.source_amp):.0f} A"))
    if not motors_fed(unit, called, ("outdoor", "disconnect", "panel", "room")):
        found.append(("no load runs on a call", "no compressor and no outdoor fan"))
    idle = [name for name in unit.devices() if not _feeds(truth, name)]
    return [*found, *(("device feeds nothing", name) for name in idle)]


def doubts(unit: Wired) -> list[tuple[str, str]]:
    """What may be refused beside that: a part that does nothing, or lacks a wire."""
    truth = LiveTruth(unit)
    called = truth.at(truth.settled(Stance(calls=True)))
    motors = unit.of_kind(*MOTORS)
    still = [n for n in motors if not _runs(unit, called, n) or not _starts(unit, called, n)]
    found = [("a motor does not run", name) for name in still]
    if not unit.of_kind("compressor"):
        found.append(("no compressor", ""))
    for name in unit.of_kind(*LOADS, *DEVICES):
        free = LEFT_FREE.get(unit.parts[name]["kind"], ())
        bare = [t for t in unit.terminals([name]) if not unit.on(t) and terminal_of(t) not in free]
        found += [("an end that nothing is on", terminal) for terminal in bare]
    return found


def _feeds(truth: LiveTruth, device: str) -> bool:
    """Whether any way leads from its load side to a load, whatever contacts stand open."""
    place = truth.place
    poles = range(1, DEVICES[truth.unit.parts[device]["kind"]] + 1)
    reached = {place[f"{device}.load{pole}"] for pole in poles}
    loads = {place[t] for name in truth.unit.of_kind("transformer")
             for t in (f"{name}.pri1", f"{name}.pri2", f"{name}.R", f"{name}.C")}  # fmt: skip
    ways = []
    for a, b, siemens, key in truth.branches:
        if key is not None and key[1] == device:
            continue
        ends = {place[t] for t in (a, b) if t in place}
        if abs(siemens) < LOAD_SIEMENS:
            loads |= ends
        else:
            ways.append(ends)
    while True:
        more = {node for ends in ways if ends & reached for node in ends} - reached
        if not more:
            return bool(reached & loads)
        reached |= more


def motors_fed(unit: Wired, volts: Volts, places: Sequence[str]) -> list[str]:
    """Motors at these places that have enough volts to run."""
    motors = [name for name in unit.at(*places) if unit.parts[name]["kind"] in MOTORS]
    return [name for name in motors if _runs(unit, volts, name)]


def _starts(unit: Wired, volts: Volts, name: str) -> bool:
    """Whether its start winding has volts, and not those of the run winding."""
    rated = float(unit.parts[name].get("rated_volt", 230.0))
    from_run = volts.open_volt(f"{name}.R", f"{name}.S")
    return min(volts.open_volt(f"{name}.C", f"{name}.S"), from_run) >= STARTING_SHARE * rated


def _runs(unit: Wired, volts: Volts, name: str) -> bool:
    rated = float(unit.parts[name].get("rated_volt", 230.0))
    return volts.open_volt(f"{name}.C", f"{name}.R") >= RUNNING_SHARE * rated
