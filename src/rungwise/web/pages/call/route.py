"""A call: the looks, the next check, the readings, the suspects."""

from __future__ import annotations

from typing import Annotated, Literal
from urllib.parse import urlencode

from fastapi import APIRouter, Form, Query, Response
from pydantic import BaseModel, Field

from rungwise import records
from rungwise.diagnosis import CheckCard, chips_named, full_id, sentence
from rungwise.errors import BadInput, BadRecord, UnknownName
from rungwise.records import Scope, UnitOfWork, unit_text
from rungwise.services import (
    WHY_STOP,
    complaint_lines,
    diagnosis_json,
    own_line,
    unit_from_text,
    unit_of_draft,
)
from rungwise.unit import Unit
from rungwise.web.answer_parsing import has_answer, take, taken, typed_of
from rungwise.web.context import CallContext, gathered
from rungwise.web.deps import Here
from rungwise.web.field_replies import FieldReply, clashes_of, told_of
from rungwise.web.forms import fresh_token, goto
from rungwise.web.leads import checks_held, leads_of, titles_in
from rungwise.web.links import of_call
from rungwise.web.pages.call import assembly, narrative
from rungwise.web.pages.call.assembly import CallAnswer
from rungwise.web.pages.call.picture import caption_of, draw_on
from rungwise.web.pages.call.view import CallPicture, CallView, CheckCardView
from rungwise.web.pages.paper.papers import PRICES
from rungwise.web.results import warm
from rungwise.web.schemas import page
from rungwise.web.shown import Heard
from rungwise.web.timers import delays_of
from rungwise.web.undo import CALL_FIELDS, call_names, undo_of
from rungwise.web.unit_contents import at_fault_in, refused_suspicion
from rungwise.web.unit_pictures import Kind, place_of, spots_of, svg_at_check
from rungwise.web.way import aside_of, first_work_of, way_of
from rungwise.wording import mark, say

router = APIRouter()

Typed = Annotated[str, Form(max_length=2000)]
Maybe = Annotated[str | None, Form(max_length=2000)]
Seen = Annotated[int | None, Form()]
CallField = Literal["title", "suspected", "note"]
PICTURES: dict[Kind, str] = {"ladder": mark("Ladder"), "panel": mark("In the cabinet")}
ON_CARD = "check"
NOTHING_ENTERED = mark("Nothing was entered, so nothing was saved.")
FIELD_TITLES = {**CALL_FIELDS, PRICES: mark("The lines of the bill")}


class Asked(BaseModel):
    """What a page of a call is asked for.

    check: another check to show instead of the next one. saved: the check that was just answered.
    skip: checks not to be advised. open: what is open of all that is behind one tap. find: words
    to look for among the other checks. empty: whether an answer was sent with nothing in it.
    """

    check: str = Field("", max_length=120)
    saved: str = Field("", max_length=120)
    skip: tuple[str, ...] = Field((), max_length=40)
    open: str = Field("", max_length=20)
    find: str = Field("", max_length=80)
    empty: Literal["", "1"] = ""


@page(router, "/calls/{number}", "call.html")
def call(number: int, here: Here, told: Annotated[Asked, Query()]) -> CallView:
    """One call: the next check on its card, and behind one tap all that was seen and measured."""
    with here.reading() as book:
        held = gathered(book, number)
        entries, beside = book.calls.entries(number), book.calls.beside(number)
        field_clashes = clashes_of(entries, beside, FIELD_TITLES)
        names = call_names(titles_in(held.unit_text))
        undo = undo_of(book, Scope.of_call(number, CALL_FIELDS), f"/calls/{number}/undo", names)
    at = assembly.solved(here.desk, held, told.skip)
    warm(held, at)
    view = _view(held, at, assembly.asked(held, at, told.check, told.skip), told)
    view.field_clashes, view.undo = field_clashes, undo
    view.refused = {name: each.refusal for name, each in entries.items() if each.refusal}
    if told.empty and view.asked:
        view.asked.wrong, view.say = NOTHING_ENTERED, Heard(text=NOTHING_ENTERED)
    if at.unit is not None:
        view.about(at.unit)
        if view.asked and view.asked.state == "unit live":
            view.timers = delays_of(at.unit, number, f"/calls/{number}")
        draw_on(view, at.unit, narrative.by_part(at.answer) if at.answer else {})
    return view


