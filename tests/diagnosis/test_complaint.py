"""What the customer said moves the odds by Bayes' rule, and closed calls relearn by how much."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np
import pytest

from rungwise.diagnosis.chips import CHIPS
from rungwise.diagnosis.complaint import (
    CALLS_WORTH,
    LIKELIEST,
    MOST,
    chips_named,
    complaint_told,
    complaint_weights,
    group_of,
    learned_ratio,
    learned_ratios,
)
from rungwise.diagnosis.fault_table import SuspectCard
from rungwise.errors import UnknownName
from rungwise.faults import SuspectSet
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement


@lru_cache
def cards(name: str) -> tuple[SuspectCard, ...]:
    """The suspects of an arrangement as the fault table has them."""
    listed = SuspectSet(arrangement(name))
    kinds = {key: block.kind.name for key, block in listed.plan.blocks.items()}
    return tuple(
        SuspectCard(
            each.id, each.title, each.block, each.mode, each.repair, each.repair_text,
            each.weight, known=each.known, kind=kinds.get(each.block, ""),
        )
        for each in listed
    )  # fmt: skip


def moved(name: str, *chips: str) -> dict[str, float]:
    """By how much the chips multiply each suspect's weight."""
    listed = cards(name)
    after = complaint_weights(listed, None, chips)
    return {card.id: after[card.id] / card.weight for card in listed}


def test_nothing_said_moves_nothing() -> None:
    assert set(moved("one_pole_heater").values()) == {1.0}


def test_chips_multiply_own_weights_where_a_shop_has_them() -> None:
    listed = cards("one_pole_heater")
    own = {"transformer.shorted": 3.0}
    after = complaint_weights(listed, own, ["after_storm"])
    (ratio,) = {g.ratio for chip in CHIPS for g in chip.groups if (chip.id, g.id) == (
        "after_storm", "transformer")}  # fmt: skip
    assert after["transformer.shorted"] == pytest.approx(3.0 * ratio)


@pytest.mark.parametrize(
    ("chip", "likelier", "than"),
    [
        ("after_storm", "transformer.primary_open", "float_switch.open"),
        ("filter_changed", "door_switch.open", "capacitor.herm_weak"),
        ("afternoons_only", "high_pressure.open", "y_field.open"),
        ("after_power_cut", "indoor_breaker.off", "fan.seized"),
        ("lights_dim", "capacitor.herm_open", "float_switch.open"),
        ("breaker_trips", "compressor.earthed", "float_switch.open"),
        ("worked_on", "compressor.swapped_r_s", "fan.seized"),
        ("warm_air", "nothing.found", "transformer.shorted"),
        ("noise", "compressor.seized", "lv_fuse.blown"),
        ("smell", "whip_l1.high_resistance", "float_switch.open"),
        ("ice", "low_pressure.open", "capacitor.herm_weak"),
        ("ice", "unit.frozen_coil", "low_pressure.open"),
        ("water", "float_switch.open", "compressor.seized"),
    ],
)
def test_each_chip_points_where_the_trade_points(chip: str, likelier: str, than: str) -> None:
    """Common practice, from experience, no source."""
    by = moved("one_pole_heater", chip)
    assert by[likelier] > by[than]


def test_two_chips_multiply_and_hearsay_never_decides() -> None:
    one, other = moved("one_pole_heater", "after_storm"), moved("one_pole_heater", "smell")
    both = moved("one_pole_heater", "after_storm", "smell")
    shorted = "transformer.shorted"
    assert both[shorted] == pytest.approx(one[shorted] * other[shorted])
    everything = moved("one_pole_heater", *(chip.id for chip in CHIPS)).values()
    assert max(everything) == pytest.approx(MOST)
    assert min(everything) >= 1.0 / MOST * (1.0 - 1e-9)


def test_a_chip_told_twice_counts_once() -> None:
    assert moved("two_pole_plain", "ice", "ice") == moved("two_pole_plain", "ice")


def test_an_unknown_complaint_is_refused_with_the_list() -> None:
    with pytest.raises(UnknownName, match="after_storm") as refused:
        chips_named(["after_strom"])
    assert refused.value.matches == ("after_storm",)
    assert all(chip.id in str(refused.value.allowed) for chip in CHIPS)


