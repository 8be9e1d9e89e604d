"""The wires of the part that comes out: as found, the moves, as left."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from typing import Annotated, Any, Literal, NamedTuple

from fastapi import APIRouter, File, Form, Query, Request, Response, UploadFile
from pydantic import Field

from rungwise.errors import BadInput, UnknownName
from rungwise.parts import JOINTS, KINDS, PLACES_ON_A_TERMINAL
from rungwise.records import UnitOfWork, developed
from rungwise.services import RewireResult
from rungwise.unit import Unit, Wire
from rungwise.web.context import gathered, photo_lines
from rungwise.web.deps import Here, Visitor
from rungwise.web.forms import goto
from rungwise.web.job import Job, JobView, job_of
from rungwise.web.pages.call.view import PhotoLine
from rungwise.web.pages.wires.draft import WiresDraft, draft_of, keep_draft, put_wire, wires_of_part
from rungwise.web.pages.wires.view import (
    JudgedLine,
    MoveLine,
    WireLine,
    WiresNow,
    judged,
    moves,
    now_of,
    wire_lines,
)
from rungwise.web.reasons import reason_of
from rungwise.web.results import rewired
from rungwise.web.schemas import CautionLine, page
from rungwise.web.spots import wire_words
from rungwise.web.undo import told_back
from rungwise.web.unit_pictures import svg_of_wire
from rungwise.wording import joined, mark, say, time_told

router = APIRouter()

AS_FOUND = "wires as found"
"""What a photo of them shows."""

COLOURS = (
    "black", "red", "yellow", "blue", "white", "orange", "brown", "purple", "green",
    "green/yellow", "gray", "pink",
)  # fmt: skip
"""Offered first; any other may be typed."""

Short = Annotated[str, Form(max_length=60)]


class WiresPage(JobView):
    """The wires of one part, and what comes of how they were found and left."""

    part: str
    part_title: str
    parts: list[tuple[str, str]]
    terminals: list[str]
    wires: list[WireLine]
    found_whole: bool
    left_whole: bool
    rewire: RewireResult | None = Field(
        description="as `rungwise rewire --json` prints it; null until every wire was found"
    )
    trouble: str
    cautions: list[CautionLine]
    as_found: list[JudgedLine]
    now: WiresNow
    undo: str = Field(description="the stage of which something can be taken back, or empty")
    stages: list[tuple[str, str, bool]]
    moves: list[MoveLine]
    crowded: list[str]
    most_loose: int
    as_left: list[JudgedLine]
    left_passes: bool
    new_kind: str
    beside: bool
    marked: bool
    places: list[tuple[str, str]]
    place_words: list[str]
    joints: list[str]
    colours: list[str]
    photos: list[PhotoLine]


@page(router, "/calls/{number}/wires", "wires.html")
def wires(
    number: int,
    here: Here,
    of: Annotated[str, Query(max_length=60)] = "",
    step: Literal["", "found", "moves", "left"] = "",
) -> WiresPage:
    """Wires as found, the moves to the new part, and what comes of the wires as left.

    of: the part that comes out. step: where to go on, "" for what is next.
    """
    with here.reading() as book:
        held = gathered(book, number)
        read = read_rows(book, number)
        back = told_back(book, number)
    job = job_of(here, held)
    part = part_of(job, of, read)
    draft = with_candidate(job.unit, read.draft.about(part), read.fitted.get(part))
    view = view_of(job, part, draft, read, step)
    view.last_entry = back
    return view


@router.post("/calls/{number}/wires/found", include_in_schema=False)
def keep_found(  # noqa: PLR0913  # the fields of the form
    number: int,
    here: Here,
    *,
    of: Short,
    wire: Short,
    meant: Short,
    at: Short = "",
    colour: Short = "",
    awg: Short = "",
    joint: Short = "",
) -> Response:
    """Keep where a wire's end was found, and what the wire looks like."""
    with _changed(here, number, of) as (unit, draft):
        held = _wire(unit, wire)
        was = draft.found.get(wire, {})
        entry = put_wire(draft.found, held, of, meant, at or meant)
        if joint:
            entry["ends"] = _joints(held, was, of, meant, joint)
        if colour.strip():
            entry["colour"] = colour.strip()
        if awg.strip():
            entry["awg"] = _number(awg)
    return goto(f"/calls/{number}/wires?of={of}#now")


