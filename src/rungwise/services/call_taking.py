"""A call file that is written as the call goes: each answer stands in it before the next question.

Whatever happens to the terminal, what was answered is in the file, and the same command goes on.
"""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from rungwise.diagnosis import (
    Call,
    CheckCard,
    FaultTable,
    ReadingModel,
    read_call,
    start_looks,
    value_of,
)
from rungwise.errors import BadCallFile
from rungwise.files import Document
from rungwise.services.diagnose import CallDiagnosis, answer_of
from rungwise.services.input_files import UnitSource
from rungwise.services.wording.complaint_words import also_said
from rungwise.wording import mark


@dataclass
class CallTaking:
    """A call on `opened` whose file at `path` grows by one answer at a time.

    texts: the file before each answer of this session, the last one last.
    """

    path: Path
    opened: UnitSource
    texts: list[str] = field(default_factory=list)

    @classmethod
    def start(
        cls, path: Path, opened: UnitSource, today: dt.date, said: Mapping[str, str]
    ) -> CallTaking:
        """Begin a call file, or go on with one that is there.

        said: lines of its head by key, such as customer; only for a new file.
        Raises BadCallFile: the file is about another unit, or cannot be read or written.
        """
        taking = cls(path, opened)
        if path.exists():
            taking._belongs()
        else:
            taking._write_new(today, said)
        return taking

    def _belongs(self) -> None:
        call = read_call(self.path)
        if call.unit() != self.opened.unit:
            raise BadCallFile(
                what=mark("This call is about another unit."),
                file=self.path,
                key="unit",
                value=call.unit_name,
                next_step=mark("name the unit of that call, or another file with --file"),
            )

    def _write_new(self, today: dt.date, said: Mapping[str, str]) -> None:
        import tomlkit  # noqa: PLC0415  # slow to import

        self._write(tomlkit.dumps({"unit": self._unit_name(), "date": today, **said}))

    def _unit_name(self) -> str:
        if self.opened.path is None:
            return self.opened.unit.name
        return Path(os.path.relpath(self.opened.path, self.path.absolute().parent)).as_posix()

    def call(self) -> Call:
        """The call as its file has it now. Raises BadCallFile."""
        return read_call(self.path)

    def open_looks(self, cards: Collection[CheckCard]) -> tuple[CheckCard, ...]:
        """What anyone sees at the start and the stop, and nobody has told of yet."""
        done = self.call().outcomes(cards)
        told = {each.card.id for each in done}
        return tuple(c for c in start_looks(self.opened.unit, cards) if c.id not in told)

    def add(self, card: CheckCard, typed: str) -> None:
        """Write an answer to a check at the end of the file.

        Raises BadReading and BadQuantity, with nothing written, for what the check cannot have.
        """
        value_of(card, typed)
        document = Document.read(self.path, error=BadCallFile)
        at = len(document.data.get("readings", ()))
        text = document.with_value(("readings", at, "check"), card.id)
        held = Document(text, file=str(self.path), error=BadCallFile)
        self._write(held.with_value(("readings", at, "value"), typed))
        self.texts.append(document.text)

    def undo(self) -> bool:
        """Put the file back as it was before the last answer; whether there was one."""
        if not self.texts:
            return False
        self._write(self.texts.pop())
        return True

    def answer(
        self, model: ReadingModel | FaultTable, complaint: Collection[str], asked: str | None = None
    ) -> CallDiagnosis:
        """What the answers say by now. Raises UnknownName and BadReading as `answer_of`."""
        return answer_of(also_said(self.call(), complaint), self.opened, model, asked=asked)

    def _write(self, text: str) -> None:
        beside = self.path.with_name(f".{self.path.name}.new")
        try:
            beside.write_text(text, encoding="utf-8", newline="")
            beside.replace(self.path)  # whole or not at all
        except OSError as fault:
            raise BadCallFile(
                what=f"The call file cannot be written: {fault.strerror}.",
                file=self.path,
                next_step=mark("name another file with --file"),
            ) from fault
