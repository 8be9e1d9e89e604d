"""The touchstone of every contactor swap: arrangements by heater wiring, and two contactors."""

from __future__ import annotations

from dataclasses import replace

from rungwise.replacement import Candidate
from rungwise.unit.unit import Part, Unit, Wire
from rungwise.unit.unit_file import arrangement

WIRINGS = ("none", "across the pole", "line side")
HEATER = Part("heater", "crankcase_heater", "outdoor")
STRONG = {"coil_volt": 24.0, "fla_a": 40.0, "lra_a": 240.0, "resistive_a": 50.0}


def wired(name: str, wiring: str) -> Unit:
    """A shipped arrangement with its heater wired in one of the three ways.

    On the line side the heater is always on, but in the arrangement whose heater has a thermostat.
    """
    unit = arrangement(name)
    if wiring == "line side" and name == "heater_line_side":
        return unit
    parts = tuple(p for p in unit.parts if p.name not in ("heater", "heater_stat"))
    wires = tuple(w for w in unit.wires if w.carries != "heater")
    if wiring == "none":
        return replace(unit, parts=parts, wires=wires)
    other = "contactor.T1" if wiring == "across the pole" else "contactor.L2"
    ends = (("heater_line", "contactor.L1", "heater.1"), ("heater_load", other, "heater.2"))
    made = tuple(
        Wire(each, start, end, "orange", 16, 1.2, ("push-on", "splice"), "heater")
        for each, start, end in ends
    )
    return replace(unit, parts=(*parts, HEATER), wires=(*wires, *made))


def contactor(poles: int, **more: float) -> Candidate:
    """A contactor that is strong enough for any of the arrangements."""
    return Candidate(f"{poles} poles", ("contactor",), f"contactor_{poles}p", {**STRONG, **more})
