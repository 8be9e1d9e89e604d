"""The fields of a proof beside its readings: refrigerant, air, conditions, in US or SI units."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal, NamedTuple

from rungwise.diagnosis import METERINGS
from rungwise.errors import BadInput, UnknownName
from rungwise.records import REPAIRED, ProofLine, table_of
from rungwise.unit import Unit
from rungwise.verification import REFRIGERANTS
from rungwise.web.answer_parsing import typed_of
from rungwise.web.pages.proof.results import told_by
from rungwise.web.reasons import reason_of
from rungwise.web.shown import Shown
from rungwise.wording import mark, measured, say

Units = Literal["us", "si"]
TEMPERATURE, PRESSURE, DIFFERENCE = ("°F", "°C"), ("psi", "kPa"), ("°F", "K")

NO_DEGREES = mark(
    "This cannot be used as a temperature. Allowed: -40 to 248 °F, which is -40 to 120 °C. "
    "A bare number is in the degrees beside the window."
)
"""The file's reader speaks of its own degrees, and the form may ask in others."""


class Field(NamedTuple):
    """One field. units: US and SI, both "" where there is none. choices: value and label."""

    key: str
    label: str
    units: tuple[str, str] = ("", "")
    hint: str = ""
    choices: tuple[tuple[str, str], ...] = ()


_NAMES = tuple((each, each) for each in REFRIGERANTS)
_METERINGS = tuple((each, mark(each)) for each in METERINGS)
_YES = (("yes", mark("yes")), ("no", mark("no")))

GROUPS: Mapping[str, tuple[Field, ...]] = {
    mark("Conditions"): (
        Field("conditions.outdoor_dry", mark("Outdoor air, dry bulb"), TEMPERATURE),
        Field(
            "conditions.run_time",
            mark("Running for"),
            ("min", "min"),
            mark("10 to 15 before it counts"),
        ),
        Field("conditions.outdoor_coil_wet", mark("Outdoor coil wet"), choices=_YES),
        Field("conditions.altitude", mark("Altitude"), ("ft", "m"), mark("sea level if not told")),
    ),
    mark("Refrigerant"): (
        Field(
            "refrigerant.name",
            mark("Refrigerant"),
            choices=_NAMES,
            hint=mark("as on the nameplate"),
        ),
        Field("refrigerant.metering", mark("Metered by"), choices=_METERINGS),
        Field("refrigerant.suction_pressure", mark("Suction pressure, gauge"), PRESSURE),
        Field("refrigerant.suction_line", mark("Suction line"), TEMPERATURE),
        Field("refrigerant.liquid_pressure", mark("Liquid pressure, gauge"), PRESSURE),
        Field("refrigerant.liquid_line", mark("Liquid line"), TEMPERATURE),
        Field(
            "refrigerant.target_superheat",
            mark("Target superheat"),
            DIFFERENCE,
            mark("from the label"),
        ),
        Field(
            "refrigerant.target_subcooling",
            mark("Target subcooling"),
            DIFFERENCE,
            mark("from the label"),
        ),
    ),
    mark("Air"): (
        Field("air.return_dry", mark("Return, dry bulb"), TEMPERATURE),
        Field("air.return_wet", mark("Return, wet bulb"), TEMPERATURE),
        Field("air.supply_dry", mark("Supply, dry bulb"), TEMPERATURE),
        Field("air.supply_wet", mark("Supply, wet bulb"), TEMPERATURE),
        Field("air.flow", mark("Air flow"), ("cfm", "m³/h"), mark("if it was measured")),
        Field("air.rated_btu_h", mark("Rated cooling, Btu/h"), hint=mark("from the nameplate")),
    ),
    mark("Around the readings"): (
        Field("proof.winding_temperature", mark("Windings, at the insulation test"), TEMPERATURE),
        Field(
            "proof.joints_around",
            mark("Air around the joints"),
            TEMPERATURE,
            say("{heat} if not told", heat=measured("35", "°C")),
        ),
        Field(
            "proof.line_volts", mark("Three-phase line volts"), hint=mark("such as 230, 232, 228")
        ),
    ),
}

