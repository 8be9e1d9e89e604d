"""Whether a unit as described can do its work at all; one that cannot is described wrongly."""

from __future__ import annotations

from rungwise.evaluation.live_truth import LiveTruth, Stance, Volts
from rungwise.evaluation.wired import DEVICES, Wired

__all__ = ["doubts", "motors_fed", "unsound"]

SHORT_AMP = 600.0
"""More than any locked rotor here with everything else on (the largest ships at 104 A)."""

RUNNING_SHARE = 0.6
"""Of its rated volts, between C and R, that a motor needs."""

CARRIES_AMP = 1e-3
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
    if not motors_fed(unit, called):
        found.append(("no load runs on a call", "no compressor and no outdoor fan"))
    idle = [name for name in unit.devices() if max(called.amp(name), rest.amp(name)) < CARRIES_AMP]
    return [*found, *(("device feeds nothing", name) for name in idle)]


def doubts(unit: Wired) -> list[tuple[str, str]]:
    """What may be refused beside that: a part that does nothing, or lacks a wire."""
    truth = LiveTruth(unit)
    called = truth.at(truth.settled(Stance(calls=True)))
    still = [n for n in unit.of_kind(*MOTORS) if not _runs(unit, called, n)]
    found = [("a motor does not run", name) for name in still]
    for name in unit.of_kind(*LOADS, *DEVICES):
        free = LEFT_FREE.get(unit.parts[name]["kind"], ())
        bare = [t for t in unit.terminals([name]) if not unit.on(t) and t.split(".")[1] not in free]
        found += [("an end that nothing is on", terminal) for terminal in bare]
    return found


def motors_fed(unit: Wired, volts: Volts) -> list[str]:
    """Motors, the indoor blower left out, that have enough volts to run."""
    motors = unit.of_kind(*MOTORS)
    return [n for n in motors if unit.parts[n]["place"] != "indoor" and _runs(unit, volts, n)]


def _runs(unit: Wired, volts: Volts, name: str) -> bool:
    rated = float(unit.parts[name].get("rated_volt", 230.0))
    return volts.open_volt(f"{name}.C", f"{name}.R") >= RUNNING_SHARE * rated
