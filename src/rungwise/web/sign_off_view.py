"""What a call came to, line by line, as it is signed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from pydantic import BaseModel, Field

from rungwise.answers import Desk
from rungwise.diagnosis import CheckCard
from rungwise.diagnosis.wording import percent, reading_text
from rungwise.isolation import ZONES
from rungwise.records import Book
from rungwise.records import rows as records
from rungwise.records.proof_text import FOUND, REPAIRED
from rungwise.unit.unit import Unit
from rungwise.web.dead_proof import DeadProof, proof_of
from rungwise.web.dead_steps import step_lines
from rungwise.web.job import Job
from rungwise.web.proof_answers import cards_of
from rungwise.web.proof_page import label_of, said_of
from rungwise.web.taking import full_id
from rungwise.web.wires_keeping import NOT_WHOLE
from rungwise.web.words import amount
from rungwise.web.work_answers import isolation, rewired

__all__ = ["DeadLine", "Kept", "Measured", "Paper", "kept_of", "paper_of"]

CANNOT = "cannot be used"


class Measured(BaseModel):
    """One reading or look as it was entered."""

    title: str
    text: str
    who: str
    at: str


class DeadLine(BaseModel):
    """What was measured of making one zone dead."""

    zone: str
    proof: DeadProof


class Paper(BaseModel):
    """The record of a call. not_measured: everything that this record cannot vouch for."""

    found: list[str]
    done: list[str]
    looked: list[Measured]
    measured: list[Measured]
    proof: list[str] = Field(description="what the readings after the work come to")
    proofs: list[Measured] = Field(description="taken after the work, to prove it")
    dead: list[DeadLine]
    fitted: list[str]
    wires: list[str]
    not_measured: list[str]
    people: list[str]


class Kept(NamedTuple):
    """The rows that the record of a call is made of."""

    proofs: tuple[records.Reading, ...]
    steps: tuple[records.Step, ...]
    fitted: tuple[records.Fitted, ...]
    left: records.Wires | None
    found: records.Wires | None
    photos: int


def kept_of(book: Book, number: int) -> Kept:
    """All of them, read in one go."""
    return Kept(
        tuple(book.proofs.standing(number)),
        tuple(book.steps.standing(number)),
        tuple(row for row in book.fitted.standing(number) if row.candidate),
        book.wires.now(number, "as left"),
        book.wires.now(number, "as found"),
        len(book.photos.of_call(number)),
    )


def paper_of(job: Job, kept: Kept, desk: Desk) -> Paper:
    """What the call came to, from what was entered and nothing else."""
    cards = job.at.by_id
    told = [row for row in job.held.standing if row.stands]
    looks = [row for row in told if row.kind == "symptom"]
    readings = [row for row in told if row.kind == "reading"]
    taken = [row for row in readings if row.counts and row.value is not None]
    dead = [_dead(job, kept, zone) for zone in ZONES if _in_zone(kept.steps, zone)]
    wires = _wires(job, kept)
    proofs = [row for row in kept.proofs if row.counts and row.check not in (REPAIRED, FOUND)]
    proof_cards = cards_of(job.unit)
    return Paper(
        found=_found(job),
        done=_done(job, kept),
        looked=[_measured(row, cards) for row in looks],
        measured=[_measured(row, cards) for row in taken],
        proof=said_of(job, desk, kept.proofs),
        proofs=[_measured(row, proof_cards) for row in proofs],
        dead=dead,
        fitted=[_fitted(row, job.unit) for row in kept.fitted],
        wires=wires,
        not_measured=[
            *_not_taken(readings, cards), *_not_dead(dead), *_not_proved(proofs, kept),
        ],
        people=_people([*told, *kept.proofs, *kept.steps, *kept.fitted]),
    )  # fmt: skip


def _found(job: Job) -> list[str]:
    answer = job.answer
    best = answer.verdict.answer if answer else None
    if answer is None or best is None:
        return ["The readings were not worked out: the unit is not solved yet, or says nothing."]
    title = best.suspect.title
    likely = percent(answer.verdict.probability)
    if not job.found:
        return [f"Not decided. Likeliest: {title} ({likely})."]
    lines = [f"{title[:1].upper()}{title[1:]} ({likely} by the readings)."]
    return lines + ([f"Behind it: {best.suspect.behind}."] if best.suspect.behind else [])


def _done(job: Job, kept: Kept) -> list[str]:
    best = job.answer.verdict.answer if job.answer and job.found else None
    wanted = [f"To do by the readings: {best.suspect.repair_text}."] if best else []
    moved = [row for row in kept.steps if row.done and row.zone_of_work.startswith("wires ")]
    numbers = {(row.zone_of_work, row.number) for row in moved}
    moves = [f"{amount(len(numbers), 'move of a wire', 'moves of wires')} ticked."] if moved else []
    return [*wanted, *moves, *([job.held.call.note] if job.held.call.note.strip() else [])]


def _measured(row: records.Reading, cards: Mapping[str, CheckCard]) -> Measured:
    card = cards.get(full_id(row.check, dict(cards)))
    text = row.typed
    if card and isinstance(row.value, float):
        text = reading_text(card, row.value)
    return Measured(
        title=card.title if card else label_of(row.check, cards),
        text=text,
        who=row.person.name if row.person else "somebody",
        at=_at(row.local),
    )


def _at(moment: dt.datetime) -> str:
    return f"{moment:%Y-%m-%d %H:%M}"


def _in_zone(steps: Iterable[records.Step], zone: str) -> list[records.Step]:
    return [each for each in steps if each.zone_of_work == zone]


def _dead(job: Job, kept: Kept, zone: str) -> DeadLine:
    rows = _in_zone(kept.steps, zone)
    lines = step_lines(isolation(job, zone).plan, rows, [], job.held.today)
    return DeadLine(zone=ZONES[zone][0], proof=proof_of(lines))


def _fitted(row: records.Fitted, unit: Unit) -> str:
    name = (row.candidate or {}).get("name", "")
    who = row.person.name if row.person else "somebody"
    place = unit.part(row.part).title if row.part in unit.part_by_name else row.part
    return f"{name}, in place of the {place} ({who}, {_at(row.local)})"


def _wires(job: Job, kept: Kept) -> list[str]:
    """The wires as left, with what the solved circuit says of them."""
    left = kept.left
    if left is None:
        return []
    if left.refusal:
        return [f"Wires as left: {left.refusal}"]
    told: dict[str, Any] = rewired(job, left.toml)[1]["as_left"] or {}
    if told.get("passes"):
        return ["Wires as left: solved so, the unit does all it should, in every situation."]
    does = [each["text"] for each in told.get("whole") or told.get("part") or ()]
    return [f"Wires as left, solved so: {each}." for each in does]


def _not_taken(readings: Iterable[records.Reading], cards: Mapping[str, CheckCard]) -> list[str]:
    found = []
    for row in readings:
        if not row.counts or row.value is None:
            why = CANNOT if row.refusal else "not taken"
            found.append(f"{_measured(row, cards).title}: {row.typed} ({why})")
    return found


def _not_dead(dead: Iterable[DeadLine]) -> list[str]:
    lines = []
    for each in dead:
        lines += [f"Making the {each.zone} dead: {text}" for text in each.proof.open]
        lines += [f"Making the {each.zone} dead, not as it must be: {text}"
                  for text in each.proof.not_so]  # fmt: skip
    return lines if dead else ["Making dead: nothing was ticked or measured."]


def _not_proved(proofs: Iterable[records.Reading], kept: Kept) -> list[str]:
    lines = []
    if not list(proofs):
        lines.append("Nothing was measured after the work that proves that the unit runs right.")
    if kept.fitted and kept.left is None:
        lines.append("The wires as left were not entered, and not checked.")
    elif kept.left is not None and kept.left.refusal == NOT_WHOLE:
        lines.append("The wires as left were entered in part only, and not checked.")
    return lines


def _people(rows: Iterable[Any]) -> list[str]:
    names = [row.person.name for row in rows if row.person]
    return list(dict.fromkeys(names))
