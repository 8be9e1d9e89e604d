"""The pages for symptoms, readings, and the readings that prove the work."""

from __future__ import annotations

import math
from typing import ClassVar

from sqlalchemy import ColumnElement

from rungwise.records.hand import Hand
from rungwise.records.keeping import Left
from rungwise.records.rows import Reading
from rungwise.records.told import Told

__all__ = ["Readings"]


class Readings(Told[Reading]):
    """Outcomes of one kind: "symptom", "reading" or "proof"."""

    row = Reading
    place: ClassVar[tuple[str, ...]] = ("kind", "check")

    def __init__(self, hand: Hand, kind: str) -> None:
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
    ) -> Left[Reading]:
        """Keep an outcome as typed; it takes the place of the last one of this check.

        check: the check's id; of a symptom the key in a call file, such as "compressor".
        value: what `typed` was taken for: a number of `unit`, a choice, or None where it could
        not be made. refusal: why it cannot be used, "" where it can. An empty `typed` takes a
        reading back. seen: the version of the call that the form showed.
        Raises UnknownName when there is no such call, ValueError for a number that is none.
        """
        if isinstance(value, float) and math.isnan(value):
            raise ValueError("not a number is no reading")
        used = None if refusal else value
        return self._keep(
            call_id, seen, kind=self.kind, check=check, typed=typed, unit=unit, note=note,
            refusal=refusal, visit_id=visit_id,
            number=None if isinstance(used, str) or used is None else float(used),
            choice=used if isinstance(used, str) else None,
        )  # fmt: skip

    def now(self, call_id: int) -> dict[str, Reading]:
        """What stands, by check."""
        return {each.check: each for each in self.standing(call_id)}

    def _more(self) -> tuple[ColumnElement[bool], ...]:
        return (Reading.kind == self.kind,)
