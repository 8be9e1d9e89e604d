"""A wires file as it is being written, one wire at a time, into the texts that the records hold."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from rungwise.errors import BadInput
from rungwise.parts import part_of
from rungwise.records import UnitOfWork
from rungwise.unit import Unit, Wire
from rungwise.web.reasons import reason_of
from rungwise.web.results import wires_in
from rungwise.wording import mark

Entry = dict[str, Any]


@dataclass
class WiresDraft:
    """The tables of a wires file. found, left: by the wire's name, as the file has them.

    loose, readings: as the file has them. It holds whatever was typed; what cannot be used is
    refused where the text is read.
    """

    part: str = ""
    new: Entry = field(default_factory=dict)
    found: dict[str, Entry] = field(default_factory=dict)
    left: dict[str, Entry] = field(default_factory=dict)
    off: list[str] = field(default_factory=list)
    loose: list[Entry] = field(default_factory=list)
    readings: list[Entry] = field(default_factory=list)

    @classmethod
    def of(cls, found: str, left: str) -> WiresDraft:
        """What two texts hold: as found, and as left. "" holds nothing."""
        first, second = (tomllib.loads(text) for text in (found, left))
        return cls(
            part=first.get("part", ""),
            new=first.get("new", {}),
            found={each["wire"]: each for each in first.get("as_found", [])},
            left={each["wire"]: each for each in second.get("as_left", [])},
            off=first.get("off", []),
            loose=first.get("loose", []),
            readings=first.get("readings", []),
        )

    def about(self, part: str) -> WiresDraft:
        """The draft for a part; what was told of another part's places is left behind."""
        if self.part != part:
            self.part, self.new, self.left = part, {}, {}
        return self

    def found_text(self) -> str:
        """The file as found, with the loose ends."""
        lost = {"off": self.off, "loose": self.loose, "readings": self.readings}
        return _text({**self._moved(), **{key: told for key, told in lost.items() if told}})

    def moved_text(self) -> str:
        """The file that the moves are read from."""
        return _text(self._moved())

    def left_text(self) -> str:
        """The file as left, "" while nothing was told of that."""
        if not self.left:
            return ""
        return _text({**self._moved(), "as_left": list(self.left.values())})

    def lost_text(self) -> str:
        """The file that loose wires are looked for with."""
        told = {
            "off": self.off,
            "as_found": list(self.found.values()),
            "loose": self.loose,
            "readings": self.readings,
        }
        return _text({key: each for key, each in told.items() if each})

    def _moved(self) -> dict[str, Any]:
        told: dict[str, Any] = {"part": self.part} if self.part else {}
        if self.part and self.new:
            told["new"] = self.new
        if self.found:
            told["as_found"] = list(self.found.values())
        return told


def _text(told: dict[str, Any]) -> str:
    import tomlkit  # noqa: PLC0415  # slow to import

    return tomlkit.dumps(told) if told else ""


NOT_WHOLE = mark("Not every wire of the part is entered yet.")
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
    return [wire for wire in unit.wires if part in (part_of(wire.start), part_of(wire.end))]


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
