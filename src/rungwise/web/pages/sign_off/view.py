"""What a call came to, line by line, as it is signed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from pydantic import Field

from rungwise import records
from rungwise.diagnosis import CheckCard, full_id, reading_text
from rungwise.isolation import SCOPES, Scope
from rungwise.records import FOUND, REPAIRED, UnitOfWork
from rungwise.report import (
    NOT_DEAD,
    NOT_PROVED,
    WIRES_NOT_LEFT,
    cause_told,
    fitted_told,
    making_dead_told,
    not_made,
    unread,
    work_told,
)
from rungwise.services import DiagnosisService
from rungwise.unit import Unit
from rungwise.web.filters import amount
from rungwise.web.job import Job
from rungwise.web.pages.make_dead.evidence import DeadProof, proof_of
from rungwise.web.pages.make_dead.steps import rows_of, runs_on, step_lines
from rungwise.web.pages.proof.assembly import label_of, said_of
from rungwise.web.pages.proof.results import cards_of
from rungwise.web.pages.wires.draft import NOT_WHOLE
from rungwise.web.results import isolation, rewired
from rungwise.web.shown import Shown
from rungwise.wording import joined, mark, moment_told, say


class MeasurementLine(Shown):
    """One reading or look as it was entered."""

    title: str
    text: str
    who: str
    at: str


class DeadLine(Shown):
    """What was measured of making one zone dead."""

    zone: str
    proof: DeadProof


class SignOffRecord(Shown):
    """The record of a call. not_measured: everything that this record cannot vouch for."""

    found: list[str]
    done: list[str]
    note: str = Field(description="what was written down on the call, as typed")
    looked: list[MeasurementLine]
    measured: list[MeasurementLine]
    proof: list[str] = Field(description="what the readings after the work come to")
    proofs: list[MeasurementLine] = Field(description="taken after the work, to test it")
    dead: list[DeadLine]
    fitted: list[str]
    wires: list[str]
    not_measured: list[str]
    people: list[str]


class CallRows(NamedTuple):
    """The rows that the record of a call is made of."""

    proofs: tuple[records.Reading, ...]
    steps: tuple[records.Step, ...]
    fitted: tuple[records.FittedPart, ...]
    left: records.Wires | None
    found: records.Wires | None
    photos: int


def kept_of(book: UnitOfWork, number: int) -> CallRows:
    """All of them, read in one go."""
    return CallRows(
        tuple(book.proofs.standing(number)),
        tuple(book.steps.standing(number)),
        tuple(row for row in book.fitted.standing(number) if row.candidate),
        book.wires.now(number, "as left"),
        book.wires.now(number, "as found"),
        len(book.photos.of_call(number)),
    )


def paper_of(job: Job, kept: CallRows, desk: DiagnosisService) -> SignOffRecord:
    """What the call came to, from what was entered and nothing else."""
    cards = job.at.by_id
    told = [row for row in job.held.standing if row.stands]
    looks = [row for row in told if row.kind == "symptom"]
    readings = [row for row in told if row.kind == "reading"]
    taken = [row for row in readings if row.counts and row.value is not None]
    dead = [_dead(job, kept, scope) for scope in SCOPES if rows_of(kept.steps, scope)]
    wires = _wires(job, kept)
    proofs = [row for row in kept.proofs if row.counts and row.check not in (REPAIRED, FOUND)]
    proof_cards = cards_of(job.unit)
    return SignOffRecord(
        found=_found(job),
        done=_done(job, kept),
        looked=[_measured(row, cards) for row in looks],
        measured=[_measured(row, cards) for row in taken],
        note=job.held.call.note.strip(),
        proof=said_of(job, desk, kept.proofs),
        proofs=[_measured(row, proof_cards) for row in proofs],
        dead=dead,
        fitted=[
            joined(
                " ",
                (text, say("({who}, {at})", who=_who(row), at=moment_told(row.local))),
            )
            for text, row in zip(_fitted(job.unit, kept), kept.fitted, strict=True)
        ],
        wires=wires,
        not_measured=[
            *_not_taken(readings, cards), *_not_dead(dead), *_not_proved(proofs, kept),
        ],
        people=_people([*told, *kept.proofs, *kept.steps, *kept.fitted]),
    )  # fmt: skip


def _found(job: Job) -> list[str]:
    if job.answer is None:
        return [
            mark("The readings were not worked out: the unit is not solved yet, or says nothing.")
        ]
    return list(cause_told(job.answer))


def _done(job: Job, kept: CallRows) -> list[str]:
    told = work_told(job.answer, _fitted(job.unit, kept)) if job.answer else ()
    moved = [row for row in kept.steps if row.done and row.zone_of_work.startswith("wires ")]
    numbers = {(row.zone_of_work, row.number) for row in moved}
    moves = (
        [
            say(
                "{moves} ticked.",
                moves=amount(len(numbers), "move of a wire", "moves of wires"),
            )
        ]
        if moved
        else []
    )
    return [*told, *moves]


def _fitted(unit: Unit, kept: CallRows) -> list[str]:
    return [fitted_told(unit, _name(row), (row.part,)) for row in kept.fitted]


def _name(row: records.FittedPart) -> str:
    return str((row.candidate or {}).get("name", ""))


def _measured(row: records.Reading, cards: Mapping[str, CheckCard]) -> MeasurementLine:
    card = cards.get(full_id(row.check, cards))
    text = row.typed
    if card and isinstance(row.value, float):
        text = reading_text(card, row.value)
    return MeasurementLine(
        title=card.title if card else label_of(row.check, cards),
        text=text,
        who=_who(row),
        at=moment_told(row.local),
    )


def _who(row: Any) -> str:
    return row.person.name if row.person else mark("somebody")


def _dead(job: Job, kept: CallRows, scope: Scope) -> DeadLine:
    rows = rows_of(kept.steps, scope)
    plan = isolation(job, scope, runs_on=runs_on(kept.steps)).plan
    lines = step_lines(plan, rows, [], job.held.today)
    return DeadLine(zone=SCOPES[scope], proof=proof_of(lines))


def _wires(job: Job, kept: CallRows) -> list[str]:
    """The wires as left, with what the solved circuit says of them."""
    left = kept.left
    if left is None:
        return []
    if left.refusal:
        return [say("Wires as left: {refusal}", refusal=left.refusal)]
    told: dict[str, Any] = rewired(job, left.toml)[1]["as_left"] or {}
    if told.get("passes"):
        return [mark("Wires as left: solved so, the unit does all it should, in every situation.")]
    does = [each["text"] for each in told.get("whole") or told.get("part") or ()]
    return [say("Wires as left, solved so: {each}.", each=each) for each in does]


def _not_taken(rows: Iterable[records.Reading], cards: Mapping[str, CheckCard]) -> list[str]:
    found = []
    for row in rows:
        if not row.counts or row.value is None:
            title = _measured(row, cards).title
            use = unread if row.refusal else not_made
            found.append(use(title, row.typed))
    return found


def _not_dead(dead: Iterable[DeadLine]) -> list[str]:
    lines = [text for each in dead for text in making_dead_told(each.zone, each.proof.missing)]
    return lines if dead else [NOT_DEAD]


def _not_proved(proofs: Iterable[records.Reading], kept: CallRows) -> list[str]:
    lines = []
    if not list(proofs):
        lines.append(NOT_PROVED)
    if kept.fitted and kept.left is None:
        lines.append(WIRES_NOT_LEFT)
    elif kept.left is not None and kept.left.refusal == NOT_WHOLE:
        lines.append(mark("The wires as left were entered in part only, and not checked."))
    return lines


def _people(rows: Iterable[Any]) -> list[str]:
    names = [row.person.name for row in rows if row.person]
    return list(dict.fromkeys(names))
