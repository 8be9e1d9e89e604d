"""The page for the steps that make a zone dead."""

from __future__ import annotations

from typing import ClassVar

from rungwise.records.call_entries import CallEntries
from rungwise.records.entries import EntryResult
from rungwise.records.rows import Step

__all__ = ["Steps"]


class Steps(CallEntries[Step]):
    """Steps as they were ticked, or taken back."""

    row = Step
    place: ClassVar[tuple[str, ...]] = ("zone_of_work", "number", "text")

    def tick(  # noqa: PLR0913  # the fields of a form, by name
        self,
        call_id: int,
        zone_of_work: str,
        number: int,
        text: str,
        *,
        done: bool = True,
        typed: str = "",
        reading: float | None = None,
        unit: str = "",
        refusal: str = "",
        seen: int | None = None,
    ) -> EntryResult[Step]:
        """Keep that a step was done, or with done=False that it is not.

        zone_of_work, number, text: as the plan has them. typed, reading, unit: what was read
        where the step asks for it, and what it was taken for.
        Raises UnknownName when there is no such call.
        """
        return self._keep(
            call_id, seen, zone_of_work=zone_of_work, number=number, text=text, done=done,
            typed=typed, reading=None if refusal else reading, unit=unit, refusal=refusal,
        )  # fmt: skip

    def now(self, call_id: int, zone_of_work: str) -> list[Step]:
        """What stands for a zone, in the order of the plan."""
        found = [each for each in self.standing(call_id) if each.zone_of_work == zone_of_work]
        return sorted(found, key=lambda each: (each.number, each.id))
