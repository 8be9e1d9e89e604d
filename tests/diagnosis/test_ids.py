"""A check's id is derived from what it reads, and what version 0.1 wrote is read as ever."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from tests.wide import some

from rungwise.diagnosis.address import addressed
from rungwise.diagnosis.call_file import read_call
from rungwise.diagnosis.checks import checks_of
from rungwise.unit.unit_file import ARRANGEMENTS, arrangement

FEW = ("heat_pump_o_demand", "rooftop_two_compressors", "walk_in_freezer", "gas_furnace")
OF_0_1 = {
    "one_pole_heater": "volts-coil ohms-coil lowz-coil ohms-y_splice-C lowz-y_splice-C "
    "volts-y_splice-1-C ohms-board-Y-C ohms-float_switch-1-2 volts-high_pressure-1-C "
    "volts-low_pressure-2-C volts-transformer-R-C volts-transformer-pri1-neutral drop-tr_line "
    "volts-transformer-primary volts-door_switch-1-neutral amps-y_coil start-amps-comp_r "
    "idle-amps-heater_line ohms-heater-1-2 ohms-contactor-L1-earth",
    "two_pole_plain": "idle-volts-board-Y-C amps-y_coil volts-thermostat-R-Y ohms-contactor-L1-T1 "
    "volts-contactor-L1-L2 volts-contactor-T1-earth volts-disconnect-line1-line2 drop-whip_l1",
    "heater_line_side": "uf-capacitor-FAN-C idle-lowz-board-Y-C wire-y_float ohms-board-R-C "
    "ohms-door_switch-1-2 volts-service_switch-line1-neutral drop-contactor-L1-T1 "
    "volts-neutral-earth start-amps-fan_s",
    "hard_start_delay": "volts-delay-y_in-c volts-delay-y_out-c start-amps-comp_s "
    "ohms-start_relay-1-2 uf-start_capacitor-1-2",
}
"""Ids as call files of version 0.1 have them; the values below fit any of their meters."""

LOOKS_OF_0_1 = {
    "look-lv_fuse": "blown", "look-fan-by-hand": "free", "look-joints-outdoor": "none",
}  # fmt: skip
SYMPTOMS_OF_0_1 = {
    "compressor": "silent", "fan": "not turning", "blower": "turning", "idle": "stops",
    "plunger": "out",
}  # fmt: skip


@pytest.mark.parametrize("name", some(ARRANGEMENTS, *FEW))
def test_each_id_is_derived_from_the_address_and_two_addresses_share_none(name: str) -> None:
    unit = arrangement(name)
    checks = checks_of(unit)
    again = [addressed(unit, replace(it, card=replace(it.card, id="x"))) for it in checks]
    assert [it.card.id for it in again] == [it.card.id for it in checks]
    ids, keys = {it.card.id for it in checks}, {it.card.key for it in checks}
    assert len(ids) == len(keys) == len(checks)


@pytest.mark.parametrize("name", OF_0_1)
def test_a_call_file_of_version_0_1_is_read(name: str, tmp_path: Path) -> None:
    readings = dict.fromkeys(OF_0_1[name].split(), "1.5") | LOOKS_OF_0_1
    lines = [f'unit = "{name}"', "[symptoms]"]
    lines += [f'{told} = "{answer}"' for told, answer in SYMPTOMS_OF_0_1.items()]
    for check, value in readings.items():
        lines += ["[[readings]]", f'check = "{check}"', f'value = "{value}"']
    (tmp_path / "call.toml").write_text("\n".join(lines), encoding="utf-8")
    call = read_call(tmp_path / "call.toml")
    taken = call.outcomes([check.card for check in checks_of(call.unit())])
    assert {each.card.id for each in taken} == readings.keys() | {
        f"look-{told}" for told in SYMPTOMS_OF_0_1
    }
    assert next(each.value for each in taken if each.card.id == "look-plunger") == "no"
