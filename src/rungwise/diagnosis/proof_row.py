"""The keys of the `[proof]` of a call file: what was measured after the repair.

Pressures in psi or kPa, temperatures in °F or °C, flows in cfm or m³/h: a bare temperature is
refused, since nobody knows which degrees were meant.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any

from rungwise.files import Flag, Key, Many, Number, One, Row, Schema, Shown, Table, Text, Texts, key
from rungwise.wording import mark

METERINGS = (mark("fixed orifice"), mark("expansion valve"))
COLDEST_C, HOTTEST_C = -40.0, 120.0
MOST_DIFFERENCE_K = 40.0
KELVIN_PER_F = 5.0 / 9.0


@dataclass(frozen=True)
class _Degrees(Key):
    """A temperature with its unit, read in °C."""

    def read(self, table: Table, name: str) -> Any:
        _refuse_bare(table, name, "75 °F", "24 °C")
        return table.number(name, unit="°C", low=COLDEST_C, high=HOTTEST_C, **self._default())

    def form(self) -> Schema:
        return {"type": "string"}

    def told(self) -> str:
        return 'a temperature: "75 °F" or "24 °C"'


@dataclass(frozen=True)
class _Difference(_Degrees):
    """A difference of temperatures, read in K: "10 °F" is 5.6 K, not -12 °C."""

    def read(self, table: Table, name: str) -> Any:
        _refuse_bare(table, name, "10 °F", "5.6 K")
        raw = table.text(name, default="")
        if not raw:
            return None
        number, _, unit = raw.replace("°", " ").partition(" ")
        scale = {"F": KELVIN_PER_F, "K": 1.0, "C": 1.0}.get(unit.strip().upper())
        try:
            value = float(number.replace(",", "."))
        except ValueError:
            value = -1.0
        if scale is None or not 0.0 <= value * scale <= MOST_DIFFERENCE_K:
            raise table.bad(
                name,
                what=mark("This is not a superheat or a subcooling."),
                value=raw,
                allowed="0 to 40 K, 0 to 72 °F",
                next_step=mark('write it like "10 °F" or "5.6 K"'),
            )
        return value * scale

    def told(self) -> str:
        return 'a difference of temperatures: "10 °F" or "5.6 K"'


def _pressure(what: str) -> Number:
    return Number(what, unit="psi", low=-14.0, high=800.0)


class ProofReadingRow(Row):
    """One reading of a proof; microfarads also by the amps and volts under load."""

    check: str = key(Text("the check's id, as in `rungwise expect`", needed=True))
    value: str | float | None = key(
        Shown('what the meter showed: 26.4, "26.4 V", "OL", "can\'t reach"; '
              "or one of the answers of a look")
    )  # fmt: skip
    note: str = key(Text("anything worth remembering"))
    amps: float | None = key(
        Number("amps under load, for microfarads", unit="A", low=0.0, high=100.0)
    )
    volts: float | None = key(
        Number("volts under load, for microfarads", unit="V", low=20.0, high=1000.0)
    )


class RefrigerantRow(Row, what=mark("gauges and line temperatures")):
    """What gauges and line thermometers showed."""

    name: str = key(Text("the refrigerant, as on the nameplate"))
    metering: str = key(Text("how it is metered", needed=True, choices=METERINGS))
    suction_pressure: float | None = key(_pressure("gauge pressure of the suction line"))
    suction_line: float | None = key(_Degrees("temperature of the suction line"))
    liquid_pressure: float | None = key(_pressure("gauge pressure of the liquid line"))
    liquid_line: float | None = key(_Degrees("temperature of the liquid line"))
    target_superheat: float | None = key(_Difference("superheat that the maker asks for"))
    target_subcooling: float | None = key(_Difference("subcooling that the maker asks for"))


class AirRow(Row, what=mark("dry and wet bulb before and after the indoor coil, and the flow")):
    """What the air over the indoor coil showed."""

    return_dry: float = key(_Degrees("dry bulb of the return air", needed=True))
    return_wet: float | None = key(_Degrees("wet bulb of the return air"))
    supply_dry: float | None = key(_Degrees("dry bulb of the supply air"))
    supply_wet: float | None = key(_Degrees("wet bulb of the supply air"))
    rated_btu_h: float | None = key(
        Number("rated cooling in BTU an hour", low=1000.0, high=300_000.0)
    )
    flow: float | None = key(
        Number("flow of air, also in cfm or m³/h", unit="m³/s", low=0.01, high=10.0)
    )


class ConditionsRow(Row, what=mark("in what weather and after how long it was measured")):
    """In what weather and after how long it was measured."""

    altitude: float = key(
        Number("height above the sea", missing=0.0, usual=0.0, unit="m", low=-400.0, high=5000.0)
    )
    outdoor_dry: float | None = key(_Degrees("dry bulb outdoors"))
    run_time: float | None = key(Number("how long it had run", unit="min", low=0.0, high=1440.0))
    outdoor_coil_wet: bool = key(Flag("whether the outdoor coil was wet", missing=False))


class ProofRow(Row, what=mark("what was measured after the repair, as in `rungwise prove`")):
    """The `[proof]` of a call file."""

    repaired: tuple[str, ...] = key(Texts("parts or wires that were put right", needed=True))
    found: tuple[str, ...] = key(Texts("the faults put right, by suspect id"))
    readings: tuple[ProofReadingRow, ...] = key(
        Many("what was read after the repair", row=ProofReadingRow)
    )
    line_volts: tuple[str, ...] = key(Texts("three line-to-line volts: three-phase only"))
    winding_temperature: float | None = key(
        _Degrees("temperature of the windings at the insulation test")
    )
    joints_around: float | None = key(_Degrees("temperature of the air around the joints"))
    refrigerant: RefrigerantRow | None = key(One(row=RefrigerantRow))
    air: AirRow | None = key(One(row=AirRow))
    conditions: ConditionsRow = key(One(row=ConditionsRow, absent=False))


def _refuse_bare(table: Table, name: str, one: str, other: str) -> None:
    raw = table.value(name, default="")
    if isinstance(raw, int | float | dt.date) or (isinstance(raw, str) and _is_number(raw)):
        raise table.bad(
            name,
            what=mark("Nobody knows which degrees these are."),
            value=str(raw),
            allowed="a temperature with its unit",
            next_step=f'write "{one}" or "{other}"',
        )


def _is_number(typed: str) -> bool:
    try:
        float(typed.replace(",", "."))
    except ValueError:
        return False
    return True
