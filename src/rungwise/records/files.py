"""A unit and a call as the very files that people write, so that every way in answers the same."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass
from typing import Any

from rungwise.diagnosis import full_id
from rungwise.errors import BadRecord
from rungwise.records.by_hand import by_hand_of
from rungwise.records.proof_text import ProofLine, proof_values
from rungwise.records.rows import Reading, Unit, Wires
from rungwise.records.unit_of_work import UnitOfWork
from rungwise.wording import mark


def unit_text(unit: Unit) -> str:
    """The unit's file. Raises BadRecord for a draft, which has none that can be used."""
    if unit.state != "whole":
        raise BadRecord(
            what=f"The unit {unit.title} is still a draft.", value=unit.title,
            next_step=mark("fill in its nameplate until nothing is refused"),
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
        return full_id(row.check, self.checks) in self.checks


def call_values(  # the lines of its head, by name
    book: UnitOfWork,
    call_id: int,
    *,
    unit: str = "unit.toml",
    wires: str = "",
    shop: str = "",
    has: UnitHas | None = None,
) -> dict[str, Any]:
    """What stands now of a call, as the values of its file; what says nothing is left out.

    unit: what its line `unit` names. wires, shop: likewise; "" leaves the line out.
    has: what is there on its unit; None takes all that was told to be told of it.
    Raises UnknownName when there is no such call.
    """
    call = book.calls.get(call_id)
    customer, technician = book.calls.people(call)
    last = book.fitted.last(call_id)
    held = {
        "unit": unit,
        "title": call.title,
        "customer": customer.name if customer else "",
        "technician": technician.name if technician else "",
        "date": call.day,
        "installed": book.units.get(call.unit_id).installed if call.unit_id and shop else None,
        "complaint": list(call.said),
        "wires": wires,
        "shop": shop,
        "suspected": call.suspected if has is None or call.suspected in has.at_fault else "",
        "symptoms": {
            each.check: each.typed
            for each in book.symptoms.standing(call_id)
            if each.counts and _here(each, has) and each.typed.strip()
        },
        "readings": [
            {name: text for name, text in _told(each) if text.strip()}
            for each in book.readings.standing(call_id)
            if each.counts and _here(each, has)
        ],
        "fitted": last.candidate if last and (has is None or last.part in has.parts) else None,
        "proof": proof_values(proof_told(book.proofs.standing(call_id))),
        "paper": by_hand_of(book.calls.entries(call_id)).values(),
    }
    return {name: value for name, value in held.items() if value and str(value).strip()}


def _told(row: Reading) -> tuple[tuple[str, str], ...]:
    return ("check", row.check), ("value", row.typed), ("note", row.note)


def wires_of(book: UnitOfWork, call_id: int) -> Wires | None:
    """The wires file that a call's file names: as left, else as found, None where there is none."""
    found = (book.wires.now(call_id, stage) for stage in ("as left", "as found"))
    return next((each for each in found if each is not None and not each.refusal), None)


def _here(row: Reading, has: UnitHas | None) -> bool:
    return has is None or has.reads(row)


def proof_told(standing: list[Reading]) -> list[ProofLine]:
    """What stands of a proof and can be used."""
    return [ProofLine(each.check, each.typed, each.note) for each in standing if each.counts]
