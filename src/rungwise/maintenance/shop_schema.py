"""The JSON Schema of a shop file, for editors that complete and check while one writes."""

from __future__ import annotations

from typing import Any

from rungwise.diagnosis.chips import CHIPS
from rungwise.maintenance.measure import MEASURES
from rungwise.maintenance.prices import ShopPrices
from rungwise.parts import KINDS

__all__ = ["shop_schema"]

Schema = dict[str, Any]


def shop_schema() -> Schema:
    """JSON Schema, draft 2020-12, of the values of a shop file.

    It knows the form of the file, and which modes a kind of part has. Whether days are in order
    and numbers in range is judged where the file is read.
    """
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Rungwise shop",
        "description": "A shop's units with their parts and readings, its closed calls, its van.",
        **_object(
            {
                "title": _text("whose units they are"),
                "today": _day("the day that the shop is looked at"),
                "units": _list(_unit(), "units in the shop's care"),
                "calls": _list(_call(), "closed calls whose fault is known"),
                "stock": _list(_stock(), "what the van may carry"),
                "plan": _plan(),
                "prices": _prices(),
            },
            "today",
        ),
        "anyOf": [{"required": [key]} for key in ("units", "calls", "stock")],
    }


def _unit() -> Schema:
    return _object(
        {
            "name": _text("what the shop calls it"),
            "installed": _day("installed on"),
            "watched": _day("in the shop's care since"),
            "visits": _list(_day("a visit"), "days on which somebody was there"),
            "starts_a_year": _number("starts a year"),
            "amps": _measured("amps through the contactor"),
            "parts": _list(_part(), "parts, also those that were taken out"),
        },
        "name",
        "installed",
    )


def _part() -> Schema:
    reading = _object(
        {
            "date": _day("read on"),
            "quantity": {"enum": list(MEASURES)},
            "value": _measured("what the meter showed"),
        },
        "date",
        "quantity",
        "value",
    )
    made = _object(
        {
            "part": _text("its name in the unit"),
            "kind": {"enum": list(KINDS)},
            "fitted": _day("fitted on; the day of the unit where none is given"),
            "ended": _day("failed or taken out on"),
            "mode": {"type": "string", "description": "the fault that ended it"},
            "rated": _measured("rated microfarads or amps"),
            "fla_a": _measured("full-load amps of a contactor"),
            "readings": _list(reading, "what was read of it"),
        },
        "part",
        "kind",
    )
    return {**made, "dependentRequired": {"mode": ["ended"]}, "allOf": _modes_by_kind()}


def _call() -> Schema:
    made = _object(
        {
            "date": _day("of the call"),
            "kind": {"enum": list(KINDS)},
            "mode": {"type": "string", "description": "the fault that was found"},
            "installed": _day("the unit was installed on"),
            "age": _number("age of the unit, in years"),
            "complaint": _list({"enum": [chip.id for chip in CHIPS]}, "what the customer said"),
        },
        "date",
        "kind",
        "mode",
    )
    ages = [{"required": [key]} for key in ("installed", "age")]
    return {**made, "anyOf": ages, "allOf": _modes_by_kind()}


def _modes_by_kind() -> list[Schema]:
    return [
        {
            "if": {"properties": {"kind": {"const": name}}, "required": ["kind"]},
            "then": {"properties": {"mode": {"enum": [mode.name for mode in kind.modes]}}},
        }
        for name, kind in KINDS.items()
    ]


def _stock() -> Schema:
    return _object(
        {
            "part": _text("what the van calls it"),
            "used": _number("how many were used"),
            "weeks": _number("in so many weeks"),
            "cost": _number("what one costs"),
            "expected_a_week": _number("uses a week before the shop has counted"),
        },
        "part",
        "used",
        "cost",
    )


def _plan() -> Schema:
    return _object(
        {
            "ahead_years": _number("how far to look ahead"),
            "visits": _number("how many visits there is time for"),
            "fill_weeks": _number("weeks until the van is filled again"),
            "van_money": _number("the most that may lie on the van"),
            "counted_weeks": _number("weeks over which uses of parts were counted"),
        }
    )


def _prices() -> Schema:
    part = _object({"price": _number("of one"), "minutes": _number("to put it in")})
    families = dict.fromkeys(ShopPrices().parts, part)
    return _object(
        {
            "labour_an_hour": _number("an hour's work"),
            "visit": _number("a planned visit, travel included"),
            "breakdown": _number("a call in the season beyond the repair"),
            "second_trip": _number("when the part is not on the van"),
            "holding_a_year": _number("share of a part's cost that a year on the van costs"),
            "discount": _number("share by which next year's money counts less"),
            "parts": _object(families),
        }
    )


def _object(properties: Schema, *required: str) -> Schema:
    made: Schema = {"type": "object", "additionalProperties": False, "properties": properties}
    return made | ({"required": list(required)} if required else {})


def _list(items: Schema, what: str) -> Schema:
    return {"type": "array", "description": what, "items": items}


def _text(what: str) -> Schema:
    return {"type": "string", "minLength": 1, "description": what}


def _day(what: str) -> Schema:
    # TOML has dates of its own; a validator meets them as text.
    return {"type": "string", "format": "date", "description": f"{what}: 2025-07-14"}


def _number(what: str) -> Schema:
    return {"type": ["number", "string"], "description": what}


def _measured(what: str) -> Schema:
    return {"type": ["number", "string"], "description": f'{what}: "43.1 µF", "18 A"'}
