"""What the shop's closed calls are counted as."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest

from rungwise.answers.shop_calls import age_y, closed_calls
from rungwise.records import Store
from rungwise.records.book import Book

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


def close(book: Book, part: str, suspect: str = "", *, kind: str = "service",
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


def test_what_cannot_be_counted_without_a_guess_is_left_out(store: Store) -> None:
    with store.writing() as book:
        close(book, "")
        close(book, "contactor")  # fails in several ways, and nobody said which
        close(book, "contactor", "capacitor.herm_weak")  # at odds with itself
        close(book, "y_field", "y_field.open")  # a wire is of no part kind
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
    made: str, age: float | None, store: Store
) -> None:
    toml = UNIT.replace("[nameplate]\n", f'[nameplate]\nmade = "{made}"\n')
    with store.writing() as book:
        row = book.units.add("Mill Street", toml=toml)
        told = age_y(row, DAY)
    assert told == (None if age is None else pytest.approx(age, abs=0.06))
