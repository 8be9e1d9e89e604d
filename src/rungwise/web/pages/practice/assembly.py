"""Putting a practice call's page together without a look at what it hides."""

from __future__ import annotations

from rungwise.diagnosis import CheckCard, full_id
from rungwise.evaluation import HiddenUnit, Judged, minutes_of, on_live_parts
from rungwise.quantity import format_quantity
from rungwise.services import WHY_STOP, DiagnosisService
from rungwise.unit import Unit
from rungwise.web.cropping import cropped
from rungwise.web.leads import Leads, leads_of
from rungwise.web.pages.call import assembly, narrative
from rungwise.web.pages.call.assembly import CallAnswer
from rungwise.web.pages.call.view import CheckCardView
from rungwise.web.pages.practice.context import PracticeContext
from rungwise.web.pages.practice.view import LevelLine, NameLine, PracticeCall, ReadLine, Tally
from rungwise.web.unit_pictures import MARKED, Kind, place_of, spots_of, svg_at_check
from rungwise.wording import joined, mark, named, say

DIGITS = 4
"""As many as the display of a hand meter has."""

TOLD = {
    "whole": mark("That is all that is at fault."),
    "part": mark(
        "That is one of the things that are wrong, and not the whole: something stands behind "
        "it, or came of it."
    ),
    "wrong": mark("Not at fault: {parts}."),
}


def shown(card: CheckCard, found: float | str) -> str:
    """A reading as the display shows it, or what is seen."""
    if isinstance(found, str):
        return mark(found)
    return "OL" if found == float("inf") else format_quantity(found, card.unit, DIGITS)


def line_of(call: PracticeContext) -> str:
    """Whose practice it is, on what, and how hard."""
    told = (named(call.unit_title), call.level.title, call.held.technician)
    return joined(" · ", [each for each in told if each])


def titles_of(unit: Unit) -> dict[str, str]:
    """The title of every part and wire that may be named, by its name."""
    return dict(narrative.part_titles(unit))


def tally_of(call: PracticeContext) -> Tally:
    """What the call has cost so far."""
    cards = call.unmeasured.by_id
    made = [cards[check] for check in call.made]
    return Tally(
        checks=len(made),
        minutes=minutes_of(made),
        live=sum(on_live_parts(card) for card in made),
        wrong_parts=len(list(call.wrong())),
        helps=len(call.helps),
    )


def named_of(call: PracticeContext) -> list[NameLine]:
    """What was named, and what came of each."""
    if not call.named:
        return []
    hidden, titles = call.hidden, titles_of(call.unit)
    return [_named(hidden, titles, each.part, each.cause) for each in call.named]


def _named(hidden: HiddenUnit, titles: dict[str, str], part: str, cause: str) -> NameLine:
    judged: Judged = hidden.judge(part, cause)
    wrong = joined(", ", [titles[each] for each in judged.wrong])
    return NameLine(
        part=titles.get(part, part),
        cause=titles.get(cause, cause),
        kind=judged.kind,
        told=say(TOLD[judged.kind], parts=wrong),
    )


def view_of(desk: DiagnosisService, call: PracticeContext, chosen: str, kind: Kind) -> PracticeCall:
    """The page. chosen: the check on its card, "" for none, or for the advised one with help.

    Raises UnknownName for a check that the unit lacks.
    """
    at = call.unmeasured
    if call.helped:
        at = assembly.solved(desk, call.held)
    elif not call.ended:
        desk.ready(call.unit)  # begun now, so that help and the score need not wait for it
    advised = at.answer.advice.check if at.answer else None
    check = chosen or (advised.id if advised else "")
    asked = assembly.asked(call.held, at, check) if check else None
    view = PracticeCall(
        title=say("Practice: {unit}", unit=named(call.unit_title)),
        number=call.number,
        version=call.held.call.version,
        ended=call.ended,
        line=line_of(call),
        level=LevelLine(name=call.level.name, title=call.level.title, told=call.level.told),
        tally=tally_of(call),
        symptoms=_read(call, "symptom"),
        readings=_read(call, "reading"),
        reads_itself=True,
        asked=asked,
        helped=call.helped,
        building=at.building,
        enough=WHY_STOP.get(at.answer.advice.why, "") if at.answer else "",
        suspects=narrative.suspects(at.answer) if at.answer else [],
        suspects_left=narrative.suspects_left(at.answer) if at.answer else "",
        named=named_of(call),
        parts=narrative.part_titles(call.unit),
        others=narrative.other_checks(call.unit, at.cards, at.answer),
        picture=kind,
        caption=_caption(asked, marked=at.answer is not None),
    )
    _draw(view, call.unit, at, asked, kind)
    return view.about(call.unit)


def _caption(asked: CheckCardView | None, *, marked: bool) -> str:
    told = (
        mark("Where the leads go.") if asked and asked.leads else mark("The unit as it is meant.")
    )
    return joined(" ", (told, MARKED)) if marked else told


def _read(call: PracticeContext, kind: str) -> list[ReadLine]:
    cards = call.unmeasured.by_id
    found = []
    for row in call.held.standing:
        card = cards[full_id(row.check, cards)]
        if row.kind == kind:
            live = on_live_parts(card)
            found.append(ReadLine(check=card.id, title=card.title, text=mark(row.typed), live=live))
    return found


def _draw(
    view: PracticeCall, unit: Unit, at: CallAnswer, asked: CheckCardView | None, kind: Kind
) -> None:
    """The picture beside the card; who is suspected is in it only when help was asked."""
    leads = leads_of(unit, asked.id) if asked else Leads()
    suspected = narrative.by_part(at.answer) if at.answer else {}

    def svg() -> str:
        drawn = svg_at_check(unit, kind, leads, suspected, place_of(unit, leads))
        return cropped(drawn, spots_of(unit, leads))

    view.draw("picture", svg)
