"""The catalogue of checks, and what they read on good and faulty units."""

from __future__ import annotations

import numpy as np
import pytest

from rungwise.diagnosis.build import bench_of
from rungwise.diagnosis.checks import checks_of
from rungwise.diagnosis.discrepancy import DISCREPANCY
from rungwise.diagnosis.expect import Expected, expected_readings
from rungwise.errors import UnknownName
from rungwise.faults import SuspectSet
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement

FEW = 16


def readings(arrangement_name: str, suspect: str) -> dict[str, Expected]:
    bands = expected_readings(arrangement(arrangement_name), suspect, particles=FEW)
    return {band.id: band for band in bands}


@pytest.fixture(scope="module")
def good() -> dict[str, Expected]:
    return readings("one_pole_heater", "nothing.found")


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_every_check_has_one_reader_its_own_id_and_says_where(name: str) -> None:
    checks = checks_of(arrangement(name))
    ids = [check.card.id for check in checks]
    assert len(ids) == len(set(ids))
    for check in checks:
        assert (check.reader is None) != (check.look is None)
        assert check.card.minutes > 0
        assert check.card.title
        assert check.card.condition
        if check.card.live:
            assert check.card.risk > 0
            assert check.card.cautions[0].signal in ("DANGER", "WARNING", "CAUTION")


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_every_check_reads_every_particle(name: str) -> None:
    suspects = SuspectSet(arrangement(name))
    chosen = [suspects.suspect("nothing.found"), suspects.suspect("compressor.seized")]
    bench = bench_of(suspects, chosen, 4)
    for check in checks_of(suspects.unit):
        if check.reader is not None:
            reading, sd = check.reader(bench)
            assert reading.shape == sd.shape == (8,)
            assert not np.isnan(reading).any()
            assert (sd > 0).all()
        elif check.look is not None:
            chances = check.look(bench, chosen)
            assert chances.shape == (8, len(check.card.choices))
            np.testing.assert_allclose(chances.sum(axis=1), 1.0)


@pytest.mark.parametrize(
    ("check", "low", "high"),
    [
        ("volts-contactor-L1-L2", 0.99 * 106.0 * 3**0.5, 265.0),
        ("volts-contactor-L1-earth", 98.5, 133.0),
        ("volts-contactor-L2-earth", 98.5, 133.0),
        ("idle-volts-contactor-T2-earth", 98.5, 133.0),
        ("idle-volts-contactor-T1-earth", 98.5, 133.0),
        ("volts-coil", 23.0, 29.0 * 265.0 / 253.0),
        ("ohms-coil", 8.0, 21.0),
        ("drop-contactor-L1-T1", 0.0, 0.2),
        ("watts-heater-idle", 40.0, 120.0),
        ("watts-heater-running", 0.0, 0.01),
        ("uf-capacitor-HERM-C", 40.5, 49.5),
        ("loaduf-capacitor-HERM", 40.5, 49.5),
    ],
)
def test_a_good_unit_reads_what_the_trade_expects(
    good: dict[str, Expected], check: str, low: float, high: float
) -> None:
    """Common practice, no source: a good 24 V coil has 8 to 20 Ω by make, R to C reads 23 to 29 V,

    a contact drops less than 0.2 V, a capacitor is kept to 10% off its plate. Supply of the
    utility: a tenth of the sites have 208Y/120 V, with 106 V a leg at the equipment at the least
    (ANSI C84.1 range B, from memory; 1% on it), 184 V leg to leg; a 208/230 V plate runs on up
    to 253 V. As a supply of up to 265 V counts as good here, so do the 24 V that follow it.
    """
    band = good[check]
    assert band.low is not None
    assert band.high is not None
    assert low <= band.low <= band.high <= high


def test_a_good_motor_shows_its_locked_amps_in_the_first_swing(good: dict[str, Expected]) -> None:
    """LRA of the plate within a fifth (common practice, no source); two seconds later it runs."""
    unit = arrangement("one_pole_heater")
    locked_a = SuspectSet(unit).plan.defaults[("compressor", "locked_a")]
    peak, held = good["start-amps-comp_c"].typical, good["held-amps-comp_c"].typical
    assert peak == pytest.approx(float(locked_a), rel=0.2)
    assert held is not None
    assert held < 0.3 * float(locked_a)


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_every_check_says_what_it_reads_and_touches_blocks_of_the_unit(name: str) -> None:
    unit = arrangement(name)
    blocks = {block.name for block in unit.blocks()} | {"unit"}
    for check in checks_of(unit):
        kind = check.card.quantity.partition(":")[0]
        assert kind in {*DISCREPANCY, "look"}
        assert (kind == "look") == (check.card.form == "choice")
        assert all(part in blocks for each in check.card.touches for part in each.split("+"))


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_volts_are_offered_idle_starting_and_running_at_unit_and_panel(name: str) -> None:
    """Nobody calls a utility on one reading: both places, all three times."""
    ids = {check.card.id for check in checks_of(arrangement(name))}
    for when in ("idle-", "start-", ""):
        assert f"{when}volts-contactor-L1-L2" in ids
        assert f"{when}volts-outdoor_breaker-load1-load2" in ids


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_the_compressor_stays_covered_while_its_windings_are_read(name: str) -> None:
    """Its terminals can blow out under pressure: leads come off at their other ends."""
    checks = [each.card for each in checks_of(arrangement(name))]
    on_it = [card for card in checks if card.needs and card.touches == ("compressor",)]
    assert len(on_it) >= 4
    for card in on_it:
        assert "terminal cover of the compressor stays on" in card.needs[0]
        assert "at the contactor and the capacitor" in card.needs[0]


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_no_check_speaks_of_earth(name: str) -> None:
    """US trades say ground; ids stay as programs know them."""
    for check in checks_of(arrangement(name)):
        card = check.card
        assert "earth" not in " ".join(
            (card.title, card.where, *card.needs, *map(str, card.cautions))
        )


def test_nothing_reads_live_after_isolation(good: dict[str, Expected]) -> None:
    left = [band for name, band in good.items() if name.startswith("dead-volts-")]
    assert len(left) >= 6
    assert all(band.high is not None and band.high < 0.01 for band in left)


def test_a_lost_leg_reads_nothing_line_to_line_while_a_leg_is_live() -> None:
    """Disconnect pole 2 open: the other leg comes through the windings, L1 to L2 shows nothing."""
    lost = readings("one_pole_heater", "disconnect.pole2_open")
    line = lost["volts-disconnect-load1-load2"]
    leg = lost["volts-contactor-L1-earth"]
    assert line.typical is not None
    assert leg.typical is not None
    assert line.typical < 5.0
    assert leg.typical > 110.0


def test_an_open_y_wire_leaves_a_ghost_that_low_impedance_removes() -> None:
    broken = readings("one_pole_heater", "y_field.open")
    low = broken["lowz-y_splice-C"]
    assert low.high is not None
    assert low.high < 0.5
    assert broken["look-plunger"].choice == "no"


def test_a_hot_open_overload_reads_open_hot_and_good_when_cooled() -> None:
    hot = readings("one_pole_heater", "compressor.overload_open")
    assert hot["ohms-compressor-C-R"].typical == np.inf
    cooled = hot["cooled-ohms-compressor-C-R"].typical
    assert cooled is not None
    assert cooled < 2.0


def test_an_unknown_suspect_is_refused() -> None:
    with pytest.raises(UnknownName):
        expected_readings(arrangement("two_pole_plain"), "heater.open", particles=2)
