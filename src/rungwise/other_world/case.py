"""One case: a house, what is really wrong with it, and what would be right to say."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from rungwise.other_world.fault import Fault
from rungwise.other_world.house import House
from rungwise.other_world.kinds import BREAKERS
from rungwise.other_world.makes import good_house
from rungwise.other_world.strangers import strangers
from rungwise.other_world.visit import Visit
from rungwise.other_world.ways import known_faults
from rungwise.unit import Unit

CaseClass = Literal["listed", "effect", "two", "stranger", "intermittent", "healthy"]

CLASSES: dict[CaseClass, float] = {
    "listed": 0.5,
    "effect": 0.15,
    "two": 0.05,
    "stranger": 0.18,
    "intermittent": 0.05,
    "healthy": 0.07,
}
"""Kinds of cases with their shares; harsher than a day's work."""

MOST_DRAWS = 60

_BROUGHT_ABOUT = ("blown", "blown1", "blown2", "blown3", "tripped", "open", "locked")


@dataclass(frozen=True, slots=True)
class Truth:
    """What is so.

    right: what a good answer names (see `Fault`). faulty: blocks that have really something.
    opened: what the fault made open by itself. symptoms: what somebody in the house notices.
    causes: looks that show what stands behind. said: what the customer says. redrawn: draws that
    showed nothing and were thrown away.
    """

    kind: CaseClass
    name: str
    right: frozenset[str]
    faulty: frozenset[str]
    opened: frozenset[str]
    symptoms: frozenset[str]
    causes: frozenset[str]
    said: frozenset[str]
    redrawn: int

    def is_right(self, block: str, act: str) -> bool:
        """Whether doing `act` on `block` is among the right answers."""
        if block in self.right or f"{block}:{act}" in self.right:
            return True
        barred = [each for each in self.right if each.startswith(f"{block}:~")]
        return bool(barred) and all(each != f"{block}:~{act}" for each in barred)

    @property
    def nothing(self) -> bool:
        """Whether nothing is wrong while somebody is there."""
        return self.kind in ("healthy", "intermittent")


@dataclass(frozen=True, slots=True)
class Case:
    """A truth and the visit to its house."""

    truth: Truth
    visit: Visit


def draw_class(rng: np.random.Generator) -> CaseClass:
    """A kind of case by its share."""
    names = list(CLASSES)
    return names[int(rng.choice(len(names), p=list(CLASSES.values())))]


def draw_case(unit: Unit, kind: CaseClass, rng: np.random.Generator) -> Case:
    """A case of one kind; drawn again until it shows what its kind must show.

    Raises RuntimeError where no draw shows itself.
    """
    for redrawn in range(MOST_DRAWS):
        house = running_house(unit, rng)
        faults = _faults(house, kind, rng)
        for fault in faults:
            fault.change(house, rng)
            house.marks.update(fault.marks)
        visit = Visit(house)
        truth = _truth(kind, faults, visit, redrawn, rng)
        if _shows(truth, faults):
            return Case(truth, visit)
    raise RuntimeError(f"no case of kind {kind} shows itself in {MOST_DRAWS} draws")


def running_house(unit: Unit, rng: np.random.Generator) -> House:
    """A good house whose unit comes up: a maker's unit that does not would not be sold.

    Raises RuntimeError where no drawn house runs.
    """
    for _ in range(MOST_DRAWS):
        house = good_house(unit, rng)
        if not Visit(house).symptoms:
            return house
    raise RuntimeError(f"no good house of {unit.name} runs in {MOST_DRAWS} draws")


def _faults(house: House, kind: CaseClass, rng: np.random.Generator) -> list[Fault]:
    match kind:
        case "listed":
            return [_by_weight(known_faults(house), rng)]
        case "effect":
            return [_by_weight([*known_faults(house), *_behind(strangers(house))], rng)]
        case "two":
            known = known_faults(house)
            first, second = _by_weight(known, rng), _by_weight(known, rng)
            return [first, second] if not first.right & second.right else [first]
        case "stranger":
            return [_by_weight(strangers(house), rng)]
        case _:
            return []