@router.post("/calls/{number}/wires/all-found", include_in_schema=False)
def keep_all_found(number: int, here: Here, *, of: Short) -> Response:
    """Keep that every wire that is not entered yet was found where the unit file has it."""
    with _changed(here, number, of) as (unit, draft):
        _rest_as_in_the_file(draft.found, unit, of)
    return goto(f"/calls/{number}/wires?of={of}#now")


@router.post("/calls/{number}/wires/all-left", include_in_schema=False)
def keep_all_left(number: int, here: Here, *, of: Short) -> Response:
    """Keep that every wire not told yet is where the unit file has it, looked at one by one."""
    with _changed(here, number, of) as (unit, draft):
        _rest_as_in_the_file(draft.left, unit, of)
    return goto(f"/calls/{number}/wires?of={of}#now")


@router.post("/calls/{number}/wires/undo", include_in_schema=False)
def undo(
    number: int, here: Here, *, of: Short, stage: Annotated[Literal["found", "left"], Form()]
) -> Response:
    """Take back what was entered last, one wire or all that one tap entered."""
    with here.reading() as book:
        rows = [row for row in book.wires.history(number) if row.stage == f"as {stage}"]
        told = [_entries(row.toml, stage) for row in rows if not row.beside]
    now = told[-1] if told else {}
    before: dict[str, Any] = next((each for each in reversed(told) if len(each) < len(now)), {})
    with _changed(here, number, of) as (unit, draft):
        setattr(draft, stage, before)
    if len(before) < len(now):
        with here.writing(counts=False) as book:
            book.undo.note("call", number, _gone(unit, stage, now.keys() - before.keys()))
    return goto(f"/calls/{number}/wires?of={of}&step={stage}#now")


_GONE = {"found": mark("Wires as found: {wires}"), "left": mark("Wires as left: {wires}")}


def _gone(unit: Unit, stage: str, names: Iterable[str]) -> str:
    """What is taken back: the wires, by color and ends."""
    wires = [unit.wire_by_name[name] for name in names if name in unit.wire_by_name]
    return say(_GONE[stage], wires=joined("; ", [wire_words(unit, wire) for wire in wires]))


def _entries(text: str, stage: str) -> dict[str, Any]:
    """The wires that a text of one stage tells of."""
    draft = WiresDraft.of(text, "") if stage == "found" else WiresDraft.of("", text)
    return draft.found if stage == "found" else draft.left


@router.post("/calls/{number}/wires/left", include_in_schema=False)
def keep_left(
    number: int, here: Here, *, of: Short, wire: Short, meant: Short, at: Short
) -> Response:
    """Keep where a wire's end was left."""
    with _changed(here, number, of) as (unit, draft):
        put_wire(draft.left, _wire(unit, wire), of, meant, at)
    return goto(f"/calls/{number}/wires?of={of}#now")


@router.post("/calls/{number}/wires/torque", include_in_schema=False)
def keep_torque(
    number: int, here: Here, *, of: Short, wire: Short, meant: Short, in_lb: Short = ""
) -> Response:
    """Keep the torque of a wire's screw as left; an empty one takes it back."""
    with _changed(here, number, of) as (unit, draft):
        entry = draft.left.get(_wire(unit, wire).name)
        if entry is not None:
            entry.pop("torque_in_lb", None)
            if in_lb.strip():
                entry["torque_in_lb"] = _number(in_lb)
    return goto(f"/calls/{number}/wires?of={of}#left-{wire}-{meant}")


@router.post("/calls/{number}/wires/new", include_in_schema=False)
async def keep_new(number: int, here: Here, request: Request) -> Response:
    """Keep how the new part is mounted and marked, and what its terminals offer."""
    form = {key: str(value)[:200] for key, value in (await request.form()).items()}
    of = form.get("of", "")
    with _changed(here, number, of) as (unit, draft):
        kind = draft.new.get("kind", unit.part(of).kind)
        places = {
            name: [
                each.strip() for each in form.get(f"place-{name}", "").split(",") if each.strip()
            ]
            for name in KINDS[kind].terminals
        }
        draft.new = {
            "kind": kind,
            "beside": form.get("beside") == "yes",
            "marked": form.get("marked") == "yes",
            "places": {name: told for name, told in places.items() if told},
        }
    return goto(f"/calls/{number}/wires?of={of}#new")


