"""Technician report: readings, reasoning, isolation as done, parts, wires, proof, photos."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from rungwise.diagnosis import Told, sentence, strength
from rungwise.files import Table
from rungwise.replacement import Fit, Weight
from rungwise.report import telling
from rungwise.report.content import (
    Figure,
    FittedPart,
    Measured,
    Photo,
    Picture,
    TechnicianRecord,
    Verdict,
)
from rungwise.report.extras import Extras
from rungwise.report.good_bands import GoodBands
from rungwise.report.wires_told import wires_told
from rungwise.report.worked import Worked
from rungwise.services import complaint_lines, own_line
from rungwise.verification import Checked
from rungwise.wording import typed_told

SPOKEN_FOR, SPOKEN_AGAINST = 2, 3
"""Suspects named at one reading."""

TOLD = (Weight.BARS, Weight.CHANGE, Weight.CAUTION)
OF_A_PROOF = ("conditions", "refrigerant", "air")
DIFFERENCES = ("target_superheat", "target_subcooling")


def technician_record(
    worked: Worked,
    extras: Extras,
    pictures: tuple[Picture, ...] = (),
    photos: tuple[Photo, ...] = (),
) -> TechnicianRecord:
    """All that is known of a call. pictures, photos: with the names of their files."""
    answer = worked.answer
    proof = worked.proved.proof if worked.proved else None
    taken = tuple(_taken(worked, extras))
    looked = {at for at, each in enumerate(answer.outcomes) if each.card.form == "choice"}
    return TechnicianRecord(
        head=telling.head(worked, extras),
        note=extras.note,
        cause=tuple(_cause(worked)),
        looked=tuple(each for at, each in taken if at in looked),
        readings=tuple(each for at, each in taken if at not in looked),
        remarks=tuple(_remarks(worked)),
        zones=extras.zones,
        fitted=tuple(_fitted(each, worked, extras) for each in worked.fits),
        wires=wires_told(worked.wires) if worked.wires else (),
        moves=extras.moves,
        started=extras.started,
        pictures=pictures,
        proof=telling.standing(proof) if proof else (),
        proofs=tuple(_proved(each, extras) for each in proof.checks) if proof else (),
        gauges=tuple(_gauges(answer.call.proof)) if answer.call.proof else (),
        figures=tuple(
            Figure(each.text, each.level, each.source) for each in (proof.findings if proof else ())
        ),
        look_for=tuple(sentence(each) for each in proof.look_for) if proof else (),
        photos=photos,
        not_measured=telling.not_measured(worked, extras),
        signed=telling.signed(extras),
    )


def _cause(worked: Worked) -> Iterator[str]:
    """The verdict by the parts' titles, without a line that says its own again."""
    told, unit = worked.answer.verdict, worked.answer.opened.unit
    if told.wrong_part:
        titled = replace(told.wrong_part, part=telling.title_of(unit, told.wrong_part.part))
        told = replace(told, wrong_part=titled)
    again = sentence(told.answer.suspect.title) if told.answer else ""
    yield from (line for line in told.lines() if line != again)


def _taken(worked: Worked, extras: Extras) -> Iterator[tuple[int, Measured]]:
    """Each outcome that could be made, by its place among all, with what it said."""
    answer = worked.answer
    bands = GoodBands(answer)
    said = iter(answer.explanation.readings)
    for at, outcome in enumerate(answer.outcomes):
        if outcome.value is None:
            continue
        told = next(said)
        verdict: Verdict = "good" if bands.level(outcome) in ("good", "caution") else "not"
        by = extras.taken[at] if at < len(extras.taken) else ""
        yield (
            at,
            Measured(
                title=outcome.card.title,
                text=told.text,
                good=bands.text(outcome),
                verdict=verdict,
                said=tuple(_said(told)),
                note=outcome.note,
                by=by,
            ),
        )


def _said(told: Told) -> Iterator[str]:
    pro = [each for each in told.opinions if each.bits > 0.0][:SPOKEN_FOR]
    against = [each for each in told.opinions if each.bits < 0.0][:SPOKEN_AGAINST]
    for each in (*pro, *against):
        yield f"{strength(each.bits)}: {each.suspect.title}"
    more = len(told.opinions) - len(pro) - len(against)
    if more:
        yield f"and {more} more"


def _remarks(worked: Worked) -> Iterator[str]:
    answer = worked.answer
    yield from map(str, answer.remarks)
    yield from (each.line() for each in answer.shortfalls)
    yield from (each.line() for each in answer.witnesses)
    yield from filter(None, [own_line(answer)])
    yield from complaint_lines(answer.said)


def _fitted(fit: Fit, worked: Worked, extras: Extras) -> FittedPart:
    candidate, unit = fit.candidate, worked.answer.opened.unit
    by: Mapping[str, str] = extras.fitted
    return FittedPart(
        name=candidate.name,
        place=", ".join(telling.title_of(unit, each) for each in candidate.parts),
        verdict=fit.verdict.value,
        reasons=tuple(each.text for each in fit.told(*TOLD)),
        by=next((by[each] for each in candidate.parts if each in by), ""),
    )


def _proved(each: Checked, extras: Extras) -> Measured:
    return Measured(
        title=each.title,
        text=each.text,
        good=each.band,
        verdict="good" if each.good else "not",
        by=extras.proved.get(each.id, ""),
    )


def _gauges(proof: Table) -> Iterator[tuple[str, str]]:
    """What was told of refrigerant, air and conditions."""
    for name in OF_A_PROOF:
        for key, value in proof.data.get(name, {}).items():
            typed = {True: "yes", False: "no"}[value] if isinstance(value, bool) else str(value)
            told = typed_told(typed, difference=key in DIFFERENCES)
            yield f"{name}: {key.replace('_', ' ')}", told
