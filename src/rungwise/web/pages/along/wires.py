"""The wires of one part as a phone takes them along: each card, the moves, what each slip does."""

from __future__ import annotations

from collections.abc import Mapping
from types import SimpleNamespace
from typing import Any

from rungwise.rewiring import NewPart, Slip, Yardstick, moves_after, single_slips
from rungwise.services import RESULTS, elsewhere, judged_json, moves_json
from rungwise.unit import Unit
from rungwise.web.job import Job
from rungwise.web.pages.along.slots import patch, slot, tokens_of
from rungwise.web.pages.wires.draft import WiresDraft, wires_of_part
from rungwise.web.pages.wires.route import WireRows, WiresPage, moving, view_of, with_candidate
from rungwise.web.pages.wires.view import WireLine, WiresNow, group_line, moves
from rungwise.web.results import wires_in
from rungwise.web.templating import Piece
from rungwise.web.unit_pictures import svg_of_wire

NO_ROWS = WireRows(WiresDraft(), {}, {}, [])

Tables = Mapping[str, Mapping[str, Any]]


def wires_carried(piece: Piece, job: Job, part: str, candidates: Tables) -> dict[str, Any]:
    """Cards and lists of a part's wires. candidates: by name, the tables of the new parts."""
    bare = view_of(job, part, WiresDraft(part=part), NO_ROWS, "")
    bare = bare.model_copy(update={"undo": "found"})
    slips = _slips(job.unit, part)
    new_parts = {"": {}, **candidates}
    return {
        "title": bare.part_title,
        "ends": [_end_of(job.unit, part, each) for each in bare.wires],
        "found": [_of_wire(piece, bare, n, "found") for n in range(len(bare.wires))],
        "left": [_of_wire(piece, bare, n, "left") for n in range(len(bare.wires))],
        "slips": {
            f"{each.wire} {each.meant} {each.at or 'off'}": {
                "html": told,
                "passes": each.judged.status == "harmless",
            }
            for each, told in zip(slips, _told(piece, job, slips), strict=True)
        },
        "new": {name: _moves(piece, job, part, table, slips) for name, table in new_parts.items()},
        "end": {each: _end(piece, bare, each) for each in ("passes", "wrong", "unfound")},
        "slip": piece("along_slip.html", view=bare),
        "behind": piece("along_wires_behind.html", view=_behind(bare)),
        "pictures": _pictures(job.unit, part),
    }


def wires_state(rows: WireRows) -> dict[str, Any]:
    """What was entered of wires when the call is taken along."""
    draft = rows.draft
    ticked = {
        name: {number: text for number, (text, _, _) in told.items()}
        for name, told in rows.ticked.items()
    }
    prefix = moving("")
    return {
        "part": draft.part,
        "found": draft.found,
        "left": draft.left,
        "ticked": {name.removeprefix(prefix): told for name, told in ticked.items()},
    }


def _end_of(unit: Unit, part: str, line: WireLine) -> dict[str, str]:
    """A wire's end on the part: where it is meant, which end it is, and both by the unit file."""
    wire = unit.wire_by_name[line.wire]
    side = "from" if wire.start == f"{part}.{line.meant}" else "to"
    ends = {"from": wire.start, "to": wire.end}
    return {"wire": line.wire, "meant": line.meant, "side": side, **ends}


@RESULTS.shelf("single slips").per_unit
def _all_slips(unit: Unit) -> dict[str, tuple[Slip, ...]]:
    del unit
    return {}


def _slips(unit: Unit, part: str) -> tuple[Slip, ...]:
    """Every single slip at a part; solved once for a unit, away from the pages."""
    held = _all_slips(unit)
    if part not in held:
        held[part] = elsewhere(single_slips, unit, part)
    return held[part]


def _told(piece: Piece, job: Job, slips: tuple[Slip, ...]) -> list[str]:
    situations = Yardstick(job.unit).situations
    lines = [group_line(judged_json(job.unit, each.judged, situations)) for each in slips]
    return [piece("along_judged.html", rows=[each]) for each in lines]


def _of_wire(piece: Piece, bare: WiresPage, at: int, stage: str) -> str:
    """The card that asks for a wire, as found or as left; only the first one knows its number."""
    now = WiresNow.model_validate(
        {"doing": stage, "number": 1, "of": len(bare.wires), "wire": bare.wires[at]}
    )
    return _card(piece, bare, now if at == 0 else _numbered(now))