@router.post("/calls/{number}/wires/move", include_in_schema=False)
def keep_move(
    number: int,
    here: Here,
    *,
    of: Short,
    step: Annotated[int, Form(ge=0, le=10_000)],
    text: Annotated[str, Form(max_length=300)],
    done: Annotated[Literal["true", "false"], Form()] = "true",
) -> Response:
    """Keep that a move was made, or that it was not."""
    with here.writing() as book:
        book.steps.tick(number, moving(of), step, text, done=done == "true")
    return goto(f"/calls/{number}/wires?of={of}#now")


@router.post("/calls/{number}/wires/photos", include_in_schema=False)
def add_photo(
    number: int, here: Here, photo: Annotated[UploadFile, File()], of: Short = ""
) -> Response:
    """Keep a photo of the wires as found; the same one is kept once."""
    shot = developed(photo.file.read())
    with here.writing() as book:
        book.photos.add(shot, call_id=number, shows=AS_FOUND)
    return goto(f"/calls/{number}/wires?of={of}#photos")


class WireRows(NamedTuple):
    """What the records hold. fitted: the candidate's table by part. ticked: moves by part."""

    draft: WiresDraft
    fitted: Mapping[str, Mapping[str, Any]]
    ticked: dict[str, dict[int, tuple[str, str, str]]]
    photos: list[PhotoLine]


def read_rows(book: UnitOfWork, number: int) -> WireRows:
    """What the records hold of a call's wires."""
    fitted = {row.part: row.candidate for row in book.fitted.standing(number) if row.candidate}
    ticked: dict[str, dict[int, tuple[str, str, str]]] = {}
    for row in book.steps.standing(number):
        if row.done and row.zone_of_work.startswith(MOVING):
            who = row.person.name if row.person else mark("somebody")
            at = time_told(row.local)
            ticked.setdefault(row.zone_of_work, {})[row.number] = (row.text, who, at)
    photos = photo_lines(book.photos.of_call(number, AS_FOUND))
    return WireRows(draft_of(book, number), fitted, ticked, photos)


@contextmanager
def _changed(here: Visitor, number: int, part: str) -> Iterator[tuple[Unit, WiresDraft]]:
    """The draft, to be changed; what was changed is kept, whether or not it can be used."""
    with here.reading() as book:
        held = gathered(book, number)
    unit = job_of(here, held).unit
    unit.part(part)  # raises for a part that the unit does not have
    with here.writing() as book:
        fitted = {row.part: row.candidate for row in book.fitted.standing(number) if row.candidate}
        draft = with_candidate(unit, draft_of(book, number).about(part), fitted.get(part))
        yield unit, draft
        keep_draft(book, number, draft, unit)


def with_candidate(
    unit: Unit, draft: WiresDraft, candidate: Mapping[str, Any] | None
) -> WiresDraft:
    """The new part as the fitted candidate's table has it, where nobody wrote otherwise."""
    kind = (candidate or {}).get("kind", "")
    same = kind in KINDS and KINDS[kind].terminals == unit.kind_of(draft.part).terminals
    if candidate and same and draft.new.get("kind") != kind:
        draft.new = {"kind": kind, **draft.new, "places": candidate.get("terminals", {})}
    return draft


def _rest_as_in_the_file(told: dict[str, dict[str, Any]], unit: Unit, of: str) -> None:
    """Put every wire of a part that is not told yet where the unit file has it."""
    for each in wires_of_part(unit, of):
        told.setdefault(each.name, {"wire": each.name, "from": each.start, "to": each.end})


def _wire(unit: Unit, name: str) -> Wire:
    if name not in unit.wire_by_name:
        raise UnknownName(
            what=mark("This unit has no such wire."), name=name, known=unit.wire_by_name
        )
    return unit.wire_by_name[name]


def _joints(wire: Wire, was: Mapping[str, Any], part: str, meant: str, joint: str) -> list[str]:
    """The joints of both ends, the one on this part as it was told."""
    ends = [str(each) for each in was.get("ends", wire.joints)]
    ends[0 if wire.start == f"{part}.{meant}" else 1] = joint
    return ends


def _number(typed: str) -> float | str:
    """A figure as a number, "30,5", "30 in-lb", "#12" or "12 AWG" too.

    What is none is kept as typed, and refused where the file is read.
    """
    found = _FIGURE.fullmatch(typed.strip())
    return float(found[1].replace(",", ".")) if found else typed.strip()


