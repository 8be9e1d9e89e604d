"""The page for the arrangements that a shop keeps of its own."""

from __future__ import annotations

from collections.abc import Mapping
from typing import ClassVar

from sqlalchemy import select

from rungwise.records.repository import Reader, Repository, needed
from rungwise.records.rows import OwnArrangement


class OwnArrangements(Repository[OwnArrangement]):
    """What a shop's next units may start from, besides what ships."""

    row = OwnArrangement
    fields: ClassVar[Mapping[str, Reader]] = {"title": needed("arrangement's title")}

    def add(self, title: str, toml: str, *, unit_id: int | None = None) -> OwnArrangement:
        """Keep one. toml: the text of a unit file that can be used; that is for the caller.

        The same text under the same title is kept once. Raises BadRecord for an empty title.
        """
        named = needed("arrangement's title")(title)
        for each in self.listed():
            if (each.title, each.toml) == (named, toml):
                return each
        made = OwnArrangement(title=named, toml=toml, unit_id=unit_id, added_at=self.hand.at)
        return self.hand.add(made)

    def listed(self) -> list[OwnArrangement]:
        """Those that are on the list, in the order in which they were kept."""
        query = select(OwnArrangement).where(OwnArrangement.kept).order_by(OwnArrangement.id)
        return list(self.hand.session.scalars(query))

    def take_off(self, number: int) -> OwnArrangement:
        """Take one off the list; units that were made from it stay as they are."""
        held = self.hand.turn(OwnArrangement, number)
        held.kept = False
        return held