def _numbered(now: WiresNow) -> WiresNow:
    return now.model_copy(update={"number": slot("number")})


def _card(piece: Piece, bare: WiresPage, now: WiresNow, **more: Any) -> str:
    return piece("along_wires.html", view=bare.model_copy(update={"now": now, **more}))


def _moves(
    piece: Piece, job: Job, part: str, table: Mapping[str, Any], slips: tuple[Slip, ...]
) -> dict[str, Any]:
    """The moves to one new part: its cards, the list as meant, and the list after each slip."""
    unit = job.unit
    found = {
        each.name: {"wire": each.name, "from": each.start, "to": each.end}
        for each in wires_of_part(unit, part)
    }
    draft = with_candidate(unit, WiresDraft(part=part, found=found), table or None)
    view = view_of(job, part, draft, NO_ROWS, "")
    if not view.moves:
        return {"trouble": view.trouble}
    new = wires_in(draft.moved_text(), unit).new or NewPart(unit.part(part).kind)
    distinct: dict[tuple[str, ...], int] = {}
    lists = {"": _listed(distinct, unit, part, new, None)}
    for each in slips:
        key = f"{each.wire} {each.meant} {each.at or 'off'}"
        lists[key] = _listed(distinct, unit, part, new, each)
    move = SimpleNamespace(
        number=slot("step"), text=slot("text"), work=slot("work"), care=slot("care")
    )
    count = len(view.moves)
    now = WiresNow(doing="moves", number=1, of=count).model_copy(
        update={"move": move, "of": slot("of")}
    )
    view = view.model_copy(update={"undo": "found"})
    return {
        "same": new.kind == unit.part(part).kind,
        "first": _card(piece, view, now),
        "next": _card(piece, view, _numbered(now)),
        "moves": [list(each) for each in distinct],
        "lists": lists,
        "passes": _passes(job, part, draft),
    }


def _listed(
    distinct: dict[tuple[str, ...], int], unit: Unit, part: str, new: NewPart, slip: Slip | None
) -> list[int]:
    """Places of the moves among all distinct ones: text, work, care and wire of each."""
    told = moves({"moves": moves_json(moves_after(unit, part, new, slip))}, {})
    rows = [(each.text, each.work, each.care, each.wire) for each in told]
    return [distinct.setdefault(row, len(distinct)) for row in rows]


def _passes(job: Job, part: str, draft: WiresDraft) -> bool:
    """Whether the new part does what the old one did with every wire where it belongs."""
    if draft.new.get("kind", job.unit.part(part).kind) == job.unit.part(part).kind:
        return True
    whole = WiresDraft(**{**vars(draft), "left": dict(draft.found)})
    return view_of(job, part, whole, NO_ROWS, "").left_passes


def _end(piece: Piece, bare: WiresPage, how: str) -> str:
    many = len(bare.wires)
    now = WiresNow(doing="end", number=many, of=many)
    found = {"found_whole": how != "unfound", "left_passes": how == "passes", "undo": "left"}
    return _card(piece, bare, now, rewire=None, trouble="", **found)


def _behind(bare: WiresPage) -> WiresPage:
    """The lists as they are before anything is told; torques may be written at once."""
    lines = [each.model_copy(update={"left": slot("left")}) for each in bare.wires]
    return bare.model_copy(update={"wires": lines, "photos": []})


@RESULTS.shelf("pictures of wires taken along").per_unit
def _all_pictures(unit: Unit) -> dict[str, dict[str, Any]]:
    del unit
    return {}


def _pictures(unit: Unit, part: str) -> dict[str, Any]:
    """The part in its cabinet, and of each wire what takes the place of which of its tokens."""
    held = _all_pictures(unit)
    if part not in held:
        place = unit.part(part).place
        base = svg_of_wire(unit, "", place)
        tokens = tokens_of(base)
        names = [each.name for each in wires_of_part(unit, part)]
        drawn = {name: patch(tokens, tokens_of(svg_of_wire(unit, name, place))) for name in names}
        held[part] = {"base": base, "patches": drawn}
    return held[part]