_FIGURE = re.compile(r"#? ?(-?[0-9]{1,4}(?:[.,][0-9]{1,3})?) ?(?:awg|in-lb|in·lb)?", re.IGNORECASE)

MOVING = "wires "
"""What the steps of moving a part's wires are kept under, before the part's name."""


def moving(part: str) -> str:
    """What the moves of a part's wires are kept under."""
    return f"{MOVING}{part}"


def part_of(job: Job, of: str, read: WireRows) -> str:
    """The part to show: asked for, else fitted, else begun, else what the call is about."""
    ours = [of, *read.fitted, read.draft.part, job.part]
    known = [name for name in ours if name in job.unit.part_by_name]
    return known[0] if known else job.unit.parts[0].name


class _Moves(NamedTuple):
    """What comes of the record, or why nothing does."""

    told: dict[str, Any] | None
    trouble: str


def _solved(job: Job, draft: WiresDraft, *, found: bool, left: bool) -> _Moves:
    """Solved once every wire was found, and with those left once every one of them is told."""
    if not found:
        return _Moves(None, "")
    text = draft.left_text() if left else draft.moved_text()
    try:
        return _Moves(rewired(job, text)[1], "")
    except BadInput as error:
        return _Moves(None, reason_of(error))


def view_of(job: Job, part: str, draft: WiresDraft, read: WireRows, step: str) -> WiresPage:
    """The page of a part's wires as they are entered."""
    unit, lines = job.unit, wire_lines(job.unit, part, draft)
    found = all(each.found for each in lines)
    left = all(each.left for each in lines)
    solved = _solved(job, draft, found=found, left=left and found)
    told = solved.told or {"moves": None, "as_found": None, "as_left": None, "cautions": []}
    listed = told["moves"] or {"crowded": [], "most_loose": 0}
    moved = list(moves(told, read.ticked.get(moving(part), {})))
    now = now_of(lines, moved, step)
    view = WiresPage.model_validate(
        {
            **job.head(mark("Wires"), "wires"),
            "now": now,
            "undo": _undo(lines, now),
            "stages": _stages(job.number, part, now),
            **_new_part(unit, part, draft),
            "part": part,
            "part_title": unit.part(part).title,
            "parts": [(p.name, p.title) for p in unit.parts if wires_of_part(unit, p.name)],
            "terminals": list(unit.kind_of(part).terminals),
            "wires": lines,
            "found_whole": found,
            "left_whole": left,
            "rewire": solved.told,
            "trouble": solved.trouble,
            "cautions": told["cautions"],
            "as_found": judged(told["as_found"]),
            "moves": moved,
            "crowded": listed["crowded"],
            "most_loose": listed["most_loose"],
            "as_left": judged(told["as_left"]),
            "left_passes": bool(told["as_left"] and told["as_left"]["passes"]),
            "joints": list(JOINTS),
            "colours": list(COLOURS),
            "photos": read.photos,
        }
    ).about(job.unit)
    view.draw("picture", lambda: _picture(job, part, now))
    return view


def _undo(lines: list[WireLine], now: WiresNow) -> str:
    """Of which stage something can be taken back: of the one that is shown, else the one before."""
    if any(each.left for each in lines) and now.doing in ("left", "end"):
        return "left"
    return "found" if any(each.found for each in lines) else ""


def _stages(number: int, part: str, now: WiresNow) -> list[tuple[str, str, bool]]:
    """The three stages, the one that is shown marked."""
    path = f"/calls/{number}/wires?of={part}"
    names = (("found", mark("As found")), ("moves", mark("Moves")), ("left", mark("As left")))
    return [(f"{path}&step={key}#now", name, key == now.doing) for key, name in names]


def _picture(job: Job, part: str, now: WiresNow) -> str:
    """The part in its cabinet, with the wire that is asked for."""
    wire = now.wire.wire if now.wire else now.move.wire if now.move else ""
    return svg_of_wire(job.unit, wire, job.unit.part(part).place)


def _new_part(unit: Unit, part: str, draft: WiresDraft) -> dict[str, Any]:
    kind = draft.new.get("kind", unit.part(part).kind)
    places = draft.new.get("places", {})
    return {
        "new_kind": KINDS[kind].title,
        "beside": draft.new.get("beside", True),
        "marked": draft.new.get("marked", True),
        "places": [(name, ", ".join(places.get(name, ()))) for name in KINDS[kind].terminals],
        "place_words": list(PLACES_ON_A_TERMINAL),
    }
