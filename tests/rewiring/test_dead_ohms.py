"""What an ohmmeter reads between loose ends: the dead network solved, against arithmetic."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.rewiring.cabinet import unit

from rungwise.circuit.meter import OHMS
from rungwise.parts.element import EARTH
from rungwise.rewiring.dead_ohms import COPPER_OHM, DeadOhms, Known, unrecorded_windings
from rungwise.rewiring.off_ends import OffEnds
from rungwise.rewiring.taken_reading import BEEP_OHM, OPEN_OHM, band_of
from rungwise.unit.unit import Unit

BARE = ("contactor", "capacitor")


def ohms(*, recorded: bool = False, known: Known | None = None) -> DeadOhms:
    whole = with_windings(unit()) if recorded else unit()
    off = OffEnds(whole, [t for t in whole.terminals() if t.partition(".")[0] in BARE])
    far = sorted({each.far for each in off.ends if each.far})
    return DeadOhms(off, [*far, EARTH], known)


def with_windings(whole: Unit) -> Unit:
    """The unit with the ohms of its windings written down."""
    read = {
        "compressor": {"main_ohm": 0.7, "aux_ohm": 2.2},
        "fan": {"main_ohm": 21.0, "aux_ohm": 38.0},
    }
    parts = tuple(
        replace(part, values={**part.values, **read.get(part.name, {})}) for part in whole.parts
    )
    return replace(whole, parts=parts)


def end(name: str, side: str = "start") -> int:
    found = ohms().off.ends
    return next(at for at, e in enumerate(found) if (e.wire.name, e.end) == (name, side))


@pytest.mark.parametrize(
    ("one", "other", "ohm"),
    [
        ("comp_c", "comp_r", 0.7), ("comp_c", "comp_s", 2.2), ("comp_r", "comp_s", 2.9),
        ("fan_c", "fan_r", 21.0), ("fan_c", "fan_s", 38.0), ("fan_r", "fan_s", 59.0),
        ("heater_line", "heater_load", 240.0**2 / 70.0),
        ("comp_r", "fan_r", np.inf), ("comp_c", "heater_load", np.inf),
    ],
)  # fmt: skip
def test_two_ends_read_what_lies_between_their_far_ends(one: str, other: str, ohm: float) -> None:
    """Windings of the arrangement's default motors, and a heater's volts squared over watts."""
    table = ohms().usual
    assert table[end(one), end(other)] == pytest.approx(ohm, rel=0.01, abs=0.03)
    assert table[end(other), end(one)] == table[end(one), end(other)]


def test_a_free_wire_reads_through_to_its_own_other_end_only() -> None:
    one, two = end("cap_c"), end("cap_c", "end")
    assert ohms().usual[one, two] == 0.0
    others = [at for at in range(len(ohms().off)) if at not in (one, two)]
    assert np.isinf(ohms().usual[one, others]).all()


def test_c_is_known_by_the_cabinet_where_it_is_bonded() -> None:
    at, earth = end("c_coil", "end"), ohms().point(EARTH)
    assert ohms().usual[at, earth] < 1.0
    assert np.isinf(ohms().usual[end("y_coil", "end"), earth])


def test_bounds_hold_the_usual_and_grow_with_ignorance() -> None:
    for table in (ohms(), ohms(recorded=True)):
        with np.errstate(invalid="ignore"):
            assert (table.low <= table.usual + 1e-9).all()
            assert (table.usual <= table.high).all()
            assert (table.least <= table.low).all()
            assert (table.most >= table.high).all()
    pair = end("comp_c"), end("comp_s")
    wide, narrow = ohms(), ohms(recorded=True)
    assert wide.low[pair] < narrow.low[pair] < 2.2 < narrow.high[pair] < wide.high[pair]
    assert unrecorded_windings(unit())[:2] == ("compressor", "fan")
    assert "fan" not in unrecorded_windings(with_windings(unit()))


def test_a_winding_read_at_the_motor_has_the_band_of_its_reading() -> None:
    read = ohms(known=Known({("compressor", "aux_ohm"): (2.0, 2.6)}))
    pair = end("comp_c"), end("comp_s")
    assert read.low[pair] == pytest.approx(2.0, abs=0.05)
    assert read.high[pair] == pytest.approx(2.6 + COPPER_OHM, abs=0.05)


def test_anything_may_be_open_but_a_wire_and_what_is_sound() -> None:
    pair, own = (end("comp_c"), end("comp_s")), (end("comp_c"), ohms().point("compressor.C"))
    assert np.isinf(ohms().most[pair])
    assert ohms().most[own] < 1.0
    sound = ohms(known=Known(sound=frozenset({"compressor"})))
    assert np.isfinite(sound.most[pair])


def test_only_a_doubtful_load_may_read_through_to_earth() -> None:
    earth = ohms().point(EARTH)
    assert np.isinf(ohms().least[end("comp_r"), earth])
    doubtful = ohms(known=Known(doubtful=frozenset({"compressor"})))
    assert doubtful.least[end("comp_r"), earth] == 0.0
    assert doubtful.least[end("comp_r"), end("c_coil", "end")] == 0.0
    assert np.isinf(doubtful.least[end("fan_r"), earth])


@pytest.mark.parametrize("ohm", [0.0, 0.7, 2.2, 59.0, 823.0])
def test_a_reading_stands_for_all_that_the_meter_may_mean(ohm: float) -> None:
    """Three standard deviations of the meter's error, and its leads, either way."""
    low, high = band_of(ohm) or (np.nan, np.nan)
    error = 3 * float(OHMS.sd(np.asarray(ohm)))
    assert low <= max(ohm - error, 0.0)
    assert high >= ohm + error
    assert high - low < 0.1 * ohm + 1.5


@pytest.mark.parametrize(
    ("said", "band"),
    [
        ("beep", (0.0, BEEP_OHM[1])), ("No  Beep", (BEEP_OHM[0], np.inf)),
        ("2.2 Ω", None), (np.inf, (0.5 * OPEN_OHM, np.inf)), (2e7, (0.5 * OPEN_OHM, np.inf)),
    ],
)  # fmt: skip
def test_sounds_and_over_range_have_bands_too(
    said: str | float, band: tuple[float, float] | None
) -> None:
    assert band_of(said) == band
