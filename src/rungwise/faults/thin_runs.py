"""A run that loses volts in every leg: too thin or too long for its load, or both ends gone bad.

Each of its wires alone would have to be twice as bad, and the ohms of the other one deny it.
"""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.faults.suspect import Edit, FaultStep, RepairStep, Suspect, repair_key
from rungwise.parts import WIRE, Draw, part_of
from rungwise.unit import LEGS, Unit, Wire
from rungwise.wording import mark, say

RUN_M = 3.0
"""A run between two boxes is longer; within one, wires are not pulled too thin together."""

OHM = (0.2, 4.0)
"""Of each leg, from what costs a few volts to what no motor starts behind (common practice)."""

WEIGHT = 2.0

MODE = "thin_run"


def thin_runs(unit: Unit) -> Iterator[Suspect]:
    """One suspect for every run of two legs or more."""
    runs: dict[tuple[str, str], list[Wire]] = {}
    for wire in unit.wires:
        if wire.carries in LEGS and wire.length_m >= RUN_M:
            runs.setdefault((part_of(wire.start), part_of(wire.end)), []).append(wire)
    joint = next(mode for mode in WIRE.modes if mode.name == "high_resistance")
    for (start, end), wires in runs.items():
        if len(wires) < 2:
            continue
        where = {"start": unit.part(start).title, "end": unit.part(end).title}
        yield Suspect(
            FaultStep(wires[0].name, MODE).id,
            say("run from {start} to {end}: every leg loses volts under load", **where),
            wires[0].name,
            MODE,
            # One severity for all: they are as long and as thin as each other.
            tuple(Edit((wire.name, "fault_ohm"), Draw("fault_ohm", *OHM)) for wire in wires),
            WEIGHT,
            repair_key(*(RepairStep(wire.name, "remake") for wire in wires)),
            say(
                "remake the joints of every leg from {start} to {end}; where each still loses "
                "as much, the run is too thin or too long for its load: a thicker one",
                **where,
            ),
            behind=mark("wire too thin for its length, or aluminum that has crept in its lugs"),
            signs={"browned": 0.3},
            repair_minutes=60.0,
            shown_by=joint.shown_by,
            wrong_minutes=joint.wrong_minutes,
        )
