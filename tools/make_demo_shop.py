"""Fill a database with the Maple Hollow shop: a dozen units, a year of calls, and today's.

    .venv/bin/python tools/make_demo_shop.py DATABASE [DAY]

DATABASE: an address as for RUNGWISE_DATABASE, of a store with nothing in it; one that holds a shop
already is left as it is. DAY: what counts as today. The year is moved so that it ends the day
before. Everything in it is simulated (tools/make_year.py, tools/make_examples.py).
"""

from __future__ import annotations

import datetime as dt
import sys
import tempfile
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from demo_springs import bring_springs, date_units

from rungwise.quantity import parse_reading
from rungwise.records import Store, UnitOfWork
from rungwise.records.intake import bring_call, bring_unit
from rungwise.services import unit_from_text

FOLDER = Path(__file__).parent.parent / "examples" / "maple-hollow"
YEAR = FOLDER / "year"
ZONE = ZoneInfo("America/Chicago")
PEOPLE = ("R. Amari", "S. Okoro", "T. Lindqvist")

TODAY = {
    "call-01-suspected-contactor": 2,
    "call-18-weak-capacitor": 0,
    "call-15-never-stops": 9,
}
"""Calls that are open today, with how many of their readings are taken."""

UNITS = {"volts": "V", "amps": "A", "drop": "V"}
"""The unit of a check, by how its name begins."""


def main(database: str, today: dt.date) -> None:
    """Fill the database, unless somebody has begun with it."""
    store = Store.open(database)
    try:
        with store.reading() as book:
            if book.units.all():
                print("There is a shop in it already; nothing is changed.")
                return
        _fill(store, today)
    finally:
        store.close()


def _fill(store: Store, today: dt.date) -> None:
    endings = tomllib.loads((YEAR / "endings.toml").read_text(encoding="utf-8"))["endings"]
    began = dt.datetime(today.year - 3, 3, 2, 8, 0, tzinfo=ZONE)
    with store.writing(at=began) as book:
        shop = book.shop.name_it("Hollow Cooling", zone=ZONE.key)
        stock = (FOLDER / "van-stock.toml").read_text(encoding="utf-8")
        book.shop.leave(shop.id, "stock", stock)
        people = {name: book.persons.add(name, zone=ZONE.key) for name in PEOPLE}
        for path in sorted([*FOLDER.glob("unit-*.toml"), *YEAR.glob("unit-*.toml")]):
            bring_unit(book, path)
        date_units(book)
    springs = bring_springs(store, [each.id for each in people.values()], today, ZONE)
    last = max(_day(_read(each["call"])) for each in endings)
    later = today - dt.timedelta(days=1) - last
    for ending in endings:
        _bring(store, people, ending, later)
    for name, taken in TODAY.items():
        _open(store, people, name, taken, today)
    print(f"{springs} spring visits, {len(endings)} calls of the year, {len(TODAY)} of today.")


def _read(name: str) -> Mapping[str, Any]:
    return tomllib.loads((YEAR / f"{name}.toml").read_text(encoding="utf-8"))


def _day(call: Mapping[str, Any]) -> dt.date:
    return dt.date.fromisoformat(str(call["date"]))


def _bring(
    store: Store, people: Mapping[str, Any], ending: Mapping[str, Any], later: dt.timedelta
) -> None:
    """One call of the year, from arrival to sign-off."""
    path = YEAR / f"{ending['call']}.toml"
    call = _read(ending["call"])
    began = dt.datetime.combine(_day(call) + later, dt.time.fromisoformat(ending["began"]), ZONE)
    over = began + dt.timedelta(minutes=ending["minutes"])
    who = people[call["technician"]]
    with store.writing(who, at=began) as book:
        held = bring_call(book, path)
        book.calls.leave(held.id, "day", (_day(call) + later).isoformat())
        visit = book.visits.arrive(held.id)
    with store.writing(who, at=over) as book:
        for check, text in ending["proof"].items():
            unit = UNITS[check.partition("-")[0]]
            book.proofs.take(held.id, check, text, value=parse_reading(text, unit), unit=unit)
        _fit(book, held.id, ending)
        book.verdicts.give(
            held.id, "found", ending["done"], suspect=ending["suspect"], part=ending["part"]
        )
        book.sign_offs.sign(held.id, f"Done: {ending['done']}.", received_by=call["customer"])
        book.truths.tell(
            held.id, ending["part"], suspect=ending["suspect"], how="it has run since the repair"
        )
        book.visits.depart(visit.id)
        book.calls.close(held.id)


def _fit(book: UnitOfWork, call: int, ending: Mapping[str, Any]) -> None:
    """What came off the van for a part that was replaced: the first whose label has its figures."""
    if not ending["done"].startswith("replace"):
        return
    unit = unit_from_text(book.units.get(book.calls.get(call).unit_id or 0).toml)
    part = unit.part_by_name.get(ending["part"])
    stock = tomllib.loads((FOLDER / "van-stock.toml").read_text(encoding="utf-8"))["candidates"]
    for row in stock:
        if part is not None and row["for"] == part.name and row["kind"] == part.kind:
            shared = {key: value for key, value in part.values.items() if key in row}
            if all(parse_reading(row[key], row[key].split()[-1]) == shared[key] for key in shared):
                book.fitted.fit(call, part.name, row)
                return


def _open(store: Store, people: Mapping[str, Any], name: str, taken: int, today: dt.date) -> None:
    """A call that is open today, with its first readings."""
    with tempfile.TemporaryDirectory(dir=FOLDER) as folder:
        path = Path(folder) / f"{name}.toml"
        path.write_text("\n".join(_first(FOLDER / f"{name}.toml", taken)), encoding="utf-8")
        call = tomllib.loads(path.read_text(encoding="utf-8"))
        began = dt.datetime.combine(today, dt.time(8, 10), ZONE)
        with store.writing(people[call["technician"]], at=began) as book:
            held = bring_call(book, path)
            book.calls.leave(held.id, "day", today.isoformat())


def _first(path: Path, taken: int) -> Iterator[str]:
    """The lines of a call file up to so many readings, its unit seen from one folder deeper."""
    seen = 0
    for line in path.read_text(encoding="utf-8").splitlines():
        seen += line == "[[readings]]"
        if seen > taken:
            return
        yield line.replace('unit = "unit-', 'unit = "../unit-')


if __name__ == "__main__":
    main(
        sys.argv[1],
        dt.date.fromisoformat(sys.argv[2]) if sys.argv[2:] else dt.datetime.now(ZONE).date(),
    )