@page(router, "/calls/{number}/picture", "call_picture.html")
def call_picture(
    number: int,
    here: Here,
    check: Annotated[str, Query(max_length=120)] = "",
    picture: Kind = "ladder",
) -> CallPicture:
    """The whole picture of a call's unit, with the leads of a check and what is suspected.

    Raises BadRecord while the unit is not known.
    """
    with here.reading() as book:
        held = gathered(book, number)
    at = assembly.solved(here.desk, held)
    if at.unit is None:
        raise BadRecord(
            what=mark("It is not known yet which unit this call is about."),
            next_step=mark("go back to the call, and choose its unit"),
        )
    unit, leads = at.unit, leads_of(at.unit, check)
    suspected = narrative.by_part(at.answer) if at.answer else {}
    path = f"/calls/{number}/picture?{urlencode({'check': check})}&picture="
    view = CallPicture(
        title=mark("Where the leads go") if leads.on_terminals or leads.jaw else mark("The unit"),
        back=f"/calls/{number}?{urlencode({'check': check})}#check",
        caption=caption_of(unit, leads),
        ways=[(f"{path}{kind}", name, kind == picture) for kind, name in PICTURES.items()],
        spots=spots_of(unit, leads),
    )
    place = place_of(unit, leads)
    view.draw("picture", lambda: svg_at_check(unit, picture, leads, suspected, place))
    return view.about(unit)


class AnswerForm(BaseModel):
    """An answer as the form sends it. quick: a key that was pressed instead of typing.

    unit: chosen beside the window. seen: the version of the call that the form showed. back:
    where on the page it was given. skip: checks that are not to be advised. again: the check was
    asked for once more, so what it read before stands beside.
    """

    check: str
    typed: str = Field("", max_length=2000)
    unit: str = ""
    quick: str = ""
    seen: int | None = None
    back: str = ""
    skip: tuple[str, ...] = ()
    again: bool = False


@router.post("/calls/{number}/readings", include_in_schema=False)
def take_reading(number: int, here: Here, given: Annotated[AnswerForm, Form()]) -> Response:
    """Keep an answer, whether or not it can be used, and go back to where it was given."""
    meant = typed_of(given.typed, given.unit, given.quick)
    with here.reading() as book:
        found, card = _card(book, number, given.check)
        stood = has_answer(book, number, card)
    told = taken(found, card, meant)
    with here.writing() as book:
        # Nothing was entered, so nothing is saved; where a reading is mended, it is taken back.
        if not told.typed and (given.back == ON_CARD or not stood):
            return goto(f"/calls/{number}?{urlencode({'check': card.id, 'empty': '1'})}#check")
        left = take(book, number, card, told, given.seen, again=given.again)
    with here.reading() as book:
        unit_id = book.calls.get(number).unit_id
        if unit_id is None or book.units.get(unit_id).state != "whole":
            return goto(f"/calls/{number}")
        held = gathered(book, number)
    # What the page that this leads to tells is worked out now, and is at hand when it is asked for.
    assembly.solved(here.desk, held, given.skip)
    return goto(_after(number, given, again=bool(told.refusal) and not left.stale))


@router.post("/calls/{number}/choose", include_in_schema=False)
def choose(number: int, here: Here, row: Annotated[int, Form()]) -> Response:
    """Of two answers to one check, let one stand."""
    with here.writing() as book:
        for told in (book.symptoms, book.readings):
            ours = [each for each in told.history(number) if each.id == row]
            if ours and ours[0].beside:
                told.stand(row)
            elif ours:
                _dismiss(book, number, row)
    return goto(f"/calls/{number}")


