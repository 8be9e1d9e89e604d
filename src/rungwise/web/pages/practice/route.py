"""Practice for an apprentice: a call with a hidden fault, its score, and how the last ones went."""

from __future__ import annotations

import secrets
from collections.abc import Iterable, Mapping
from typing import Annotated

from fastapi import APIRouter, Form, Query, Response

from rungwise import records
from rungwise.errors import BadRecord, UnknownName
from rungwise.evaluation import LEVELS, draw_fault, free_symptoms
from rungwise.faults import SuspectSet
from rungwise.records import Readings, UnitOfWork, unit_text
from rungwise.services import unit_from_text
from rungwise.unit import ARRANGEMENTS, arrangement
from rungwise.web.answer_parsing import ParsedAnswer, taken
from rungwise.web.deps import Here, Visitor
from rungwise.web.forms import fresh_token, goto
from rungwise.web.leads import checks_held
from rungwise.web.pages.practice.assembly import shown, titles_of, view_of
from rungwise.web.pages.practice.context import (
    NameGiven,
    PracticeContext,
    ask_help,
    keep_name,
    level_of,
    opened,
    practised,
    run_titles,
    specimen,
)
from rungwise.web.pages.practice.end import lesson, score_view
from rungwise.web.pages.practice.view import (
    LevelLine,
    PracticeCall,
    PracticeHome,
    PracticeScore,
    Run,
)
from rungwise.web.schemas import page
from rungwise.web.unit_pictures import Kind
from rungwise.web.unit_search import unit_lines
from rungwise.wording import mark

LISTED = 40
LAST = 5
SEEDS = 2**31

router = APIRouter()


@page(router, "/practice", "practice_home.html")
def practice_home(here: Here, of: int | None = None) -> PracticeHome:
    """Units to practise on, and an apprentice's practice calls with their scores.

    of: another person, whose calls to show.
    """
    whose = of if of is not None else here.person_id
    with here.reading() as book:
        units = [each for each in unit_lines(book).values() if not each.draft]
        name = book.persons.get(whose).name if whose is not None else ""
        people = [each for each in book.persons.active() if each.id != whose]
        rows = book.practice.of_person(whose) if whose is not None else []
        runs = [_run(book, *each) for each in reversed(rows[-LISTED:])]
    scores = [each.score for each in runs if each.score is not None][:LAST]
    return PracticeHome(
        title=mark("Practice"),
        apprentice=name,
        own=whose is not None and whose == here.person_id,
        levels=[LevelLine(name=each.name, title=each.title, told=each.told) for each in LEVELS],
        level=LEVELS[0].name,
        units=units,
        arrangements=[(each, mark(arrangement(each).title)) for each in ARRANGEMENTS],
        runs=runs,
        mean_score=sum(scores) / len(scores) if scores else None,
        others=[(f"/practice?of={each.id}#history", each.name) for each in people],
        token=fresh_token(),
    )


@page(router, "/practice/{number}", "practice.html")
def practice_call(
    number: int,
    here: Here,
    check: Annotated[str, Query(max_length=120)] = "",
    picture: Kind = "ladder",
) -> PracticeCall:
    """A practice call: what was told and read, a check to make, and no word of what is hidden.

    check: the one to make. Advice is in it only when help was asked since the last check.
    """
    with here.reading() as book:
        call = practised(book, number)
    return view_of(here.desk, call, check, picture)


@page(router, "/practice/{number}/score", "practice_score.html")
def practice_score(number: int, here: Here) -> PracticeScore:
    """The fault, the score and its make-up, each check beside the best one; refused before."""
    with here.reading() as book:
        call = practised(book, number)
    return score_view(here.desk, call)


@router.post("/practice", include_in_schema=False)
def begin(
    here: Here,
    level: Annotated[str, Form()],
    unit: Annotated[int | None, Form()] = None,
    on: Annotated[str, Form(max_length=60)] = "",
) -> Response:
    """Begin a practice call; sent again, the form leads to the one that it began.

    unit: one of the records'; on: a shipped arrangement instead.
    """
    if here.person_id is None:
        return goto("/person?back=/practice")
    return goto(_begun(here, here.person_id, level, unit, on))


@router.post("/practice/{number}/readings", include_in_schema=False)
def read_meter(number: int, here: Here, check: Annotated[str, Form(max_length=120)]) -> Response:
    """Read the meter, or look: what it shows is kept as if it had been typed.

    Raises UnknownName for a check that the unit does not have.
    """
    with here.reading() as book:
        call = practised(book, number)
    cards = call.unmeasured.by_id
    if check not in cards:
        raise UnknownName(
            what=mark("There is no such check on this unit."), name=check, known=cards
        )
    if not call.ended:
        told = _readings(call, [check])
        with here.writing() as book:
            _keep(book.readings, call, told)
    return goto(f"/practice/{number}#r-{check}")


