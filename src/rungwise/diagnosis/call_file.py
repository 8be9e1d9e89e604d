"""Reading a call file: which unit, what was seen and heard, and each reading as it was taken."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from rungwise.diagnosis.by_hand import PAPER_KEYS, ByHand
from rungwise.diagnosis.check_ids import full_id, short_id
from rungwise.diagnosis.chips import CHIPS
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.proof_row import ProofRow
from rungwise.errors import (
    BadCallFile,
    BadInput,
    BadQuantity,
    BadReading,
    UnknownName,
    close_matches,
)
from rungwise.files import (
    Date,
    Document,
    KeyPath,
    Many,
    Named,
    Open,
    Row,
    Schema,
    Shown,
    Table,
    Text,
    Texts,
    document_schema,
    key,
    key_text,
)
from rungwise.quantity import in_range, parse_reading, range_text
from rungwise.unit import ARRANGEMENTS, Unit, arrangement, read_unit
from rungwise.wording import mark, say


@dataclass(frozen=True, slots=True)
class OwnWeights:
    """Weights by suspect id in place of the start weights; those not named keep theirs.

    calls: from how many closed calls. age_y: the unit's age that they are for, None for any.
    ratios: what a chip of a complaint says of a group of suspects, by the ids of both, as the
    closed calls have taught it; empty where none of them tells a complaint.
    """

    calls: int
    age_y: float | None
    by_suspect: tuple[tuple[str, float], ...]
    ratios: tuple[tuple[tuple[str, str], float], ...] = ()


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


class ReadingRow(Row):
    """One reading as it was taken."""

    check: str = key(Text("the check's id, as in `rungwise expect`", needed=True))
    value: str | float = key(
        Shown(
            'what the meter showed: 26.4, "26.4 V", "OL", "can\'t reach"; '
            "or one of the answers of a look",
            needed=True,
        )
    )
    note: str = key(Text("anything worth remembering"))


@dataclass(frozen=True)
class _Readings(Many):
    def read(self, table: Table, name: str) -> tuple[Entry, ...]:
        return tuple(
            Entry(each.check, each.value, each.note, each.at.path)
            for each in super().read(table, name)
        )


@dataclass(frozen=True)
class _Symptoms(Named):
    def read(self, table: Table, name: str) -> tuple[Entry, ...]:
        told = super().read(table, name)
        return tuple(Entry(check, typed, "", (name, check)) for check, typed in told.items())


@dataclass(frozen=True)
class _Complaint(Texts):
    """Each once, in the order of `choices`."""

    def read(self, table: Table, name: str) -> tuple[str, ...]:
        said = super().read(table, name)
        return tuple(each for each in self.choices or () if each in said)


@dataclass(frozen=True)
class _Paper(Open):
    def read(self, table: Table, name: str) -> ByHand:
        return ByHand.in_table(table.table(name, required=False))


class Call(Row, what="One service call: the unit, the symptoms, and each reading as taken."):
    """A service call as written down; the declaration of a call file is its reader.

    unit_name: a unit file's path relative to the call file, or the name of a shipped arrangement.
    suspected: the part that somebody already takes for the culprit, or "".
    wires, shop: paths relative to the call file, or ""; the odds start from a shop's closed calls.
    installed: the day on which the unit was, where it is told.
    complaint: ids of what the customer said (`chips.CHIPS`), each once, in the order of that list.
    fitted: the table of the part that was or will be fitted, unread: what a part must be is not
    known here. proof: the table of what was measured after the repair, read by who proves.
    paper: what somebody wrote for the customer's page.
    own: the weights that the odds start from, once somebody has learned them.
    Two calls are equal when they say the same, whatever file or record they were read from.
    """

    unit_name: str = key(
        Text("the unit file, as seen from this file, or a shipped arrangement: "
             + ", ".join(ARRANGEMENTS), needed=True),
        called="unit",
    )  # fmt: skip
    title: str = key(Text("what the call is about, in a few words"))
    customer: str = key(Text("who called"))
    technician: str = key(Text("who is on it"))
    suspected: str = key(
        Text("a part that somebody already takes for the culprit, by its name in the unit")
    )
    wires: str = key(
        Text("a wires file, as seen from this file: how the wires were left, or which are loose")
    )
    shop: str = key(
        Text("a shop file, as seen from this file: the odds start from its closed calls")
    )
    date: dt.date | None = key(Date("day of the call: 2025-07-14"))
    installed: dt.date | None = key(
        Date("day on which the unit was installed, for its age: 2014-06-01")
    )
    complaint: tuple[str, ...] = key(
        _Complaint(
            "what the customer said; it moves the odds before any reading: "
            + "; ".join(f"{chip.id}: {chip.title.lower()}" for chip in CHIPS),
            choices=tuple(chip.id for chip in CHIPS),
            unique=True,
        )
    )
    symptoms: tuple[Entry, ...] = key(
        _Symptoms('what was seen, heard or smelled: compressor = "humming"',
                  each=Text(needed=True))
    )  # fmt: skip
    readings: tuple[Entry, ...] = key(
        _Readings("each reading in the order in which it was taken", row=ReadingRow)
    )
    fitted: Table | None = key(
        Open("the part that was or will be fitted: file and name of a candidate, or the "
             "candidate itself, as in `rungwise schema candidates`",
             shape={"type": "object", "required": ["name"]})
    )  # fmt: skip
    proof: Table | None = key(
        Open("what was measured after the repair, as in `rungwise prove`", holds=ProofRow.keys())
    )
    paper: ByHand = key(
        _Paper("what the shop writes by hand for the customer's page", holds=PAPER_KEYS)
    )
    own: OwnWeights | None = None

    @property
    def document(self) -> Document:
        """What it was read from."""
        return self.at.document

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
        looks = [self._outcome(each, full_id(each.check, cards), cards) for each in self.symptoms]
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
    call = call_from(Document.read(path, error=BadCallFile))
    if call.installed and call.date and call.installed > call.date:
        raise call.at.bad(
            "installed",
            what="The unit was installed after the day of the call.",
            value=str(call.installed),
            allowed=f"up to {call.date}",
            next_step="fix one of the two dates; a unit that was not there yet has no age",
        )
    return call


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
    return Call.read(document.root)


def call_schema() -> Schema:
    """JSON Schema, draft 2020-12, of the values of a call file.

    It knows the form of the file. Which checks exist, and in which unit each is read, depends on
    the unit: `Call.outcomes` judges that, and `rungwise expect` lists them.
    """
    return document_schema(Call, "Rungwise call")


def _known(entry: Entry, cards: Mapping[str, CheckCard]) -> Sequence[str]:
    """What may stand there: every check for a reading, what can be seen or heard for a symptom."""
    if entry.path[0] != "symptoms":
        return list(cards)
    return [short_id(name) for name, card in cards.items() if card.form == "choice"]


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
        raise error.retold(
            BadReading, allowed=say("{range}, as a meter shows it", range=allowed)
        ) from error


def _choice(card: CheckCard, typed: str | float) -> str | None:
    said = str(typed).strip().casefold()
    if said in ("-", "can't tell", "cannot tell"):
        return None
    found = card.choice(said)
    if found is None:
        near = close_matches(str(typed), card.choices)
        raise BadReading(
            what=say(
                "'{typed}' is not one of the answers to: {check}", typed=typed, check=card.title
            ),
            value=typed,
            allowed=", ".join(f'"{each}"' for each in card.choices),
            next_step=say("did you mean {near}?", near=" or ".join(near))
            if near
            else mark("write one of the answers"),
        )
    return found
