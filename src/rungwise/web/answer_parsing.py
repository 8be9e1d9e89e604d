"""Taking an answer down: as it was typed, with what it was taken for or why it cannot be."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from rungwise import records
from rungwise.diagnosis import CheckCard, look_id, short_id
from rungwise.errors import BadInput
from rungwise.records import EntryResult, UnitOfWork
from rungwise.services import call_from_values
from rungwise.unit import Unit
from rungwise.web.reasons import reason_of

_MAIN_LOOKS = (look_id("plunger"), look_id("idle"))
"""The main contactor's plunger, and whether the outdoor unit stops."""

EARLY = frozenset(
    {
        "look:screen", "look:thermostat", "look:device", "look:door", "look:water",
        "look:board_light", "look:filter", "look:ice", "look:coil_dirt", "look:recent_work",
    }
)  # fmt: skip
"""What is looked at on the way to the unit, before a tool is out, by the card's quantity."""

ELSEWHERE = {"OL", "can't reach", "-"}


@dataclass(frozen=True)
class ParsedAnswer:
    """What was typed, and what it was taken for. refusal: why it cannot be used, "" if it can."""

    typed: str
    value: float | str | None
    refusal: str


def is_free(card: CheckCard) -> bool:
    """Whether it is seen or heard before anything is opened: a symptom of the call."""
    return card.thing in ("turns", "sound") or card.id in _MAIN_LOOKS


def typed_of(typed: str, unit: str, quick: str) -> str:
    """What was meant: a quick answer goes before the window, a unit is put after a bare number."""
    if quick:
        return quick
    bare = typed.strip()
    is_number = bool(bare) and not set(bare) - set("0123456789.,+-−")
    return f"{bare} {unit}" if is_number and unit and bare not in ELSEWHERE else bare


def taken(unit: Unit, card: CheckCard, typed: str) -> ParsedAnswer:
    """What `typed` says as an outcome of a check, read just as a call file is."""
    if not typed:
        return ParsedAnswer("", None, "")
    try:
        call = call_from_values(_one_reading(unit, card, typed), unit)
        (outcome,) = call.outcomes([card])
    except BadInput as error:
        return ParsedAnswer(typed, None, reason_of(error))
    return ParsedAnswer(typed, outcome.value, "")


def take(
    book: UnitOfWork,
    call_id: int,
    card: CheckCard,
    told: ParsedAnswer,
    seen: int | None,
    *,
    again: bool = False,
) -> EntryResult[records.Reading]:
    """Keep it; a look that costs nothing as a symptom, everything else as a reading."""
    measured = book.readings.now(call_id)
    if is_free(card) and card.id not in measured:
        page, name = book.symptoms, short_id(card.id)
    else:
        seen_before = book.symptoms.now(call_id)
        short = short_id(card.id)
        page, name = book.readings, card.id
        if short in seen_before or card.id in seen_before:
            page, name = book.symptoms, short if short in seen_before else card.id
    if again and page is book.symptoms:  # a call file has each symptom once, and readings in a row
        page, name = book.readings, card.id
    return page.take(
        call_id, name, told.typed, value=told.value, unit=card.unit, refusal=told.refusal,
        seen=seen, again=again,
    )  # fmt: skip


def has_answer(book: UnitOfWork, call_id: int, card: CheckCard) -> bool:
    """Whether something stands for a check."""
    told = {**book.symptoms.now(call_id), **book.readings.now(call_id)}
    names = (card.id, short_id(card.id))
    return any(each in told and told[each].typed.strip() for each in names)


def _one_reading(unit: Unit, card: CheckCard, typed: str) -> dict[str, Any]:
    safe = "".join(each for each in typed if each.isprintable())
    return {"unit": unit.name, "readings": [{"check": card.id, "value": safe}]}
