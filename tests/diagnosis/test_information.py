"""Expected information against values that are known from elsewhere."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import norm
from tests.diagnosis import control_circuit as circuit
from tests.diagnosis.yardsticks import entropy_bits, noisy_bits

from rungwise.diagnosis import Belief, CheckCard, Doubts, FaultTable, SuspectCard
from rungwise.diagnosis.value_of_information import Outlook

EXACT = Doubts(reading_slip=0.0, choice_slip=0.0, none_weight=0.0)


def suspects(count: int) -> tuple[SuspectCard, ...]:
    return tuple(SuspectCard(f"s{n}", "", f"p{n}", "", f"r{n}", "", 1.0) for n in range(count))


def bits_of(belief: Belief, check: str) -> float:
    return float(Outlook.of(belief).prospects([belief.table.check_index(check)]).bits[0, 0])


def two_readings(apart: float, offset: float = 0.0) -> Belief:
    """Two suspects whose readings lie `apart` meter errors from each other."""
    reading = np.array([[100.0 + offset], [100.0 + offset + apart]])
    sd = np.ones((2, 1))
    table = FaultTable(suspects(2), (CheckCard("volts", "", unit="V"),), np.arange(2), reading, sd)
    return Belief.start(table, doubts=EXACT)


def two_normals(apart: float) -> float:
    """Mutual information of a fair coin and a unit normal shifted by it, bits, by quadrature."""

    def surprisal(x: float) -> float:
        p = 0.5 * norm.pdf(x) + 0.5 * norm.pdf(x - apart)
        return float(-p * np.log2(p))

    both = quad(surprisal, -10.0, apart + 10.0, limit=200)[0]
    return float(both - 0.5 * np.log2(2.0 * np.pi * np.e))


@pytest.mark.parametrize("apart", [0.0, 0.5, 1.0, 2.0, 3.0, 4.5, 6.0, 12.0])
def test_bins_tell_two_readings_apart_about_as_well_as_their_noise_lets(apart: float) -> None:
    """Against the exact information of two normal readings; the bins come within 0.27 bit."""
    assert bits_of(two_readings(apart), "volts") == pytest.approx(two_normals(apart), abs=0.27)


def test_readings_that_noise_hides_from_each_other_tell_next_to_nothing() -> None:
    assert bits_of(two_readings(0.1), "volts") < 0.03


def test_a_reading_that_all_suspects_share_tells_nothing_however_it_spreads() -> None:
    """Supply volts differ from call to call, but not from suspect to suspect."""
    belief = circuit.start()
    for _ in range(2):
        assert bits_of(belief, "volts_after_supply") < 0.02
        belief = belief.observe("compressor", "silent")


def test_information_is_never_negative_and_never_more_than_is_unknown() -> None:
    rng = np.random.default_rng(3)
    for _ in range(10):
        call = circuit.Call.draw(rng)
        belief = circuit.start()
        for card in rng.permutation(np.array(circuit.CHECKS, dtype=object))[:3]:
            belief = belief.observe(card.id, call.read(card.id))
            outlook = Outlook.of(belief)
            told = outlook.prospects(range(len(circuit.CHECKS)))
            assert told.bits.min() >= 0.0
            assert told.bits.max() <= outlook.entropy_bits[0] + 1e-9
            assert (told.best_after >= outlook.best - 1e-9).all()
            assert (told.best_after <= 1.0 + 1e-9).all()


def test_a_noisy_answer_brings_what_a_binary_symmetric_channel_carries() -> None:
    """Eight equal causes, an even split, wrong with 0.1: 0.53100 bit, 2.46900 left.

    Cover and Thomas, "Elements of information theory", chapter 7: C = 1 - h(e).
    """
    wrong = 0.1
    chances = np.where(np.arange(8)[:, None] < 4, [1.0 - wrong, wrong], [wrong, 1.0 - wrong])
    blank = np.zeros((8, 1))
    card = CheckCard("half", "", "choice", ("yes", "no"))
    table = FaultTable(suspects(8), (card,), np.arange(8), blank, blank + 1.0, {0: chances})
    belief = Belief.start(table, doubts=EXACT)
    assert bits_of(belief, "half") == pytest.approx(0.53100, abs=5e-6)
    assert bits_of(belief, "half") == pytest.approx(noisy_bits(wrong), abs=1e-12)
    left = entropy_bits(belief.observe("half", "yes").posterior(table.by_repair))
    assert left == pytest.approx(2.46900, abs=5e-6)
    slips = Doubts(reading_slip=0.0, choice_slip=2.0 * wrong, none_weight=0.0)
    sure = {0: (chances > 0.5).astype(float)}
    table = FaultTable(suspects(8), (card,), np.arange(8), blank, blank + 1.0, sure)
    assert bits_of(Belief.start(table, doubts=slips), "half") == pytest.approx(0.53100, abs=5e-6)


def test_where_a_check_cannot_be_made_its_reading_is_taken_as_unknown() -> None:
    """One of four equal suspects predicts nothing: the outcomes 0 Ω and OL stay as likely."""
    reading = np.array([[0.0], [0.0], [np.inf], [np.nan]])
    card = CheckCard("ohms", "", unit="Ω")
    table = FaultTable(suspects(4), (card,), np.arange(4), reading, np.ones((4, 1)))
    belief = Belief.start(table, doubts=EXACT)
    # p(0 Ω) = 1/2 + 1/8, p(OL) = 1/4 + 1/8; the unknown one adds one bit of noise to a quarter.
    exact = entropy_bits([0.625, 0.375]) - 0.25
    assert bits_of(belief, "ohms") == pytest.approx(exact, abs=1e-9)
    after = belief.observe("ohms", np.inf).by_suspect()
    assert after["s2"] > after["s3"] > after["s0"]


def test_many_bins_are_widened_and_not_cut() -> None:
    """500 suspects that a good meter tells apart: still most of the information is seen."""
    reading = np.geomspace(1.0, 1e6, 500)[:, None]
    card = CheckCard("ohms", "", unit="Ω")
    table = FaultTable(suspects(500), (card,), np.arange(500), reading, 0.001 * reading)
    belief = Belief.start(table, doubts=EXACT)
    assert int(belief.bins.count[0]) <= 40
    assert bits_of(belief, "ohms") > 4.0