def test_every_chip_moves_some_suspect_of_every_arrangement() -> None:
    for name in FIRST_ARRANGEMENTS:
        for chip in CHIPS:
            assert len(set(moved(name, chip.id).values())) > 1, (name, chip.id)


def test_what_is_told_of_a_chip_are_the_very_ratios_that_moved_the_odds() -> None:
    listed = cards("one_pole_heater")
    (told,) = complaint_told(listed, ["water"])
    assert told.moved[0].group == "pan"
    ratios = {round(each, 9) for each in moved("one_pole_heater", "water").values()}
    assert {each.ratio for each in told.moved} == ratios - {1.0}


def test_no_stated_chance_is_over_one() -> None:
    for chip in CHIPS:
        for each in chip.groups:
            assert each.ratio * chip.usual <= LIKELIEST, (chip.id, each.id)


def test_a_ratio_without_calls_is_the_stated_one() -> None:
    assert learned_ratio(4.0, 0.08, (0, 0), (0, 0)) == pytest.approx(4.0)
    # A shop whose customers never say it, on calls of other causes, teaches nothing of this one.
    assert learned_ratio(4.0, 0.08, (0, 0), (0, 500)) == pytest.approx(4.0)


@pytest.mark.parametrize(
    ("told", "calls", "told_else", "calls_else"),
    [(0, 12, 3, 40), (6, 10, 2, 90), (30, 30, 0, 5), (1, 200, 40, 60)],
)
def test_a_learned_ratio_is_bayes_rule_summed_over_every_chance(
    told: int, calls: int, told_else: int, calls_else: int
) -> None:
    """Against sums over a fine grid of chances, which know nothing of conjugate forms."""
    ratio, usual = 4.0, 0.08
    chance = (np.arange(200_000) + 0.5) / 200_000

    def mean_after(mean: float, k: int, n: int) -> float:
        log = (CALLS_WORTH * mean - 1 + k) * np.log(chance)
        log += (CALLS_WORTH * (1 - mean) - 1 + n - k) * np.log1p(-chance)
        weight = np.exp(log - log.max())
        return float((weight * chance).sum() / weight.sum())

    otherwise = mean_after(usual, told_else, calls_else)
    likely = mean_after(min(ratio * otherwise, LIKELIEST), told, calls)
    found = learned_ratio(ratio, usual, (told, calls), (told_else, calls_else))
    assert found == pytest.approx(likely / otherwise, rel=1e-4)


def test_many_calls_teach_the_ratio_that_they_show() -> None:
    """From 4000 calls of a shop whose transformers fail after storms 10 times as often."""
    rng = np.random.default_rng(7)
    calls = []
    for _ in range(4000):
        kind, mode = [("transformer", "shorted"), ("compressor", "seized")][int(rng.integers(2))]
        storm = rng.uniform() < (0.5 if kind == "transformer" else 0.05)
        calls.append((kind, mode, ("after_storm",) if storm else ("noise",)))
    learned = learned_ratios(calls)
    assert learned["after_storm", "transformer"] == pytest.approx(10.0, rel=0.15)


def test_calls_on_which_nobody_was_asked_teach_nothing() -> None:
    assert learned_ratios([("transformer", "shorted", ())] * 9) == {}
    listed = cards("one_pole_heater")
    plain = complaint_weights(listed, None, ["water"])
    assert complaint_weights(listed, None, ["water"], {}) == plain


def test_a_cause_with_its_effect_goes_with_the_cause() -> None:
    (chip,) = chips_named(["noise"])
    alone = group_of(chip, "compressor", "seized")
    assert alone is not None
    assert group_of(chip, "compressor", "seized>overload_open") is alone


def test_somebody_at_work_makes_unknown_ways_likelier() -> None:
    (card, *_) = cards("one_pole_heater")
    strange = replace(card, id="strange", mode="another_leg", known=False)
    after = complaint_weights([card, strange], None, ["worked_on"])
    assert after["strange"] > after[card.id]
