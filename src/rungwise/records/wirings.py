"""The page for wires, as found and as left."""

from __future__ import annotations

from typing import ClassVar

from rungwise.records.call_entries import CallEntries
from rungwise.records.entries import EntryResult
from rungwise.records.repository import one_of
from rungwise.records.rows import STAGES, Wires

__all__ = ["Wirings"]


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