@router.post("/calls/{number}/fields/{field}", include_in_schema=False)
def leave_field(
    number: int, field: CallField, here: Here, typed: Typed, seen: Seen = None
) -> FieldReply:
    """Keep one field of the call as it was left."""
    with here.reading() as book:
        refusals = _refusals(book, number, {field: typed})
    with here.writing() as book:
        left = book.calls.leave(number, field, typed, refusal=refusals[field], seen=seen)
        return told_of(left)


@router.post("/calls/{number}/fields", include_in_schema=False)
def leave_fields(
    number: int,
    here: Here,
    title: Maybe = None,
    suspected: Maybe = None,
    note: Maybe = None,
    seen: Seen = None,
) -> Response:
    """Keep all fields of the call that the button without script sends; others stay as they are."""
    sent = {"title": title, "suspected": suspected, "note": note}
    told = {field: typed for field, typed in sent.items() if typed is not None}
    with here.reading() as book:
        refusals = _refusals(book, number, told)
    with here.writing() as book:
        for field, typed in told.items():
            book.calls.leave(number, field, typed, refusal=refusals[field], seen=seen)
    return goto(f"/calls/{number}#about")


@router.post("/calls/{number}/fields-choose", include_in_schema=False)
def choose_field(number: int, here: Here, row: Annotated[int, Form()]) -> Response:
    """Of two texts for one field, let one stand."""
    with here.writing() as book:
        book.calls.choose(number, row)
    return goto(f"/calls/{number}#about")


def _refusals(book: UnitOfWork, number: int, told: dict[str, str]) -> dict[str, str]:
    """Why a field cannot be used, by its name; "" where it can."""
    refusals = dict.fromkeys(told, "")
    if told.get("suspected", "").strip():
        unit = gathered(book, number).unit_text
        refusals["suspected"] = refused_suspicion(told["suspected"], at_fault_in(unit))
    return refusals


@router.post("/calls/{number}/complaint", include_in_schema=False)
def tell_complaint(
    number: int,
    here: Here,
    said: Annotated[str, Form(max_length=40)] = "",
    unsaid: Annotated[str, Form(max_length=40)] = "",
) -> Response:
    """Add something that the customer said, or take it back; the rest stays as it is."""
    chips = {chip.id for chip in chips_named(filter(None, (said, unsaid)))}
    with here.writing() as book:
        held = {*book.calls.get(number).said}
        left = held | chips if said else held - chips
        book.calls.leave(number, "complaint", ",".join(sorted(left)))
    return goto(f"/calls/{number}#complaint")


@router.post("/calls/{number}/unit", include_in_schema=False)
def put_on(number: int, here: Here, unit: Annotated[int, Form()]) -> Response:
    """Say which unit the call is about."""
    with here.writing() as book:
        book.calls.put_on(number, unit)
    return goto(f"/calls/{number}")


@router.post("/calls/{number}/state", include_in_schema=False)
def set_state(
    number: int, here: Here, state: Annotated[Literal["take", "open", "close"], Form()]
) -> Response:
    """Take the call, close it, or take it up again."""
    with here.writing() as book:
        if state == "take":
            book.calls.give(number, here.person_id)
        elif state == "close":
            book.calls.close(number)
        else:
            book.calls.start(number)
    return goto(f"/calls/{number}#about")


def _unit_read(row: records.Unit) -> Unit:
    """The unit that readings are taken on, also while its nameplate is being mended at the desk.

    What is typed in the yard meanwhile is kept. Raises BadRecord where the draft has no checks.
    """
    if row.state == "whole":
        return unit_from_text(row.toml)
    try:
        return unit_of_draft(row.toml)
    except BadInput:
        return unit_from_text(unit_text(row))


