"""A call of the records written out as the files that a person would write.

So that a test can hold what a page answers against what a command answers of the same call. What
stands goes in, in the order in which it was told; what was refused becomes a comment.
"""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import tomlkit

from rungwise.diagnosis import ByHand
from rungwise.errors import BadRecord
from rungwise.records.by_hand import by_hand_of
from rungwise.records.files import UnitHas, _here, call_values, proof_told, unit_text, wires_of
from rungwise.records.proof_text import (
    TABLES,
    TOP,
    ProofLine,
    _fields,
    _lacks,
    is_field,
    proof_values,
)
from rungwise.records.rows import Reading
from rungwise.records.unit_of_work import UnitOfWork
from rungwise.services.history.shop_calls import CountedCall
from rungwise.wording import mark

LACKED = {"refrigerant": "how the refrigerant is metered", "air": "the dry bulb of the return air"}
"""What a table of `[proof]` says nothing without."""

CALL_TABLES = ("symptoms", "readings", "fitted", "proof", "paper")
"""Keys of a call's file that are tables."""


_BARE = re.compile(r"[A-Za-z0-9_-]+")
_CONTROL = re.compile(r"[\x00-\x08\x0a-\x1f\x7f]")


def lines(told: Mapping[str, Any]) -> Iterator[str]:
    """One line for each that says something: a text, a day, true or false, or a list of texts."""
    for key, value in told.items():
        if value is not None and value != [] and str(value).strip():
            yield f"{key if _BARE.fullmatch(key) else quoted(key)} = {_written(value)}"


def _written(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dt.date):
        return value.isoformat()
    if isinstance(value, list):
        return f"[{', '.join(quoted(each) for each in value)}]"
    return quoted(value)


def comment(text: str) -> list[str]:
    """Text as comments; signs that a comment cannot hold are left out."""
    return [f"# {_CONTROL.sub('', line)}".rstrip() for line in text.splitlines()]


def quoted(text: str) -> str:
    """A text as TOML has it between quotes: JSON's way, and the one sign that JSON lets pass."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def call_text(  # the lines of its head, by name
    book: UnitOfWork,
    call_id: int,
    *,
    unit: str = "unit.toml",
    wires: str = "",
    shop: str = "",
    has: UnitHas | None = None,
) -> str:
    """The call's file: its `call_values`, and what was refused as a comment.

    Raises UnknownName when there is no such call.
    """
    call = book.calls.get(call_id)
    values = call_values(book, call_id, unit=unit, wires=wires, shop=shop, has=has)
    symptoms, readings = values.get("symptoms", {}), values.get("readings", ())
    proof = book.proofs.standing(call_id)
    rows = [
        *comment(call.note),
        *lines({name: each for name, each in values.items() if name not in CALL_TABLES}),
        *_suspicion(call.suspected, has),
        *(["", "[symptoms]", *lines(symptoms)] if symptoms else ()),
        *_refused(book.symptoms.standing(call_id), has),
        *(row for each in readings for row in ("", "[[readings]]", *lines(each))),
        *_refused(book.readings.standing(call_id), has),
        *_fitted(book, call_id, has), *proof_rows(proof_told(proof)), *_refused(proof),
        *paper_rows(by_hand_of(book.calls.entries(call_id))),
    ]  # fmt: skip
    return "\n".join([*rows, ""])


def write_call(book: UnitOfWork, call_id: int, folder: Path, *, shop: str = "") -> Path:
    """Write a call with its unit and its wires into a folder; the path of the call's file.

    shop: the text of a shop file that the odds start from; "" leaves it out.
    Raises BadRecord when the unit is not known yet, or a draft.
    """
    call = book.calls.get(call_id)
    if call.unit_id is None:
        raise BadRecord(
            what=mark("It is not known yet which unit this call is about."), value=call.title,
            next_step=mark("choose the unit, or add it"),
        )  # fmt: skip
    wires = wires_of(book, call_id)
    texts = {"unit.toml": unit_text(book.units.get(call.unit_id))}
    if wires is not None:
        texts["wires.toml"] = wires.toml
    if shop:
        texts["shop.toml"] = shop
    texts["call.toml"] = call_text(
        book, call_id, wires="wires.toml" if wires else "", shop="shop.toml" if shop else ""
    )
    for name, text in texts.items():
        (folder / name).write_text(text, encoding="utf-8", newline="")
    return folder / "call.toml"


def _suspicion(suspected: str, has: UnitHas | None) -> Iterator[str]:
    if has is not None and suspected not in has.at_fault and suspected.strip():
        yield from comment(
            f"Not used: suspected = {quoted(suspected)}. This unit has no such part."
        )


def _refused(standing: list[Reading], has: UnitHas | None = None) -> Iterator[str]:
    """What was typed and cannot be used: it is not lost, and does not speak."""
    for each in standing:
        if each.refusal or (each.counts and not _here(each, has)):
            why = (each.refusal or "This unit has no such check.").splitlines()[0]
            yield from comment(f"Not used: {each.check} = {quoted(each.typed)}. {why}")


def _fitted(book: UnitOfWork, call_id: int, has: UnitHas | None) -> Iterator[str]:
    last = book.fitted.last(call_id)
    if last is not None and has is not None and last.part not in has.parts:
        yield from comment(f"Not used: fitted for {quoted(last.part)}. This unit has no such part.")
    elif last is not None:
        yield ""
        yield tomlkit.dumps({"fitted": last.candidate}).rstrip()


def proof_rows(told: Sequence[ProofLine]) -> Iterator[str]:
    """The lines of `[proof]`; of comments only where it is not told what was repaired.

    A table that lacks what it needs stands there as a comment: it is not lost, and does not speak.
    """
    fields = {each.check: each.typed for each in told if is_field(each.check)}
    values = proof_values(told)
    if not values:
        for each in told:
            text = f"Not used, what was repaired is not told: {each.check} = {quoted(each.typed)}"
            yield from comment(text)
        return
    yield from ("", "[proof]", *lines(_fields(TOP, fields)))
    for reading in values.get("readings", ()):
        yield from ("", "[[proof.readings]]", *lines(reading))
    for table in TABLES:
        yield from _table(table, _fields(table, fields))


def _table(table: str, values: Mapping[str, Any]) -> Iterator[str]:
    if not values:
        return
    rows = [f"[proof.{table}]", *lines(values)]
    if _lacks(table, values):
        yield from ("", *comment(f"Not used, {LACKED[table]} is not told:"))
        rows = [line for each in rows for line in comment(each)]
    else:
        yield ""
    yield from rows


def paper_rows(told: ByHand) -> Iterator[str]:
    """The table `[paper]` of a call's file, nothing where nobody wrote anything."""
    values = told.values()
    if values:
        yield from ("", "[paper]", *lines(values))


def calls_text(calls: Iterable[CountedCall]) -> str:
    """A shop file with these calls in it, and nothing else."""
    counted = list(calls)
    rows = [f"today = {max(each.day for each in counted)}"] if counted else []
    for each in counted:
        rows += ["", "[[calls]]", f"date = {each.day}", f"installed = {each.since}"]
        rows += [f'kind = "{each.closed.kind}"', f'mode = "{each.closed.mode}"']
        said = ", ".join(f'"{chip}"' for chip in each.closed.complaint)
        rows += [f"complaint = [{said}]"] if said else []
    return "\n".join([*rows, ""]) if rows else ""
