"""The polybox of de Kleer and Williams, "Diagnosing multiple faults", 1987, by our own belief.

Artificial Intelligence 32:97-130. M1 = A x C, M2 = B x D, M3 = C x E, A1: F = M1 + M2,
A2: G = M2 + M3, with A=3, B=2, C=2, D=3, E=3. F reads 10 where 12 is due, G reads 12. X, Y, Z are
the outputs of M1, M2, M3. A diagnosis is a set of broken parts; a broken part gives any value.
The values below were computed by enumeration (the paper's own tables were not at hand); that X is
measured first is the paper's.
"""

from __future__ import annotations

from functools import cache
from itertools import chain, combinations

import numpy as np
import pytest
from tests.diagnosis.yardsticks import entropy_bits

from rungwise.diagnosis import Belief, CheckCard, Doubts, FaultTable, PriceList, SuspectCard
from rungwise.diagnosis.advice import next_check
from rungwise.diagnosis.value_of_information import Outlook

# Each healthy part ties the probed values: coefficients of X, Y, Z and their sum.
RULES = {
    "M1": ((1, 0, 0), 6),
    "M2": ((0, 1, 0), 6),
    "M3": ((0, 0, 1), 6),
    "A1": ((1, 1, 0), 10),
    "A2": ((0, 1, 1), 12),
}
PROBES = {"X": ("4", "6"), "Y": ("4", "6"), "Z": ("6", "8")}
CHANCE_BROKEN = 0.01
NAT = 1.0 / np.log(2.0)  # bits

Broken = tuple[str, ...]


def all_diagnoses() -> list[Broken]:
    return list(chain.from_iterable(combinations(RULES, size) for size in range(len(RULES) + 1)))


def solved(broken: Broken) -> dict[str, float | None] | None:
    """What each probe must read, None where nothing ties it; None for a contradiction."""
    healthy = [RULES[part] for part in RULES if part not in broken]
    matrix = np.array([rule for rule, _ in healthy], dtype=float).reshape(-1, 3)
    values = np.array([value for _, value in healthy], dtype=float)
    if not healthy:
        return dict.fromkeys(PROBES)
    found = np.linalg.lstsq(matrix, values, rcond=None)[0]
    if np.abs(matrix @ found - values).max() > 1e-9:
        return None
    rank = np.linalg.matrix_rank(matrix)
    tied = [np.linalg.matrix_rank(np.vstack([matrix, row])) == rank for row in np.eye(3)]
    return {
        probe: float(round(value)) if is_tied else None
        for probe, value, is_tied in zip(PROBES, found, tied, strict=True)
    }


def probe_row(broken: Broken, probe: str) -> list[float]:
    """Probability of each value: certain where it is tied, even where it is not."""
    told = solved(broken)
    value = None if told is None else told[probe]
    if value is None:
        return [1.0 / len(PROBES[probe])] * len(PROBES[probe])
    return [float(float(shown) == value) for shown in PROBES[probe]]


@cache
def start(chance_broken: float = CHANCE_BROKEN) -> Belief:
    """All 32 sets of broken parts, before F and G are read."""
    diagnoses = all_diagnoses()
    cards = tuple(
        SuspectCard(
            id=" ".join(broken) or "none",
            title="",
            part="",
            mode="",
            repair=" ".join(broken) or "none",
            repair_text="",
            weight=chance_broken ** len(broken) * (1.0 - chance_broken) ** (5 - len(broken)),
        )
        for broken in diagnoses
    )
    probes = [CheckCard(name, "", "choice", values) for name, values in PROBES.items()]
    outputs = CheckCard("F and G", "", "choice", ("10 and 12", "another pair"))
    chances = {
        at: np.array([probe_row(broken, probe) for broken in diagnoses])
        for at, probe in enumerate(PROBES)
    }
    agrees = [float(solved(broken) is not None) for broken in diagnoses]
    chances[3] = np.array([[fits, 1.0 - fits] for fits in agrees])
    blank = np.zeros((len(diagnoses), 4))
    table = FaultTable(
        cards, (*probes, outputs), np.arange(len(diagnoses)), blank, blank + 1.0, chances
    )
    return Belief.start(table, doubts=Doubts(0.0, 0.0, 0.0))


@cache
def seen(chance_broken: float = CHANCE_BROKEN) -> Belief:
    return start(chance_broken).observe("F and G", "10 and 12")


def possible() -> list[set[str]]:
    left = [name for name, chance in seen().by_suspect().items() if chance > 0.0]
    return [set(name.split()) for name in left if name != "none"]


def test_27_of_32_sets_of_broken_parts_explain_the_outputs() -> None:
    assert len(possible()) == 27
    assert seen().by_suspect()["none"] == 0.0


def test_the_minimal_diagnoses_are_the_published_four() -> None:
    minimal = [one for one in possible() if not any(other < one for other in possible())]
    assert {frozenset(each) for each in minimal} == {
        frozenset({"A1"}),
        frozenset({"M1"}),
        frozenset({"A2", "M2"}),
        frozenset({"M2", "M3"}),
    }


@pytest.mark.parametrize(
    ("chance_broken", "single", "double", "nat"),
    [(0.01, 0.47803, 0.00483, 0.9423), (0.1, 0.31944, 0.03549, 2.0312)],
)
def test_posterior_of_single_and_double_faults(
    chance_broken: float, single: float, double: float, nat: float
) -> None:
    posterior = seen(chance_broken).by_suspect()
    for name in ("A1", "M1"):
        assert posterior[name] == pytest.approx(single, abs=5e-6)
    for name in ("M2 A2", "M2 M3"):
        assert posterior[name] == pytest.approx(double, abs=5e-6)
    assert entropy_bits(list(posterior.values())) / NAT == pytest.approx(nat, abs=5e-5)


def test_posterior_of_each_part() -> None:
    """A part's probability is that of all sets it is in."""
    posterior = seen().by_suspect()
    of_part = {
        part: sum(chance for name, chance in posterior.items() if part in name.split())
        for part in RULES
    }
    expected = {"A1": 0.49764, "M1": 0.49764, "M2": 0.01961, "M3": 0.01478, "A2": 0.01478}
    assert of_part == pytest.approx(expected, abs=5e-6)


@pytest.mark.parametrize(
    ("probe", "left_nat", "gain_bits"),
    [("X", 0.2527, 0.9949), ("Y", 0.8873, 0.0793), ("Z", 0.9113, 0.0448)],
)
def test_expected_entropy_after_each_probe(probe: str, left_nat: float, gain_bits: float) -> None:
    """Change = sum_k p(v_k) ln p(v_k) + p(U) ln m, p(v_k) = p(S_k) + p(U)/m; here m = 2."""
    belief = seen()
    outlook = Outlook.of(belief)
    bits = float(outlook.prospects([belief.table.check_index(probe)]).bits[0, 0])
    assert bits == pytest.approx(gain_bits, abs=2e-4)
    unknown = entropy_bits(belief.posterior(belief.table.by_repair))
    assert (unknown - bits) / NAT == pytest.approx(left_nat, abs=2e-4)


@pytest.mark.parametrize("look_ahead", [False, True])
def test_x_is_measured_first(*, look_ahead: bool) -> None:
    advice = next_check(seen(), PriceList(), look_ahead=look_ahead)
    assert advice.check is not None
    assert advice.check.id == "X"


@pytest.mark.parametrize(("value", "culprit"), [("4", "M1"), ("6", "A1")])
def test_x_decides_between_m1_and_a1(value: str, culprit: str) -> None:
    best, chance = seen().observe("X", value).best_repair()
    assert best == culprit
    assert chance > 0.9
