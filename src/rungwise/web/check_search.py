"""Finding calls by the checks that were made on them: what was read of a part, and when."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable, Mapping

from rungwise.diagnosis import full_id
from rungwise.records import UnitOfWork
from rungwise.services import RESULTS
from rungwise.web.leads import titles_in
from rungwise.web.shown import Shown
from rungwise.web.unit_search import UnitLine, words_of_line
from rungwise.wording import current, in_language

_OWN_CIRCUIT = re.compile(r"^\s*\[+\s*(?:parts|wires|part|wire|cables?)\b", re.MULTILINE)
_ARRANGEMENT = re.compile(r'^arrangement\s*=\s*"([^"]+)"', re.MULTILINE)

_titles = RESULTS.shelf("titles of checks")


class CheckLine(Shown):
    """An answer to a check on some call. text: as it was typed."""

    call: int
    title: str
    text: str
    day: dt.date
    unit: UnitLine


def checks_found(
    book: UnitOfWork, words: str, units: Mapping[int, UnitLine], most: int
) -> list[CheckLine]:
    """The newest answers whose check, with its unit, has every one of the words.

    One of them at least is in the check's own title, in English or in the language that is spoken.
    """
    wanted = words.casefold().split()
    told = {unit: names for unit, names in book.past.checks_told().items() if unit in units}
    titles = {unit: _titles_of(book, unit) for unit in told} if wanted else {}
    fitting = {
        unit: {name for name in told[unit] if _fits(wanted, _title(titles[unit], name), line)}
        for unit, line in ((each, units[each]) for each in titles)
    }
    rows = book.past.told_of({unit: names for unit, names in fitting.items() if names}, most)
    return [
        CheckLine(
            call=call.id,
            title=_title(titles[call.unit_id or 0], row.check),
            text=row.typed,
            day=call.day,
            unit=units[call.unit_id or 0],
        )
        for row, call in rows
    ]


def _titles_of(book: UnitOfWork, unit: int) -> dict[str, str]:
    """The titles of a unit's checks; units of one arrangement, wired as it means, share them."""
    code = book.units.get(unit).toml
    named = _ARRANGEMENT.search(code)
    same = named[1] if named and not _OWN_CIRCUIT.search(code) else code
    return _titles.get(("titles", same), lambda: titles_in(code))


def _title(titles: Mapping[str, str], check: str) -> str:
    return titles.get(full_id(check, titles), "")


def _fits(wanted: Iterable[str], title: str, line: UnitLine) -> bool:
    own = f"{title} {in_language(title, current())}".casefold() if title else ""
    around = words_of_line(line)
    found = [(word in own, word in around) for word in wanted]
    return any(ours for ours, _ in found) and all(map(any, found))
