"""The unit solved: volts at every terminal, amps through everything, what each load does."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

import numpy as np

from rungwise.circuit import Condition, Key, LoadState, Plan, Solution, loads_of
from rungwise.circuit import solve as settled
from rungwise.drawing import Marks, ladder, marks_of
from rungwise.errors import UnknownName
from rungwise.faults import SuspectSet
from rungwise.library.unit_model import GivenUnit, UnitModel, known_name, model_of
from rungwise.parts import EARTH, FloatArray, conductors_of
from rungwise.quantity import format_quantity, parse
from rungwise.unit import Unit

GROUND = "ground"
"""The name under which the grounded metal may stand beside `part.terminal`."""


@dataclass(frozen=True)
class OperatingPoint:
    """One unit under one condition, at rest after all switching.

    demand: what the thermostat asks. opened: devices that stand open. fault: id of the fault that
    it has, "" for none. ground_v: volts RMS of each terminal against ground. amps: amps RMS
    through each wire (by name) and each element (`part.element`; a transformer or a motor has two,
    `part.element.1` and `.2`). loads: what each motor and heater does, with its watts. chatters:
    parts that come to no rest. phasor_v: complex volts RMS by terminal, for who reckons on.
    """

    unit: UnitModel
    demand: str
    opened: tuple[str, ...]
    fault: str
    ground_v: Mapping[str, float]
    amps: Mapping[str, float]
    loads: tuple[LoadState, ...]
    chatters: tuple[str, ...]
    phasor_v: Mapping[str, complex]
    marks: Marks

    def volts(self, red: str, black: str = GROUND) -> float:
        """What an ideal meter reads between two terminals (`part.terminal` or `ground`), V RMS.

        Raises UnknownName, with close matches, for a terminal that does not exist.
        """
        known = (*self.phasor_v, GROUND)
        first, second = (known_name(each, known, _NO_TERMINAL) for each in (red, black))
        return abs(self.phasor_v.get(first, 0j) - self.phasor_v.get(second, 0j))

    def amp(self, name: str) -> float:
        """Amps RMS through a wire or an element, as `amps` names them.

        Raises UnknownName, with close matches, for a name that does not exist.
        """
        return self.amps[known_name(name, self.amps, "This unit has no such wire or element.")]

    def does(self, part: str) -> str:
        """What a load does: "runs", "hums", "is off" and so on.

        Raises UnknownName, with close matches, for a part that is no motor and no heater.
        """
        told = {each.part: each.does.words for each in self.loads}
        return told[known_name(part, told, "No load of this unit is called so.")]

    def __str__(self) -> str:
        asked = f"demand {self.demand}"
        asked += f", {', '.join(self.opened)} open" if self.opened else ""
        asked += f", {self.fault}" if self.fault else ""
        lines = [f"{self.unit.title}: {asked}"]
        lines += [
            f"  {each.title} {each.does.words}"
            + (f", {format_quantity(each.watt, 'W')}" if each.does else "")
            for each in self.loads
        ]
        lines += [f"  {each} chatters" for each in self.chatters]
        return "\n".join(lines)

    def _repr_svg_(self) -> str:
        """The ladder diagram with what is live and what runs on it."""
        return ladder(self.unit.whole, self.marks).svg


WIRE_PATH = "path"
"""The element of a wire that carries its amps; the others are its faults."""

_NO_TERMINAL = "This unit has no such terminal."


def solve(
    unit: GivenUnit,
    demand: str = "cool",
    *,
    opened: Collection[str] = (),
    fault: str = "",
    outdoor_c: float | str = 27.0,
) -> OperatingPoint:
    """The unit solved under one demand, all switching done.

    demand: one that the unit's thermostat can make, such as "cool", "fan" or "off".
    opened: devices that a hand has opened. fault: the id of one fault that the unit has
    (`UnitModel.suspects`). outdoor_c: °C outdoors, or a text such as "95 °F".
    Raises UnknownName, with close matches, for a demand, device or fault that does not exist;
    NoSettling where contacts come to no rest; FloatingNode where the unit's wires leave a loose
    network; BadUnitFile for a unit that cannot be read.
    """
    model = model_of(unit)
    whole = model.whole
    condition = Condition(demand, whole.demand(demand), ambient_c=parse(outdoor_c, "°C"))
    condition = condition.opened(*_devices(whole, opened))
    suspects = SuspectSet(whole)
    edits = suspects.typical(suspects.suspect(fault)) if fault else {}
    plan = suspects.plan if fault else Plan(whole)
    values = {key: np.array([float(each)]) for key, each in edits.items()}
    solution = settled(plan, condition, values)
    return _told(model, solution, tuple(opened), fault, _marks(whole, condition, edits, plan))


def _marks(unit: Unit, condition: Condition, edits: Mapping[Key, FloatArray], plan: Plan) -> Marks:
    """What a picture shows of it."""
    values = {key: float(each) for key, each in edits.items()}
    marks = marks_of(unit, condition, values, plan=plan) if edits else marks_of(unit, condition)
    return replace(
        marks, changed=frozenset(name for block, _ in edits for name in conductors_of(block))
    )


def _told(
    model: UnitModel, solution: Solution, opened: tuple[str, ...], fault: str, marks: Marks
) -> OperatingPoint:
    phasors = {each: complex(solution.volt(each, EARTH)[0]) for each in model.terminals}
    return OperatingPoint(
        unit=model,
        demand=solution.condition.demand,
        opened=opened,
        fault=fault,
        ground_v={name: abs(volt) for name, volt in phasors.items()},
        amps=_amps(solution),
        loads=tuple(loads_of(solution)),
        chatters=tuple(dict.fromkeys(b for (b, _), moves in solution.chatter.items() if moves[0])),
        phasor_v=phasors,
        marks=marks,
    )


def _amps(solution: Solution) -> dict[str, float]:
    """Amps by wire, and by element of the parts."""
    told, unit = {}, solution.plan.unit
    for link in solution.plan.links:
        name = f"{link.block}.{link.element.name}"
        if link.block in unit.wire_by_name:
            if link.element.name != WIRE_PATH:
                continue
            name = link.block
        told[name] = abs(complex(solution.link_amp(link)[0]))
    for pair in solution.plan.pairs:
        for at, amp in enumerate(solution.pair_amp(pair), start=1):
            told[f"{pair.block}.{pair.element.name}.{at}"] = abs(complex(amp[0]))
    return told


def _devices(unit: Unit, opened: Collection[str]) -> tuple[str, ...]:
    devices = tuple(part.name for part in unit.parts if unit.kind_of(part.name).has_position)
    if isinstance(opened, str):
        raise UnknownName(
            what="Opened devices are a list of names.",
            name=opened,
            known=devices,
            next_step=f'write opened=["{opened}"]',
        )
    return tuple(known_name(each, devices, "No hand opens a part of this name.") for each in opened)
