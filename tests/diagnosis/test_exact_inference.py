"""Our posterior against exact inference in pgmpy, on a discretised table.

The Bayesian network: which suspect, then which of its particles, then every check. pgmpy 1.1
eliminates variables; both are exact, so they agree to rounding.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from rungwise.diagnosis import Belief, CheckCard, Doubts, FaultTable, SuspectCard

PARTICLES, SUSPECTS = 3, 5
CHOICES = (2, 3, 4, 2, 3, 2)
EXACT = Doubts(reading_slip=0.0, choice_slip=0.02, none_weight=0.0)


def discretised(seed: int) -> FaultTable:
    """Choices only, with random probabilities on every particle."""
    rng = np.random.default_rng(seed)
    suspects = tuple(
        SuspectCard(f"s{n}", "", f"p{n}", "", f"r{n % 3}", "", float(weight))
        for n, weight in enumerate(rng.uniform(1.0, 50.0, SUSPECTS))
    )
    names = [tuple(f"v{value}" for value in range(count)) for count in CHOICES]
    checks = tuple(CheckCard(f"c{at}", "", "choice", name) for at, name in enumerate(names))
    size = SUSPECTS * PARTICLES
    chances = {at: rng.dirichlet(np.full(n, 0.5), size) for at, n in enumerate(CHOICES)}
    blank = np.zeros((size, len(checks)))
    suspect_of = np.repeat(np.arange(SUSPECTS), PARTICLES)
    return FaultTable(suspects, checks, suspect_of, blank, blank + 1.0, chances)


def network(table: FaultTable, own: dict[str, float] | None = None) -> Any:
    """The same as a pgmpy network; slips are in the tables of the checks. own: other weights."""
    from pgmpy.factors.discrete import TabularCPD  # noqa: PLC0415  # slow to import
    from pgmpy.models import DiscreteBayesianNetwork  # noqa: PLC0415

    weight = np.array([(own or {}).get(each.id, each.weight) for each in table.suspects])
    edges = [("suspect", "particle")]
    edges += [(above, card.id) for card in table.checks for above in ("suspect", "particle")]
    net = DiscreteBayesianNetwork(edges)
    even = np.full((PARTICLES, SUSPECTS), 1.0 / PARTICLES)
    net.add_cpds(
        TabularCPD("suspect", SUSPECTS, (weight / weight.sum())[:, None]),
        TabularCPD("particle", PARTICLES, even, ["suspect"], [SUSPECTS]),
    )
    for at, card in enumerate(table.checks):
        count = len(card.choices)
        slipping = (1.0 - EXACT.choice_slip) * table.choice_probability[at].T
        slipping = slipping + EXACT.choice_slip / count
        parents, sizes = ["suspect", "particle"], [SUSPECTS, PARTICLES]
        net.add_cpds(TabularCPD(card.id, count, slipping, parents, sizes))
    assert net.check_model()
    return net


@pytest.mark.parametrize("seed", [1, 2])
def test_posterior_is_that_of_exact_inference(seed: int) -> None:
    from pgmpy.inference import VariableElimination  # noqa: PLC0415

    table = discretised(seed)
    exact = VariableElimination(network(table))
    belief = Belief.start(table, doubts=EXACT)
    evidence: dict[str, int] = {}
    rng = np.random.default_rng(seed)
    for at in rng.permutation(len(CHOICES)):
        value = int(rng.integers(CHOICES[at]))
        evidence[f"c{at}"] = value
        belief = belief.observe(f"c{at}", f"v{value}")
        query = exact.query(["suspect"], evidence=evidence, show_progress=False)
        ours = belief.posterior(table.by_suspect)
        np.testing.assert_allclose(ours, query.values, rtol=0.0, atol=1e-9)


def test_relearned_weights_move_the_posterior_as_exact_inference_has_it() -> None:
    """Of a shop that met one suspect ten times as often as its card says, and another never."""
    from pgmpy.inference import VariableElimination  # noqa: PLC0415

    table = discretised(4)
    own = {"s1": 10.0 * table.suspects[1].weight, "s3": 1e-6}
    exact = VariableElimination(network(table, own))
    belief = Belief.start(table, own, doubts=EXACT).observe("c0", "v1").observe("c2", "v3")
    query = exact.query(["suspect"], evidence={"c0": 1, "c2": 3}, show_progress=False)
    ours = belief.posterior(table.by_suspect)
    np.testing.assert_allclose(ours, query.values, rtol=0.0, atol=1e-9)
    plain = Belief.start(table, doubts=EXACT).observe("c0", "v1").observe("c2", "v3")
    assert abs(ours - plain.posterior(table.by_suspect)).max() > 0.05


def test_expected_information_is_that_of_exact_inference() -> None:
    """I(repair; check) = H(repair) - E H(repair | outcome), each term from pgmpy."""
    from pgmpy.inference import VariableElimination  # noqa: PLC0415
    from tests.diagnosis.yardsticks import entropy_bits  # noqa: PLC0415

    from rungwise.diagnosis.value_of_information import Outlook  # noqa: PLC0415

    table = discretised(3)
    exact = VariableElimination(network(table))
    belief = Belief.start(table, doubts=EXACT).observe("c0", "v1")
    bits = Outlook.of(belief).prospects([1, 2]).bits[:, 0]
    repair_of = table.by_repair.of_suspect
    for check, ours in zip(("c1", "c2"), bits, strict=True):
        joint = exact.query(["suspect", check], evidence={"c0": 1}, show_progress=False)
        cells = joint.values if joint.variables[0] == "suspect" else joint.values.T
        by_repair = np.zeros((3, cells.shape[1]))
        np.add.at(by_repair, repair_of, cells)
        known = entropy_bits(by_repair.sum(axis=1)) + entropy_bits(by_repair.sum(axis=0))
        assert ours == pytest.approx(known - entropy_bits(by_repair.ravel()), abs=1e-9)
