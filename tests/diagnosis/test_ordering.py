"""Orders of repair and bounds on questions, against published or enumerated values.

Values with their sources: section 11 of the project's reference file, namely Heckerman, Breese and
Rommelse, CACM 38(3), 1995 (the formula, all orders enumerated here) and Cover and Thomas,
"Elements of information theory", section 5.6 (both books from memory, the values computed).
"""

from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.diagnosis.yardsticks import (
    entropy_bits,
    expected_repair_cost,
    fewest_questions,
    noisy_bits,
)

from rungwise.diagnosis.verdict_rules import best_order

PROBABILITY = [0.35, 0.25, 0.20, 0.15, 0.05]
CHECK_COST = [10.0, 5.0, 2.0, 8.0, 1.0]
REPAIR_COST = [50.0, 20.0, 30.0, 40.0, 10.0]


def cost(order: tuple[int, ...] | list[int]) -> float:
    return expected_repair_cost(order, PROBABILITY, CHECK_COST, REPAIR_COST)


def test_probability_per_cost_is_the_best_of_all_orders() -> None:
    best = best_order(PROBABILITY, CHECK_COST)
    assert best == [2, 1, 4, 0, 3]
    assert cost(best) == pytest.approx(47.75, abs=1e-9)
    assert min(cost(order) for order in permutations(range(5))) == pytest.approx(cost(best))


def test_by_probability_alone_the_work_costs_more() -> None:
    assert cost([0, 1, 2, 3, 4]) == pytest.approx(50.70, abs=1e-9)


positive = st.floats(0.01, 10.0)


@given(st.lists(st.tuples(positive, positive, positive), min_size=1, max_size=5))
def test_no_order_is_cheaper_than_probability_per_cost(
    causes: list[tuple[float, float, float]],
) -> None:
    weight, check, repair = zip(*causes, strict=True)
    chance = [each / sum(weight) for each in weight]
    cheapest = min(
        expected_repair_cost(order, chance, check, repair)
        for order in permutations(range(len(causes)))
    )
    ours = expected_repair_cost(best_order(chance, check), chance, check, repair)
    assert ours == pytest.approx(cheapest, rel=1e-9)


@given(st.floats(0.01, 0.99), positive, positive)
def test_of_two_causes_the_first_goes_first_when_it_is_likelier_per_cost(
    chance: float, one: float, other: float
) -> None:
    """Check cause 1 first if p / C1 >= (1 - p) / C2; the repairs drop out (known exercise)."""
    first = best_order([chance, 1.0 - chance], [one, other])[0]
    assert (first == 0) == (chance / one >= (1.0 - chance) / other)


@pytest.mark.parametrize(
    ("probability", "questions", "entropy"),
    [
        ([0.25, 0.25, 0.2, 0.15, 0.15], 2.30, 2.2855),
        ([1 / 2, 1 / 4, 1 / 8, 1 / 16, *[1 / 64] * 4], 2.00, 2.00),
        ([1 / 3, 1 / 3, 1 / 4, 1 / 12], 2.00, 1.8554),
    ],
)
def test_fewest_questions_are_those_of_huffman(
    probability: list[float], questions: float, entropy: float
) -> None:
    assert fewest_questions(probability) == pytest.approx(questions, abs=1e-9)
    assert entropy_bits(probability) == pytest.approx(entropy, abs=5e-5)


@given(st.lists(positive, min_size=1, max_size=20))
def test_entropy_bounds_the_fewest_questions_from_both_sides(weight: list[float]) -> None:
    chance = [each / sum(weight) for each in weight]
    entropy = entropy_bits(chance)
    assert entropy - 1e-9 <= fewest_questions(chance) < entropy + 1.0


@pytest.mark.parametrize(
    ("error", "bits"), [(0.01, 0.9192), (0.05, 0.7136), (0.1, 0.5310), (0.2, 0.2781), (0.5, 0.0)]
)
def test_a_wrong_answer_now_and_then_costs_capacity(error: float, bits: float) -> None:
    """Cover and Thomas, chapter 7: the binary symmetric channel."""
    assert noisy_bits(error) == pytest.approx(bits, abs=5e-5)
