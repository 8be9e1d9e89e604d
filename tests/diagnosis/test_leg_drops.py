"""The drop over a leg is what its poles and its wire drop, and shows none of them by itself."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import pytest

from rungwise.diagnosis.bench import Bench
from rungwise.diagnosis.build import bench_of
from rungwise.diagnosis.checks import checks_of
from rungwise.diagnosis.checks_leg import LEG_DROP
from rungwise.faults import SuspectSet
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import arrangement

ALONG = {
    "two_pole_plain": ("drop-disconnect-line1-load1", "drop-whip_l1", "drop-contactor-L1-T1"),
    "rooftop_460": ("drop-disconnect-line1-load1", "drop-whip_l1", "drop-contactor-L1-T1"),
    "rooftop_two_compressors": (
        "drop-disconnect-line1-load1", "drop-whip_l1", "drop-cc_l1", "drop-contactor-L1-T1",
    ),
}  # fmt: skip
LEG = "leg-disconnect-line1-contactor-T1"


@lru_cache
def suspects(name: str) -> SuspectSet:
    return SuspectSet(arrangement(name))


def volts(bench: Bench, unit: Unit, name: str) -> np.ndarray:
    reader = next(each.reader for each in checks_of(unit) if each.card.id == name)
    assert reader is not None
    return reader(bench)[0]


@pytest.mark.parametrize("name", list(ALONG))
def test_a_leg_drops_what_its_parts_drop_one_after_the_other(name: str) -> None:
    """Kirchhoff's law of volts along one path; its drops are resistive, so that they add up."""
    listed = suspects(name)
    chosen = [each for each in listed if each.id in ("nothing.found", "contactor.pole1_pitted")]
    bench = bench_of(listed, tuple(chosen), 6)
    parts = sum(volts(bench, listed.unit, each) for each in ALONG[name])
    leg = volts(bench, listed.unit, LEG)
    assert leg.max() > 5.0 * leg.min() > 0.0
    np.testing.assert_allclose(leg, parts, rtol=0.03)


def test_a_leg_is_no_reading_on_any_one_part() -> None:
    """What is high over a leg may lie in either part or in the wire between."""
    unit = suspects("two_pole_plain").unit
    cards = [each.card for each in checks_of(unit) if each.card.quantity == LEG_DROP]
    assert [card.id for card in cards] == [LEG, LEG.replace("1", "2")]
    assert all(card.live and not card.touches for card in cards)


def test_a_leg_begins_at_a_disconnect_by_the_unit_and_never_at_the_panel() -> None:
    for name in ALONG:
        unit = suspects(name).unit
        for card in (each.card for each in checks_of(unit)):
            if card.quantity == LEG_DROP:
                assert unit.part(card.red.split(".")[0]).place in ("disconnect", "outdoor")
