"""The JSON Schema of a wires file, for editors that complete and check while one writes."""

from __future__ import annotations

from typing import Any

from rungwise.parts import KINDS
from rungwise.parts.joint_work import PLACES_ON_A_TERMINAL
from rungwise.unit.unit_file import JOINTS

__all__ = ["wires_schema"]

Schema = dict[str, Any]


def wires_schema() -> Schema:
    """JSON Schema, draft 2020-12, of the values of a wires file.

    It knows the form of the file. Which wires and terminals there are depends on the unit, and
    whether hands could wire it so is judged where the file is read: `read_wires`.
    """
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Rungwise wires",
        "description": "Wires as found and as left, a new part, and loose ends with readings.",
        "type": "object",
        "additionalProperties": False,
        "properties": {
            "title": _text("what it is about, in a few words"),
            "part": _text("the part of the unit that comes out"),
            "new": _new(),
            "as_found": _entries("where a wire was, and what it is like; the rest as in the unit"),
            "as_left": _entries("where a wire is now; a wire of the part that is missing is off"),
            "off": _texts("parts or terminals whose wires are all off"),
            "sound": _texts("parts in which nothing is open"),
            "doubtful": _texts("motors and heaters that may be shorted to earth"),
            "loose": {"type": "array", "items": _loose()},
            "readings": {"type": "array", "items": _reading()},
        },
    }


def _new() -> Schema:
    places = {"type": "array", "items": {"enum": list(PLACES_ON_A_TERMINAL)}}
    return _object(
        "the part that goes in",
        {
            "kind": {"enum": sorted(KINDS), "description": "its kind, by default the old one's"},
            "beside": _flag("whether it can be held beside the old part while the wires move"),
            "marked": _flag("whether its line and load are marked"),
            "terminals": {
                "type": "object",
                "description": "what stands on its terminals where that is another name",
                "additionalProperties": _text("the label"),
            },
            "places": {
                "type": "object",
                "description": "what each terminal offers to wires, one entry a wire",
                "additionalProperties": places,
            },
        },
        [],
    )


def _entries(what: str) -> Schema:
    joint = {"enum": list(JOINTS)}
    entry = _object(
        what,
        {
            "wire": _text("its name in the unit"),
            "from": _text("part.terminal; by default where the unit has it"),
            "to": _text("part.terminal; by default where the unit has it"),
            "off": _flag("the wire is off at both ends"),
            "added": _flag("a wire that the unit never had"),
            "colour": _text("colour, such as yellow/black"),
            "awg": _number("American gauge"),
            "ends": {"type": "array", "minItems": 2, "maxItems": 2, "items": joint},
            "torque_in_lb": _number("in-lb its screw was tightened to, as marked on the part"),
        },
        ["wire"],
    )
    return {"type": "array", "items": entry}


def _loose() -> Schema:
    return _object(
        "a wire with an end that hangs free",
        {
            "name": _text("the tag on it, without a point"),
            "colour": _text("colour"),
            "awg": _number("American gauge"),
            "far": _text("part.terminal on which its other end can be seen"),
            "near": _text("part.terminal on which the loose end belongs, if somebody knows"),
            "both_ends": _flag("both its ends hang free; they are then called NAME.1 and NAME.2"),
        },
        ["name"],
    )


def _reading() -> Schema:
    return _object(
        "ohms between two points of the dead unit",
        {
            "from": _text("a loose end, a terminal, or earth"),
            "to": _text("a loose end, a terminal, or earth"),
            "value": {
                "type": ["number", "string"],
                "description": 'what the meter showed: 2.2, "2.2 Ω", "OL", "beep", "no beep"',
            },
            "ol": _texts("points that read OL before, while a lead stayed on from"),
            "note": _text("anything worth remembering"),
        },
        ["from"],
    )


def _object(what: str, properties: Schema, required: list[str]) -> Schema:
    return {
        "type": "object",
        "description": what,
        "required": required,
        "additionalProperties": False,
        "properties": properties,
    }


def _text(what: str) -> Schema:
    return {"type": "string", "minLength": 1, "description": what}


def _texts(what: str) -> Schema:
    return {"type": "array", "items": {"type": "string"}, "description": what}


def _flag(what: str) -> Schema:
    return {"type": "boolean", "description": what}


def _number(what: str) -> Schema:
    return {"type": ["number", "string"], "description": what}