def _card(book: UnitOfWork, number: int, check: str) -> tuple[Unit, CheckCard]:
    """The unit and the check's card. Raises UnknownName, BadRecord where there is none."""
    call_row = book.calls.get(number)
    if call_row.unit_id is None:
        raise BadRecord(
            what=mark("It is not known yet which unit this call is about."),
            next_step=mark("go back and choose the unit; what you typed is still there"),
        )
    found = _unit_read(book.units.get(call_row.unit_id))
    cards = {key: each.card for key, each in checks_held(found).items()}
    name = full_id(check, cards)
    if name not in cards:
        raise UnknownName(
            what=mark("There is no such check on this unit."), name=check, known=cards
        )
    return found, cards[name]


def _after(number: int, given: AnswerForm, *, again: bool) -> str:
    """Where to go once an answer is kept: on, or to the same check again if it cannot be used."""
    told = [("check" if again and given.back == "check" else "saved", given.check)]
    query = urlencode(told + [("skip", each) for each in given.skip if each != given.check])
    return f"/calls/{number}?{query}#{given.back or 'readings'}"


def _dismiss(book: UnitOfWork, number: int, standing: int) -> None:
    """Let the answer that stands stand, and what was kept beside it go into its history."""
    for told in (book.symptoms, book.readings):
        row = next((each for each in told.history(number) if each.id == standing), None)
        others = [each for each in told.beside(number) if row and each.check == row.check]
        for each in others:
            told.stand(each.id)
        if row and others:
            told.take(
                number, row.check, row.typed, value=row.value, unit=row.unit, note=row.note,
                refusal=row.refusal,
            )  # fmt: skip


def _view(held: CallContext, at: CallAnswer, asked: CheckCardView | None, told: Asked) -> CallView:
    answer = at.answer
    row = held.call
    lines = assembly.readings(held, at)
    unit_title = held.unit_line.title if held.unit_line else "unit not known yet"
    return CallView(
        title=row.title or mark("No cooling"),
        number=row.id,
        version=row.version,
        state=row.state,
        line=" · ".join(each for each in (unit_title, held.customer, held.technician) if each),
        said=row.title,
        suspected=row.suspected,
        note=row.note,
        unit=held.unit_line,
        building=at.building,
        trouble=at.trouble,
        symptoms_first=not lines,
        chips=assembly.chips(row.said),
        looks=assembly.looks(held, at),
        diagnosis=diagnosis_json(answer) if answer else None,
        warned=narrative.warned(answer) if answer else None,
        decided=answer.decided if answer else False,
        begins=first_work_of(at),
        why_stop=WHY_STOP.get(answer.advice.why, "") if answer else "",
        asked=asked,
        suspects=narrative.suspects(answer) if answer else [],
        suspects_left=narrative.suspects_left(answer) if answer else "",
        own_weights=own_line(answer) if answer else "",
        complaint=complaint_lines(answer.said) if answer else [],
        try_order=narrative.try_order(answer) if answer else [],
        readings=lines,
        remarks=[*(answer.remarks if answer else ()), *assembly.of_another_unit(held, at)],
        clashes=assembly.clashes(held, at),
        others=assembly.others(at, asked, told.find),
        titles=assembly.titles(at),
        parts=narrative.part_titles(at.unit) if at.unit else [],
        photos=held.photos,
        drawing=None,
        links=of_call(row.id),
        way=way_of(held, at),
        stage="symptoms" if asked and asked.turn else "find",
        aside=aside_of(held),
        opened=told.open,
        find=told.find,
        skipped=list(told.skip),
        field_clashes=[],
        refused={},
        say=_say(at, told.saved, asked),
        token=fresh_token(),
    )


def _say(at: CallAnswer, saved: str, asked: CheckCardView | None) -> Heard | None:
    """What was saved, and what the card asks now."""
    card = at.by_id.get(full_id(saved, at.by_id)) if saved else None
    if card is None:
        return None
    then = say("Next: {check}", check=sentence(asked.title)) if asked else ""
    return Heard(text=say("Saved: {check}", check=sentence(card.title)), then=then, good=True)
