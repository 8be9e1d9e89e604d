"""Laws of probability that the belief must keep, whatever is read."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from tests.diagnosis import control_circuit as circuit

from rungwise.diagnosis import Belief, CheckCard, Doubts
from rungwise.diagnosis.hand_slips import FINEST, OFF_BY, named_share
from rungwise.diagnosis.reading_model import Reading
from rungwise.errors import BadReading, UnknownName

METERS = [card for card in circuit.CHECKS if card.form == "number"]


@st.composite
def some_readings(draw: st.DrawFn) -> list[tuple[str, float | str]]:
    """Any readings of different checks, likely or absurd."""
    cards = draw(st.lists(st.sampled_from(circuit.CHECKS), unique_by=lambda card: card.id))
    return [(card.id, draw(_outcome(card))) for card in cards]


def _outcome(card: CheckCard) -> st.SearchStrategy[float | str]:
    if card.form == "choice":
        return st.sampled_from(card.choices)
    return st.one_of(st.floats(-10.0, 400.0), st.just(float("inf")))


def after(readings: list[tuple[str, float | str]]) -> Belief:
    belief = circuit.start()
    for check, value in readings:
        belief = belief.observe(check, value)
    return belief


@settings(max_examples=30)
@given(some_readings())
def test_the_posterior_sums_to_one(readings: list[tuple[str, float | str]]) -> None:
    belief = after(readings)
    for posterior in (belief.by_suspect(), belief.by_repair()):
        assert sum(posterior.values()) + belief.none_of_these == pytest.approx(1.0, abs=1e-12)
        assert min(posterior.values()) >= 0.0


@settings(max_examples=30)
@given(some_readings(), st.randoms(use_true_random=False))
def test_the_order_of_readings_does_not_matter(
    readings: list[tuple[str, float | str]], rnd: object
) -> None:
    shuffled = list(readings)
    rnd.shuffle(shuffled)  # type: ignore[attr-defined]  # hypothesis' own random
    one, other = after(readings), after(shuffled)
    grouping = one.table.by_suspect
    np.testing.assert_allclose(other.posterior(grouping), one.posterior(grouping), atol=1e-12)


@settings(max_examples=30)
@given(some_readings())
def test_evidence_adds_up_from_the_prior_to_the_posterior(
    readings: list[tuple[str, float | str]],
) -> None:
    belief = after(readings)
    grouping = belief.table.by_repair
    odds = [
        np.log2(p / (1.0 - p))
        for p in (belief.posterior(grouping) for belief in (circuit.start(), belief))
    ]
    told = belief.evidence(grouping).sum(axis=0) if readings else np.zeros(len(odds[0]))
    sane = np.abs(odds[1]) < 30.0  # beyond, 1 - p above has lost its digits
    np.testing.assert_allclose(told[sane], (odds[1] - odds[0])[sane], atol=1e-6)


@settings(max_examples=30)
@given(st.sampled_from(METERS), st.integers(0, 10_000))
def test_the_likelihood_of_all_readings_together_is_one(card: object, pick: int) -> None:
    """Density over the scale plus the mass of OL, on any particle."""
    model = circuit.model()
    at = model.table.check_index(card.id)  # type: ignore[attr-defined]
    particle = pick % model.table.particles
    floor, z = model.scale.floor[at], float(model.z[particle, at])
    ends = [float(model.scale.low[at]), float(model.scale.high[at])]
    if np.isfinite(z):
        sd = float(model.spread(np.array([at]))[particle, 0])
        ends += [z - 9.0 * sd, z, z + 9.0 * sd]
        # And where the same is read with its point a place off, or in another unit.
        seen = [float(np.arcsinh(np.sinh(z) / by)) for by, _ in OFF_BY]
        ends += [at + beside * (sd + FINEST) for at in seen for beside in (-9.0, 0.0, 9.0)]
    density = quad(
        lambda z: np.exp(model.log_likelihood([Reading(at, floor * np.sinh(z))]))[particle],
        min(ends),
        max(ends),
        points=sorted(set(ends)),
        limit=400,
    )[0]
    wild = model.doubts.reading_slip * (1.0 - float(named_share(np.array(z))))
    beyond = wild * (max(ends) - min(ends) - (model.scale.high[at] - model.scale.low[at]))
    beyond *= model.scale.wild(at)  # a wild reading lies within the scale's own ends
    mass = np.exp(model.log_likelihood([Reading(at, np.inf)]))[particle]
    assert density - beyond + mass == pytest.approx(1.0, abs=1e-4)


def test_a_reading_that_a_suspect_cannot_give_lowers_it() -> None:
    before = circuit.start().by_suspect()
    after_it = circuit.start().observe("coil_ohms", 14.0).by_suspect()
    assert after_it["coil_open"] < 0.05 * before["coil_open"]
    assert after_it["fuse_open"] > before["fuse_open"]


def test_a_single_slip_never_rules_out_the_truth() -> None:
    """A coil read OL with one lead off; the other readings say the capacitor is open."""
    belief = after([("coil_ohms", float("inf")), ("compressor", "humming"), ("capacitance", 0.0)])
    belief = belief.observe("volts_load", 238.0)
    assert belief.best_repair()[0] == "new_capacitor"
    # What is left is mostly that none of the listed explains a coil that is open and pulls.
    assert belief.best_repair()[1] > 0.8
    assert belief.by_suspect()["coil_open"] < 0.001


@pytest.mark.parametrize("place", [0, 1, 3])
def test_the_odd_reading_is_found_wherever_it_stands(place: int) -> None:
    readings: list[tuple[str, float | str]] = [
        ("compressor", "humming"),
        ("volts_load", 238.0),
        ("capacitance", 0.0),
    ]
    readings.insert(place, ("volts_after_float", 12.0))
    surprise = after(readings).surprise()
    assert int(np.argmax(surprise)) == place
    assert surprise[place] > 2.0
    assert (np.delete(surprise, place) < 0.0).all()


def test_readings_that_fit_nothing_make_none_of_these_win() -> None:
    belief = after([("volts_after_supply", 12.0), ("capacitance", 150.0), ("winding_ohms", 60.0)])
    assert belief.none_of_these > belief.best_repair()[1]


def test_ordinary_readings_hardly_move_none_of_these() -> None:
    rng = np.random.default_rng(7)
    for fault in circuit.WEIGHTS:
        call = circuit.Call.draw(rng, fault)
        belief = after([(card.id, call.read(card.id)) for card in circuit.CHECKS])
        assert belief.none_of_these < 0.01, fault


def test_a_check_taken_again_replaces_the_earlier_reading() -> None:
    belief = circuit.start().observe("coil_ohms", float("inf")).observe("coil_ohms", 14.0)
    once = circuit.start().observe("coil_ohms", 14.0)
    assert len(belief.readings) == 1
    grouping = belief.table.by_suspect
    np.testing.assert_allclose(belief.posterior(grouping), once.posterior(grouping))


def test_a_reading_taken_again_alike_is_trusted_more() -> None:
    once = circuit.start().observe("coil_ohms", 14.0)
    twice = once.observe("coil_ohms", 14.1)
    assert twice.readings[0].times == 2
    assert twice.by_suspect()["coil_open"] < 0.1 * once.by_suspect()["coil_open"]


def test_weights_of_the_shop_replace_those_of_the_cards() -> None:
    belief = Belief.start(circuit.model(), {"coil_shorted": 0.0, "fuse_open": 500.0})
    assert belief.by_suspect()["coil_shorted"] == 0.0
    assert belief.best_repair()[0] == "repair_fuse_open"
    with pytest.raises(UnknownName):
        Belief.start(circuit.model(), {"fuse_opem": 1.0})
    with pytest.raises(ValueError, match="0 or more"):
        Belief.start(circuit.model(), {"fuse_open": -1.0})


def test_a_value_the_check_cannot_have_is_refused() -> None:
    start = circuit.start()
    with pytest.raises(BadReading) as refused:
        start.observe("compressor", "wobbling")
    assert refused.value.allowed == "running, humming, silent"
    with pytest.raises(BadReading, match="a current"):
        start.observe("volts_load", "240 A")
    with pytest.raises(BadReading, match="not a meter reading"):
        start.observe("volts_load", float("nan"))
    with pytest.raises(UnknownName):
        start.observe("volts_lood", 240.0)


def test_a_reading_may_come_as_text_with_its_unit() -> None:
    grouping = circuit.start().table.by_suspect
    said = circuit.start().observe("coil_ohms", "0.014 kΩ").posterior(grouping)
    np.testing.assert_allclose(said, circuit.start().observe("coil_ohms", 14.0).posterior(grouping))
    said = circuit.start().observe("coil_ohms", "OL").posterior(grouping)
    plain = circuit.start().observe("coil_ohms", float("inf")).posterior(grouping)
    np.testing.assert_allclose(said, plain)


def test_without_slips_a_reading_nobody_can_give_is_refused() -> None:
    belief = Belief.start(circuit.model().table, doubts=Doubts(0.0, 0.0, 0.0))
    with pytest.raises(BadReading, match="no suspect can give"):
        belief.observe("volts_after_supply", float("inf"))


def test_what_two_readings_share_is_carried_by_the_particles() -> None:
    """25 V behind the wire is a healthy reading, unless the supply was seen to give 27.8 V."""
    alone = after([("volts_after_y_wire", 25.0)]).by_suspect()["y_wire_joint"]
    weak = after([("volts_after_supply", 25.1), ("volts_after_y_wire", 25.0)])
    strong = after([("volts_after_supply", 27.8), ("volts_after_y_wire", 25.0)])
    assert weak.by_suspect()["y_wire_joint"] < alone < 0.1
    assert strong.by_suspect()["y_wire_joint"] > 0.2
    assert strong.by_suspect()["capacitor_weak"] < 0.5 * weak.by_suspect()["capacitor_weak"]