GAUGES = (
    "refrigerant.name", "refrigerant.metering",
    "refrigerant.suction_pressure", "refrigerant.suction_line",
    "refrigerant.liquid_pressure", "refrigerant.liquid_line",
)  # fmt: skip
"""What gauges and a clamp on either line show at once."""

FIELDS: Mapping[str, Field] = {each.key: each for rows in GROUPS.values() for each in rows}


class FieldLine(Shown):
    """One field as the form shows it. unit: what a bare number is taken for."""

    key: str
    label: str
    unit: str
    hint: str
    choices: list[tuple[str, str]]
    typed: str
    wrong: str


class FieldGroup(Shown):
    """Fields that belong together."""

    name: str
    told: int
    lines: list[FieldLine]


def field_of(key: str) -> Field:
    """The field of a key. Raises UnknownName."""
    if key not in FIELDS:
        raise UnknownName(what=mark("The proof has no such field."), name=key, known=FIELDS)
    return FIELDS[key]


def units_of(told: Mapping[str, str], phone: Units = "us") -> Units:
    """The units in which the fields were told so far, else the phone's; US where none says."""
    metric = [typed for typed in told.values() if typed.endswith(("°C", "kPa", " K", " m", "m³/h"))]
    ours = [typed for typed in told.values() if typed.endswith(("°F", "psi", "ft", "cfm"))]
    if not (metric or ours):
        return phone
    return "si" if len(metric) > len(ours) else "us"


def meant(field: Field, typed: str, units: Units) -> str:
    """What was meant: a bare number is in the unit beside the field."""
    return typed_of(typed, _unit(field, units), "")


def refusal_of(unit: Unit, key: str, typed: str) -> str:
    """Why a field cannot be used, "" where it can: the call file's own reader says."""
    if not typed:
        return ""
    told = {REPAIRED: "anything", key: typed}
    if table_of(key) == "refrigerant":
        told = {"refrigerant.name": "R-410A", "refrigerant.metering": METERINGS[0], **told}
    elif table_of(key) == "air":
        told = {"air.return_dry": "24 °C", **told}
    try:
        told_by(unit, [ProofLine(name, text) for name, text in told.items()])
    except BadInput as error:
        return NO_DEGREES if field_of(key).units == TEMPERATURE else reason_of(error)
    return ""


def groups(told: Mapping[str, tuple[str, str]], units: Units, plate: str) -> list[FieldGroup]:
    """The form. told: typed text and refusal by key. plate: the refrigerant on the nameplate."""
    return [
        FieldGroup(
            name=name,
            told=len({each.key for each in rows} & set(told)),
            lines=[_line(each, told, units, plate) for each in rows],
        )
        for name, rows in GROUPS.items()
    ]


def _line(field: Field, told: Mapping[str, tuple[str, str]], units: Units, plate: str) -> FieldLine:
    typed, wrong = told.get(field.key, ("", ""))
    unit = _unit(field, units)
    own = typed.removesuffix(unit).strip() if unit and not wrong else typed
    if field.key == "refrigerant.name" and not typed:
        typed = own = plate
    bare = not own or _is_bare(own)
    return FieldLine(
        key=field.key, label=field.label, unit=unit if bare or wrong else "", hint=field.hint,
        choices=_with(field.choices, typed), typed=own, wrong=wrong,
    )  # fmt: skip


def _with(choices: Sequence[tuple[str, str]], typed: str) -> list[tuple[str, str]]:
    """The choices, and what stands there already though it is none of them."""
    known = {value for value, _ in choices}
    return [*choices, *([(typed, typed)] if choices and typed and typed not in known else [])]


def _is_bare(text: str) -> bool:
    return not set(text) - set("0123456789.,+-−")


def _unit(field: Field, units: Units) -> str:
    return field.units[0 if units == "us" else 1]
