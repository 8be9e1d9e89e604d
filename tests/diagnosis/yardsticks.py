"""Published yardsticks that the engine's advice is held against.

Equations: Heckerman, Breese and Rommelse, "Decision-theoretic troubleshooting", CACM 38(3), 1995;
Huffman, "A method for the construction of minimum-redundancy codes", Proc. IRE 40, 1952;
Cover and Thomas, "Elements of information theory", chapters 2, 5 and 7. From memory.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

__all__ = ["entropy_bits", "expected_repair_cost", "fewest_questions", "noisy_bits"]


def expected_repair_cost(
    order: Sequence[int],
    probability: npt.ArrayLike,
    check_cost: npt.ArrayLike,
    repair_cost: npt.ArrayLike,
) -> float:
    """Expected cost of checking causes one by one until the culprit is found and repaired.

    Σ_i [(1 - Σ_{j<i} p_j) C_i^check + p_i C_i^repair], i in the order given. One culprit,
    independent checks that never err.

    order: places of the causes. probability, check_cost, repair_cost: float [causes].
    """
    at = np.asarray(order, dtype=np.intp)
    p, check, repair = (
        np.asarray(each, dtype=np.float64)[at] for each in (probability, check_cost, repair_cost)
    )
    still_open = 1.0 - np.concatenate([[0.0], np.cumsum(p)[:-1]])
    return float(still_open @ check + p @ repair)


def entropy_bits(probability: npt.ArrayLike) -> float:
    """H = -Σ p log2 p, bits; the least mean number of yes/no questions that can do."""
    p = np.asarray(probability, dtype=np.float64)
    p = p[p > 0.0]
    return float(-(p @ np.log2(p)))


def fewest_questions(probability: npt.ArrayLike) -> float:
    """Mean number of yes/no questions of the best strategy when any question may be asked.

    The mean depth of Huffman's tree: each merge of the two rarest asks one question of both.
    """
    heap = [float(p) for p in np.asarray(probability, dtype=np.float64) if p > 0.0]
    heapq.heapify(heap)
    mean = 0.0
    while len(heap) > 1:
        merged = heapq.heappop(heap) + heapq.heappop(heap)
        mean += merged
        heapq.heappush(heap, merged)
    return mean


def noisy_bits(error: float) -> float:
    """Most bits that one yes/no answer can bring which is wrong with probability `error`: 1 - H."""
    return 1.0 - entropy_bits([error, 1.0 - error])
