"""A van's stock as a text, a candidates file: parts added, counted, taken and given back."""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from typing import Any, NamedTuple

from rungwise import records
from rungwise.errors import BadCandidateFile, BadRecord
from rungwise.files import Document
from rungwise.records import LastEntry, Scope, UnitOfWork
from rungwise.replacement import CANDIDATE_KINDS, Candidate, read_candidate
from rungwise.unit import ARRANGEMENTS, Unit, arrangement
from rungwise.web.deps import Visitor
from rungwise.web.undo import Names
from rungwise.wording import mark, say

COUNT = "count"
"""How many of a part there are. A part without it is on the list and not counted."""

MOST = 999


class Home(NamedTuple):
    """A unit that has a part in whose place a kind of candidate may come, and that part."""

    unit: Unit
    part: str


@cache
def kinds_with_place() -> tuple[str, ...]:
    """Every kind of candidate that some arrangement has a place for."""
    there = {part.kind for each in ARRANGEMENTS for part in arrangement(each).parts}
    return tuple(name for name, kind in CANDIDATE_KINDS.items() if kind.replaces & there)


@cache
def home_of(kind: str) -> Home:
    """Where parts of a kind usually sit. Raises BadRecord where no arrangement has such a place."""
    wanted = CANDIDATE_KINDS[kind].replaces
    units = [arrangement(each) for each in ARRANGEMENTS]
    found = [(part.name, unit) for unit in units for part in unit.parts if part.kind in wanted]
    if not found:
        raise BadRecord(
            what=say("No unit has a place for a {title}.", title=CANDIDATE_KINDS[kind].title)
        )
    name = Counter(part for part, _ in found).most_common(1)[0][0]
    return Home(next(unit for part, unit in found if part == name), name)


def stock_text(book: UnitOfWork, person_id: int | None) -> str:
    """The candidates file of this person's van, else the shop's, "" where there is none."""
    own = book.persons.get(person_id).stock if person_id is not None else ""
    shop = book.shop.only()
    return own or (shop.stock if shop else "")


def stock_scope(book: UnitOfWork, person_id: int | None) -> Scope:
    """Where the stock is kept, as `keep_stock` finds it."""
    shop = book.shop.only()
    person = book.persons.get(person_id) if person_id is not None else None
    if person is not None and not (shop and shop.stock and not person.stock):
        return Scope.of_stock("person", person.id)
    return Scope.of_stock("shop", shop.id if shop else 0)


def stock_names(book: UnitOfWork) -> Names:
    """What a change of the stock is called: the part, and how many there were and are."""

    def name(row: records.Statement | records.Photo) -> str:
        if not isinstance(row, records.Entry):
            return ""
        old = book.undo.before(LastEntry(row, row))
        was = old.typed if isinstance(old, records.Entry) else row.was or ""
        before, now = _counts(was), _counts(row.typed)
        changed = [part for part in {**before, **now} if before.get(part) != now.get(part)]
        if len(changed) != 1:
            return mark("Stock file")
        part = changed[0]
        told = [str(counts.get(part, 0)) for counts in (before, now)]
        return say("{part}, {before} to {now}", part=part, before=told[0], now=told[1])

    return name


def refuse_installed(book: UnitOfWork, found: Sequence[LastEntry]) -> None:
    """Raise BadRecord where the stock changed last because a part was installed."""
    call = next(filter(None, map(book.undo.fitted_with, found)), None)
    if call is not None:
        raise BadRecord(
            what=mark("This part was installed on a call, or taken back there."),
            value=str(call),
            next_step=mark("open the page of the part on that call, and change it there"),
        )


def _counts(text: str) -> dict[str, int | None]:
    return {str(row.get("name", "")): row.get(COUNT, 1) for row in rows_of(text)}


def keep_stock(book: UnitOfWork, here: Visitor, text: str) -> None:
    """Keep it where it came from: with the person whose van it is, else with the shop.

    Raises BadRecord where nobody has said who is working and there is no shop.
    """
    shop = book.shop.only()
    person = book.persons.get(here.person_id) if here.person_id is not None else None
    if shop is not None and shop.stock and not (person and person.stock):
        book.shop.leave(shop.id, "stock", text)
    elif person is not None:
        book.persons.leave(person.id, "stock", text)
    elif shop is not None:
        book.shop.leave(shop.id, "stock", text)
    else:
        raise BadRecord(
            what=mark("Nobody has said who is working."), next_step=mark("say who, then send it")
        )


def rows_of(text: str) -> list[Mapping[str, Any]]:
    """The tables of a stock, in its order; none where the text cannot be read."""
    try:
        rows = tomllib.loads(text).get("candidates", [])
    except tomllib.TOMLDecodeError:
        return []
    return [each for each in rows if isinstance(each, dict)] if isinstance(rows, list) else []


def added(text: str, table: Mapping[str, Any]) -> str:
    """A stock with one part more on its list; more of a part that it has are counted with it.

    Raises BadRecord for another part under a name that is taken.
    """
    for number, held in enumerate(rows_of(text)):
        if held.get("name") != table["name"]:
            continue
        if not same_part(held, table):
            raise BadRecord(
                what=mark("Another part in this van has that name."),
                value=table["name"],
                next_step=mark("give this one a name of its own, such as with its maker"),
            )
        return counted(text, number, lambda count: count + int(table.get(COUNT, 1)))

    def put(document: Any) -> None:
        import tomlkit  # noqa: PLC0415  # slow to import

        document.setdefault("candidates", tomlkit.aot()).append(tomlkit.item(dict(table)))

    return _changed(text, put)


def counted(text: str, number: int, change: Callable[[int], int]) -> str:
    """A stock with another count of one of its parts, never below none."""

    def put(document: Any) -> None:
        row = document["candidates"][number]
        row[COUNT] = max(0, min(MOST, change(int(row.get(COUNT, 0)))))

    return _changed(text, put)


def taken(text: str, table: Mapping[str, Any]) -> str:
    """A stock after one of a part was used; as it was where that part is not counted."""
    return _by(text, table, -1)


def given_back(text: str, table: Mapping[str, Any]) -> str:
    """A stock after a part that was taken came back into it."""
    return _by(text, table, +1)


def same_part(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    """Whether two tables are of the same part, however many there are and wherever it goes."""
    beside = {COUNT, "where", "for", "price"}
    return _but(one, beside) == _but(other, beside)


def read(table: Mapping[str, Any]) -> Candidate:
    """The candidate that a table describes, in a unit that has a place for it.

    Raises BadCandidateFile.
    """
    home = home_of(str(table["kind"]))
    document = Document.of_values(dict(table), file=mark("the label"), error=BadCandidateFile)
    return read_candidate(document.root, home.unit)


def _by(text: str, table: Mapping[str, Any], step: int) -> str:
    for number, held in enumerate(rows_of(text)):
        if COUNT in held and same_part(held, table):
            return counted(text, number, lambda count: count + step)
    return text


def _but(table: Mapping[str, Any], left_out: set[str]) -> dict[str, Any]:
    return {key: value for key, value in table.items() if key not in left_out}


def _changed(text: str, put: Callable[[Any], None]) -> str:
    """The text with something changed in it, and all else as somebody wrote it."""
    import tomlkit  # noqa: PLC0415  # slow to import

    document = tomlkit.parse(text)
    put(document)
    return tomlkit.dumps(document)
