"""The pages for symptoms, readings, and the readings that prove the work."""

from __future__ import annotations

import math
from typing import ClassVar

from sqlalchemy import ColumnElement

from rungwise.diagnosis import short_id
from rungwise.records.call_entries import CallEntries
from rungwise.records.entries import EntryResult, dismiss
from rungwise.records.rows import Call, Reading
from rungwise.records.session import RecordSession


class Readings(CallEntries[Reading]):
    """Outcomes of one kind: "symptom", "reading" or "proof"."""

    row = Reading
    place: ClassVar[tuple[str, ...]] = ("kind", "check", "taken")

    def __init__(self, hand: RecordSession, kind: str) -> None:
        super().__init__(hand)
        self.kind = kind

    def take(  # noqa: PLR0913  # the fields of a form, by name
        self,
        call_id: int,
        check: str,
        typed: str,
        *,
        value: float | str | None = None,
        unit: str = "",
        note: str = "",
        refusal: str = "",
        seen: int | None = None,
        visit_id: int | None = None,
        again: bool = False,
    ) -> EntryResult[Reading]:
        """Keep an outcome as typed; it takes the place of the last one of this check.

        check: the check's id. A symptom may be named without its "look-", as in a call file.
        A text that cannot be used takes the place of none that can: that one goes on counting.
        value: what `typed` was taken for: a number of `unit`, a choice, or None where it could
        not be made. refusal: why it cannot be used, "" where it can. An empty `typed` takes a
        reading back. seen: the version of the call that the form showed. again: the check was
        made once more, and the earlier reading stands too; without it a number is mended.
        Raises UnknownName when there is no such call, ValueError for a number that is none.
        """
        if isinstance(value, float) and math.isnan(value):
            raise ValueError("not a number is no reading")
        used = None if refusal else value
        name = short_id(check) if self.kind == "symptom" else check
        self.hand.locked(Call, call_id)  # before counting, so that two cannot count alike
        last = self.now(call_id).get(name)
        taken = last.taken if last else 1
        if refusal and last is not None and last.counts and not again:
            return self._slipped(call_id, last, typed, refusal)
        if again and last is not None and not self._resent(last, typed, seen):
            taken += 1
        return self._keep(
            call_id, seen, kind=self.kind, check=name, typed=typed, unit=unit, note=note,
            refusal=refusal, visit_id=visit_id, taken=taken,
            number=None if isinstance(used, str) or used is None else float(used),
            choice=used if isinstance(used, str) else None,
        )  # fmt: skip

    def _slipped(
        self, call_id: int, last: Reading, typed: str, refusal: str
    ) -> EntryResult[Reading]:
        """Keep what cannot be used behind the reading that counts, which goes on counting."""
        call = self.hand.turn(Call, call_id)
        row = Reading(
            call_id=call_id, kind=self.kind, check=last.check, taken=last.taken, typed=typed,
            unit=last.unit, refusal=refusal, **self.hand.signed(call.version),
        )  # fmt: skip
        row.beside = True
        dismiss(self.hand, self.hand.add(row), last)
        return EntryResult(row)

    def now(self, call_id: int) -> dict[str, Reading]:
        """What stands, by check."""
        return {each.check: each for each in self.standing(call_id)}

    def _resent(self, last: Reading, typed: str, seen: int | None) -> bool:
        """Whether this is the same form once more: a page that was loaded again."""
        newer = seen is not None and last.version > seen
        return newer and (last.typed, last.person_id) == (typed, self.hand.person_id)

    def _more(self) -> tuple[ColumnElement[bool], ...]:
        return (Reading.kind == self.kind,)
