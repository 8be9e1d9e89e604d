"""The `[proof]` of a call file: what was measured after the repair, in the trade's units.

Pressures in psi or kPa, temperatures in °F or °C, flows in cfm or m³/h: a bare temperature is
refused, since nobody knows which degrees were meant.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from typing import cast

from rungwise.diagnosis.call_file import value_of
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.errors import BadInput, BadReading, UnknownName
from rungwise.files.table import Table, key_text
from rungwise.quantity import in_range, parse
from rungwise.unit.unit import Unit
from rungwise.verification.air import pressure_at
from rungwise.verification.cooling import AirReadings, ChargeReadings, Conditions, Metering
from rungwise.verification.electric import Beside
from rungwise.verification.figures import microfarads_under_load
from rungwise.verification.refrigerant import REFRIGERANTS, refrigerant
from rungwise.verification.told import Told

__all__ = ["told_of"]

METERINGS = ("fixed orifice", "expansion valve")
COLDEST_C, HOTTEST_C = -40.0, 120.0
KELVIN_PER_F = 5.0 / 9.0
WATT_PER_BTU_H = 0.29307107


def told_of(table: Table, unit: Unit, cards: Mapping[str, CheckCard]) -> Told:
    """What a `[proof]` table tells about a unit.

    cards: every check that may be named, by id. Raises BadCallFile, BadReading, UnknownName, each
    with file, line and key.
    """
    taken = tuple(_readings(table, unit, cards))
    told = Told(
        repaired=table.strings("repaired"),
        found=table.strings("found", default=()),
        taken=tuple((name, value) for name, value in taken if value is not None),
        out_of_reach=frozenset(name for name, value in taken if value is None),
        beside=_beside(table),
        charge=_charge(table.table("refrigerant", required=False), unit),
        air=_air(table.table("air", required=False)),
        conditions=_conditions(table.table("conditions", required=False)),
    )
    table.done()
    if not told.repaired:
        raise table.bad(
            "repaired",
            what="A proof needs to know what was repaired.",
            value="[]",
            allowed="parts or wires of the unit",
            next_step='write it like repaired = ["capacitor"]',
        )
    return told


def _readings(
    table: Table, unit: Unit, cards: Mapping[str, CheckCard]
) -> Iterator[tuple[str, float | str | None]]:
    for row in table.tables("readings"):
        name = row.text("check")
        row.text("note", default="")
        if name not in cards:
            raise UnknownName(
                what=f"There is no check '{name}' on this unit.",
                name=name,
                known=cards,
                file=row.document.file,
                line=row.document.line_of((*row.path, "check")),
                key=key_text((*row.path, "check")),
            )
        value = _value(row, unit, cards[name])
        row.done()
        yield name, value


def _value(row: Table, unit: Unit, card: CheckCard) -> float | str | None:
    if "value" not in row and card.unit == "µF" and "amps" in row:
        amp = row.number("amps", unit="A", low=0.0, high=100.0)
        volt = row.number("volts", unit="V", low=20.0, high=1000.0)
        return microfarads_under_load(amp, volt, unit.hz)
    raw = row.value("value")
    typed = raw if isinstance(raw, str | int | float) else str(raw)
    try:
        return value_of(card, typed)
    except BadInput as error:
        place = (*row.path, "value")
        line = row.document.line_of(place)
        at = {"file": row.document.file, "line": line, "key": key_text(place)}
        raise error.retold(BadReading, **at) from error


def _beside(table: Table) -> Beside:
    volts = [
        in_range(parse(each, "V", what="line volts"), 50.0, 1000.0, "V", "line volts", typed=each)
        for each in table.strings("line_volts", default=())
    ]
    if len(volts) not in (0, 3):
        raise table.bad(
            "line_volts",
            what="Unbalance needs the three line-to-line volts.",
            value=str(len(volts)),
            allowed="three",
            next_step='write it like line_volts = ["230 V", "232 V", "228 V"]',
        )
    around = _temperature(table, "joints_around")
    usual = Beside()
    return Beside(
        line_volts=tuple(volts),
        winding_c=_temperature(table, "winding_temperature"),
        around_c=usual.around_c if around is None else around,
    )


def _charge(table: Table, unit: Unit) -> ChargeReadings | None:
    if not list(table):
        return None
    plate = unit.nameplate.get("refrigerant")
    name = table.text("name", default=str(plate) if plate else "")
    known = _refrigerant(table, name)
    told = ChargeReadings(
        refrigerant=known,
        metering=cast("Metering", table.text("metering", choices=METERINGS)),
        suction_psi=_pressure(table, "suction_pressure"),
        suction_line_c=_temperature(table, "suction_line"),
        liquid_psi=_pressure(table, "liquid_pressure"),
        liquid_line_c=_temperature(table, "liquid_line"),
        target_superheat_k=_difference(table, "target_superheat"),
        target_subcooling_k=_difference(table, "target_subcooling"),
    )
    table.done()
    return told


def _refrigerant(table: Table, name: str) -> str:
    try:
        return refrigerant(name).name
    except UnknownName as error:
        raise table.bad(
            "name",
            what="Saturation of this refrigerant is not known here." if name else
            "The refrigerant is neither here nor on the nameplate.",
            value=name,
            allowed=", ".join(REFRIGERANTS),
            next_step='write it as on the nameplate: name = "R-410A"',
        ) from error  # fmt: skip


def _air(table: Table) -> AirReadings | None:
    if not list(table):
        return None
    back = _temperature(table, "return_dry")
    if back is None:
        table.text("return_dry")  # refuses, with the key that is missing
        return None
    rated = table.number("rated_btu_h", unit="", low=1000.0, high=300_000.0, default=None)
    told = AirReadings(
        return_dry_c=back,
        return_wet_c=_temperature(table, "return_wet"),
        supply_dry_c=_temperature(table, "supply_dry"),
        supply_wet_c=_temperature(table, "supply_wet"),
        flow_m3_s=table.number("flow", unit="m³/s", low=0.01, high=10.0, default=None),
        rated_w=None if rated is None else WATT_PER_BTU_H * rated,
    )
    table.done()
    return told


def _conditions(table: Table) -> Conditions:
    height = table.number("altitude", unit="m", low=-400.0, high=5000.0, default=0.0)
    told = Conditions(
        outdoor_c=_temperature(table, "outdoor_dry"),
        run_minutes=table.number("run_time", unit="min", low=0.0, high=1440.0, default=None),
        outdoor_coil_wet=table.flag("outdoor_coil_wet", default=False),
        pressure_pa=pressure_at(height),
    )
    table.done()
    return told


def _pressure(table: Table, key: str) -> float | None:
    return table.number(key, unit="psi", low=-14.0, high=800.0, default=None)


def _temperature(table: Table, key: str) -> float | None:
    _refuse_bare(table, key, "75 °F", "24 °C")
    return table.number(key, unit="°C", low=COLDEST_C, high=HOTTEST_C, default=None)


def _difference(table: Table, key: str) -> float | None:
    """A difference of temperatures, K: "10 °F" is 5.6 K, not -12 °C."""
    _refuse_bare(table, key, "10 °F", "5.6 K")
    raw = table.text(key, default="")
    if not raw:
        return None
    number, _, unit = raw.replace("°", " ").partition(" ")
    scale = {"F": KELVIN_PER_F, "K": 1.0, "C": 1.0}.get(unit.strip().upper())
    try:
        value = float(number.replace(",", "."))
    except ValueError:
        value = -1.0
    if scale is None or not 0.0 <= value * scale <= 40.0:
        raise table.bad(
            key,
            what="This is not a superheat or a subcooling.",
            value=raw,
            allowed="0 to 40 K, 0 to 72 °F",
            next_step='write it like "10 °F" or "5.6 K"',
        )
    return value * scale


def _refuse_bare(table: Table, key: str, one: str, other: str) -> None:
    raw = table.value(key, default="")
    if isinstance(raw, int | float | dt.date) or (isinstance(raw, str) and _is_number(raw)):
        raise table.bad(
            key,
            what="Nobody knows which degrees these are.",
            value=str(raw),
            allowed="a temperature with its unit",
            next_step=f'write "{one}" or "{other}"',
        )


def _is_number(text: str) -> bool:
    try:
        float(text.replace(",", "."))
    except ValueError:
        return False
    return True
