"""What every page has at hand: the records, the desk that answers, and who is working."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Annotated

from fastapi import Depends, Request

from rungwise.errors import UnknownName
from rungwise.web.forms import Tokens
from rungwise.web.lookout import Lookout

if TYPE_CHECKING:
    from rungwise.answers import Desk
    from rungwise.records import Book, Store

__all__ = ["Here", "Hereabouts", "House"]


@dataclass(frozen=True)
class House:
    """What the app holds for as long as it runs.

    names: of persons, by number. kinds: of calls, by number; a call never changes its kind.
    """

    store: Store
    desk: Desk
    tokens: Tokens = field(default_factory=Tokens)
    names: dict[int, str] = field(default_factory=dict)
    kinds: dict[int, str] = field(default_factory=dict)

    @cached_property
    def lookout(self) -> Lookout:
        """What is coming for the shop."""
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
class Hereabouts:
    """The house as one person sees it. person_id: None until somebody says who is working."""

    house: House
    person_id: int | None
    person: str

    @property
    def desk(self) -> Desk:
        """What answers."""
        return self.house.desk

    @property
    def tokens(self) -> Tokens:
        """Forms that were sent already."""
        return self.house.tokens

    def reading(self) -> AbstractContextManager[Book]:
        """The book, to read in."""
        return self.house.store.reading(self.person_id)

    @contextmanager
    def writing(self) -> Iterator[Book]:
        """The book, to write in."""
        with self.house.store.writing(self.person_id) as book:
            yield book


def _here(request: Request) -> Hereabouts:
    house: House = request.app.state.house
    cookie = request.cookies.get("person", "")
    number = int(cookie) if cookie.isdecimal() and len(cookie) < 10 else None
    name = house.name_of(number) if number is not None else ""
    request.state.person = name
    return Hereabouts(house, number if name else None, name)


Here = Annotated[Hereabouts, Depends(_here)]
"""Asked for by a page as an argument: ``def some_page(here: Here) -> SomeView``."""
