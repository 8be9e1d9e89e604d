"""What every page has at hand: the records, the desk that answers, and who is working."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass, field
from functools import cached_property
from http import HTTPStatus
from typing import TYPE_CHECKING, Annotated
from urllib.parse import unquote

from fastapi import Depends, HTTPException, Request

from rungwise.errors import BadRecord, UnknownName
from rungwise.records import NUMBERS, zone_name
from rungwise.web.languages import system_of
from rungwise.web.outlook import Lookout
from rungwise.web.submission import AsSent, Sending, SentBefore
from rungwise.wording import System

if TYPE_CHECKING:
    from rungwise.records import Store, UnitOfWork
    from rungwise.services import DiagnosisService
    from rungwise.web.secure import Secure

DEMO = "demo"
"""The cookie of a phone that looks at the demo shop; its value is who works there."""

ZONE = "zone"
"""The cookie with the phone's own time zone, which script puts there."""


@dataclass(frozen=True)
class AppState:
    """What the app holds for as long as it runs.

    names: of persons, by number. kinds: of calls, by number; a call never changes its kind.
    secure: what phones install to trust this server; None where it speaks plain HTTP itself.
    reports: what links to customer reports begin with, "" for the address of the page.
    """

    store: Store
    desk: DiagnosisService
    secure: Secure | None = None
    reports: str = ""
    names: dict[int, str] = field(default_factory=dict)
    kinds: dict[int, str] = field(default_factory=dict)

    @cached_property
    def lookout(self) -> Lookout:
        """Forecast for the shop."""
        return Lookout(self.store)

    def name_of(self, person_id: int) -> str:
        """The person's name, "" when there is no such person in these records."""
        if person_id not in self.names:
            try:
                with self.store.reading() as book:
                    self.names[person_id] = book.persons.get(person_id).name
            except UnknownName:
                return ""
        return self.names[person_id]

    def kind_of(self, call_id: int) -> str:
        """What a call is, "" when there is no such call: one may still come under that number."""
        if call_id not in self.kinds:
            try:
                with self.store.reading() as book:
                    self.kinds[call_id] = book.calls.get(call_id).kind
            except UnknownName:
                return ""
        return self.kinds[call_id]


@dataclass(frozen=True)
class Visitor:
    """The house as one person sees it. person_id: None until somebody says who is working.

    sending: what came with the form. zone: the phone's, "" where it did not say.
    units: those that the phone is set to.
    """

    house: AppState
    person_id: int | None
    person: str
    sending: Sending = field(default_factory=Sending)
    zone: str = ""
    units: System = "us"

    @property
    def desk(self) -> DiagnosisService:
        """What answers."""
        return self.house.desk

    def reading(self) -> AbstractContextManager[UnitOfWork]:
        """The book, to read in."""
        return self.house.store.reading(self.person_id, zone=self.zone)

    @contextmanager
    def writing(self, *, counts: bool = True) -> Iterator[UnitOfWork]:
        """The book, to write in, under the moment at which the form was filled in.

        The form is claimed with what is written first: whoever sends it again is led where it led.
        counts: False for what is written before the part of the form that must not be lost.
        Raises SentBefore for a form that was kept before.
        """
        sending, store = self.sending, self.house.store
        claims = counts and bool(sending.token) and not sending.kept
        with store.writing(self.person_id, at=store.now() - sending.waited, zone=self.zone) as book:
            if claims and not book.sent.claim(
                sending.token, sending.path, device_at=sending.device_at
            ):
                raise self._sent_before(book)
            yield book
            if claims:
                book.sent.led(sending.token, sending.answer)
        sending.kept = sending.kept or claims

    def leads(self, path: str) -> None:
        """Say inside `writing` where the form leads, for those who send it again.

        Without a word it leads back to the page that it stood on.
        """
        self.sending.answer = path

    def refuse_twice(self) -> None:
        """Raise SentBefore for a form that was kept before, before anything is looked at."""
        if self.sending.token:
            with self.reading() as book:
                if book.sent.of(self.sending.token):
                    raise self._sent_before(book)

    def _sent_before(self, book: UnitOfWork) -> SentBefore:
        sent = book.sent.of(self.sending.token)
        self.sending.kept = True
        return SentBefore(sent.answer if sent else self.sending.answer)


def zone_of(request: Request) -> str:
    """The phone's time zone by its cookie, "" where it has none or one that does not exist."""
    try:
        told = unquote(request.cookies.get(ZONE, ""))
        return zone_name(told) if told else ""
    except BadRecord:
        return ""


def house_of(request: Request) -> AppState:
    """The records that a phone looks at: the shop's, or the demo's."""
    house: AppState = (
        request.app.state.demo.house(zone_of(request))
        if request.cookies.get(DEMO)
        else request.app.state.house
    )
    return house


def _refuse_beyond(request: Request) -> None:
    """No row has a number that the database cannot hold, however a page would look for it."""
    told = [each for each in request.path_params.values() if str(each).isdecimal()]
    if any(int(each) > NUMBERS[-1] for each in told):
        raise HTTPException(HTTPStatus.NOT_FOUND)


def _here(request: Request, sending: AsSent) -> Visitor:
    _refuse_beyond(request)
    house = house_of(request)
    cookie = request.cookies.get(DEMO) or request.cookies.get("person", "")
    told = cookie if sending.person is None else sending.person
    number = int(told) if told.isdecimal() and len(told) < 10 else None
    name = house.name_of(number) if number is not None else ""
    request.state.person = name
    here = Visitor(
        house, number if name else None, name, sending, zone_of(request), system_of(request)
    )
    request.state.person_id = here.person_id
    here.refuse_twice()
    return here


Here = Annotated[Visitor, Depends(_here)]
"""Asked for by a page as an argument: `def some_page(here: Here) -> SomeView`."""
