"""`rungwise call`: a whole call at the keyboard, one check after the other, written as it goes."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from rungwise.cli.options import Complaint, UnitName

if TYPE_CHECKING:
    from rungwise.cli.page import Page
    from rungwise.diagnosis import CheckCard
    from rungwise.services import CallDiagnosis, CallTaking

KEYS = "? why · u undo · o WORDS another check · s cannot reach · q leave, the file stays"
MOST_FOUND = 12


class Left(Exception):  # no error: somebody leaves the call
    """The person leaves, or the input ends."""


def call(
    unit: UnitName,
    file: Annotated[
        str,
        typer.Option("--file", metavar="FILE", help="The call file; one that is there goes on.",
                     show_default="call-DATE-UNIT.toml"),
    ] = "",
    customer: Annotated[
        str, typer.Option("--customer", metavar="NAME", help="Who called.", show_default=False)
    ] = "",
    technician: Annotated[
        str, typer.Option("--tech", metavar="NAME", help="Who is on it.", show_default=False)
    ] = "",
    complaint: Complaint = None,
) -> None:  # fmt: skip
    """Ask one check after the other and write the call file as it goes.

    First what anyone sees, then the check that tells most for its minutes. Each answer is in the
    file before the next question; the same command goes on with it. Exit code 1 when it is left
    before there is an answer to act on.

    Example: rungwise call one_pole_heater --file no-cool.toml --customer "Mrs. Finch"
    """
    from rungwise.cli.page import Page
    from rungwise.services import CallTaking, open_unit

    opened, today = open_unit(unit), dt.datetime.now().astimezone().date()
    path = Path(file or f"call-{today.isoformat()}-{Path(unit).stem}.toml")
    said = {"customer": customer, "technician": technician}
    taking = CallTaking.start(path, opened, today, {k: v for k, v in said.items() if v})
    page = Page()
    page.title(opened.unit.title, [f"Call file: {path}", KEYS])
    try:
        decided = _Call(page, taking, tuple(complaint or ())).work()
    except Left:
        page.say(f"Left. Every answer is in {path}; the same command goes on.")
        decided = False
    if not decided:
        raise typer.Exit(1)


class _Call:
    """The call at the keyboard: what it is asked with."""

    def __init__(self, page: Page, taking: CallTaking, complaint: tuple[str, ...]) -> None:
        from rungwise.cli.printing import waiting
        from rungwise.diagnosis import ReadingModel
        from rungwise.services import fault_table

        self.page, self.taking, self.complaint = page, taking, complaint
        self.model = ReadingModel(fault_table(taking.opened, waiting))
        self.cards = self.model.table.checks

    def work(self) -> bool:
        """Ask until nothing is left to ask; whether there is an answer to act on."""
        wanted: CheckCard | None = None
        while True:
            looks = self.taking.open_looks(self.cards)
            if looks and wanted is None:
                wanted = self._asked(looks[0], None)
                continue
            answer = self.taking.answer(self.model, self.complaint, wanted.id if wanted else None)
            card = wanted or answer.advice.check
            if card is None:
                return self._end(answer)
            wanted = self._asked(card, answer)

    def _asked(self, card: CheckCard, answer: CallDiagnosis | None) -> CheckCard | None:
        """Ask one check until its answer is written; the check that is wanted in its place."""
        from rungwise.cli.telling import tell_check

        self.page.blank()
        tell_check(self.page, card)
        for number, choice in enumerate(card.choices, start=1):
            self.page.point(choice, mark=f"{number}", indent=2)
        while True:
            typed = self._typed(card)
            if typed == "?":
                self._why(answer)
            elif typed == "u":
                self._undo()
                return None
            elif typed == "o" or typed.startswith("o "):
                other = self._other(typed[1:].split())
                if other is not None:
                    return other
            elif self._kept(card, typed):
                return None

    def _typed(self, card: CheckCard) -> str:
        hint = "number or word" if card.form == "choice" else f"{card.unit}, or OL"
        typed = _line(f"[{hint}]")
        if typed == "q":
            raise Left
        return typed

    def _kept(self, card: CheckCard, typed: str) -> bool:
        """Write an answer; False where it cannot be one, with the reason told."""
        from rungwise.errors import BadInput

        if not typed:
            self.page.say(KEYS, indent=2)
            return False
        if typed == "s":
            typed = "-" if card.form == "choice" else "can't reach"
        if typed.isdecimal() and 0 < int(typed) <= len(card.choices):
            typed = card.choices[int(typed) - 1]
        try:
            self.taking.add(card, typed)
        except BadInput as error:
            self.page.warn("NOTICE", str(error), indent=2)
            return False
        return True

    def _undo(self) -> None:
        if not self.taking.undo():
            self.page.say("No answer of this session is left to take back.", indent=2)

    def _why(self, answer: CallDiagnosis | None) -> None:
        from rungwise.cli.telling import tell_cause, tell_expected

        if answer is None:
            self.page.say("Anyone can tell this, and it says where to begin.", indent=2)
            return
        tell_cause(self.page, answer)
        tell_expected(self.page, answer)

    def _other(self, typed: list[str]) -> CheckCard | None:
        """A check whose title has all the words that were typed; None where none was chosen."""
        found = [
            card for card in self.cards
            if all(word.casefold() in card.title.casefold() for word in typed)
        ]  # fmt: skip
        for number, card in enumerate(found[:MOST_FOUND], start=1):
            self.page.point(card.title, mark=f"{number}", indent=2)
        if len(found) > MOST_FOUND:
            self.page.say(f"{len(found) - MOST_FOUND} more; say more words.", indent=2)
        if not found:
            self.page.say("No check has these words in its title.", indent=2)
            return None
        which = _line("which")
        at = int(which) if which.isdecimal() else 0
        return found[at - 1] if 0 < at <= min(len(found), MOST_FOUND) else None

    def _end(self, answer: CallDiagnosis) -> bool:
        """The whole answer, and the commands that go on from the file."""
        from rungwise.cli.telling import tell_answer

        self.page.blank()
        tell_answer(self.page, answer)
        if answer.decided:
            self.page.heading("what comes next")
            for command in ("isolate", "prove", "report"):
                self.page.point(f"rungwise {command} {self.taking.path}")
        return answer.decided


def _line(asking: str) -> str:
    """What is typed; the end of the input leaves the call, whichever question it comes at."""
    try:
        return str(typer.prompt(f"  {asking}", default="", show_default=False)).strip()
    except typer.Abort:
        raise Left from None
