"""Proofs of repairs in the other world: every third with nothing left in, the others with a second
fault drawn flat over its kinds.

The technician takes what the program asks for, until it says proved or refused.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache, partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np

from rungwise.diagnosis import Check, CheckCard, FaultTable, ReadingModel, checks_of
from rungwise.evaluation.asking import ask_of, blocks_touched
from rungwise.evaluation.other_units import PLATES, unit_of
from rungwise.evaluation.other_world import save_table, table_file
from rungwise.evaluation.result_file import Resumed, each, plain
from rungwise.faults import SuspectSet
from rungwise.other_world import Hands, Look, OtherTechnician, Repair, draw_repair, gauges_of
from rungwise.parts import Coil, Overcurrent, Transformer
from rungwise.unit import FIRST_ARRANGEMENTS, Unit
from rungwise.verification import (
    ChargeReadings,
    Conditions,
    Course,
    Finding,
    GoodBand,
    GoodUnit,
    Hidden,
    Proof,
    bands_of,
    belief_after,
    charge_findings,
    cooling_unseen,
    electric_findings,
    hidden_behind,
    needed_checks,
    next_proof_check,
    own_sights,
    proof_of,
    repairs_named,
    sights_of,
    standing,
    standing_levels,
)


def repairs_of(unit: Unit) -> tuple[str, ...]:
    """What may have been repaired, one as often as another, by what each is in the unit.

    The run capacitor of the motors outdoors, the contactor, the outdoor fan, the control
    transformer, the fuse behind it, and the wire of Y at the contactor's coil.
    """
    outdoors = {*unit.roles.compressors, *unit.roles.outdoor_fans}
    capacitors = [s.capacitor for s in unit.roles.served if s.motor in outdoors]
    fuses = [p.name for p, it in unit.having(Overcurrent) if it.how == "melts"]
    coils = [
        wire.name
        for part, coil in unit.having(Coil)
        for wire, _ in unit.wires_at(f"{part.name}.{coil.ends[0]}")
        if part.name in unit.roles.contactors and wire.carries == "Y"
    ]
    return (
        capacitors[0],
        unit.roles.contactors[0],
        unit.roles.outdoor_fans[0],
        next(part.name for part, _ in unit.having(Transformer)),
        next(fuse for fuse in fuses if not unit.kind_of(fuse).isolates),
        coils[0],
    )


MOST_CHECKS = 40
TOLD_PLATES = tuple(name for name in PLATES if name)
"""A technician who proves a repair has read the plate."""

Progress = Callable[[float], None]


def run_other_proofs(
    numbers: Sequence[int],
    seed: int = 1,
    *,
    processes: int = 1,
    results: Path | None = None,
    progress: Progress | None = None,
) -> list[dict[str, Any]]:
    """Prove the repairs of these numbers and return a line of results for each.

    results, processes: as of `run_other_world`.
    """
    run = Resumed(numbers, seed, lambda line: int(line["proof"]), results)
    if not run.left:
        return run.found
    with TemporaryDirectory(prefix="rungwise-") as folder:
        units = sorted({met_by(number, seed).unit_key for number in run.left})
        for _ in each(partial(save_table, folder=folder), units, processes):
            pass
        return run.work(partial(_work, seed=seed, folder=folder), processes, progress)


@dataclass(frozen=True, slots=True)
class Met:
    """What a number and the seed make of a proof, and the source of the rest of its luck."""

    unit_key: tuple[str, str]
    repaired: str
    left_in: bool
    rng: np.random.Generator


def met_by(number: int, seed: int) -> Met:
    """A proof by its number."""
    rng = np.random.default_rng([seed, number, 11])
    name = FIRST_ARRANGEMENTS[int(rng.integers(len(FIRST_ARRANGEMENTS)))]
    plate = TOLD_PLATES[int(rng.integers(len(TOLD_PLATES)))]
    repairs = repairs_of(unit_of(name, plate))
    repaired = repairs[int(rng.integers(len(repairs)))]
    return Met((name, plate), repaired, number % 3 != 0, rng)


@dataclass
class ProofShop:
    """The suspects and checks of a unit, and what may hide behind each repair; made once."""

    unit: Unit
    _behind: dict[str, tuple[Hidden, ...]] = field(default_factory=dict, init=False, repr=False)

    @cached_property
    def suspects(self) -> SuspectSet:
        """The suspects of the unit."""
        return SuspectSet(self.unit)

    @cached_property
    def checks(self) -> dict[str, Check]:
        """The checks of the unit by id."""
        return {check.card.id: check for check in checks_of(self.unit)}

    def hidden(self, repaired: str) -> tuple[Hidden, ...]:
        """What may hide behind a repair of a part or wire."""
        if repaired not in self._behind:
            done = repairs_named(self.suspects, [repaired])
            self._behind[repaired] = hidden_behind(self.suspects, done)
        return self._behind[repaired]


@dataclass
class _Shop(ProofShop):
    """What is the same for every proof on one unit."""

    table: FaultTable

    @cached_property
    def model(self) -> ReadingModel:
        return ReadingModel(self.table)

    @cached_property
    def good(self) -> GoodUnit:
        return GoodUnit(self.suspects)

    def bands(self, outdoor_c: float) -> dict[str, GoodBand]:
        return bands_of(self.good, {}, outdoor_c, timed=False)


@lru_cache(maxsize=len(FIRST_ARRANGEMENTS) * len(TOLD_PLATES))
def _shop(name: str, plate: str, file: Path) -> _Shop:
    return _Shop(unit_of(name, plate), FaultTable.load(file))


@dataclass
class _Proving:
    """A proof on its way: the course, what was read, and what the gauges said."""

    shop: _Shop
    repair: Repair
    technician: OtherTechnician
    hidden: tuple[Hidden, ...]
    conditions: Conditions
    rng: np.random.Generator
    course: Course
    taken: list[tuple[str, float | str | None]] = field(default_factory=list)
    cooling: tuple[Finding, ...] = ()
    gauged: bool = False

    @property
    def findings(self) -> tuple[Finding, ...]:
        numbers = {name: it for name, it in self.taken if isinstance(it, float)}
        levels = standing_levels(self.course)
        bands = dict(self.course.bands)
        return (*electric_findings(self.shop.good, numbers, None, bands, levels), *self.cooling)

    @property
    def proof(self) -> Proof:
        beside = tuple(cooling_unseen(self.conditions, self.cooling))
        return proof_of(self.course, self.hidden, self.findings, beside)

    def finish(self) -> None:
        """Take what is asked for until it is proved or refused, or nothing is left to take."""
        while len(self.taken) < MOST_CHECKS:
            beside = tuple(cooling_unseen(self.conditions, self.cooling))
            if standing(self.course, self.findings, beside) != "not yet":
                return
            if not self.gauged and not needed_checks(self.course):
                self.gauge()
                continue
            best = next_proof_check(self.course)
            if best is None:
                return
            self.take(best.check)

    def take(self, card: CheckCard) -> None:
        """Make one check."""
        ask = ask_of(self.shop.unit, self.shop.checks[card.id])
        found = None if ask is None else self.technician.take(card.id, ask)
        self.taken.append((card.id, found))
        if found is None:
            self.course = self.course.with_out_of_reach([card.id])
        else:
            self.course = self.course.after(card, found)

    def gauge(self) -> None:
        """Put the gauges on."""
        self.gauged = True
        gauges = gauges_of(self.repair.visit, self.rng)
        if gauges is not None:
            told = ChargeReadings(
                "R-410A", "expansion valve", gauges.suction_psig, _celsius(gauges.suction_line_f),
                gauges.liquid_psig, _celsius(gauges.liquid_line_f),
            )  # fmt: skip
            self.cooling = charge_findings(told, self.conditions)

    def named(self) -> bool:
        """Whether something told as not measured would have shown that all is not well."""
        unseen = {it for each in self.proof.unseen for it in each.sight.checks}
        unseen -= {name for name, _ in self.taken}
        return any(self._would_show(name) for name in sorted(unseen & set(self.shop.checks)))

    def _would_show(self, name: str) -> bool:
        """Whether a reading on the faulty part or wire itself, without a slip, is out."""
        check = self.shop.checks[name]
        ask = ask_of(self.shop.unit, check)
        on_it = blocks_touched(self.shop.unit, check) & self.repair.blocks
        if ask is None or isinstance(ask, Look) or not on_it:
            return False
        found = Hands(self.repair.visit, 1, slip=0.0).read(ask, np.random.default_rng(1))
        checked = self.course.alone(check.card, found)
        return checked is not None and not checked.good


def _celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


def _work(number: int, *, seed: int, folder: str) -> dict[str, Any]:
    met = met_by(number, seed)
    shop = _shop(*met.unit_key, table_file(folder, *met.unit_key))
    repair = draw_repair(shop.unit, met.rng, left_in=met.left_in)
    proving = _proving(shop, met, repair)
    proving.finish()
    proof = proving.proof
    return {
        "seed": seed, "proof": number, "arrangement": met.unit_key[0], "plate": met.unit_key[1],
        "repaired": met.repaired, "kind": repair.kind, "fault": repair.fault,
        "past_limit": repair.past_limit, "noticed": sorted(repair.visit.symptoms),
        "standing": proof.standing, "whole": proof.whole, "good": round(proof.good, 5),
        "named": proof.standing == "proved" and repair.past_limit and proving.named(),
        "reasons": list(proof.reasons), "unseen": [each.text for each in proof.unseen],
        "readings": len(proving.taken) + (4 if proving.cooling else 0),
        "again": len(proving.taken) - len({name for name, _ in proving.taken}),
        "steps": [[name, plain(found)] for name, found in proving.taken],
    }  # fmt: skip


def _proving(shop: _Shop, met: Met, repair: Repair) -> _Proving:
    weather = repair.visit.house.weather
    conditions = Conditions(outdoor_c=_celsius(weather.outdoor_f), run_minutes=15.0)
    hidden = shop.hidden(met.repaired)
    bands = shop.bands(_celsius(weather.outdoor_f))
    belief = belief_after(shop.model, hidden)
    own = own_sights(shop.unit, belief.table.checks, hidden)
    sights = (*sights_of(shop.unit, shop.checks), *own)
    course = Course.start(belief, hidden, bands, sights)
    luck = int(met.rng.integers(2**31))
    technician = OtherTechnician(repair.visit, luck, cannot=0.0)
    return _Proving(shop, repair, technician, hidden, conditions, met.rng, course)
