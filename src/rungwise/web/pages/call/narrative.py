"""An answered call, told line by line for the page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rungwise.diagnosis import (
    Candidate,
    CheckCard,
    Opinion,
    explain,
    how_strong,
    percent,
    strength,
)
from rungwise.parts import Caution
from rungwise.services import (
    CLEAR_BITS,
    SPOKEN,
    SPOKEN_OF,
    CallDiagnosis,
    by_band,
    minutes,
    question,
    share,
)
from rungwise.unit import Unit
from rungwise.web.leads import leads_of
from rungwise.web.pages.call.view import Mean, OtherCheck, Others, SuspectLine
from rungwise.web.unit_contents import at_fault
from rungwise.web.unit_pictures import LEAST_BELIEF, place_of
from rungwise.wording import capital, current, in_language, joined, mark, say

SEEN = mark("To see and hear")
PLACES = {
    "panel": mark("At the panel"),
    "disconnect": mark("At the disconnect"),
    "outdoor": mark("In the outdoor unit"),
    "indoor": mark("In the indoor unit"),
    "room": mark("In the room"),
}
"""Where a check is made, by the place in the unit file."""

TYPED_FOR = {"µF": "µF uF mfd", "Ω": "Ω ohms", "MΩ": "MΩ megohms", "V": "V volts", "A": "A amps"}
"""What people type for a unit, by its sign."""

SHOWN = 6
"""Suspects listed one by one."""


def suspects(answer: CallDiagnosis) -> list[SuspectLine]:
    """The repairs that may be it, likeliest first, each with what spoke for and against."""
    told = answer.verdict
    left = [each for each in (told.answer, *told.runners_up) if each is not None]
    parts = by_part(answer)
    return [
        SuspectLine(
            repair=each.repair,
            title=each.suspect.title,
            part=each.suspect.part,
            probability=each.probability,
            in_all=_in_all(parts.get(each.suspect.part, 0.0), each.probability),
            to_do=str(each.suspect.to_do),
            speaks_for=list(_evidence(answer, each.repair, 1.0)),
            speaks_against=list(_evidence(answer, each.repair, -1.0)),
        )
        for each in left[:SHOWN]
    ]


def warned(answer: CallDiagnosis) -> Caution | None:
    """What is to be done, where a signal word stands before it."""
    best = answer.verdict.answer
    todo = best.suspect.to_do if best else ""
    return todo if isinstance(todo, Caution) else None


def _in_all(part: float, repair: float) -> float | None:
    """How far a marked part is suspected, where that reads otherwise than one of its repairs."""
    told = part >= LEAST_BELIEF and percent(part) != percent(repair)
    return part if told else None


def suspects_left(answer: CallDiagnosis) -> str:
    """The suspects that are not listed one by one."""
    told = answer.verdict
    left = [each for each in (told.answer, *told.runners_up) if each is not None][SHOWN:]
    if not left:
        return ""
    share = percent(sum(each.probability for each in left))
    return say("{len} more, each less likely ({share} together).", len=len(left), share=share)


def _evidence(answer: CallDiagnosis, repair: str, side: float) -> Iterator[str]:
    for told in answer.explanation.readings:
        for each in told.opinions:
            if each.repair == repair and side * each.bits > 0:
                yield joined(" ", (question(told.check), mark(told.text), how_strong(each.bits)))


def said_by_check(answer: CallDiagnosis) -> dict[str, list[str]]:
    """What each reading said, strongest first, by the check's id."""
    return {told.check.id: list(_said(told.opinions)) for told in answer.explanation.readings}


def _said(opinions: Sequence[Opinion]) -> Iterator[str]:
    by_strength: dict[str, list[str]] = {}
    clear = [each for each in opinions if abs(each.bits) >= CLEAR_BITS]
    for each in sorted(clear, key=lambda one: (one.bits < 0, -abs(one.bits))):
        by_strength.setdefault(strength(each.bits), []).append(each.suspect.title)
    for how, names in by_strength.items():
        yield joined(": ", (how, joined("; ", names[:SPOKEN])))


def means(answer: CallDiagnosis, check: str) -> list[Mean]:
    """What each outcome of a check would mean, likeliest first."""
    told = answer.explanation
    if told.next_check is None or told.next_check.id != check:
        told = explain(answer.belief, check, at_most=SPOKEN_OF)
    return [Mean(reads=band, names=names) for band, names in by_band(told).items()]


def try_order(answer: CallDiagnosis) -> list[str]:
    """In which order to try repairs when no check can tell them apart."""
    return [
        joined(
            " ",
            (capital(str(each.suspect.to_do)), f"({percent(each.probability)})"),
        )
        for each in answer.verdict.try_order[:SHOWN]
    ]


def other_checks(
    unit: Unit, cards: Sequence[CheckCard], answer: CallDiagnosis | None, on_card: str = "",
    find: str = "",
) -> list[Others]:  # fmt: skip
    """Every check by the place where it is made; the most telling first of all.

    The place of the check on the card comes first, for that one is open already, and in a place
    what is made in the same condition. find: words of which each must stand in title or place.
    """
    here = next((card for card in cards if card.id == on_card), None)
    at_hand = _place(unit, here) if here else ""
    best = [] if find else list(answer.advice.candidates[:SHOWN]) if answer else []
    groups = {
        mark("The most telling"): [_best(each, answer) for each in best if each.check is not here]
    }
    by_place: dict[str, list[CheckCard]] = {}
    for card in cards:
        by_place.setdefault(_place(unit, card), []).append(card)
    for place, listed in sorted(by_place.items(), key=lambda each: each[0] != at_hand):
        listed.sort(key=lambda card: here is None or card.condition != here.condition)
        groups[place] = [
            OtherCheck(id=card.id, title=card.title, note=_note(card), words=_words_for(card.unit))
            for card in listed
            if _fits(f"{_spoken(card.title, place)} {card.where} {_words_for(card.unit)}", find)
        ]
    return [Others(name=name, checks=checks) for name, checks in groups.items() if checks]


def _place(unit: Unit, card: CheckCard) -> str:
    """Where a check is made, for a list: a look by looking, a reading where its leads go."""
    if card.form == "choice":
        return SEEN
    return PLACES[place_of(unit, leads_of(unit, card.id))]


def _note(card: CheckCard) -> str:
    return joined(", ", (capital(card.condition), minutes(card.minutes)))


def _spoken(*texts: str) -> str:
    """Texts in English and in the language that is spoken: either may be looked for."""
    return " ".join(f"{each} {in_language(each, current())}" for each in texts)


def _words_for(unit: str) -> str:
    """What people type for the unit of a check."""
    return TYPED_FOR.get(unit, unit)


def _fits(told: str, find: str) -> bool:
    return all(word in told.casefold() for word in find.casefold().split())


def by_part(answer: CallDiagnosis) -> dict[str, float]:
    """How far each part or wire is suspected; what has no place in a picture is left out."""
    parts, unit = answer.belief.table.by_part, answer.opened.unit
    believed = zip(parts.names, answer.belief.posterior(parts).tolist(), strict=True)
    drawn = {*unit.part_by_name, *unit.wire_by_name}
    return {name: each for name, each in believed if name in drawn}


def part_titles(unit: Unit) -> list[tuple[str, str]]:
    """Name and title of each part and wire that can be at fault."""
    return list(at_fault(unit).items())


def _best(candidate: Candidate, answer: CallDiagnosis | None) -> OtherCheck:
    settles = [share(candidate, answer)] if answer else []
    return OtherCheck(
        id=candidate.check.id,
        title=candidate.check.title,
        note=joined(", ", (*settles, minutes(candidate.minutes))),
    )
