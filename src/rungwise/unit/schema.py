"""The JSON Schema of unit files, written from the tables that read them."""

from __future__ import annotations

from typing import Any

from rungwise.parts import KINDS
from rungwise.parts.kind import Parameter
from rungwise.unit.nameplate import FIELDS, RATED_VOLT, TEXTS
from rungwise.unit.unit_file import (
    ARRANGEMENTS,
    LONGEST_LABEL,
    PART_KINDS,
    PLACES,
    unit_of_parameter,
)
from rungwise.unit.wiring import AWG, CABLE_LENGTH, JOINTS, LENGTH, SIGNALS, WireField

__all__ = ["unit_schema"]

Schema = dict[str, Any]

_NAME = "^[A-Za-z0-9_-]+$"
_TERMINALS = sorted({each for name in PART_KINDS for each in KINDS[name].terminals})
_TERMINAL = rf"^[A-Za-z0-9_-]+\.({'|'.join(_TERMINALS)})$"
_QUANTITY = r"^\s*[+-]?([0-9]+([.,][0-9]*)?|[.,][0-9]+)([eE][+-]?[0-9]+)?\s*[A-Za-zΩµ°%·/ ]*$"
"""A number with or without a unit; whether it is in range is judged where the file is read."""

_TWO_VOLTS = r"^\s*[0-9.,]+\s*[A-Za-z]*\s*[/\u2010-\u2014-]\s*[0-9.,]+\s*[A-Za-z ]*$"
"""A label of two ratings, such as "208/230 V"."""


def unit_schema() -> Schema:
    """JSON Schema, draft 2020-12, of the values of a unit file.

    Every part kind, nameplate line, wire and cable key is in it, with units and ranges, as read by
    :mod:`rungwise.unit.unit_file`.  Fault handles are not.  That a wire's terminal exists, that
    names are not used twice and that numbers do not contradict each other is judged where the
    file is read.
    """
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Rungwise unit",
        "description": "One cooling unit: an arrangement, its nameplate, and what differs.",
        "type": "object",
        "properties": {
            "arrangement": _choice(ARRANGEMENTS, "the shipped arrangement that it starts from"),
            "title": _text("what it is, in a few words"),
            "hz": _quantity("Hz", 45, 65, "frequency of the supply", 60),
            "without": _list({"type": "string"}, "parts and wires to take out, by name"),
            "nameplate": _closed(_nameplate(), "what the nameplate says"),
            "parts": _parts(),
            "wires": _list({"$ref": "#/$defs/wire"}, "new wires, and changes to wires by name"),
            "cables": _list({"$ref": "#/$defs/cable"}, "wires that run side by side"),
        },
        "additionalProperties": False,
        "anyOf": [{"required": ["arrangement"]}, _whole()],
        "$defs": {
            "wire": _closed(_wire(), "a wire with a joint at each end", "name"),
            "cable": _closed(_cable(), "wires in one jacket", "name", "wires"),
            **{f"part_{name}": _part(name) for name in PART_KINDS},
        },
    }


def _whole() -> Schema:
    """What a file without an arrangement must say itself."""
    return {
        "required": ["parts", "wires"],
        "properties": {
            "parts": {"minProperties": 1, "additionalProperties": {"required": ["kind"]}},
            "wires": {"items": {"required": ["from", "to", "joints"]}},
        },
    }


def _nameplate() -> Schema:
    numbers = {
        line.key: _with_two(told) if line.may_be_two else told
        for line in FIELDS
        for told in [_quantity(line.unit, line.low, line.high, line.what)]
    }
    return numbers | {key: _text(key) for key in TEXTS}


def _parts() -> Schema:
    return {
        "type": "object",
        "description": "new parts, and changes to the arrangement's parts, by name",
        "propertyNames": {"pattern": _NAME},
        "additionalProperties": {
            "anyOf": [{"$ref": f"#/$defs/part_{name}"} for name in PART_KINDS]
        },
    }


def _part(name: str) -> Schema:
    kind = KINDS[name]
    return _closed(
        {
            "kind": {"const": name, "description": f"{kind.title}: {', '.join(kind.terminals)}"},
            "place": _choice(PLACES, "where it sits"),
            "label": _text("what people call it") | {"maxLength": LONGEST_LABEL},
            **{p.name: _parameter(p) for p in kind.parameters if not p.hidden},
        },
        kind.title,
    )


def _parameter(parameter: Parameter) -> Schema:
    told = f"{parameter.what} ({parameter.source})"
    unit = unit_of_parameter(parameter)
    made = _quantity(unit, parameter.low, parameter.high, told, parameter.default)
    return _with_two(made) if parameter.name == RATED_VOLT else made


def _wire() -> Schema:
    joints = {"minItems": 2, "maxItems": 2}
    end = {"type": "string", "pattern": _TERMINAL}
    return {
        "name": {"type": "string", "pattern": _NAME, "description": "its name, such as y_coil"},
        "from": end | {"description": "part.terminal where it starts"},
        "to": end | {"description": "part.terminal where it ends"},
        "colour": _text("black unless said otherwise"),
        "awg": _field(AWG),
        "length_m": _field(LENGTH),
        "joints": _list(_choice(JOINTS, "a joint"), "its two joints, from first") | joints,
        "carries": _choice(SIGNALS, "what it carries"),
    }


def _cable() -> Schema:
    wires = _list({"type": "string"}, "the wires that run in it")
    return {
        "name": _text("its name"),
        "wires": wires | {"minItems": 2, "uniqueItems": True},
        "length_m": _field(CABLE_LENGTH),
    }


def _field(field: WireField) -> Schema:
    return _quantity(field.unit, field.low, field.high, field.what, field.default)


def _quantity(
    unit: str, low: float, high: float, what: str, default: float | None = None
) -> Schema:
    """A number in ``unit`` within its range, or a text with a unit such as "45 µF"."""
    made: Schema = {
        "description": f"{what}, in {unit}" if unit else what,
        "anyOf": [
            {"type": "number", "minimum": low, "maximum": high},
            {"type": "string", "pattern": _QUANTITY},
        ],
    }
    return made if default is None else made | {"default": default}


def _with_two(told: Schema) -> Schema:
    """The same, or a text with two ratings."""
    return told | {"anyOf": [*told["anyOf"], {"type": "string", "pattern": _TWO_VOLTS}]}


def _choice(options: tuple[str, ...], what: str) -> Schema:
    return {"enum": list(options), "description": what}


def _text(what: str) -> Schema:
    return {"type": "string", "description": what}


def _list(items: Schema, what: str) -> Schema:
    return {"type": "array", "items": items, "description": what}


def _closed(properties: Schema, what: str, *required: str) -> Schema:
    """An object that may hold these properties only."""
    made: Schema = {
        "type": "object",
        "description": what,
        "properties": properties,
        "additionalProperties": False,
    }
    return made | {"required": list(required)} if required else made
