"""A house after a repair: all of it good, or a second fault of the known list left in.

Second faults are drawn flat over their kinds, so that a rare one is met as often as a common one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from rungwise.other_world.case import running_house
from rungwise.other_world.fault import Fault
from rungwise.other_world.heat import Heat, saturated_f
from rungwise.other_world.house import House, WireMake
from rungwise.other_world.kinds import CONTACTORS
from rungwise.other_world.visit import Visit
from rungwise.other_world.ways import CONTROL, known_faults
from rungwise.unit import Unit, part_of, split_end

SUPPLY_V = (197.0, 253.0)
"""Volts that a plate of 208/230 V runs on (ANSI C84.1 and AHRI 110, from memory)."""

LEAST_SECTION = 0.90
"""A capacitor is changed at more than 10% under its mark (common practice, no source)."""

HOT_JOINT_V = 0.2
"""A joint of the line voltage that drops more is made again (common practice, no source)."""

COIL_V = 0.85 * 24.0
"""A coil must hold from here (IEC 60947-4-1, 85% of its rating)."""

MOST_DRAWS = 200


@dataclass(frozen=True, slots=True)
class Repair:
    """A house after its repair.

    kind, fault: of what was left in, "" for nothing. past_limit: whether it is past the limit at
    which the trade repairs it, by the exact volts of this house and no meter. blocks: the parts and
    wires that it is in.
    """

    visit: Visit
    kind: str
    fault: str
    past_limit: bool
    blocks: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Gauges:
    """What gauges and clamps on the two lines show: psig and °F."""

    suction_psig: float
    suction_line_f: float
    liquid_psig: float
    liquid_line_f: float


def draw_repair(unit: Unit, rng: np.random.Generator, *, left_in: bool) -> Repair:
    """A house in which the repair was done well, by `left_in` with a second fault."""
    house = _sound_house(unit, rng)
    if not left_in:
        return Repair(Visit(house), "", "", past_limit=False)
    by_kind: dict[str, list[Fault]] = {}
    for each in known_faults(house):
        by_kind.setdefault(kind_of(each, unit), []).append(each)
    kind = sorted(by_kind)[int(rng.integers(len(by_kind)))]
    fault = by_kind[kind][int(rng.integers(len(by_kind[kind])))]
    before = {name: _ohm(made) for name, made in house.wires.items()}
    fault.change(house, rng)
    house.marks.update(fault.marks)
    visit = Visit(house)
    blocks = frozenset(name.partition(":")[0] for name in (*fault.right, *fault.faulty))
    return Repair(visit, kind, fault.name, _past_limit(fault, visit, before), blocks)


def kind_of(fault: Fault, unit: Unit) -> str:
    """The kind of a fault: what sort of part or wire, and what is wrong with it."""
    block, way = split_end(fault.name)
    if fault.name.startswith("swapped"):
        return f"{part_of(fault.name.split()[1])}: two wires swapped"
    if "+" in block:
        return f"cable: {way}"
    if block in unit.wire_by_name:
        return f"wire of {unit.wire_by_name[block].carries}: {way}"
    return f"{unit.part(block).kind}: {way}"


def gauges_of(visit: Visit, rng: np.random.Generator) -> Gauges | None:
    """Gauges on the running unit; None while the compressor stands still.

    Superheat behind its valve 8 to 14 °F and subcooling 7 to 13 °F at a full charge (common
    practice, no source); gauges to 1%, thermometers to 1 °F.
    """
    heat = visit.calling.heat
    if heat is None or not visit.calling.turns(visit.house.compressor):
        return None
    warmer, colder = rng.uniform(8.0, 14.0), rng.uniform(7.0, 13.0)
    evaporating = saturated_f(heat.suction_psig)
    return Gauges(
        heat.suction_psig * float(rng.normal(1.0, 0.005)),
        evaporating + warmer + float(rng.normal(0.0, 0.5)),
        heat.head_psig * float(rng.normal(1.0, 0.005)),
        _condensing(heat) - colder + float(rng.normal(0.0, 0.5)),
    )


def _condensing(heat: Heat) -> float:
    return saturated_f(heat.head_psig)


def _sound_house(unit: Unit, rng: np.random.Generator) -> House:
    """A good house of which nothing is past a limit of the trade."""
    for _ in range(MOST_DRAWS):
        house = running_house(unit, rng)
        if _sound(house):
            return house
    raise RuntimeError(f"no house of {unit.name} is within every limit in {MOST_DRAWS} draws")


def _sound(house: House) -> bool:
    for own in house.values.values():
        for name in ("herm_uf", "fan_uf", "run_uf"):
            marked = own.get(f"plate_{name}")
            if name in own and marked and own[name] < LEAST_SECTION * marked:
                return False
    contactor = house.contactor
    volt = abs(Visit(house).calling.solved.volt(f"{contactor}.L1", f"{contactor}.L2"))
    return SUPPLY_V[0] <= volt <= SUPPLY_V[1]


def _ohm(made: WireMake) -> float:
    return made.copper_ohm + made.start_ohm + made.end_ohm


def _past_limit(fault: Fault, visit: Visit, before: Mapping[str, float]) -> bool:
    """Of joints that grew resistance whether it is enough; every other way is past its limit."""
    block, way = split_end(fault.name)
    if way != "resistive":
        return True
    wire = visit.house.unit.wire_by_name[block]
    if visit.symptoms:
        return True
    if wire.carries in CONTROL:
        coils = visit.house.unit.parts_of_kind(*CONTACTORS, "relay")
        ends = [(f"{part.name}.coil1", f"{part.name}.coil2") for part in coils]
        return any(abs(visit.calling.solved.volt(a, b)) < COIL_V for a, b in ends)
    grown = _ohm(visit.house.wires[block]) - before[block]
    amp = max(visit.calling.wire_amp(block), visit.standby.wire_amp(block))
    return grown * amp > HOT_JOINT_V
