"""The catalogue of checks, and what they read on good and faulty units."""

from __future__ import annotations

import numpy as np
import pytest

from rungwise.diagnosis.build import bench_of
from rungwise.diagnosis.checks import checks_of
from rungwise.diagnosis.expect import Expected, expected_readings
from rungwise.errors import UnknownName
from rungwise.suspects import SuspectSet
from rungwise.unit.unit_file import ARRANGEMENTS, arrangement

FEW = 16


def readings(arrangement_name: str, suspect: str) -> dict[str, Expected]:
    bands = expected_readings(arrangement(arrangement_name), suspect, particles=FEW)
    return {band.id: band for band in bands}


@pytest.fixture(scope="module")
def good() -> dict[str, Expected]:
    return readings("one_pole_heater", "nothing.found")


@pytest.mark.parametrize("name", ARRANGEMENTS)
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
            assert any(word in check.card.cautions[0] for word in ("DANGER", "WARNING", "CAUTION"))


@pytest.mark.parametrize("name", ARRANGEMENTS)
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
        ("volts-contactor-L1-L2", 220.0, 254.0),
        ("volts-contactor-L1-earth", 110.0, 127.0),
        ("volts-contactor-L2-earth", 110.0, 127.0),
        ("idle-volts-contactor-T2-earth", 110.0, 127.0),
        ("idle-volts-contactor-T1-earth", 110.0, 127.0),
        ("volts-coil", 24.0, 28.5),
        ("ohms-coil", 9.0, 20.0),
        ("drop-contactor-L1-T1", 0.0, 0.2),
        ("watts-heater-idle", 60.0, 80.0),
        ("watts-heater-running", 0.0, 0.01),
        ("uf-capacitor-HERM-C", 42.0, 48.5),
        ("loaduf-capacitor-HERM", 42.0, 48.5),
    ],
)
def test_a_good_unit_reads_what_the_trade_expects(
    good: dict[str, Expected], check: str, low: float, high: float
) -> None:
    """Common practice, no source: the check values of a healthy 240 V unit."""
    band = good[check]
    assert band.low is not None
    assert band.high is not None
    assert low <= band.low <= band.high <= high


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
    assert broken["look-plunger"].choice == "out"


def test_a_hot_open_overload_reads_open_hot_and_good_when_cooled() -> None:
    hot = readings("one_pole_heater", "compressor.overload_open")
    assert hot["ohms-compressor-C-R"].typical == np.inf
    cooled = hot["cooled-ohms-compressor-C-R"].typical
    assert cooled is not None
    assert cooled < 2.0


def test_an_unknown_suspect_is_refused() -> None:
    with pytest.raises(UnknownName):
        expected_readings(arrangement("two_pole_plain"), "heater.open", particles=2)
