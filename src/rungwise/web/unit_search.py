"""Units with where they stand and whose they are, and finding them by a few words."""

from __future__ import annotations

import re
from collections.abc import Iterable

from rungwise import records
from rungwise.records import UnitOfWork
from rungwise.web.shown import Shown

OF_A_CHOICE = {"arrangement", "shaped"}
"""What the records have of a draft as soon as an arrangement is chosen for it."""

_ON_PLATE = re.compile(r'^[ \t]*(model|serial)[ \t]*=[ \t]*"([^"\n]*)"', re.MULTILINE)


class UnitLine(Shown):
    """A unit in a list. place: its address and town; "" where it is not known, as model, serial."""

    id: int
    title: str
    place: str
    customer: str
    phone: str
    draft: bool
    model: str = ""
    serial: str = ""


def unit_lines(book: UnitOfWork) -> dict[int, UnitLine]:
    """Every unit by its number, in three queries; no draft that nothing was typed into."""
    customers = {each.id: each for each in book.customers.all()}
    sites = {each.id: each for each in book.sites.all()}
    lines = {}
    for unit in book.units.all():
        if unit.state == "draft" and not _begun(book, unit):
            continue
        site = sites.get(unit.site_id or 0)
        whose = customers.get((site.customer_id if site else 0) or 0)
        lines[unit.id] = _line(unit, site, whose)
    return lines


def _begun(book: UnitOfWork, unit: records.Unit) -> bool:
    """Whether anything was typed for a draft: an arrangement that was looked at is no unit yet."""
    return bool(unit.site_id or book.units.entries(unit.id).keys() - OF_A_CHOICE)


def line_of(book: UnitOfWork, unit_id: int) -> UnitLine:
    """One unit. Raises UnknownName when there is none."""
    unit = book.units.get(unit_id)
    return _line(unit, *book.units.where(unit))


def _line(
    unit: records.Unit, site: records.Site | None, whose: records.Customer | None
) -> UnitLine:
    return UnitLine(
        id=unit.id,
        title=unit.title,
        place=", ".join(each for each in (site.address, site.town) if each) if site else "",
        customer=whose.name if whose else "",
        phone=whose.phone if whose else "",
        draft=unit.state == "draft",
        **dict(_ON_PLATE.findall(unit.toml)),
    )


def found(lines: Iterable[UnitLine], words: str) -> list[UnitLine]:
    """Those that have every one of the words in title, place, customer, phone, model or serial.

    A serial number may be typed without its spaces and strokes.
    """
    wanted = words.casefold().split()
    return [each for each in lines if all(word in words_of_line(each) for word in wanted)]


def words_of_line(line: UnitLine) -> str:
    """All that a unit is found by, in small letters."""
    plate = f"{line.model} {line.serial}"
    told = f"{line.title} {line.place} {line.customer} {line.phone} {plate}"
    bare = re.sub(r"[^0-9A-Za-z ]", "", plate)
    return f"{told} {bare} {bare.replace(' ', '')}".casefold()