@router.post("/practice/{number}/help", include_in_schema=False)
def help_me(number: int, here: Here) -> Response:
    """Open the advice until the next check, and count it."""
    with here.writing() as book:
        call = practised(book, number)
        if not call.ended:
            ask_help(book, call)
    return goto(f"/practice/{number}#help")


@router.post("/practice/{number}/name", include_in_schema=False)
def name_it(
    number: int,
    here: Here,
    part: Annotated[str, Form(max_length=120)],
    cause: Annotated[str, Form(max_length=120)] = "",
) -> Response:
    """Name the part at fault, and the cause behind it; the call ends once all of it is named.

    Raises UnknownName for a part that the unit does not have.
    """
    with here.reading() as book:
        call = practised(book, number)
    titles = titles_of(call.unit)
    for each in (part, cause) if cause else (part,):
        if each not in titles:
            raise UnknownName(what=mark("There is no such part."), name=each, known=titles)
    if not call.ended:
        whole = call.hidden.judge(part, cause).kind == "whole"
        with here.writing(counts=not whole) as book:
            keep_name(book, call, NameGiven(part, cause))
        if whole:
            _end(here, number, found=True, named=titles[part])
            return goto(f"/practice/{number}/score")
    return goto(f"/practice/{number}#name")


@router.post("/practice/{number}/end", include_in_schema=False)
def give_up(number: int, here: Here) -> Response:
    """End it without the fault named."""
    _end(here, number, found=False, named="")
    return goto(f"/practice/{number}/score")


def _begun(here: Visitor, person: int, level: str, unit: int | None, on: str) -> str:
    """Begin it with what the customer tells, all at once; the path of its page."""
    wanted = level_of(level).name
    with here.reading() as book:
        if unit is not None:
            row = book.units.get(unit)
            title, text = row.title, unit_text(row)
        else:
            title, text = _shipped(on)
    seed = secrets.randbelow(SEEDS)
    found = unit_from_text(text)
    fault = draw_fault(SuspectSet(found), wanted, seed)
    known = free_symptoms(found, (each.card for each in checks_held(found).values()))
    for each in known:  # solved before anything is written: all other writers would wait for it
        specimen(text, fault, seed).take(each)
    with here.writing() as book:
        number = opened(
            book, person_id=person, title=title, text=text, level=wanted, fault=fault, seed=seed
        )
        call = practised(book, number)
        _keep(book.symptoms, call, _readings(call, known))
        path = f"/practice/{number}"
        here.leads(path)
    return path


def _shipped(name: str) -> tuple[str, str]:
    if name not in ARRANGEMENTS:
        raise BadRecord(
            what=mark("There is no such arrangement."),
            value=name,
            allowed=", ".join(ARRANGEMENTS),
            next_step=mark("choose a unit or one of these"),
        )
    return arrangement(name).title, f'arrangement = "{name}"\n'


def _readings(call: PracticeContext, checks: Iterable[str]) -> dict[str, ParsedAnswer]:
    """What the hidden unit shows, check by check; one that was made already is left out."""
    cards = call.unmeasured.by_id
    asked = [cards[check] for check in checks if check not in call.made]
    return {
        card.id: taken(call.unit, card, shown(card, call.hidden.take(card.id))) for card in asked
    }


def _keep(to: Readings, call: PracticeContext, told: Mapping[str, ParsedAnswer]) -> None:
    """Keep what was read as if it had been typed."""
    cards = call.unmeasured.by_id
    for check, each in told.items():
        to.take(
            call.number, check, each.typed, value=each.value, unit=cards[check].unit,
            refusal=each.refusal,
        )  # fmt: skip


def _end(here: Visitor, number: int, *, found: bool, named: str) -> None:
    """Score it, and keep the score; the first end counts."""
    with here.reading() as book:
        call = practised(book, number)
    if call.ended:
        return
    told = lesson(here.desk, call, found=found)
    wrong = len(list(call.wrong()))
    with here.writing() as book:
        book.practice.finish(
            number, named=named, right=found, checks=len(told.steps), wrong_parts=wrong,
            score=told.score,
        )  # fmt: skip
        book.calls.close(number)


def _run(book: UnitOfWork, call: records.Call, practice: records.Practice) -> Run:
    unit, level = run_titles(book, call.id)
    return Run(
        number=call.id,
        day=call.day,
        unit=unit,
        level=level,
        score=practice.score,
        found=practice.right,
        checks=practice.checks,
        wrong_parts=practice.wrong_parts,
    )
