"""A unit and a call as the very files that people write, so that every way in answers the same."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path

from rungwise.errors import BadRecord
from rungwise.records.book import Book
from rungwise.records.rows import Call, Reading, Unit, Wires

__all__ = ["call_text", "unit_text", "wires_of", "write_call"]

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_CONTROL = re.compile(r"[\x00-\x08\x0a-\x1f\x7f]")


def unit_text(unit: Unit) -> str:
    """The unit's file. Raises BadRecord for a draft, which has none that can be used."""
    if unit.state != "whole":
        raise BadRecord(
            what=f"The unit {unit.title} is still a draft.", value=unit.title,
            next_step="fill in its nameplate until nothing is refused",
        )  # fmt: skip
    return unit.toml


def call_text(book: Book, call_id: int, *, unit: str = "unit.toml", wires: str = "") -> str:
    """The call's file: what stands now, and what was refused as a comment.

    unit: what its line ``unit`` names. wires: likewise; "" leaves the line out.
    Raises UnknownName when there is no such call.
    """
    call = book.calls.get(call_id)
    rows = [
        *_comment(call.note), *_head(book, call, unit, wires), *_symptoms(book, call_id),
        *_readings(book, call_id), *_fitted(book, call_id),
    ]  # fmt: skip
    return "\n".join([*rows, ""])


def wires_of(book: Book, call_id: int) -> Wires | None:
    """The wires file that a call's file names: as left, else as found, None where there is none."""
    found = (book.wires.now(call_id, stage) for stage in ("as left", "as found"))
    return next((each for each in found if each is not None and not each.refusal), None)


def write_call(book: Book, call_id: int, folder: Path) -> Path:
    """Write a call with its unit and its wires into a folder; the path of the call's file.

    Raises BadRecord when the unit is not known yet, or a draft.
    """
    call = book.calls.get(call_id)
    if call.unit_id is None:
        raise BadRecord(
            what="It is not known yet which unit this call is about.", value=call.title,
            next_step="choose the unit, or add it",
        )  # fmt: skip
    wires = wires_of(book, call_id)
    texts = {"unit.toml": unit_text(book.units.get(call.unit_id))}
    if wires is not None:
        texts["wires.toml"] = wires.toml
    texts["call.toml"] = call_text(book, call_id, wires="wires.toml" if wires else "")
    for name, text in texts.items():
        (folder / name).write_text(text, encoding="utf-8", newline="")
    return folder / "call.toml"


def _head(book: Book, call: Call, unit: str, wires: str) -> Iterator[str]:
    customer, technician = book.calls.people(call)
    yield f"unit = {_quoted(unit)}"
    told = {
        "title": call.title,
        "customer": customer.name if customer else "",
        "technician": technician.name if technician else "",
    }
    yield from _lines(told)
    yield f"date = {call.day.isoformat()}"
    yield from _lines({"suspected": call.suspected, "wires": wires})


def _symptoms(book: Book, call_id: int) -> Iterator[str]:
    standing = book.symptoms.standing(call_id)
    held = {each.check: each for each in standing if each.counts}
    if held:
        yield from ("", "[symptoms]")
        yield from _lines({check: each.typed for check, each in held.items()})
    yield from _refused(standing)


def _readings(book: Book, call_id: int) -> Iterator[str]:
    standing = book.readings.standing(call_id)
    for each in standing:
        if each.counts:
            yield from ("", "[[readings]]")
            yield from _lines({"check": each.check, "value": each.typed, "note": each.note})
    yield from _refused(standing)


def _refused(standing: list[Reading]) -> Iterator[str]:
    """What was typed and cannot be used: it is not lost, and does not speak."""
    for each in standing:
        if each.refusal:
            why = each.refusal.splitlines()[0]
            yield from _comment(f"Not used: {each.check} = {_quoted(each.typed)}. {why}")


def _fitted(book: Book, call_id: int) -> Iterator[str]:
    last = book.fitted.last(call_id)
    if last is not None:
        import tomlkit  # noqa: PLC0415  # slow to import

        yield ""
        yield tomlkit.dumps({"fitted": last.candidate}).rstrip()


def _lines(told: dict[str, str]) -> Iterator[str]:
    """One line for each that says something."""
    for key, text in told.items():
        if text.strip():
            yield f"{key if _BARE.fullmatch(key) else _quoted(key)} = {_quoted(text)}"


def _comment(text: str) -> list[str]:
    """Text as comments; signs that a comment cannot hold are left out."""
    return [f"# {_CONTROL.sub('', line)}".rstrip() for line in text.splitlines()]


def _quoted(text: str) -> str:
    """A text as TOML has it between quotes: JSON's way, and the one sign that JSON lets pass."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
