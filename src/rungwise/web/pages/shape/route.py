"""A new unit: plain questions one by one, or its wiring label, and the unit at once."""

from __future__ import annotations

import threading
from typing import Annotated

from fastapi import APIRouter, Query

from rungwise.errors import BadInput
from rungwise.records import UnitOfWork
from rungwise.services import OwnText, shaped_unit
from rungwise.shaping import QUESTIONS, SUPPLIES, UNKNOWN, shipped_candidates, unlike
from rungwise.web.deps import Here
from rungwise.web.forms import fresh_token
from rungwise.web.pages.shape.asked import Asked, Told
from rungwise.web.pages.shape.view import (
    Ask,
    CheckLine,
    LabelPage,
    Link,
    ShapedPage,
    SupplyChoice,
    UnlikePage,
    answered,
    refusal_of,
    told_of,
)
from rungwise.web.schemas import page
from rungwise.web.unit_pictures import state_of, svg_in_state
from rungwise.wording import mark

router = APIRouter()


def warm_up() -> threading.Thread:
    """Read what every arrangement answers, which takes seconds, while nobody waits for it."""
    thread = threading.Thread(target=_warm, name="warm-up of arrangements", daemon=True)
    thread.start()
    return thread


def _warm() -> None:
    for each in shipped_candidates():
        each.facts  # noqa: B018  # kept once it is asked for


@page(router, "/new-unit", "shape_ask.html")
def ask(here: Here, told: Asked) -> Ask:
    """One plain question about a new unit; the answers so far are in the address."""
    question = told.next_question() or QUESTIONS[-1]
    with here.reading() as book:
        own = [
            Link(words=each.title, path=f"/new-unit/unit{_started(told, each.id).query()}")
            for each in book.arrangements.listed()
        ]
    options = [
        Link(
            words=each.words,
            hint=each.hint,
            path=told.with_answer(question.key, each.key).path_on(),
        )
        for each in question.answers
    ]
    return Ask(
        title=mark("A new unit"),
        number=QUESTIONS.index(question) + 1,
        count=len(QUESTIONS),
        question=question.asks,
        options=options,
        unknown=told.with_answer(question.key, UNKNOWN).path_on(),
        enough=f"/new-unit/unit{told.query()}" if told.known else "",
        answered=answered(told),
        own=own if not told.known else [],
        label=f"/new-unit/label{told.query()}",
        unlike=_unlike(told),
        call=told.call,
    )


def _started(told: Told, number: int) -> Told:
    return Told({}, start=own_name(number), call=told.call)


def _unlike(told: Told) -> str:
    return "/new-unit/unlike" + (f"?call={told.call}" if told.call is not None else "")


def own_name(number: int) -> str:
    """What an arrangement of the shop's own is called among all others."""
    return f"own-{number}"


def own_texts(book: UnitOfWork) -> tuple[OwnText, ...]:
    """The shop's own arrangements, for whoever shapes a unit."""
    return tuple((own_name(each.id), each.toml) for each in book.arrangements.listed())


@page(router, "/new-unit/label", "shape_label.html")
def label(here: Here, told: Asked) -> LabelPage:
    """The wiring label to be typed as a list: from, color, to."""
    del here  # asked for only so that the page tells who is working
    return LabelPage(
        title=mark("The wiring label"),
        label=told.label,
        answered=answered(told),
        hidden=_hidden(told),
    )


def _hidden(told: Told) -> list[tuple[str, str]]:
    call = [("call", str(told.call))] if told.call is not None else []
    return [*told.known.items(), *call]


@page(router, "/new-unit/unit", "shaped.html")
def unit(here: Here, told: Asked) -> ShapedPage:
    """The unit that the answers, or its wiring label, lead to: what it does and what not."""
    with here.reading() as book:
        own = own_texts(book)
    view = ShapedPage(
        title=mark("A new unit"),
        answered=answered(told),
        label=told.label,
        label_path=f"/new-unit/label{told.query()}",
        unlike=_unlike(told),
        hidden=_hidden(told),
        call=told.call,
        token=fresh_token(),
    )
    try:
        shaped = shaped_unit(
            told.known, label=told.label, there=told.there, start=told.start, own=own
        )
    except BadInput as error:
        view.refused = refusal_of(error)
        return view
    told_of(view, shaped)
    # What the unit on the page has already leads to no other one.
    shown = {part.kind for part in shaped.unit.parts} - set(told.there)
    view.extras = [
        Link(words=each.title, path=_toggled(told, each.kind), on=each.kind in told.there)
        for each in shaped.extras
        if each.kind not in shown
    ]
    view.alike = [Link(words=title, path=_from(told, name)) for name, title in shaped.alike]
    view.about(shaped.unit)
    view.draw("ladder", lambda: svg_in_state(shaped.unit, "ladder", state_of(shaped.unit, "rest")))
    return view


def _toggled(told: Told, kind: str) -> str:
    there = [each for each in told.there if each != kind]
    more = [*there, kind] if kind not in told.there else there
    return f"/new-unit/unit{Told(told.answers, more, '', told.label, told.call).query()}"


def _from(told: Told, name: str) -> str:
    return f"/new-unit/unit{Told(told.answers, told.there, name, told.label, told.call).query()}"


@page(router, "/new-unit/unlike", "unlike.html")
def unlike_any(
    here: Here,
    supply: Annotated[list[str] | None, Query(max_length=20)] = None,
    call: int | None = None,
) -> UnlikePage:
    """A unit like none that is known: by its supplies alone, and what holds for any unit."""
    del here  # asked for only so that the page tells who is working
    told = list(supply or ())
    found = unlike(told) if told else None
    checks = found.checks if found else ()
    by_power = {
        power: [CheckLine(title=e.title, reads=e.reads) for e in checks if e.power == power]
        for power in ("off", "on")
    }
    return UnlikePage(
        title=mark("Not like any of these"),
        supplies=[
            SupplyChoice(key=key, words=words, on=key in told)
            for key, (_, words) in SUPPLIES.items()
        ],
        steps=list(found.steps) if found else [],
        dead=by_power["off"],
        live=by_power["on"],
        unknown=list(found.unknown) if found else [],
        call=call,
    )
