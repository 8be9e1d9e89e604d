"""Wires that were pulled off without a record: what to measure next, and where each one goes."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Annotated, Any, Literal, NamedTuple

from fastapi import APIRouter, Form, Query, Response
from pydantic import Field

from rungwise.errors import BadInput
from rungwise.parts import part_of
from rungwise.records import Scope
from rungwise.services import RecoverResult
from rungwise.unit import Unit
from rungwise.web.answer_parsing import typed_of
from rungwise.web.context import gathered
from rungwise.web.deps import Here, Visitor
from rungwise.web.forms import goto
from rungwise.web.job import Job, JobView, job_of
from rungwise.web.pages.lost_wires.view import (
    EARTH,
    LostCheck,
    MayBelong,
    broken_lines,
    check_of,
    may_belong,
    misfit_lines,
    mistake_of,
    point_words,
    points_of,
    terminals_of,
)
from rungwise.web.pages.wires.draft import WiresDraft, draft_of, keep_draft, wires_of_part
from rungwise.web.pages.wires.view import ConsequenceLine
from rungwise.web.reasons import reason_of
from rungwise.web.results import recovered
from rungwise.web.schemas import CautionLine, page
from rungwise.web.shown import Shown
from rungwise.web.spots import terminal_names
from rungwise.web.undo import undo_of, wires_names
from rungwise.wording import mark, say

router = APIRouter()

WAIT_S = 0.02
"""A page waits so long for an answer that may take seconds, then shows that it is being found."""

MOST_WAIT_S = 60.0

Short = Annotated[str, Form(max_length=60)]


class LooseWire(Shown):
    """A wire with an end that hangs free."""

    name: str
    told: str


class ContinuityLine(Shown):
    """A continuity reading as it was entered. strange: nothing fits as long as it stands."""

    red: str
    black: str
    value: str
    strange: bool


class LostWires(JobView):
    """Which wires hang free, what was measured, what is left, and the next check."""

    parts: list[tuple[str, str, bool]] = Field(description="in the outdoor unit: name, title, off")
    elsewhere: list[tuple[str, str, bool]]
    loose: list[LooseWire]
    ends: int
    wanted: int = Field(description="wire ends that the unit file has on what is off")
    tag: str
    terminals: list[str]
    points: list[str]
    taken: list[ContinuityLine]
    recover: RecoverResult | None = Field(
        description="as `rungwise recover --json` prints it; null until something is loose"
    )
    listing: bool = Field(description="whether loose ends are still being listed")
    working: bool = Field(description="whether the answer is still being found")
    trouble: str
    cautions: list[CautionLine]
    now: LostCheck | None
    belongs: list[MayBelong]
    placed: dict[str, str] = Field(description="loose ends that a reading of their own has placed")
    broken: list[str] = Field(description="loose ends that read to nothing, once all others are")
    stops: list[CautionLine] = Field(
        description="wires whose gauge cannot be right where they are placed"
    )
    mistake: str
    does: list[ConsequenceLine]


@page(router, "/calls/{number}/lost", "lost_wires.html")
def lost_wires(
    number: int,
    here: Here,
    wait: Annotated[float, Query(ge=0.0, le=MOST_WAIT_S)] = WAIT_S,
    step: Literal["", "measure"] = "",
) -> LostWires:
    """Where loose wires belong: what is left, and the next continuity check; it never guesses.

    wait: seconds to wait for the answer before the page comes without it. step: "measure" once all
    loose ends are listed, though the unit file has more.
    """
    with here.reading() as book:
        held = gathered(book, number)
        draft = draft_of(book, number)
        path = f"/calls/{number}/undo"
        undo = undo_of(book, Scope.of_wires(number), path, wires_names, "lost")
    view = _view(job_of(here, held), draft, wait, measures=step == "measure")
    view.last_entry = undo
    return view


@router.post("/calls/{number}/lost/off", include_in_schema=False)
def keep_off(
    number: int, here: Here, *, part: Short, off: Annotated[Literal["true", "false"], Form()]
) -> Response:
    """Keep that the wires of a part are all off, or that they are not."""
    with _changed(here, number) as (unit, draft):
        unit.part(part)
        draft.off = [each for each in draft.off if each != part]
        draft.off += [part] if off == "true" else []
    return goto(f"/calls/{number}/lost#now")


@router.post("/calls/{number}/lost/wire", include_in_schema=False)
def keep_loose(
    number: int,
    here: Here,
    *,
    name: Short,
    colour: Short = "",
    far: Short = "",
    both_ends: Short = "",
) -> Response:
    """Keep a loose wire under its tag."""
    told: dict[str, Any] = {"name": name.strip(), "colour": colour.strip(), "far": far}
    kept = {key: each for key, each in told.items() if each}
    with _changed(here, number) as (_, draft):
        others = [each for each in draft.loose if each["name"] != kept.get("name")]
        both = {"both_ends": True} if both_ends == "yes" else {}
        draft.loose = [*others, {**kept, **both}] if "name" in kept else others
    return goto(f"/calls/{number}/lost#now")


@router.post("/calls/{number}/lost/wire/remove", include_in_schema=False)
def remove_loose(number: int, here: Here, *, name: Short) -> Response:
    """Take a loose wire off the list, with what was measured on it."""
    with _changed(here, number) as (_, draft):
        gone = {name, f"{name}.1", f"{name}.2"}
        draft.loose = [each for each in draft.loose if each["name"] != name]
        draft.readings = [each for each in draft.readings if not gone & {each["from"], each["to"]}]
    return goto(f"/calls/{number}/lost#now")


@router.post("/calls/{number}/lost/reading", include_in_schema=False)
def keep_reading(  # noqa: PLR0913  # the fields of the form
    number: int,
    here: Here,
    *,
    check: Annotated[str, Form(max_length=400)] = "",
    red: Short = "",
    black: Short = "",
    typed: Short = "",
    unit: Short = "",
    quick: Short = "",
    at: Short = "",
) -> Response:
    """Keep a continuity reading between two points; an empty one takes the earlier one back.

    at: in a sweep, the loose end that read through; those before it read OL, and all of them
    where it is "none".
    """
    first, second, then = points_of(check)
    meant = typed_of(typed, unit, quick)
    swept = [first, *then]
    before = swept if at == NONE else swept[: swept.index(at)] if at in swept else []
    with _changed(here, number) as (_, draft):
        for name in before:
            _put(draft, name, second, "OL")
        if at != NONE:
            _put(draft, at or red or first, black or second, meant)
    return goto(f"/calls/{number}/lost#now")


NONE = "none"
"""Where no loose end of a sweep read through."""


def _put(draft: WiresDraft, red: str, black: str, value: str) -> None:
    """Put a reading in the place of an earlier one between the same points; "" takes it out."""
    ends = {red, black}
    draft.readings = [each for each in draft.readings if {each["from"], each["to"]} != ends]
    if value:
        draft.readings.append({"from": red, "to": black, "value": value})


@contextmanager
def _changed(here: Visitor, number: int) -> Iterator[tuple[Unit, WiresDraft]]:
    """The draft, to be changed; what was changed is kept, whether or not it can be used."""
    with here.reading() as book:
        held = gathered(book, number)
    unit = job_of(here, held).unit
    with here.writing() as book:
        draft = draft_of(book, number)
        yield unit, draft
        keep_draft(book, number, draft, unit)


NOTHING_YET: dict[str, Any] = {
    "next": None, "may_belong": {}, "mistake": None, "cautions": [], "placed_so_far": {},
    "broken": [], "misfits": [],
}  # fmt: skip


class _Ways(NamedTuple):
    """What is left of the ways, or why nothing is said. strange: pairs of points."""

    told: dict[str, Any] | None = None
    trouble: str = ""
    working: bool = False
    strange: tuple[frozenset[str], ...] = ()


def _solved(job: Job, draft: WiresDraft, wait_s: float) -> _Ways:
    if not (draft.loose and draft.off):
        return _Ways()
    try:
        found = recovered(job, draft.lost_text(), wait_s)
    except BadInput as error:
        return _Ways(trouble=reason_of(error))
    if found is None:
        return _Ways(working=True)
    answer, told = found
    odd = answer.found.standing.strange_readings()
    return _Ways(told, strange=tuple(frozenset((each.a, each.b)) for each in odd))


def _view(job: Job, draft: WiresDraft, wait_s: float, *, measures: bool) -> LostWires:
    unit, solved = job.unit, _solved(job, draft, wait_s)
    told = solved.told or NOTHING_YET
    mistake, does = mistake_of(told["mistake"])
    names = [end for each in draft.loose for end in _ends(each)]
    wanted = sum(len(unit.wires_at(t)) for t in unit.terminals() if _off(t, draft))
    return LostWires.model_validate(
        {
            **job.head(mark("Loose wires"), "wires"),
            "parts": _parts(unit, draft, here=True),
            "elsewhere": _parts(unit, draft, here=False),
            "loose": [LooseWire(name=each["name"], told=_told(each)) for each in draft.loose],
            "ends": len(names),
            "wanted": wanted,
            "listing": len(names) < wanted and not draft.readings and not measures,
            "tag": _next_tag(draft),
            "terminals": [each for each in terminals_of(unit) if not _off(each, draft)],
            "points": [*names, EARTH, *terminals_of(unit)],
            "taken": [_taken(each, solved.strange) for each in draft.readings],
            "recover": solved.told,
            "working": solved.working,
            "trouble": solved.trouble,
            "cautions": told["cautions"],
            "now": check_of(told["next"], terminal_names(unit)),
            "belongs": list(may_belong(told["may_belong"], told["placed_so_far"])),
            "placed": told["placed_so_far"],
            "broken": list(broken_lines(told["broken"])),
            "stops": list(misfit_lines(told["misfits"])),
            "mistake": mistake,
            "does": does,
        }
    ).about(job.unit)


def _parts(unit: Unit, draft: WiresDraft, *, here: bool) -> list[tuple[str, str, bool]]:
    """The parts that wires end on, in the outdoor unit or elsewhere, and whether theirs are off."""
    return [
        (part.name, part.title, part.name in draft.off)
        for part in unit.parts
        if wires_of_part(unit, part.name) and (part.place == "outdoor") == here
    ]


def _off(terminal: str, draft: WiresDraft) -> bool:
    return part_of(terminal) in draft.off or terminal in draft.off


def _ends(loose: dict[str, Any]) -> list[str]:
    name = loose["name"]
    return [f"{name}.1", f"{name}.2"] if loose.get("both_ends") else [name]


def _told(loose: dict[str, Any]) -> str:
    far = say("its far end on {loose}", loose=loose["far"]) if loose.get("far") else ""
    both = "both ends free" if loose.get("both_ends") else ""
    return ", ".join(each for each in (loose.get("colour", ""), far, both) if each)


def _next_tag(draft: WiresDraft) -> str:
    used = {each["name"] for each in draft.loose}
    return next(tag for n in range(1, len(used) + 2) if (tag := f"w{n}") not in used)


def _taken(reading: dict[str, Any], strange: tuple[frozenset[str], ...]) -> ContinuityLine:
    red, black = reading["from"], reading["to"]
    return ContinuityLine(
        red=point_words(red),
        black=point_words(black),
        value=str(reading["value"]),
        strange=frozenset((red, black)) in strange,
    )
