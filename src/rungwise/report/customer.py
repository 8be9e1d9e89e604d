"""The customer's page: plain words, what was found, done and measured, what is near its end."""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.diagnosis.wording import sentence
from rungwise.proof.finding import Finding
from rungwise.proof.verdict import Proof
from rungwise.replacement.reason import Weight
from rungwise.report import telling
from rungwise.report.content import CustomerPage, Measured, Verdict
from rungwise.report.extras import Extras
from rungwise.report.plain_words import part_told, plain_title
from rungwise.report.prices import prices_in, total_of
from rungwise.report.units import Words
from rungwise.report.worked import Worked

__all__ = ["customer_page"]

PLAIN_FIGURES = ("superheat", "subcooling", "air split", "total capacity")
NEAR = ("caution", "refuse")
REFUSED = "The repair is refused: what was measured after it speaks against it."


def customer_page(worked: Worked, extras: Extras, words: Words) -> CustomerPage:
    """What the customer is told. Raises BadInput for prices that cannot be read."""
    proof = worked.proved.proof if worked.proved else None
    prices = prices_in(extras.prices)
    return CustomerPage(
        head=telling.head(worked, extras),
        found=telling.found(worked.answer),
        explained=_explained(worked),
        done=telling.done(worked.answer, _fitted(worked)),
        standing=_standing(proof, words) if proof else (),
        measured=tuple(_measured(proof, words)) if proof else (),
        near_end=(*_not_right(worked, words), *_near_end(proof, words), *extras.foreseen),
        not_measured=telling.not_measured(worked, extras, briefly=True),
        prices=prices,
        total=total_of(prices),
        signed=telling.signed(extras),
    )


def _fitted(worked: Worked) -> Iterator[str]:
    unit = worked.answer.opened.unit
    return (telling.fitted(unit, it.candidate.name, it.candidate.parts) for it in worked.fits)


def _explained(worked: Worked) -> str:
    """What the part at fault is for."""
    answer, unit = worked.answer, worked.answer.opened.unit
    best = answer.verdict.answer
    if best is None or not answer.decided or best.suspect.part not in unit.part_by_name:
        return ""
    return part_told(unit.part(best.suspect.part).kind)


def _standing(proof: Proof, words: Words) -> tuple[str, ...]:
    """The verdict on the repair; a refusal without its readings, which stand below it."""
    if proof.standing != "refused":
        return telling.standing(proof, words)
    if any(each.level == "refuse" for each in proof.findings):
        return (REFUSED, words(sentence(proof.reasons[0])))
    likeliest = [f"Likeliest left: {each.hidden.suspect.title}." for each in proof.remaining[:1]]
    return (REFUSED, *likeliest)


def _measured(proof: Proof, words: Words) -> Iterator[Measured]:
    for each in proof.checks:
        title = plain_title(each.id)
        if title:
            verdict: Verdict = "good" if each.good else "not"
            yield Measured(title, words(each.text), words(each.band), verdict)
    yield from (_figure(it, words) for it in proof.findings if it.id in PLAIN_FIGURES)


def _figure(each: Finding, words: Words) -> Measured:
    """A figure of refrigerant or air as a row: "Superheat 12 °F" and "5 °F to 20 °F"."""
    said, _, rest = words(each.text).partition("; good is ")
    title = {"air split": "Cooling of the air", "total capacity": "Capacity"}.get(
        each.id, f"Refrigerant: {each.id}"
    )
    verdict: Verdict = "good" if each.level == "good" else "not" if each.level in NEAR else ""
    shown = said.removeprefix("Air split ").removeprefix(f"{each.id.capitalize()} ")
    return Measured(title, shown.rstrip("."), rest.partition(",")[0].rstrip("."), verdict)


def _not_right(worked: Worked, words: Words) -> Iterator[str]:
    """A part that does not serve, and wires that were left wrong."""
    for each in worked.fits:
        bars = each.told(Weight.BARS)
        if bars:
            yield f"{each.candidate.name} does not serve in this unit: {words(bars[0].text)}"
    left = worked.wires.found.left if worked.wires else None
    if left is not None and not left.passes:
        yield "With the wires as they were left, the unit does not do all it should."


def _near_end(proof: Proof | None, words: Words) -> Iterator[str]:
    if proof is None:
        return
    yield from (words(each.text) for each in proof.findings if each.level in NEAR)
    for each in proof.checks:
        if not each.good:
            title = plain_title(each.id) or each.title
            yield f"{title}: {words(each.text)}; good is {words(each.band)}."
