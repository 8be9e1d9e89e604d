"""The belief explained in the trade's words."""

from __future__ import annotations

import re

import numpy as np
import pytest
from tests.diagnosis import control_circuit as circuit
from tests.diagnosis.small_tables import suspect

from rungwise.diagnosis import Belief, CheckCard, FaultTable, expected_band, explain
from rungwise.diagnosis.wording import percent, reading_text, sentence, strength
from rungwise.errors import UnknownName


@pytest.mark.parametrize(
    ("bits", "said"),
    [
        (0.3, "says nothing of"),
        (-0.3, "says nothing of"),
        (1.0, "slightly for"),
        (-3.0, "clearly against"),
        (5.0, "strongly for"),
        (9.0, "all but proves"),
        (-9.0, "all but rules out"),
    ],
)
def test_bits_are_said_in_words(bits: float, said: str) -> None:
    assert strength(bits) == said


@pytest.mark.parametrize(
    ("chance", "said"),
    [(0.999, "over 99%"), (0.97, "97%"), (0.5, "50%"), (0.0004, "under 1%")],
)
def test_no_probability_is_called_certain(chance: float, said: str) -> None:
    assert percent(chance) == said


@pytest.mark.parametrize(
    ("value", "sd", "unit", "said"),
    [
        (26.4321, 0.37, "V", "26.4 V"),
        (0.03, 0.1, "V", "0 V"),
        (239.7, 2.5, "V", "240 V"),
        (float("inf"), 1.0, "Ω", "OL"),
        (1234.0, 13.0, "Ω", "1.23 kΩ"),
        (45.02, 0.55, "µF", "45 µF"),
    ],
)
def test_a_reading_is_written_without_digits_that_are_noise(
    value: float, sd: float, unit: str, said: str
) -> None:
    assert reading_text(CheckCard("c", "c", unit=unit), value, sd) == said


def test_a_sentence_has_a_capital_and_one_full_stop() -> None:
    assert sentence("look again") == "Look again."
    assert sentence("Done.") == "Done."


def repair(fault: str) -> str:
    return circuit.suspect_card(fault).repair


def test_bands_come_from_the_particles_of_the_repair() -> None:
    start = circuit.start()
    band = expected_band(start, "volts_after_float", repair("fuse_open"))
    assert band.text == "0 V"
    band = expected_band(start, "volts_after_float", repair("breaker_open"))
    (low, high, share) = band.spans[0]
    assert 24.6 <= low < 25.4  # the meter's error is in it
    assert 27.6 < high <= 28.4
    assert share == pytest.approx(1.0)
    assert re.fullmatch(r"2[45](\.\d)? to 2[78](\.\d)? V", band.text)
    assert expected_band(start, "compressor", repair("compressor_seized")).text == "humming"


def test_a_band_of_two_kinds_names_both_likelier_first() -> None:
    """A new contactor is due for an open coil (OL), a shorted one or burnt contacts (ohms)."""
    band = expected_band(circuit.start(), "coil_ohms", "new_contactor")
    assert [span[0] == float("inf") for span in band.spans].count(True) == 1
    assert band.text.endswith(" Ω, or OL")
    assert [span[2] for span in band.spans] == sorted((s[2] for s in band.spans), reverse=True)


def test_an_open_path_reads_over_the_range_and_nothing_that_no_circuit_gives() -> None:
    """A wire by itself to the cabinet: good is OL, never also the ohms of the one that rubs."""
    suspects = (suspect("rubbed", repair="insulate"), suspect("good", repair="nothing"))
    card = CheckCard("earth-wire", "wire to the cabinet", unit="Ω", quantity="ohms")
    reading = np.array([[0.9], [np.inf]])
    table = FaultTable(suspects, (card,), np.arange(2), reading, np.full((2, 1), 0.2))
    good = expected_band(Belief.start(table), "earth-wire", "nothing")
    assert [span[:2] for span in good.spans] == [(np.inf, np.inf)]


def test_bands_follow_what_is_already_known() -> None:
    known = circuit.start().observe("volts_after_supply", 25.3)
    low, high, _ = expected_band(known, "volts_after_float", repair("breaker_open")).spans[0]
    assert high < 26.8
    assert low < 25.4


def test_an_unknown_repair_or_check_is_refused() -> None:
    with pytest.raises(UnknownName):
        expected_band(circuit.start(), "coil_ohms", "new_contacter")
    with pytest.raises(UnknownName):
        explain(circuit.start(), "coil_olms")


def test_each_reading_says_for_whom_and_against_whom_it_spoke() -> None:
    belief = circuit.start().observe("plunger_in", "no").observe("coil_ohms", float("inf"))
    told = explain(belief).readings
    assert [reading.text for reading in told] == ["no", "OL"]
    of_coil = {opinion.suspect.id: opinion.bits for opinion in told[1].opinions}
    assert of_coil["coil_open"] > 4.0
    assert all(bits < 0.0 for name, bits in of_coil.items() if name != "coil_open")
    lines = told[1].lines()
    assert lines[0] == "coil ohms: OL"
    assert "coil open" in lines[1]
    assert lines[1].strip().startswith(("strongly for", "all but proves"))


def test_the_next_check_says_what_each_suspect_would_make_it_read() -> None:
    belief = circuit.start().observe("plunger_in", "no")
    told = explain(belief, "volts_after_low_pressure")
    assert told.next_check is not None
    bands = {forecast.suspect.id: forecast.band.text for forecast in told.forecasts}
    assert bands["float_open"] == "0 V"
    assert all(forecast.probability >= 0.02 for forecast in told.forecasts)
    assert any(re.fullmatch(r"  0 V: float open \(\d+%\)", line) for line in told.lines())


def test_lines_fit_a_narrow_terminal() -> None:
    belief = circuit.start().observe("plunger_in", "no").observe("volts_after_y_wire", 12.0)
    assert max(len(line) for line in explain(belief, "coil_ohms").lines()) <= 72
