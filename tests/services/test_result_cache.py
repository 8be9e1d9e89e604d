"""One cache for all: bounded in bytes, the one not asked for longest goes first."""

from __future__ import annotations

import sys
from concurrent.futures import Future, ThreadPoolExecutor
from threading import Barrier

import numpy as np
import pytest

from rungwise.services import unit_from_text
from rungwise.services.runtime.result_cache import ENTRY_BYTE, ResultCache, size_of
from rungwise.unit.unit import Unit
from rungwise.wording import current, speaking

KB = 1_000


def test_the_least_asked_for_goes_first_and_the_bytes_stay_below_the_limit() -> None:
    cache = ResultCache(limit_byte=3 * (10 * KB + 2 * ENTRY_BYTE))
    shelf = cache.shelf("texts")
    made: list[str] = []

    def make(name: str) -> bytes:
        made.append(name)
        return bytes(10 * KB)

    def text(name: str) -> bytes:
        return shelf.get(name, lambda: make(name))

    for name in "abcad":
        text(name)
        assert cache.usage().used_byte <= cache.limit_byte
    assert made == list("abcd")
    text("a")
    text("b")
    assert made == list("abcdb")


def test_what_an_array_weighs_is_what_numpy_says() -> None:
    """Source: numpy's own ndarray.nbytes; a view weighs as the array that it holds."""
    whole = np.zeros((1000, 100))
    for each in (whole, whole[:10], {"a": (whole, whole.T)}):
        assert whole.nbytes <= size_of(each) < whole.nbytes + KB


def test_what_hangs_on_an_object_is_counted_once_and_code_never() -> None:
    text = "x" * 50_000
    code = (sys, ResultCache, test_what_an_array_weighs_is_what_numpy_says)
    assert size_of([text, text, (text,), code]) < 51_000


def test_a_unit_is_weighed_where_it_is_kept_and_not_with_what_is_made_of_it() -> None:
    unit = unit_from_text('arrangement = "two_pole_plain"\n')
    cache = ResultCache()
    cache.count_apart(type(unit))
    cache.shelf("units").get("one", lambda: unit)
    cache.shelf("answers").get("one", lambda: (unit, "cool"))
    by_kind = cache.usage().by_kind
    assert by_kind["units"][1] > 10 * KB
    assert by_kind["answers"][1] < 2 * KB


def test_what_is_made_of_a_result_goes_with_it() -> None:
    cache = ResultCache()
    tables, answers = cache.shelf("tables"), cache.shelf("answers")
    tables.get("unit", lambda: 1)
    answers.get("call", lambda: 2, under=tables.full_key("unit"))
    answers.get("other", lambda: 3, under=tables.full_key("gone"))
    assert {kind: count for kind, (count, _) in cache.usage().by_kind.items()} == {
        "tables": 1,
        "answers": 1,
    }
    tables.drop("unit")
    assert cache.usage().by_kind == {}
    assert cache.usage().used_byte == 0


def test_many_threads_let_it_be_worked_out_once() -> None:
    shelf = ResultCache().shelf("answers")
    made: list[int] = []
    start = Barrier(4)

    def make() -> int:
        made.append(1)
        return 7

    def ask(_: int) -> int:
        start.wait()
        return shelf.get("same", make)

    with ThreadPoolExecutor(4) as pool:
        assert list(pool.map(ask, range(4))) == [7] * 4
    assert made == [1]


def test_a_result_that_raised_is_worked_out_again() -> None:
    cache = ResultCache()
    shelf = cache.shelf("answers")
    with pytest.raises(ZeroDivisionError):
        shelf.get("one", lambda: 1 // 0)
    assert shelf.get("one", lambda: 1) == 1


def test_what_is_under_way_is_never_let_go_of() -> None:
    cache = ResultCache(limit_byte=1)
    shelf = cache.shelf("tables")
    slow: Future[int] = Future()
    shelf.hold("slow", slow)
    shelf.get("quick", lambda: bytes(KB))
    assert cache.usage().by_kind["tables"][0] == 2
    assert shelf.held("slow") is slow


def test_the_same_arguments_and_the_very_same_unit_are_worked_out_once() -> None:
    shelf = ResultCache().shelf("names")
    made: list[object] = []

    @shelf.memo
    def double(number: int) -> int:
        made.append(number)
        return 2 * number

    @shelf.per_unit
    def name(unit: Unit) -> str:
        made.append("unit")
        return unit.name

    assert [double(2), double(2), double(3)] == [4, 4, 6]
    unit = unit_from_text('arrangement = "two_pole_plain"\n')
    assert name(unit) == name(unit) == unit.name
    assert made == [2, 3, "unit"]


def test_what_was_made_of_a_unit_in_one_language_is_not_shown_in_another() -> None:
    shelf = ResultCache().shelf("pictures")

    @shelf.per_unit
    def picture(unit: Unit) -> str:
        return f"{unit.name} in {current()}"

    unit = unit_from_text('arrangement = "two_pole_plain"\n')
    with speaking("es"):
        assert picture(unit).endswith(" in es")
    assert picture(unit).endswith(" in en")
