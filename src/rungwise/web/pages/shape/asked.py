"""What a visitor has answered so far, carried in the address: no page of it keeps anything."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Annotated
from urllib.parse import urlencode

from fastapi import Depends, Query

from rungwise.shaping import QUESTIONS, Question

Word = Annotated[str, Query(max_length=30)]


@dataclass(frozen=True)
class Told:
    """Answers by question, kinds of part seen besides, where to start, a label, and for which call.

    "" is a question that was not asked yet.
    """

    answers: Mapping[str, str]
    there: Sequence[str] = field(default=())
    start: str = ""
    label: str = ""
    call: int | None = None

    @property
    def known(self) -> dict[str, str]:
        """What was answered, also that nobody knows."""
        return {key: answer for key, answer in self.answers.items() if answer}

    def next_question(self) -> Question | None:
        """The first that was not asked yet; None after the last."""
        return next((each for each in QUESTIONS if not self.answers.get(each.key)), None)

    def with_answer(self, key: str, answer: str) -> Told:
        """The same with one more answer, or another one; a label and what it led to go."""
        return replace(self, answers={**self.answers, key: answer}, there=(), start="", label="")

    def query(self) -> str:
        """As the end of an address, with its question mark."""
        pairs = list(self._pairs())
        return f"?{urlencode(pairs)}" if pairs else ""

    def _pairs(self) -> Iterator[tuple[str, str]]:
        yield from self.known.items()
        yield from (("there", each) for each in self.there)
        if self.start:
            yield "start", self.start
        if self.label:
            yield "label", self.label
        if self.call is not None:
            yield "call", str(self.call)

    def path_on(self) -> str:
        """Where an answer leads: to the next question, or to the unit."""
        page = "/new-unit" if self.next_question() else "/new-unit/unit"
        return f"{page}{self.query()}"


@dataclass
class _Address:
    """What may stand in the address of a page of a new unit."""

    sort: Word = ""
    poles: Word = ""
    heater: Word = ""
    kit: Word = ""
    pressure: Word = ""
    board: Word = ""
    there: Annotated[list[str] | None, Query(max_length=60)] = None
    start: Annotated[str, Query(max_length=80)] = ""
    label: Annotated[str, Query(max_length=12_000)] = ""
    call: int | None = None


def _asked(typed: Annotated[_Address, Depends()]) -> Told:
    answers = {each.key: str(getattr(typed, each.key)) for each in QUESTIONS}
    return Told(answers, tuple(typed.there or ()), typed.start, typed.label, typed.call)


Asked = Annotated[Told, Depends(_asked)]
