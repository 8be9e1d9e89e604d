"""A change of design that would let a two-pole contactor serve, told only if the solution agrees.

A crankcase heater across the open pole needs the bar.  Moved to the line side, behind a thermostat
of its own, it needs neither pole.  Whether it then keeps the oil warm whenever the compressor
stands still in the cold is a question to the circuit, and asked there.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from rungwise.circuit.condition import COLD_STANDBY
from rungwise.circuit.situations import Situation
from rungwise.parts import KINDS
from rungwise.parts.load import Does
from rungwise.replacement.circuits import Specimen, specimens
from rungwise.replacement.reference import Reference
from rungwise.replacement.strength import fahrenheit
from rungwise.unit.unit import Part, Unit, Wire

__all__ = ["PossibleChange", "bar_restored", "heater_to_the_line"]

STAT = "heater_stat"


@dataclass(frozen=True, slots=True)
class PossibleChange:
    """A change of the unit's design. heater_w: what the heater then gets in the cold."""

    text: str
    heater_w: float


def bar_restored(reference: Reference, fitted: Specimen, contactor: str) -> PossibleChange | None:
    """A two-pole contactor where one pole was meant, with a wire in place of the old bar.

    Told only where the circuit with the wire does in every situation what was meant.
    """
    one_pole = reference.meant.unit.part(contactor).kind == "contactor_1p"
    heavy = _lead(fitted.unit, f"{contactor}.T2")
    if not one_pole or fitted.unit.part(contactor).kind != "contactor_2p" or heavy is None:
        return None
    bar = replace(
        heavy,
        name="bar",
        start=f"{contactor}.L2",
        end=f"{contactor}.T2",
        length_m=0.1,
        joints=("plate", "plate"),
    )
    unit = replace(fitted.unit, wires=(*fitted.unit.wires, bar))
    (specimen,) = specimens([unit])
    situations = tuple(_in_the_cold(each) for each in reference.situations)
    if not _does_all(reference.meant, specimen, situations):
        return None
    heater = unit.parts_of_kind("crankcase_heater")[0]
    watt = _watt_when_off(specimen, heater.name, situations)
    amps = ", ".join(
        f"{fitted.number(contactor, key):g} A {name}"
        for key, name in (("fla_a", "FLA"), ("lra_a", "LRA"))
    )
    return PossibleChange(
        f"The right part is a one-pole contactor ({amps}). Until it is there: a wire from L2 to "
        f"T2, {heavy.awg:g} AWG as the compressor's lead, is the bar of the old part. Solved so, "
        f"every load does what was meant and the {heater.title} gets {watt:.0f} W with the "
        "thermostat off in the cold. T2 and the compressor's windings then stay live with the "
        "thermostat off, as they were before. Label inside the cover, with date and name: L2 AND "
        "T2 ARE WIRED TOGETHER. T2 AND COMPRESSOR ARE LIVE WITH THERMOSTAT OFF. OPEN THE "
        "DISCONNECT BEFORE SERVICE. Follow the maker and local codes; licensed practice where "
        "required.",
        watt,
    )


def _lead(unit: Unit, terminal: str) -> Wire | None:
    """The heaviest wire on a terminal: the compressor's lead."""
    wires = [wire for wire, _ in unit.wires_at(terminal)]
    return min(wires, key=lambda wire: wire.awg, default=None)


def _watt_when_off(specimen: Specimen, heater: str, cold: tuple[Situation, ...]) -> float:
    told = specimen.load_states(cold)
    at = next(i for i, each in enumerate(cold) if each.name == "thermostat off")
    return float(told.amount[at, told.loads.index(heater), 0])


def heater_to_the_line(
    reference: Reference, fitted: Specimen, contactor: str
) -> PossibleChange | None:
    """The heater moved to the line side behind a thermostat, if that does all that was meant.

    Meant is: every motor as before in every situation, and the heater on wherever it was on, each
    of them looked at in the cold, in which alone the oil needs it.
    """
    unit = fitted.unit
    heaters = unit.parts_of_kind("crankcase_heater")
    if len(heaters) != 1 or STAT in unit.part_by_name:
        return None
    changed = _moved(unit, heaters[0], contactor)
    if changed is None:
        return None
    (specimen,) = specimens([changed])
    cold = tuple(_in_the_cold(each) for each in reference.situations)
    if not _does_all(reference.meant, specimen, cold):
        return None
    watt = _watt_when_off(specimen, heaters[0].name, cold)
    stat = fahrenheit(KINDS["heater_thermostat"].parameter("close_below_c").default)
    return PossibleChange(
        f"Possible change: the {heaters[0].title} across L1 and L2 on the line side, behind a "
        f"thermostat of its own (closing below {stat:.0f} °F). Solved so, every motor does what it "
        f"did and the heater gets {watt:.0f} W in the cold with any contactor, on a call too. "
        "This changes the unit's design: follow the maker and local codes, and have it done by "
        "whoever is licensed for it. Those wires stay live until the disconnect is open.",
        watt,
    )


def _moved(unit: Unit, heater: Part, contactor: str) -> Unit | None:
    """The heater's two wires moved to L1 (behind a thermostat) and L2."""
    ends = [f"{heater.name}.{terminal}" for terminal in KINDS[heater.kind].terminals]
    on = [unit.wires_at(end) for end in ends]
    if any(len(wires) != 1 for wires in on):
        return None
    gone = {wires[0][0].name for wires in on}
    like = on[0][0][0]
    new = (
        _like(like, "heater_to_stat", f"{contactor}.L1", f"{STAT}.1"),
        _like(like, "heater_feed", f"{STAT}.2", ends[0]),
        _like(like, "heater_return", f"{contactor}.L2", ends[1]),
    )
    wires = tuple(wire for wire in unit.wires if wire.name not in gone)
    parts = (*unit.parts, Part(STAT, "heater_thermostat", heater.place))
    return replace(unit, parts=parts, wires=(*wires, *new))


def _like(wire: Wire, name: str, start: str, end: str) -> Wire:
    return replace(wire, name=name, start=start, end=end, joints=("push-on", "splice"))


def _in_the_cold(situation: Situation) -> Situation:
    condition = replace(situation.condition, ambient_c=COLD_STANDBY.ambient_c)
    return replace(situation, condition=condition)


def _does_all(meant: Specimen, changed: Specimen, cold: tuple[Situation, ...]) -> bool:
    before, after = meant.load_states(cold), changed.load_states(cold)
    if (after.harmed.any(axis=(0, 2)) & ~_known_harms(meant, changed, cold)).any():
        return False
    for name in before.loads:
        was = before.code[:, before.loads.index(name), 0]
        now = after.code[:, after.loads.index(name), 0]
        kind = KINDS[meant.unit.part(name).kind]
        if kind.motor and (was != now).any():
            return False
        if kind.name == "crankcase_heater" and (now[was == Does.HEATS] != Does.HEATS).any():
            return False
    return True


def _known_harms(
    meant: Specimen, changed: Specimen, cold: tuple[Situation, ...]
) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    before, after = meant.load_states(cold), changed.load_states(cold)
    suffered = {h for at, h in enumerate(before.harms) if before.harmed[:, at, 0].any()}
    return np.array([harm in suffered for harm in after.harms], bool)
