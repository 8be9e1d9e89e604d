from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis.extra.numpy import array_shapes, arrays

from rungwise.isolation.set_cover import BoolTable, minimum_cover

TABLES = arrays(bool, array_shapes(min_dims=2, max_dims=2, min_side=1, max_side=8))


def covered(table: BoolTable, columns: tuple[int, ...]) -> bool:
    return bool(table[:, list(columns)].any(axis=1).all())


def brute_force_size(table: BoolTable) -> int:
    columns = range(table.shape[1])
    sets = (chosen for size in range(len(columns) + 1) for chosen in combinations(columns, size))
    return next(len(chosen) for chosen in sets if covered(table, chosen))


@given(TABLES)
def test_the_cover_is_as_small_as_trying_every_set_finds(table: BoolTable) -> None:
    assume(table.any(axis=1).all())
    chosen = minimum_cover(table, np.zeros(table.shape[1]))
    assert covered(table, chosen)
    assert len(chosen) == brute_force_size(table)


@given(TABLES)
def test_likes_decide_only_between_covers_of_the_same_size(table: BoolTable) -> None:
    assume(table.any(axis=1).all())
    dislike = np.linspace(0.0, 0.99, table.shape[1])
    chosen = minimum_cover(table, dislike)
    size = brute_force_size(table)
    rivals = [c for c in combinations(range(table.shape[1]), size) if covered(table, c)]
    assert len(chosen) == size
    assert dislike[list(chosen)].sum() == pytest.approx(min(dislike[list(c)].sum() for c in rivals))


def test_a_case_that_nothing_shows_is_refused() -> None:
    with pytest.raises(ValueError, match="no check"):
        minimum_cover(np.array([[True], [False]]), np.zeros(1))


def test_no_case_asks_for_no_check() -> None:
    assert minimum_cover(np.zeros((0, 3), bool), np.zeros(3)) == ()