def _behind(found: Sequence[Fault]) -> list[Fault]:
    """Of the strangers, what opens a switch by heat or cold."""
    return [fault for fault in found if fault.causes]


def _by_weight(faults: Sequence[Fault], rng: np.random.Generator) -> Fault:
    weight = np.array([fault.weight for fault in faults])
    return faults[int(rng.choice(len(faults), p=weight / weight.sum()))]


def _truth(
    kind: CaseClass,
    faults: Sequence[Fault],
    visit: Visit,
    redrawn: int,
    rng: np.random.Generator,
) -> Truth:
    def union(of: Callable[[Fault], frozenset[str]]) -> frozenset[str]:
        return frozenset().union(*(of(fault) for fault in faults))

    right = union(lambda fault: fault.right)
    return Truth(
        kind=kind,
        name=" + ".join(fault.name for fault in faults) or "nothing",
        right=right or frozenset({"unit"}),
        faulty=union(lambda fault: fault.faulty),
        opened=_opened(visit),
        symptoms=visit.symptoms,
        causes=union(lambda fault: fault.causes),
        said=said(visit, union(lambda fault: fault.faulty), rng),
        redrawn=redrawn,
    )


def _opened(visit: Visit) -> frozenset[str]:
    states = visit.called.stand.states
    return frozenset(part for (part, name), at in states.items() if name in _BROUGHT_ABOUT and at)


def _shows(truth: Truth, faults: Sequence[Fault]) -> bool:
    """Whether the case is one of its kind."""
    if truth.nothing:
        return True
    if not truth.symptoms or (truth.kind == "two" and len(faults) < 2):
        return False
    if truth.kind == "effect":
        behind = {block.partition(":")[0] for block in truth.right}
        return bool(truth.opened - (truth.faulty | behind) or (truth.causes and truth.opened))
    return True


STALL_AMPS = 25.0
"""Outdoor amps in the first seconds above which lights go on dimming."""


def said(visit: Visit, faulty: frozenset[str], rng: np.random.Generator) -> frozenset[str]:
    """What is said of this house, by the usual words for it; often nothing at all."""
    return frozenset(w for w, p in _chances(visit, faulty).items() if rng.random() < p)


def _chances(visit: Visit, faulty: frozenset[str]) -> dict[str, float]:
    house, symptoms = visit.house, visit.symptoms
    stalls = visit.starting_as_told.wire_amp("whip_l1") > STALL_AMPS
    dims = stalls or "volts sag" in symptoms or not np.isfinite(house.supply.neutral_ohm)
    opened = {part for (part, _), at in visit.lasting.items() if at}
    breakers = {p.name for p in house.unit.parts_of_kind(*BREAKERS)}
    heat = {p.name for p in house.unit.parts if p.kind.endswith("pressure_switch")}
    heat |= set(house.machines)
    air_moves = "blower dead" not in symptoms
    marks = {thing for (thing, _), chance in house.marks.items() if chance > 0.25}
    electric = {"service", "transformer", "lv_fuse", "delay", "thermostat"}
    return {
        "warm_air": 0.3 if air_moves and symptoms else 0.15,
        "noise": 0.5 if stalls or symptoms & {"buzzes", "chatters"} else 0.07,
        "smell": _smell_told(symptoms, marks),
        "ice": 0.5 if "suction low" in symptoms or "ice" in marks else 0.02,
        "water": 0.35 if "water" in marks else 0.03,
        "breaker_trips": 0.6 if opened & breakers else 0.04,
        "lights_dim": 0.35 if dims else 0.05,
        "afternoons_only": 0.3 if opened & heat or not symptoms else 0.05,
        "after_storm": 0.2 if faulty & electric else 0.06,
        "after_power_cut": 0.15 if faulty & (electric | breakers) else 0.05,
        "worked_on": 0.5 if "recent_work" in marks else 0.08,
        "filter_changed": 0.4 if faulty & {"door_switch"} else 0.04,
    }


def _smell_told(symptoms: frozenset[str], marks: Collection[str]) -> float:
    """How often a burnt smell is told: nearly always where nothing else made anybody call."""
    if symptoms == {"smells burnt"}:
        return 0.9
    return 0.35 if "smells burnt" in symptoms or "smell" in marks else 0.03
