"""Proving a repair: everything that was measured after it, put together to one verdict."""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.diagnosis.fault_table import CheckCard, FaultTable
from rungwise.diagnosis.reading_model import ReadingModel
from rungwise.proof.belief_after import belief_after
from rungwise.proof.checking import Checked
from rungwise.proof.cooling import ChargeState, air_findings, charge_findings, charge_state
from rungwise.proof.cross import charge_factors, explained_by_charge
from rungwise.proof.electric import electric_findings
from rungwise.proof.finding import Finding
from rungwise.proof.hiding import hidden_behind, repairs_named
from rungwise.proof.own_checks import GoodUnit, own_checks
from rungwise.proof.startup import SECONDS, seconds_band, seconds_card
from rungwise.proof.told import Told
from rungwise.proof.verdict import Proof, proof_of
from rungwise.quantity import format_quantity
from rungwise.suspects import SuspectSet
from rungwise.unit.unit import Unit

__all__ = ["cooling", "proof_cards", "prove"]


def prove(suspects: SuspectSet, table: FaultTable | ReadingModel, told: Told) -> Proof:
    """The verdict on a repair of the unit of ``suspects``.

    table: of that unit, or its reading model. Raises UnknownName for a part, suspect or
    refrigerant that is not there, BadReading for a reading that cannot be.
    """
    for name in told.found:
        suspects.suspect(name)
    hidden = hidden_behind(suspects, repairs_named(suspects, told.repaired), told.found)
    findings, state = cooling(told)
    findings += explained_by_charge(state, hidden)
    belief = belief_after(table, hidden, charge_factors(state))
    known = {card.id for card in belief.table.checks}
    for name, value in told.taken:
        if name in known:
            belief = belief.observe(name, value)
    good = GoodUnit(suspects)
    findings = (*electric_findings(good, told.numbers, told.beside), *findings)
    return proof_of(belief, hidden, findings, _own(good, told), told.out_of_reach)


def cooling(told: Told) -> tuple[tuple[Finding, ...], ChargeState]:
    """What refrigerant and air say, and the state of the charge that follows from it."""
    found: tuple[Finding, ...] = ()
    state: ChargeState = "unknown"
    if told.charge is not None:
        wet = told.air.return_wet_c if told.air else None
        found = charge_findings(told.charge, told.conditions, wet)
        state = charge_state(found, told.charge.metering)
    if told.air is not None:
        found += air_findings(told.air, told.conditions)
    return found, state


def _own(good: GoodUnit, told: Told) -> tuple[Checked, ...]:
    return tuple(_own_checked(good, told))


def _own_checked(good: GoodUnit, told: Told) -> Iterator[Checked]:
    for check in own_checks(good.unit):
        value = told.numbers.get(check.card.id)
        if value is not None:
            yield _banded(check.card, value, *good.band(check))
    seconds = told.numbers.get(SECONDS)
    band = seconds_band(good.unit) if seconds is not None else None
    if seconds is not None and band is not None:
        yield _banded(seconds_card(), seconds, *band)


def _banded(card: CheckCard, value: float, low: float, high: float) -> Checked:
    band = f"{max(low, 0.0):.3g} to {format_quantity(high, card.unit)}"
    text, within = format_quantity(value, card.unit), low <= value <= high
    return Checked(card.id, card.title, text, band, within)


def proof_cards(unit: Unit, table: FaultTable) -> dict[str, CheckCard]:
    """Every check that a proof of this unit may name, by id: the table's and the proof's own."""
    cards = {card.id: card for card in table.checks}
    cards |= {check.card.id: check.card for check in own_checks(unit)}
    return cards | {SECONDS: seconds_card()}
