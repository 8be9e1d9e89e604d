"""The pages for what is done on a call: steps ticked, parts fitted, wires as found and as left."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar

from rungwise.records.call_entries import CallEntries
from rungwise.records.entries import EntryResult
from rungwise.records.repository import one_of
from rungwise.records.rows import STAGES, FittedPart, Step, Wires


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


class Wirings(CallEntries[Wires]):
    """Wires files of calls: one as found, one as left."""

    row = Wires
    place: ClassVar[tuple[str, ...]] = ("stage",)

    def record(
        self, call_id: int, stage: str, toml: str, *, refusal: str = "", seen: int | None = None
    ) -> EntryResult[Wires]:
        """Keep a wires file's text; stage: "as found" or "as left". An empty text takes it back.

        refusal: why it cannot be used, "" where it can. Raises BadRecord for another stage,
        UnknownName when there is no such call.
        """
        stage = one_of("stage of the work", STAGES)(stage)
        return self._keep(call_id, seen, stage=stage, toml=toml, refusal=refusal)

    def now(self, call_id: int, stage: str) -> Wires | None:
        """What stands at a stage, None where nothing does."""
        found = [each for each in self.standing(call_id) if each.stage == stage and each.toml]
        return found[-1] if found else None
