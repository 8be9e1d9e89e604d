"""A unit and a call as the very files that people write, so that every way in answers the same."""

from __future__ import annotations

from collections.abc import Container, Iterator
from dataclasses import dataclass
from pathlib import Path

from rungwise.diagnosis.call_file import LOOK
from rungwise.errors import BadRecord
from rungwise.records.by_hand import by_hand_of, paper_rows
from rungwise.records.proof_text import ProofLine, proof_rows
from rungwise.records.rows import Call, Reading, Unit, Wires
from rungwise.records.toml_text import comment, lines, quoted
from rungwise.records.unit_of_work import UnitOfWork

__all__ = ["UnitHas", "call_text", "proof_told", "unit_text", "wires_of", "write_call"]


def unit_text(unit: Unit) -> str:
    """The unit's file. Raises BadRecord for a draft, which has none that can be used."""
    if unit.state != "whole":
        raise BadRecord(
            what=f"The unit {unit.title} is still a draft.", value=unit.title,
            next_step="fill in its nameplate until nothing is refused",
        )  # fmt: skip
    return unit.toml


@dataclass(frozen=True)
class UnitHas:
    """What is there on the unit that a call is about, by name.

    A call may be put on another unit than it began on. What was told of the first and is not on the
    second then becomes a comment in its file: it is not lost, and does not speak.
    """

    at_fault: Container[str]
    checks: Container[str]
    parts: Container[str]

    def reads(self, row: Reading) -> bool:
        """Whether the check of a reading or a symptom can be made on it."""
        return row.check in self.checks or f"{LOOK}{row.check}" in self.checks


def call_text(  # the lines of its head, by name
    book: UnitOfWork,
    call_id: int,
    *,
    unit: str = "unit.toml",
    wires: str = "",
    shop: str = "",
    has: UnitHas | None = None,
) -> str:
    """The call's file: what stands now, and what was refused as a comment.

    unit: what its line `unit` names. wires, shop: likewise; "" leaves the line out.
    has: what is there on its unit; None takes all that was told to be told of it.
    Raises UnknownName when there is no such call.
    """
    call = book.calls.get(call_id)
    rows = [
        *comment(call.note), *_head(book, call, unit, wires=wires, shop=shop),
        *_suspicion(call.suspected, has),
        *_symptoms(book, call_id, has), *_readings(book, call_id, has),
        *_fitted(book, call_id, has),
        *_proof(book, call_id), *paper_rows(by_hand_of(book.calls.entries(call_id))),
    ]  # fmt: skip
    return "\n".join([*rows, ""])


def wires_of(book: UnitOfWork, call_id: int) -> Wires | None:
    """The wires file that a call's file names: as left, else as found, None where there is none."""
    found = (book.wires.now(call_id, stage) for stage in ("as left", "as found"))
    return next((each for each in found if each is not None and not each.refusal), None)


def write_call(book: UnitOfWork, call_id: int, folder: Path, *, shop: str = "") -> Path:
    """Write a call with its unit and its wires into a folder; the path of the call's file.

    shop: the text of a shop file that the odds start from; "" leaves it out.
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
    if shop:
        texts["shop.toml"] = shop
    texts["call.toml"] = call_text(
        book, call_id, wires="wires.toml" if wires else "", shop="shop.toml" if shop else ""
    )
    for name, text in texts.items():
        (folder / name).write_text(text, encoding="utf-8", newline="")
    return folder / "call.toml"


def _head(book: UnitOfWork, call: Call, unit: str, *, wires: str, shop: str) -> Iterator[str]:
    customer, technician = book.calls.people(call)
    yield f"unit = {quoted(unit)}"
    told = {
        "title": call.title,
        "customer": customer.name if customer else "",
        "technician": technician.name if technician else "",
    }
    yield from lines(told)
    yield f"date = {call.day.isoformat()}"
    installed = book.units.get(call.unit_id).installed if call.unit_id and shop else None
    if installed is not None:
        yield f"installed = {installed.isoformat()}"
    if call.said:
        yield f"complaint = [{', '.join(quoted(each) for each in call.said)}]"
    yield from lines({"wires": wires, "shop": shop})


def _suspicion(suspected: str, has: UnitHas | None) -> Iterator[str]:
    if has is None or suspected in has.at_fault:
        yield from lines({"suspected": suspected})
    elif suspected.strip():
        yield from comment(
            f"Not used: suspected = {quoted(suspected)}. This unit has no such part."
        )


def _symptoms(book: UnitOfWork, call_id: int, has: UnitHas | None) -> Iterator[str]:
    standing = book.symptoms.standing(call_id)
    held = {each.check: each for each in standing if each.counts and _here(each, has)}
    if held:
        yield from ("", "[symptoms]")
        yield from lines({check: each.typed for check, each in held.items()})
    yield from _refused(standing, has)


def _readings(book: UnitOfWork, call_id: int, has: UnitHas | None) -> Iterator[str]:
    standing = book.readings.standing(call_id)
    for each in standing:
        if each.counts and _here(each, has):
            yield from ("", "[[readings]]")
            yield from lines({"check": each.check, "value": each.typed, "note": each.note})
    yield from _refused(standing, has)


def _here(row: Reading, has: UnitHas | None) -> bool:
    return has is None or has.reads(row)


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
        import tomlkit  # noqa: PLC0415  # slow to import

        yield ""
        yield tomlkit.dumps({"fitted": last.candidate}).rstrip()


def proof_told(standing: list[Reading]) -> list[ProofLine]:
    """What stands of a proof and can be used."""
    return [ProofLine(each.check, each.typed, each.note) for each in standing if each.counts]


def _proof(book: UnitOfWork, call_id: int) -> Iterator[str]:
    standing = book.proofs.standing(call_id)
    yield from proof_rows(proof_told(standing))
    yield from _refused(standing)
