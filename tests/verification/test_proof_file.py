"""The `[proof]` of a call file: both systems of units, and errors in the trade's words."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.verification.proof_trial import ProofTrial

from rungwise.diagnosis.call_file import read_call
from rungwise.errors import BadInput
from rungwise.verification.proof_file import told_of
from rungwise.verification.repair_proof import proof_cards
from rungwise.verification.told import Told

ORIFICE = '[proof.refrigerant]\nname = "R-22"\nmetering = "fixed orifice"\n'
HEAD = 'unit = "one_pole_heater"\n[proof]\nrepaired = ["capacitor"]\n'


def told(trial: ProofTrial, folder: Path, text: str, head: str = HEAD) -> Told:
    file = folder / "call.toml"
    file.write_text(head + text, encoding="utf-8")
    table = read_call(file).proof
    assert table is not None
    return told_of(table, trial.unit, proof_cards(trial.unit, trial.model.table))


def test_us_and_si_units_say_the_same(trial: ProofTrial, tmp_path: Path) -> None:
    us = told(
        trial,
        tmp_path,
        """
[proof.refrigerant]
name = "R410A"
metering = "expansion valve"
suction_pressure = "118 psi"
suction_line = "55 °F"
target_subcooling = "10 °F"
[proof.air]
return_dry = "75.2 °F"
flow = "1200 cfm"
""",
    )
    si = told(
        trial,
        tmp_path,
        """
[proof.refrigerant]
name = "R-410A"
metering = "expansion valve"
suction_pressure = "813.581 kPa"
suction_line = "12.7778 °C"
target_subcooling = "5.5556 K"
[proof.air]
return_dry = "24 °C"
flow = "2038.81 m³/h"
""",
    )
    assert us.charge is not None
    assert us.air is not None
    assert si.charge is not None
    assert si.air is not None
    assert us.charge.suction_psi == pytest.approx(si.charge.suction_psi, rel=1e-4)
    assert us.charge.suction_line_c == pytest.approx(si.charge.suction_line_c, rel=1e-4)
    assert us.charge.target_subcooling_k == pytest.approx(10.0 / 1.8)
    assert si.charge.target_subcooling_k == pytest.approx(10.0 / 1.8, rel=1e-4)
    assert us.air.flow_m3_s == pytest.approx(si.air.flow_m3_s, rel=1e-4)


def test_microfarads_under_load_from_start_lead_amps_and_capacitor_volts(
    trial: ProofTrial, tmp_path: Path
) -> None:
    text = (
        '[[proof.readings]]\ncheck = "loaduf-capacitor-HERM"\namps = "6.277 A"\nvolts = "370 V"\n'
    )
    (taken,) = told(trial, tmp_path, text).taken
    assert taken[0] == "loaduf-capacitor-HERM"
    assert taken[1] == pytest.approx(45.0, abs=0.01)


def test_a_check_that_could_not_be_made_is_not_a_reading(trial: ProofTrial, tmp_path: Path) -> None:
    read = told(trial, tmp_path, '[[proof.readings]]\ncheck = "volts-coil"\nvalue = "-"\n')
    assert read.taken == ()
    assert read.out_of_reach == {"volts-coil"}


def test_ol_and_choices_are_taken_as_in_a_call(trial: ProofTrial, tmp_path: Path) -> None:
    read = told(
        trial,
        tmp_path,
        """
[[proof.readings]]
check = "ohms-contactor-L1-earth"
value = "OL"
[[proof.readings]]
check = "look-fan"
value = "Turning"
""",
    )
    assert read.taken == (("ohms-contactor-L1-earth", float("inf")), ("look-fan", "turning"))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[proof.conditions]\noutdoor_dry = 88\n", "Nobody knows which degrees"),
        ('[proof.conditions]\noutdoor_dry = "88"\n', "24 °C"),
        ('[proof.conditions]\noutdoor_dry = "400 °F"\n', "-40 to 120 °C"),
        ('[[proof.readings]]\ncheck = "volts-coyl"\nvalue = 1\n', "volts-coil"),
        ('[[proof.readings]]\ncheck = "volts-coil"\nvalue = "26 A"\n', "is a current"),
        ('[[proof.readings]]\ncheck = "look-fan"\nvalue = "whirls"\n', "turning"),
        ('[proof.refrigerant]\nname = "R-9"\nmetering = "fixed orifice"\n', "R-454B"),
        ('[proof.refrigerant]\nmetering = "fixed orifice"\n', "nameplate"),
        ('[proof.refrigerant]\nname = "R-22"\nmetering = "valve"\n', "expansion valve"),
        (
            f'{ORIFICE}target_superheat = "90 °F"\n',
            "0 to 40 K",
        ),
        ('[proof.air]\nsupply_dry = "58 °F"\n', "return_dry"),
        ('[proof.air]\nreturn_dry = "75 °F"\nsupply_drie = "58 °F"\n', "supply_dry"),
    ],
)
def test_what_cannot_be_used_is_refused_in_the_trades_words(
    trial: ProofTrial, tmp_path: Path, text: str, said: str
) -> None:
    with pytest.raises(BadInput) as caught:
        told(trial, tmp_path, text)
    assert said in str(caught.value)
    assert caught.value.line is not None


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("repaired = []", "what was repaired"),
        ('repaired = ["fan"]\nline_volts = ["230 V"]', "three"),
        ('repaired = "fan"', "repaired = ["),
    ],
)
def test_a_proof_says_what_was_repaired(
    trial: ProofTrial, tmp_path: Path, line: str, said: str
) -> None:
    with pytest.raises(BadInput, match=said.replace("[", r"\[")):
        told(trial, tmp_path, "", f'unit = "one_pole_heater"\n[proof]\n{line}\n')
