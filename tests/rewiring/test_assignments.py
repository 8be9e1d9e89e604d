"""Matchings counted by dynamic programming, against counting them one by one."""

from __future__ import annotations

import math
from itertools import combinations, permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rungwise.rewiring.assignments import Assignments


def drawn(seed: int) -> tuple[Assignments, list[tuple[int, ...]]]:
    """A random problem, and its matchings found by trying every permutation."""
    rng = np.random.default_rng(seed)
    size = int(rng.integers(1, 7))
    domain = rng.random((size, size)) < 0.8
    ties = {
        pair: rng.random((size, size)) < 0.75
        for pair in combinations(range(size), 2)
        if rng.random() < 0.4
    }
    brute = [
        way
        for way in permutations(range(size))
        if all(domain[p, end] for p, end in enumerate(way))
        if all(allowed[way[p], way[q]] for (p, q), allowed in ties.items())
    ]
    return Assignments(domain, ties, rng.random((size, size)) + 0.05), brute


@settings(max_examples=120, deadline=None)
@given(st.integers(0, 10**9))
def test_the_count_and_the_list_are_those_of_trying_every_way(seed: int) -> None:
    assigned, brute = drawn(seed)
    assert assigned.count == len(brute)
    assert sorted(map(tuple, assigned.every().tolist())) == sorted(brute)


@settings(max_examples=15, deadline=None)
@given(st.integers(0, 10**9))
def test_drawing_goes_by_the_weights(seed: int) -> None:
    assigned, brute = drawn(seed)
    if not brute:
        return
    many = 4000
    ways = assigned.every()
    share = dict(zip(map(tuple, ways.tolist()), assigned.likelihood(ways), strict=True))
    drawn_ways = [tuple(way) for way in assigned.sample(np.random.default_rng(1), many).tolist()]
    for way, expected in share.items():
        # five standard deviations of a share, so that one case in a million strays
        slack = 5 * math.sqrt(expected * (1 - expected) / many) + 1e-9
        assert abs(drawn_ways.count(way) / many - expected) <= slack + 1e-3


@pytest.mark.parametrize("size", [1, 5, 13, 18])
def test_free_ends_have_as_many_ways_as_there_are_permutations(size: int) -> None:
    assigned = Assignments(np.ones((size, size), bool), {})
    assert assigned.count == math.factorial(size)


def test_no_way_is_none() -> None:
    domain = np.array([[True, False], [True, False]])
    assigned = Assignments(domain, {})
    assert assigned.count == 0
    assert assigned.every().shape == (0, 2)
    assert assigned.likelihood(assigned.every()).shape == (0,)
