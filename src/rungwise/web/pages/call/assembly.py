"""Putting the page of a call together from the records and the desk."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from rungwise import records
from rungwise.diagnosis import CHIPS, Call, CheckCard, OwnWeights, full_id, reading_text
from rungwise.errors import BadInput, CircuitError, UnknownName
from rungwise.maintenance import ClosedCall
from rungwise.services import (
    RESULTS,
    CallDiagnosis,
    DiagnosisService,
    age_y,
    call_from_values,
    own_weights,
    unit_from_text,
    why_this,
)
from rungwise.unit import Unit
from rungwise.web.answer_parsing import EARLY, is_free
from rungwise.web.context import CallContext, written
from rungwise.web.leads import checks_held
from rungwise.web.pages.call import narrative as story
from rungwise.web.pages.call.view import (
    CheckCardView,
    Chip,
    Clash,
    LookView,
    Others,
    ReadingLine,
)
from rungwise.web.prompt import ask_of, choices_of
from rungwise.wording import mark, say

LOOKED = "-"
"""Typed for a look that nobody could answer."""


@dataclass(frozen=True)
class CallAnswer:
    """What the desk makes of a call. unit, answer: None where there is none; trouble says why.

    building: the share of the faults solved, None when all are.
    """

    unit: Unit | None = None
    cards: tuple[CheckCard, ...] = ()
    answer: CallDiagnosis | None = None
    building: float | None = None
    trouble: str = ""

    @property
    def by_id(self) -> dict[str, CheckCard]:
        """The checks of the unit."""
        return {card.id: card for card in self.cards}


def solved(desk: DiagnosisService, held: CallContext, skipped: Collection[str] = ()) -> CallAnswer:
    """Let the desk answer. A unit that is being solved answers later, a bad one says why.

    skipped: checks that are not to be advised now.
    """
    if not held.unit_text:
        return CallAnswer()
    try:
        unit = unit_from_text(held.unit_text)
    except BadInput as error:
        return CallAnswer(trouble=error.what)
    cards = tuple(check.card for check in checks_held(unit).values())
    share = desk.ready(unit)
    if share is not None:
        return CallAnswer(unit, cards, building=share)
    try:
        answer = desk.answer(unit, call_of(held, unit), skipped=skipped)
    except (BadInput, CircuitError) as error:
        return CallAnswer(unit, cards, trouble=str(error).splitlines()[0])
    return CallAnswer(unit, cards, answer)


def call_of(held: CallContext, unit: Unit) -> Call:
    """The call as the records tell it, with the weights that its shop has for such a unit."""
    return replace(call_from_values(held.values, unit), own=own_of(held, unit))


def own_of(held: CallContext, unit: Unit) -> OwnWeights | None:
    """The weights that the call's odds start from, None for the start weights."""
    installed = held.unit.installed if held.unit else None
    return _own(held.unit_text, held.closed, age_y(installed, unit, held.call.day))


@RESULTS.shelf("start weights").memo
def _own(
    unit_text: str, closed: tuple[ClosedCall, ...], unit_age_y: float | None
) -> OwnWeights | None:
    return own_weights(unit_from_text(unit_text), closed, unit_age_y)


def chips(told: Collection[str]) -> list[Chip]:
    """Everything that customers say, and whether it was told."""
    return [Chip(id=each.id, title=mark(each.title), told=each.id in told) for each in CHIPS]


def looks(held: CallContext, at: CallAnswer) -> list[LookView]:
    """What can be seen and heard: what costs nothing first, then what needs no tool."""
    if at.unit is None:
        return []
    chosen = {full_id(each.check, at.by_id): each.typed for each in held.standing}
    unit = at.unit
    found = [
        LookView(
            id=card.id,
            title=card.title,
            first=is_free(card),
            early=card.quantity in EARLY,
            choices=choices_of(unit, card),
            chosen=chosen.get(card.id, ""),
        )
        for card in at.cards
        if card.form == "choice"
    ]
    return sorted(found, key=_place)


def _place(look: LookView) -> tuple[bool, bool]:
    return not look.first, not look.early


def readings(held: CallContext, at: CallAnswer) -> list[ReadingLine]:
    """Everything measured, in the order in which it was, and looks that were not free."""
    said = story.said_by_check(at.answer) if at.answer else {}
    texts = _texts(at.answer)
    found = []
    for row in held.standing:
        check = full_id(row.check, at.by_id)
        card = at.by_id.get(check)
        if card is None or at.unit is None or is_free(card):
            continue
        earlier = [each for each in held.told if each.check == row.check and not each.stands]
        shown = written(row, held.today).model_dump()
        shown["text"] = texts.get(check, row.typed) if not row.refusal else row.typed
        found.append(
            ReadingLine(
                **shown,
                check=check,
                title=card.title,
                typed=row.typed,
                earlier=[written(each, held.today) for each in earlier if not each.beside],
                said=said.get(check, []),
                ask=ask_of(at.unit, card),
            )
        )
    return found


