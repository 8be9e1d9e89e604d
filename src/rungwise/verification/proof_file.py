"""What the `[proof]` of a call file tells about a unit, in the engine's own units."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, cast

from rungwise.diagnosis import (
    AirRow,
    CheckCard,
    ConditionsRow,
    ProofReadingRow,
    ProofRow,
    RefrigerantRow,
    value_of,
)
from rungwise.errors import BadInput, BadReading, UnknownName
from rungwise.files import Table, key_text
from rungwise.quantity import in_range, parse
from rungwise.unit import Unit
from rungwise.verification.air import pressure_at
from rungwise.verification.cooling_proof import AirReadings, ChargeReadings, Conditions, Metering
from rungwise.verification.electric import Beside
from rungwise.verification.figures import microfarads_under_load
from rungwise.verification.refrigerant import REFRIGERANTS, refrigerant
from rungwise.verification.told import Told
from rungwise.wording import say

WATT_PER_BTU_H = 0.29307107


def told_of(table: Table, unit: Unit, cards: Mapping[str, CheckCard]) -> Told:
    """What a `[proof]` table tells about a unit.

    cards: every check that may be named, by id. Raises BadCallFile, BadReading, UnknownName, each
    with file, line and key.
    """
    row = ProofRow.read(table)
    taken = tuple(_readings(row, unit, cards))
    told = Told(
        repaired=row.repaired,
        found=row.found,
        taken=tuple((name, value) for name, value in taken if value is not None),
        out_of_reach=frozenset(name for name, value in taken if value is None),
        beside=_beside(row),
        charge=None if row.refrigerant is None else _charge(row.refrigerant, unit),
        air=None if row.air is None else _air(row.air),
        conditions=_conditions(row.conditions),
    )
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
    proof: ProofRow, unit: Unit, cards: Mapping[str, CheckCard]
) -> Iterator[tuple[str, float | str | None]]:
    for row in proof.readings:
        if row.check not in cards:
            raise UnknownName(
                what=say("There is no check '{check}' on this unit.", check=row.check),
                name=row.check,
                known=cards,
                **_place(row, "check"),
            )
        yield row.check, _value(row, unit, cards[row.check])


def _place(row: ProofReadingRow, name: str) -> dict[str, Any]:
    path = (*row.at.path, name)
    document = row.at.document
    return {"file": document.file, "line": document.line_of(path), "key": key_text(path)}


def _value(row: ProofReadingRow, unit: Unit, card: CheckCard) -> float | str | None:
    under_load = next((name for name in ("amps", "volts") if name in row.at), None)
    if row.value is None and card.unit == "µF" and row.amps is not None:
        if row.volts is None:
            raise row.at.absent("volts", "20 V to 1 kV")
        return microfarads_under_load(row.amps, row.volts, unit.hz)
    if row.value is None:
        raise row.at.absent("value")
    if under_load is not None:
        raise row.at.bad(
            under_load,
            what="Amps and volts under load tell microfarads, in place of a value.",
            value=str(row.at.data[under_load]),
            next_step=say("take out {under_load}, or value", under_load=under_load),
        )
    try:
        return value_of(card, row.value)
    except BadInput as error:
        raise error.retold(BadReading, **_place(row, "value")) from error


def _beside(row: ProofRow) -> Beside:
    volts = [
        in_range(parse(each, "V", what="line volts"), 50.0, 1000.0, "V", "line volts", typed=each)
        for each in row.line_volts
    ]
    if len(volts) not in (0, 3):
        raise row.at.bad(
            "line_volts",
            what="Unbalance needs the three line-to-line volts.",
            value=str(len(volts)),
            allowed="three",
            next_step='write it like line_volts = ["230 V", "232 V", "228 V"]',
        )
    usual = Beside()
    return Beside(
        line_volts=tuple(volts),
        winding_c=row.winding_temperature,
        around_c=usual.around_c if row.joints_around is None else row.joints_around,
    )


def _charge(row: RefrigerantRow, unit: Unit) -> ChargeReadings:
    plate = unit.nameplate.get("refrigerant")
    return ChargeReadings(
        refrigerant=_refrigerant(row.at, row.name or (str(plate) if plate else "")),
        metering=cast("Metering", row.metering),
        suction_psi=row.suction_pressure,
        suction_line_c=row.suction_line,
        liquid_psi=row.liquid_pressure,
        liquid_line_c=row.liquid_line,
        target_superheat_k=row.target_superheat,
        target_subcooling_k=row.target_subcooling,
    )


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


def _air(row: AirRow) -> AirReadings:
    return AirReadings(
        return_dry_c=row.return_dry,
        return_wet_c=row.return_wet,
        supply_dry_c=row.supply_dry,
        supply_wet_c=row.supply_wet,
        flow_m3_s=row.flow,
        rated_w=None if row.rated_btu_h is None else WATT_PER_BTU_H * row.rated_btu_h,
    )


def _conditions(row: ConditionsRow) -> Conditions:
    return Conditions(
        outdoor_c=row.outdoor_dry,
        run_minutes=row.run_time,
        outdoor_coil_wet=row.outdoor_coil_wet,
        pressure_pa=pressure_at(row.altitude),
    )
