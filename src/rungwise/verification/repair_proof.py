"""Proving a repair: everything that was measured after it, put together to one verdict."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rungwise.diagnosis import CheckCard, FaultTable, ReadingModel
from rungwise.faults import SuspectSet
from rungwise.unit import Unit
from rungwise.verification.belief_after_repair import belief_after
from rungwise.verification.cooling_proof import (
    COLDEST_OUTDOORS_C,
    ChargeState,
    Conditions,
    air_findings,
    charge_findings,
    charge_state,
    gauges_again,
    together,
)
from rungwise.verification.course import Course
from rungwise.verification.cross import charge_factors, explained_by_charge
from rungwise.verification.electric import bands_of, electric_findings
from rungwise.verification.finding import Finding
from rungwise.verification.good_band import ReadingLevel
from rungwise.verification.masked_faults import hidden_behind, repairs_named
from rungwise.verification.proof_checks import GoodUnit, own_checks
from rungwise.verification.sights import CHARGE, COOLING, Unseen, own_sights, sights_of
from rungwise.verification.start_story import SECONDS, seconds_card
from rungwise.verification.told import Told
from rungwise.verification.verdict import Proof, proof_of

TOO_COLD = "too cold outdoors to run it"


def prove(
    suspects: SuspectSet,
    table: FaultTable | ReadingModel,
    told: Told,
    good: GoodUnit | None = None,
) -> Proof:
    """The verdict on a repair of the unit of `suspects`.

    table: of that unit, or its reading model. good: the same unit solved well, where it is at
    hand. Raises UnknownName for a part, suspect or
    refrigerant that is not there, BadReading for a reading that cannot be.
    """
    for name in told.found:
        suspects.suspect(name)
    hidden = hidden_behind(suspects, repairs_named(suspects, told.repaired), told.found)
    findings, state = cooling(told)
    findings += explained_by_charge(suspects.unit, state, hidden)
    unit, good = suspects.unit, good or GoodUnit(suspects)
    timed = SECONDS in told.numbers
    bands = bands_of(good, told.numbers, told.conditions.outdoor_c, timed=timed)
    belief = belief_after(table, hidden, charge_factors(unit, state))
    cards = proof_cards(unit, belief.table)
    sights = (*sights_of(unit, cards), *own_sights(unit, belief.table.checks, hidden))
    course = Course.start(belief, hidden, bands, sights, told.out_of_reach)
    course = course.after_all(cards, told.taken)
    levels = standing_levels(course)
    electric = electric_findings(good, told.numbers, told.beside, bands, levels)
    return proof_of(
        course, hidden, (*electric, *findings), tuple(cooling_unseen(told.conditions, findings))
    )


def standing_levels(course: Course) -> dict[str, ReadingLevel]:
    """Where each reading stands, by check id; out of its band, and another of it good, is told."""
    open_still = {each.id for each in course.doubtful}
    return {
        each.id: "caution" if each.level == "again" and each.id not in open_still else each.level
        for each in course.checked
    }


def cooling_unseen(conditions: Conditions, findings: Sequence[Finding]) -> Iterator[Unseen]:
    """What was not seen of air and refrigerant: a split that is off stands for nothing."""
    judged = {each.id for each in findings if each.level not in ("worthless", "note")}
    charge = {"superheat", "subcooling", "condensing over the outdoor air"} <= judged
    outdoor = conditions.outdoor_c
    good = any(each.id == "air split" and each.level == "good" for each in findings)
    if not charge and not good:
        cold = outdoor is not None and outdoor < COLDEST_OUTDOORS_C
        yield Unseen(COOLING, TOO_COLD if cold else "")
    elif not charge:
        yield Unseen(CHARGE)


def cooling(told: Told) -> tuple[tuple[Finding, ...], ChargeState]:
    """What refrigerant and air say, and the state of the charge that follows from it."""
    found: tuple[Finding, ...] = ()
    state: ChargeState = "unknown"
    if told.charge is not None:
        wet = told.air.return_wet_c if told.air else None
        found = charge_findings(told.charge, told.conditions, wet)
        state = charge_state(found, told.charge.metering)
        found += together(found, told.charge.metering)
        found += gauges_again(told.charge, told.conditions)
    if told.air is not None:
        found += air_findings(told.air, told.conditions)
    return found, state


def proof_cards(unit: Unit, table: FaultTable) -> dict[str, CheckCard]:
    """Every check that a proof of this unit may name, by id: the table's and the proof's own."""
    own = {check.card.id: check.card for check in own_checks(unit)} | {SECONDS: seconds_card()}
    return own | {card.id: card for card in table.checks}
