"""Reading a call file: which unit, what was seen and heard, and each reading as it was taken."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from rungwise.diagnosis.by_hand import ByHand
from rungwise.diagnosis.chips import CHIPS
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.own_weights import OwnWeights
from rungwise.errors import (
    BadCallFile,
    BadInput,
    BadQuantity,
    BadReading,
    UnknownName,
    close_matches,
)
from rungwise.files.document import Document, Table
from rungwise.files.key_lines import KeyPath
from rungwise.files.table import key_text
from rungwise.quantity import in_range, parse_reading, range_text
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import ARRANGEMENTS, arrangement, read_unit

__all__ = ["LOOK", "METER_LIMIT", "Call", "Entry", "Outcome", "call_from", "read_call"]

LOOK = "look-"
"""A symptom may be named without this: `compressor` is the check `look-compressor`."""

METER_LIMIT: Mapping[str, float] = {"V": 1000.0, "A": 600.0, "µF": 10_000.0, "W": 20_000.0}
"""The most that a service meter shows, by unit (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One outcome as it stands in the file. path: where, for errors."""

    check: str
    typed: str | float
    note: str
    path: KeyPath


@dataclass(frozen=True, slots=True)
class Outcome:
    """One outcome as the belief takes it.

    value: a number in the check's unit, one of its choices, or None where it could not be made.
    """

    card: CheckCard
    value: float | str | None
    note: str = ""


@dataclass(frozen=True)
class Call:
    """A service call as written down.

    unit_name: a unit file's path relative to the call file, or the name of a shipped arrangement.
    suspected: the part that somebody already takes for the culprit, or "".
    fitted: the table of the part that was or will be fitted, unread: what a part must be is not
    known here.
    wires: a wires file's path relative to the call file, or "".
    proof: the table of what was measured after the repair, unread for the same reason.
    shop: a shop file's path relative to the call file, or "": the odds start from its closed calls.
    installed: the day on which the unit was, where it is told.
    own: the weights that the odds start from, once somebody has learned them.
    complaint: ids of what the customer said (`chips.CHIPS`), each once, in the order of that list.
    paper: what somebody wrote for the customer's page.
    """

    document: Document
    unit_name: str
    title: str
    customer: str
    technician: str
    date: dt.date | None
    suspected: str
    symptoms: tuple[Entry, ...]
    readings: tuple[Entry, ...]
    fitted: Table | None = None
    wires: str = ""
    proof: Table | None = None
    shop: str = ""
    installed: dt.date | None = None
    own: OwnWeights | None = None
    complaint: tuple[str, ...] = ()
    paper: ByHand = field(default_factory=ByHand)

    @property
    def unit_path(self) -> Path | None:
        """The unit file, or None for a shipped arrangement."""
        if self.unit_name in ARRANGEMENTS:
            return None
        return Path(self.document.file).parent / self.unit_name

    def unit(self) -> Unit:
        """The unit of the call.

        Raises BadCallFile when there is no such unit file, BadUnitFile when it cannot be used.
        """
        path = self.unit_path
        if path is not None and not path.exists():
            raise self._no_unit(path)
        return arrangement(self.unit_name) if path is None else read_unit(path)

    def suspected_among(self, parts: Iterable[str]) -> str | None:
        """The part that somebody suspects, None if nobody does.

        parts: everything that can be at fault. Raises UnknownName when it is none of them.
        """
        known = tuple(parts)
        if self.suspected and self.suspected not in known:
            what = "The part that is suspected is not one that can be at fault in this unit."
            raise self._unknown(("suspected",), what, self.suspected, known)
        return self.suspected or None

    def outcomes(self, checks: Iterable[CheckCard]) -> tuple[Outcome, ...]:
        """Symptoms, then readings, each with its check and its value in the check's unit.

        Raises UnknownName for a check that the unit does not have, BadReading for a value that
        the check cannot have; both with the line in the call file.
        """
        cards = {card.id: card for card in checks}
        looks = [self._outcome(each, _look(each, cards), cards) for each in self.symptoms]
        return (*looks, *(self._outcome(each, each.check, cards) for each in self.readings))

    def _outcome(self, entry: Entry, name: str, cards: Mapping[str, CheckCard]) -> Outcome:
        if name not in cards:
            what = f"There is no check '{entry.check}' on this unit."
            raise self._unknown(entry.path, what, entry.check, _known(entry, cards))
        card = cards[name]
        try:
            return Outcome(card, value_of(card, entry.typed), entry.note)
        except BadInput as error:
            place = entry.path if entry.path[0] == "symptoms" else (*entry.path, "value")
            at = {"line": self.document.line_of(place), "key": key_text(place)}
            raise error.retold(BadReading, file=self.document.file, **at) from error

    def _unknown(self, path: KeyPath, what: str, name: str, known: Iterable[str]) -> UnknownName:
        place = path if path[0] != "readings" else (*path, "check")
        line = self.document.line_of(place)
        return UnknownName(
            what=what, name=name, known=known,
            file=self.document.file, line=line, key=key_text(place),
        )  # fmt: skip

    def _no_unit(self, path: Path) -> BadInput:
        beside = sorted(each.name for each in path.parent.glob("*.toml"))
        error = self._unknown(
            ("unit",), "The unit file of this call is not there.", self.unit_name,
            [*beside, *ARRANGEMENTS],
        )  # fmt: skip
        step = error.next_step or "write its path as seen from the call file"
        return error.retold(BadCallFile, next_step=step)


def read_call(path: str | os.PathLike[str]) -> Call:
    """The call in the file at `path`.

    Only its form is judged here; what is in it needs the unit and its checks (`Call.unit`,
    `Call.outcomes`). Raises BadCallFile with file, line, key, value, what is allowed, next step.
    """
    return call_from(Document.read(path, error=BadCallFile))


def call_from(document: Document) -> Call:
    """The call in a document that was opened with the errors of a call file; else as `read_call`.

    Raises BadCallFile with line, key, value, what is allowed and the next step.
    """
    if "unit" not in document.data and {"arrangement", "nameplate", "parts"} & set(document.data):
        raise BadCallFile(
            what="This is a unit file, and a call file is asked for.",
            file=document.file,
            next_step=f'write a call file with unit = "{Path(document.file).name}" in it',
        )
    root = document.root
    call = Call(
        document=document,
        unit_name=root.text("unit"),
        title=root.text("title", default=""),
        customer=root.text("customer", default=""),
        technician=root.text("technician", default=""),
        date=_date(root, "date"),
        suspected=root.text("suspected", default=""),
        symptoms=tuple(_symptoms(root.table("symptoms", required=False))),
        readings=tuple(_reading(table) for table in root.tables("readings")),
        fitted=root.table("fitted") if "fitted" in root else None,
        wires=root.text("wires", default=""),
        proof=root.table("proof") if "proof" in root else None,
        shop=root.text("shop", default=""),
        installed=_date(root, "installed"),
        complaint=_complaint(root),
        paper=ByHand.in_table(root.table("paper", required=False)),
    )
    root.done()
    return call


def _complaint(root: Table) -> tuple[str, ...]:
    known = tuple(chip.id for chip in CHIPS)
    said = root.strings("complaint", choices=known, default=())
    return tuple(each for each in known if each in said)


def _date(root: Table, key: str) -> dt.date | None:
    raw = root.value(key, default=None)
    if isinstance(raw, str):
        try:
            return dt.date.fromisoformat(raw.strip())
        except ValueError:
            pass
    if isinstance(raw, dt.datetime):
        return raw.date()
    if raw is None or isinstance(raw, dt.date):
        return raw
    raise root.bad(
        key,
        what="This is not a date.",
        value=str(raw),
        allowed="year-month-day",
        next_step=f"write it like {key} = 2025-07-14",
    )


def _symptoms(table: Table) -> Iterator[Entry]:
    for key in table:
        yield Entry(key, table.text(key), "", ("symptoms", key))


def _reading(table: Table) -> Entry:
    made = Entry(table.text("check"), _typed(table), table.text("note", default=""), table.path)
    table.done()
    return made


def _typed(table: Table) -> str | float:
    raw = table.value("value")
    if isinstance(raw, str | int | float) and not isinstance(raw, bool):
        return raw
    raise table.bad(
        "value",
        what="A reading is a number, or a text such as 26.4 V.",
        value=str(raw),
        allowed="a number, a number with its unit in quotes, or one of the check's answers",
        next_step='write what the meter showed: value = "26.4 V"',
    )


def _look(entry: Entry, cards: Mapping[str, CheckCard]) -> str:
    return entry.check if entry.check in cards else LOOK + entry.check


def _known(entry: Entry, cards: Mapping[str, CheckCard]) -> Sequence[str]:
    """What may stand there: every check for a reading, what can be seen or heard for a symptom."""
    if entry.path[0] != "symptoms":
        return list(cards)
    return [name.removeprefix(LOOK) for name, card in cards.items() if card.form == "choice"]


def value_of(card: CheckCard, typed: str | float) -> float | str | None:
    """What was typed, as the belief takes it; None where the check could not be made.

    Raises BadQuantity, BadReading for a value that the check cannot have.
    """
    if card.form == "choice":
        return _choice(card, typed)
    value = parse_reading(typed, card.unit, what=card.title)
    most = METER_LIMIT.get(card.unit)
    if value is None or value == float("inf"):
        return value
    try:
        return in_range(value, 0.0, most, card.unit, card.title, typed=typed)
    except BadQuantity as error:
        allowed = range_text(0.0, most, card.unit)
        raise error.retold(BadReading, allowed=f"{allowed}, as a meter shows it") from error


def _choice(card: CheckCard, typed: str | float) -> str | None:
    said = str(typed).strip().casefold()
    if said in ("-", "can't tell", "cannot tell"):
        return None
    found = next((each for each in card.choices if each.casefold() == said), None)
    if found is None:
        near = close_matches(str(typed), card.choices)
        raise BadReading(
            what=f"'{typed}' is not one of the answers to: {card.title}",
            value=typed,
            allowed=", ".join(f'"{each}"' for each in card.choices),
            next_step=f"did you mean {' or '.join(near)}?" if near else "write one of the answers",
        )
    return found
