"""The page for parts fitted."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from rungwise.records.call_entries import CallEntries
from rungwise.records.entries import EntryResult
from rungwise.records.rows import FittedPart

__all__ = ["Fittings"]


class Fittings(CallEntries[FittedPart]):
    """Parts that were or will be fitted on calls, one for each place in the unit."""

    row = FittedPart
    place: ClassVar[tuple[str, ...]] = ("part",)

    def fit(
        self,
        call_id: int,
        part: str,
        candidate: Mapping[str, Any] | None,
        *,
        typed: str = "",
        refusal: str = "",
        note: str = "",
        seen: int | None = None,
    ) -> EntryResult[FittedPart]:
        """Keep which part takes the place of `part`.

        candidate: its table as in a candidates file, plain values; None where there is none that
        can be used, and to take it back. Raises UnknownName when there is no such call.
        """
        facts = None if candidate is None else dict(candidate)
        return self._keep(
            call_id, seen, part=part, candidate=facts, typed=typed, refusal=refusal, note=note
        )

    def last(self, call_id: int) -> FittedPart | None:
        """The part fitted last, None where there is none; a call file tells of one only."""
        found = [each for each in self.standing(call_id) if each.candidate is not None]
        return found[-1] if found else None
