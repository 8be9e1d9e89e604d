"""Writing down what is told of wires: one wire at a time, into the texts that the records hold."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from rungwise.errors import BadInput
from rungwise.records import UnitOfWork
from rungwise.unit.unit import Unit, Wire
from rungwise.web.job import reason_of
from rungwise.web.pages.wires.draft import WiresDraft
from rungwise.web.results import wires_in

__all__ = ["NOT_WHOLE", "draft_of", "keep_draft", "put_wire", "wires_of_part"]

NOT_WHOLE = "Not every wire of the part is entered yet."
OFF = "off"


def draft_of(book: UnitOfWork, number: int) -> WiresDraft:
    """What the records hold of a call's wires."""
    rows = (book.wires.now(number, stage) for stage in ("as found", "as left"))
    found, left = (row.toml if row else "" for row in rows)
    return WiresDraft.of(found, left)


def keep_draft(book: UnitOfWork, number: int, draft: WiresDraft, unit: Unit) -> None:
    """Keep it, each text with why it cannot be used, where it cannot."""
    found, left = draft.found_text(), draft.left_text()
    book.wires.record(number, "as found", found, refusal=_refusal(found, unit))
    whole = {wire.name for wire in wires_of_part(unit, draft.part)} <= set(draft.left)
    refusal = _refusal(left, unit) if whole else NOT_WHOLE
    book.wires.record(number, "as left", left, refusal=refusal if left else "")


def wires_of_part(unit: Unit, part: str) -> Sequence[Wire]:
    """The wires that end on a part, by the unit file."""
    return [
        wire
        for wire in unit.wires
        if part in (wire.start.partition(".")[0], wire.end.partition(".")[0])
    ]


def put_wire(
    held: dict[str, dict[str, Any]], wire: Wire, part: str, meant: str, at: str
) -> dict[str, Any]:
    """Put the end of a wire, meant for one terminal of a part, on another, or take it off."""
    entry = dict(held.get(wire.name) or {"wire": wire.name})
    entry.pop("off", None)
    ends = {"from": entry.get("from", wire.start), "to": entry.get("to", wire.end)}
    key = "from" if wire.start == f"{part}.{meant}" else "to"
    entry.update({"off": True} if at == OFF else {**ends, key: f"{part}.{at}"})
    held[wire.name] = entry
    return entry


def _refusal(text: str, unit: Unit) -> str:
    if not text:
        return ""
    try:
        wires_in(text, unit)
    except BadInput as error:
        return reason_of(error)
    return ""