def of_another_unit(held: CallContext, at: CallAnswer) -> list[str]:
    """What cannot be read on this unit: the call was put on it after that was told."""
    if at.unit is None:
        return []
    return [
        say(
            "“{typed}” ({check}) is no reading of this unit: saved, and it does not count here.",
            typed=row.typed,
            check=row.check,
        )
        for row in held.standing
        if full_id(row.check, at.by_id) not in at.by_id
    ]


def clashes(held: CallContext, at: CallAnswer) -> list[Clash]:
    """Answers from stale forms, each with the one that stands."""
    standing = {(each.kind, each.check): each for each in held.told if each.stands}
    return [
        Clash(
            **written(each, held.today).model_dump(),
            title=_title(at, each.check),
            stands=written(standing[each.kind, each.check], held.today),
        )
        for each in held.beside
        if (each.kind, each.check) in standing
    ]


def asked(
    held: CallContext, at: CallAnswer, chosen: str = "", skipped: Collection[str] = ()
) -> CheckCardView | None:
    """The check on the card: the one that was chosen, the next symptom, or the next check.

    None where a cause to act on is found and nothing was chosen, or where nothing is left to ask.
    Raises UnknownName for a chosen check that the unit does not have.
    """
    if at.unit is None:
        return None
    if chosen:
        if chosen not in at.by_id:
            raise UnknownName(what=mark("There is no such check."), name=chosen, known=at.by_id)
        return _on_card(held, at, at.by_id[chosen])
    symptoms = [card for card in at.cards if is_free(card)]
    left = [] if _measured(held, at) else _unanswered(held, at, symptoms, skipped)
    if left:
        turn = say("Symptom {n} of {all}", n=len(symptoms) - len(left) + 1, all=len(symptoms))
        return _on_card(held, at, left[0], turn)
    advised = at.answer.advice.check if at.answer and not at.answer.decided else None
    return _on_card(held, at, advised) if advised else None


def _unanswered(
    held: CallContext, at: CallAnswer, symptoms: Sequence[CheckCard], skipped: Collection[str]
) -> list[CheckCard]:
    """The symptoms that nobody has told of yet."""
    told = {full_id(each.check, at.by_id) for each in held.standing} | set(skipped)
    return [card for card in symptoms if card.id not in told]


def _on_card(
    held: CallContext, at: CallAnswer, card: CheckCard, turn: str = ""
) -> CheckCardView | None:
    """A check with what stands for it, and what its answers would mean."""
    if at.unit is None:
        return None
    stood = [each for each in held.standing if full_id(each.check, at.by_id) == card.id]
    row = stood[-1] if stood else None
    slip = _slip(held, row)
    advised = at.answer.advice.check if at.answer else None
    is_next = advised is not None and advised.id == card.id
    told = written(row, held.today) if row else None
    counts = told is not None and not told.wrong and told.text != LOOKED
    return CheckCardView(
        **ask_of(at.unit, card).model_dump(),
        is_next=is_next,
        typed=slip.typed if slip else row.typed if row else "",
        wrong=slip.refusal if slip else row.refusal if row else "",
        means=story.means(at.answer, card.id) if at.answer and not row else [],
        why=why_this(at.answer) if at.answer and is_next else "",
        turn=turn,
        last=f"{told.text}, {told.at}" if told and counts else "",
    )


def _slip(held: CallContext, standing: records.Reading | None) -> records.Reading | None:
    """What was typed last in place of a reading that counts, and cannot be used itself."""
    if standing is None:
        return None
    told = [each for each in held.told if each.check == standing.check]
    last = max(told, key=lambda each: each.id)
    return last if last.refusal and last.superseded_by_id == standing.id else None


def others(at: CallAnswer, on_card: CheckCardView | None, find: str) -> list[Others]:
    """Every check that may be chosen instead, by place; what is at hand already comes first.

    find: words that all stand in a check's title or place; "" for all.
    """
    if at.unit is None:
        return []
    return story.other_checks(at.unit, at.cards, at.answer, on_card.id if on_card else "", find)


def _measured(held: CallContext, at: CallAnswer) -> bool:
    """Whether anything was made that costs time."""
    made = (at.by_id.get(full_id(each.check, at.by_id)) for each in held.standing)
    return any(card is None or not is_free(card) for card in made)


def _texts(answer: CallDiagnosis | None) -> dict[str, str]:
    """Each outcome in words, by the check's id."""
    if answer is None:
        return {}
    return {
        each.card.id: "not taken" if each.value is None else _text(each.card, each.value)
        for each in answer.outcomes
    }


def _text(card: CheckCard, value: float | str) -> str:
    return value if isinstance(value, str) else reading_text(card, value)


def _title(at: CallAnswer, check: str) -> str:
    card = at.by_id.get(full_id(check, at.by_id))
    return card.title if card else check


def titles(at: CallAnswer) -> dict[str, str]:
    """The titles of the checks that the verdict speaks of, by id."""
    if at.answer is None:
        return {}
    spoken = [each.check for each in at.answer.verdict.doubtful]
    spoken += [each.card for each in at.answer.witnesses]
    return {card.id: card.title for card in spoken}
