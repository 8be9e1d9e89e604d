"""Who is working, and whether the page is for sun or night."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Form, Request, Response

from rungwise.web.deps import DEMO, Here
from rungwise.web.forms import back_to
from rungwise.web.schemas import View, page
from rungwise.web.shown import Shown
from rungwise.web.templating import Light
from rungwise.wording import Language, System, mark

YEAR_S = 365 * 24 * 3600

router = APIRouter()


class Worker(Shown):
    """A person who works for the shop."""

    id: int
    name: str
    role: str


class PersonPage(View):
    """Who is working on this phone. working: the number of the person, None if nobody has said."""

    working: int | None
    workers: list[Worker]
    zone: str
    back: str


@page(router, "/person", "person.html")
def person_page(here: Here, back: str = "/day") -> PersonPage:
    """Who is working: everything typed is kept under this name."""
    with here.reading() as book:
        shop = book.shop.only()
        workers = [
            Worker(id=each.id, name=each.name, role=each.role) for each in book.persons.active()
        ]
    zone = shop.zone if shop and shop.zone != "UTC" else here.zone
    title = mark("Who is working?")
    return PersonPage(title=title, working=here.person_id, workers=workers, zone=zone, back=back)


@router.post("/person", include_in_schema=False)
def choose_person(
    here: Here,
    request: Request,
    person: Annotated[int, Form()],
    back: Annotated[str, Form()] = "/day",
) -> Response:
    """Remember who is working on this phone. Raises UnknownName for nobody of the shop's."""
    with here.reading() as book:
        book.persons.get(person)
    return _remembering(_cookie(request), str(person), back)


@router.post("/persons", include_in_schema=False)
def new_person(
    here: Here,
    request: Request,
    name: Annotated[str, Form(max_length=80)],
    zone: Annotated[str, Form(max_length=80)] = "",
    back: Annotated[str, Form()] = "/day",
) -> Response:
    """Somebody new, who is then the one who is working.

    zone: as typed, else the phone's. Raises BadRecord for an empty name, or no zone at all.
    """
    with here.writing() as book:
        held = book.persons.named(name)
        person = held or book.persons.add(name, zone=zone.strip() or here.zone)
    return _remembering(_cookie(request), str(person.id), back)


@router.post("/light", include_in_schema=False)
def choose_light(
    light: Annotated[Light, Form()], back: Annotated[str, Form()] = "/day"
) -> Response:
    """Remember light or dark on this phone."""
    return _remembering("light", light, back)


@router.post("/language", include_in_schema=False)
def choose_language(
    language: Annotated[Language, Form()], back: Annotated[str, Form()] = "/day"
) -> Response:
    """Remember the language on this phone."""
    return _remembering("language", language, back)


@router.post("/measures", include_in_schema=False)
def choose_measures(
    system: Annotated[System, Form()], back: Annotated[str, Form()] = "/day"
) -> Response:
    """Remember the units of measure on this phone."""
    return _remembering("measures", system, back)


def _cookie(request: Request) -> str:
    """Where this phone keeps who works: the demo has persons of its own."""
    return DEMO if request.cookies.get(DEMO) else "person"


def _remembering(cookie: str, value: str, back: str) -> Response:
    answer = back_to(back)
    answer.set_cookie(cookie, value, max_age=YEAR_S, httponly=True, samesite="lax")
    return answer
