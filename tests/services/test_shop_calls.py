"""What the shop's closed calls are counted as."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.records.written import calls_text

from rungwise.maintenance.shop_file import read_shop
from rungwise.records import Store
from rungwise.records.unit_of_work import UnitOfWork
from rungwise.services import unit_from_text
from rungwise.services.history.shop_calls import age_y, closed_calls, counted_calls

UNIT = (
    Path(__file__).parents[2] / "examples" / "maple-hollow" / "unit-01-mill-street.toml"
).read_text(encoding="utf-8")
DAY = dt.date(2025, 7, 14)
OLD = dt.date(2013, 7, 14)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    made = Store.open(f"sqlite:///{tmp_path / 'shop.sqlite'}")
    yield made
    made.close()


def close(book: UnitOfWork, part: str, suspect: str = "", *, kind: str = "service",
          installed: dt.date | None = OLD, toml: str = UNIT) -> int:  # fmt: skip
    """A call on a unit of its own, closed with its cause."""
    unit = book.units.add("Mill Street", toml=toml, installed=installed)
    call = book.calls.open(unit.id, day=DAY, kind=kind)
    if part:
        book.truths.tell(call.id, part, suspect=suspect)
    book.calls.close(call.id)
    return call.id


def test_a_cause_is_counted_by_its_kind_mode_and_the_unit_s_age(store: Store) -> None:
    with store.writing() as book:
        close(book, "capacitor", "capacitor.herm_weak")
        (found,) = closed_calls(book)
    assert (found.kind, found.mode) == ("dual_capacitor", "herm_weak")
    assert found.age_y == pytest.approx(12.0, abs=0.01)


def test_a_fault_and_what_it_caused_count_as_the_fault_that_began_it(store: Store) -> None:
    with store.writing() as book:
        close(book, "capacitor", "capacitor.herm_weak>compressor.overload_open")
        assert [each.mode for each in closed_calls(book)] == ["herm_weak"]


def test_a_wire_and_a_pair_of_conductors_are_counted_by_their_kinds(store: Store) -> None:
    with store.writing() as book:
        close(book, "y_field", "y_field.open")
        close(book, "y_field+c_field", "y_field+c_field.shorted")
        close(book, "y_field+c_field")  # it can fail in one way only
        told = [(each.kind, each.mode) for each in closed_calls(book)]
    assert told == [("wire", "open"), ("cable_pair", "shorted"), ("cable_pair", "shorted")]


def test_what_cannot_be_counted_without_a_guess_is_left_out(store: Store) -> None:
    with store.writing() as book:
        close(book, "")
        close(book, "contactor")  # fails in several ways, and nobody said which
        close(book, "contactor", "capacitor.herm_weak")  # at odds with itself
        close(book, "capacitor", "capacitor.HERM<>capacitor.FAN")  # wires of no part kind
        close(book, "contactor", "contactor.coil_open", installed=None)
        close(book, "contactor", "contactor.coil_open", installed=DAY + dt.timedelta(days=1))
        close(book, "contactor", "contactor.coil_open", toml="")
        close(book, "contactor", "contactor.coil_open", toml="volt = ")
        assert closed_calls(book) == ()


def test_practice_and_calls_taken_up_again_never_count(store: Store) -> None:
    with store.writing() as book:
        close(book, "contactor", "contactor.coil_open", kind="practice")
        book.calls.start(close(book, "contactor", "contactor.coil_open"))
        assert closed_calls(book) == ()


def test_only_calls_closed_before_a_moment_where_one_is_named(store: Store) -> None:
    with store.writing(at=dt.datetime(2025, 7, 14, 9, tzinfo=dt.UTC)) as book:
        close(book, "contactor", "contactor.coil_open")
    with store.writing(at=dt.datetime(2025, 7, 14, 10, tzinfo=dt.UTC)) as book:
        close(book, "capacitor", "capacitor.herm_weak")
        before = closed_calls(book, dt.datetime(2025, 7, 14, 10, tzinfo=dt.UTC))
        assert [each.mode for each in before] == ["coil_open"]
        assert len(closed_calls(book)) == 2


@pytest.mark.parametrize(
    ("made", "age"), [("2015-07", 10.0), ("2015", 10.0), ("in 2015-01", 10.5), ("5315X", None)]
)
def test_without_a_day_of_installing_the_nameplate_tells_the_age(
    made: str, age: float | None
) -> None:
    toml = UNIT.replace("[nameplate]\n", f'[nameplate]\nmade = "{made}"\n')
    told = age_y(None, unit_from_text(toml), DAY)
    assert told == (None if age is None else pytest.approx(age, abs=0.06))


def test_the_count_follows_every_change_of_the_records(store: Store) -> None:
    """It is kept while nothing changes, and not a moment longer."""

    def ages() -> list[int]:
        with store.reading() as book:
            return [round(each.age_y) for each in closed_calls(book)]

    with store.writing() as book:
        first = close(book, "contactor", "contactor.coil_open")
        unit = book.calls.get(first).unit_id
    assert unit
    assert ages() == ages() == [12]
    with store.writing() as book:
        book.units.leave(unit, "installed", "2015-07-14")
    assert ages() == [10]
    with store.writing() as book:
        book.calls.leave(first, "day", "2018-07-14")
    assert ages() == [3]
    with store.writing() as book:
        book.truths.tell(first, "contactor", suspect="")
    assert ages() == []
    with store.writing() as book:
        book.truths.tell(first, "contactor", suspect="contactor.coil_shorted")
    assert ages() == [3]
    with store.writing() as book:
        book.calls.start(first)
    assert ages() == []


def test_two_stores_do_not_share_a_count(store: Store, tmp_path: Path) -> None:
    other = Store.open(f"sqlite:///{tmp_path / 'other.sqlite'}")
    try:
        for each, suspect in ((store, "coil_open"), (other, "coil_shorted")):
            with each.writing() as book:
                close(book, "contactor", f"contactor.{suspect}")
        told = []
        for each in (store, other):
            with each.reading() as book:
                told += [found.mode for found in closed_calls(book)]
    finally:
        other.close()
    assert told == ["coil_open", "coil_shorted"]


def test_a_shop_file_of_the_counted_calls_tells_the_same(store: Store, tmp_path: Path) -> None:
    """To the last digit of the age, so that weights learned from either are the same."""
    with store.writing() as book:
        close(book, "contactor", "contactor.coil_open", installed=dt.date(2009, 2, 28))
        close(book, "y_field", "y_field.open")
        (tmp_path / "shop.toml").write_text(calls_text(counted_calls(book)), encoding="utf-8")
        assert read_shop(tmp_path / "shop.toml").history.calls == closed_calls(book)
    assert calls_text(()) == ""
