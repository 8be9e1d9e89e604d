"""What the records hold of a practice call: the unit as it was, the level, helps, and names given.

All but the hidden fault and the score are fields of the call, so that nothing typed is lost.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass, replace

from rungwise import records
from rungwise.errors import BadRecord
from rungwise.evaluation import LEVELS, HiddenUnit, Level, LevelName
from rungwise.records import UnitOfWork
from rungwise.services import RESULTS, unit_from_text
from rungwise.unit import Unit
from rungwise.web.context import CallContext, gathered
from rungwise.web.leads import checks_held
from rungwise.web.pages.call.assembly import CallAnswer
from rungwise.wording import mark

UNIT, TITLE, LEVEL, HELP, NAMED = (
    f"practice.{each}" for each in ("unit", "title", "level", "help", "named")
)
BETWEEN = "|"

_specimens = RESULTS.shelf("hidden units")


@dataclass(frozen=True)
class NameGiven:
    """A naming of the part at fault and of the cause behind it, "" where none was named."""

    part: str
    cause: str


@dataclass(frozen=True)
class PracticeContext:
    """A practice call as it stands.

    held: its rows, with the text of the unit as it was when the call began. helps: for each time
    that help was asked, after how many checks.
    """

    held: CallContext
    practice: records.Practice
    level: Level
    unit_title: str
    helps: tuple[int, ...]
    named: tuple[NameGiven, ...]

    @property
    def number(self) -> int:
        """Of the call."""
        return self.held.call.id

    @property
    def ended(self) -> bool:
        """Whether the fault may be told."""
        return self.practice.finished_at is not None

    @property
    def made(self) -> tuple[str, ...]:
        """The checks that the apprentice made, in order; what the customer told is none."""
        return tuple(each.check for each in self.held.standing if each.kind == "reading")

    @property
    def helped(self) -> bool:
        """Whether the advice is open: it was asked for since the last check."""
        return len(self.made) in self.helps

    @property
    def unit(self) -> Unit:
        """The unit as it was when the call began."""
        return unit_from_text(self.held.unit_text)

    @property
    def unmeasured(self) -> CallAnswer:
        """The unit with its checks and no answer, as the page has it until help is asked."""
        cards = tuple(check.card for check in checks_held(self.unit).values())
        return CallAnswer(self.unit, cards)

    @property
    def hidden(self) -> HiddenUnit:
        """The specimen with the fault in it."""
        return specimen(self.held.unit_text, self.practice.fault, self.practice.seed)

    def wrong(self) -> Iterator[str]:
        """Every block that was named and has nothing, as often as it was named."""
        for each in self.named:
            yield from self.hidden.judge(each.part, each.cause).wrong


def specimen(text: str, fault: str, seed: int) -> HiddenUnit:
    """The unit of that text with a fault in it, drawn by its seed."""
    unit = unit_from_text(text)
    key = (hashlib.sha256(text.encode()).hexdigest(), fault, seed)
    return _specimens.get(key, lambda: HiddenUnit(unit, fault, seed, checks_held(unit)))


def level_of(name: str) -> Level:
    """The level of that name. Raises BadRecord for any other."""
    found = next((each for each in LEVELS if each.name == name), None)
    if found is None:
        raise BadRecord(
            what=mark("There is no such level."),
            value=name,
            allowed=", ".join(each.name for each in LEVELS),
            next_step=mark("choose one of them"),
        )
    return found


def opened(  # what a practice call is made of, by name
    book: UnitOfWork,
    *,
    person_id: int,
    title: str,
    text: str,
    level: LevelName,
    fault: str,
    seed: int,
) -> int:
    """Open a practice call and hide its fault; the number of the call.

    It hangs on no unit and no customer, so that no list and no history can show it.
    """
    call = book.calls.open(
        None, title=f"Practice: {title}", technician_id=person_id, kind="practice"
    )
    for field, typed in {UNIT: text, TITLE: title, LEVEL: level}.items():
        book.calls.leave(call.id, field, typed)
    book.practice.hide(call.id, fault, seed)
    return call.id


def practised(book: UnitOfWork, number: int) -> PracticeContext:
    """A practice call. Raises UnknownName when there is no call, BadRecord for a customer's."""
    held = gathered(book, number)  # first: it refuses a number that no database takes
    practice = book.practice.of_call(number)
    if practice is None:
        raise BadRecord(
            what=mark("This is a customer's call, and no practice."),
            value=str(number),
            next_step=mark("go back to the day's calls"),
        )
    fields = {name: entry.typed for name, entry in book.calls.entries(number).items()}
    return PracticeContext(
        held=replace(held, unit_text=fields[UNIT]),
        practice=practice,
        level=level_of(fields[LEVEL]),
        unit_title=fields[TITLE],
        helps=tuple(int(each.typed) for each in book.calls.history(number, HELP)),
        named=tuple(_named(each.typed) for each in book.calls.history(number, NAMED)),
    )


def run_titles(book: UnitOfWork, number: int) -> tuple[str, str]:
    """What a practice call is on, and its level, in words."""
    fields = {name: entry.typed for name, entry in book.calls.entries(number).items()}
    return fields[TITLE], level_of(fields[LEVEL]).title


def _named(typed: str) -> NameGiven:
    part, _, cause = typed.partition(BETWEEN)
    return NameGiven(part, cause)


def ask_help(book: UnitOfWork, call: PracticeContext) -> None:
    """Keep that help was asked; once for each moment of the call."""
    book.calls.leave(call.number, HELP, str(len(call.made)))


def keep_name(book: UnitOfWork, call: PracticeContext, named: NameGiven) -> None:
    """Keep a naming; the same sent again at once is kept once."""
    book.calls.leave(call.number, NAMED, f"{named.part}{BETWEEN}{named.cause}")
