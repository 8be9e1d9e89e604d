"""The page for units."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from typing import ClassVar

from rungwise.records.repository import Reader, Repository, day, needed, text
from rungwise.records.rows import Customer, Site, Unit

_YEAR = re.compile(r"(19|20)\d\d")
MID_YEAR = (7, 1)
"""Month and day that stand for a year of which no more is known."""


def _day_or_year(typed: str) -> dt.date | None:
    """A day, or a year alone, which is taken at its middle."""
    written = typed.strip()
    return dt.date(int(written), *MID_YEAR) if _YEAR.fullmatch(written) else day(typed)


class Units(Repository[Unit]):
    """The units, each with the text of its unit file."""

    row = Unit
    fields: ClassVar[Mapping[str, Reader]] = {
        "title": needed("unit's title"), "toml": str, "installed": _day_or_year, "note": text,
    }  # fmt: skip

    def add(
        self,
        title: str,
        *,
        toml: str = "",
        site_id: int | None = None,
        installed: dt.date | None = None,
        note: str = "",
    ) -> Unit:
        """A new unit: whole with a unit file's text that can be used, a draft without.

        Whether the text can be used is for the caller to find out.
        Raises BadRecord for an empty title.
        """
        made = Unit(
            title=needed("unit's title")(title), toml=toml, site_id=site_id, installed=installed,
            note=note, state="whole" if toml else "draft", added_at=self.hand.at,
        )  # fmt: skip
        return self.hand.add(made)

    def rewrite(self, number: int, toml: str, *, seen: int | None = None) -> Unit:
        """Give a unit another file's text, one that can be used; the old one stays in its history.

        A draft becomes whole by that.
        """
        left = self.leave(number, "toml", toml, seen=seen)
        unit = self.get(number)
        if not left.stale:
            unit.state = "whole"
        return unit

    def place(self, number: int, site_id: int | None) -> Unit:
        """Put a unit on a site."""
        unit = self.hand.turn(Unit, number)
        unit.site_id = site_id
        return unit

    def where(self, unit: Unit) -> tuple[Site | None, Customer | None]:
        """Its site and whose that is, None where it is not known."""
        site = self.hand.session.get(Site, unit.site_id) if unit.site_id else None
        whose = site.customer_id if site else None
        return site, self.hand.session.get(Customer, whose) if whose else None
