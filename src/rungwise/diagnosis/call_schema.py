"""The JSON Schema of a call file, for editors that complete and check while one writes."""

from __future__ import annotations

from typing import Any

from rungwise.diagnosis.by_hand import PAPER_LISTS, PAPER_TEXTS
from rungwise.diagnosis.chips import CHIPS
from rungwise.unit.unit_file import ARRANGEMENTS

__all__ = ["call_schema"]

_TEXTS = {
    "title": "what the call is about, in a few words",
    "customer": "who called",
    "technician": "who is on it",
    "suspected": "a part that somebody already takes for the culprit, by its name in the unit",
    "wires": "a wires file, as seen from this file: how the wires were left, or which are loose",
    "shop": "a shop file, as seen from this file: the odds start from its closed calls",
}


def call_schema() -> dict[str, Any]:
    """JSON Schema, draft 2020-12, of the values of a call file.

    It knows the form of the file. Which checks exist, and in which unit each is read, depends on
    the unit: `Call.outcomes` judges that, and `rungwise expect` lists them.
    """
    texts = {key: {"type": "string", "description": said} for key, said in _TEXTS.items()}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Rungwise call",
        "description": "One service call: the unit, the symptoms, and each reading as taken.",
        "type": "object",
        "required": ["unit"],
        "additionalProperties": False,
        "properties": {
            "unit": _unit(),
            **texts,
            "date": _date("day of the call: 2025-07-14"),
            "installed": _date("day on which the unit was installed, for its age: 2014-06-01"),
            "complaint": _complaint(),
            **_outcomes(),
            "fitted": _fitted(),
            "proof": _proof(),
            "paper": _paper(),
        },
    }


def _paper() -> dict[str, Any]:
    texts = {key: {"type": "string", "description": said} for key, said in PAPER_TEXTS.items()}
    lists = {
        key: {"type": "array", "items": {"type": "string"}, "description": said}
        for key, said in PAPER_LISTS.items()
    }
    return {
        "type": "object",
        "description": "what the shop writes by hand for the customer's page",
        "additionalProperties": False,
        "properties": {**texts, **lists},
    }


def _complaint() -> dict[str, Any]:
    listed = "; ".join(f"{chip.id}: {chip.title.lower()}" for chip in CHIPS)
    return {
        "type": "array",
        "description": f"what the customer said; it moves the odds before any reading: {listed}",
        "items": {"enum": [chip.id for chip in CHIPS]},
        "uniqueItems": True,
    }


def _unit() -> dict[str, Any]:
    return {
        "type": "string",
        "minLength": 1,
        "description": "the unit file, as seen from this file, or a shipped arrangement: "
        + ", ".join(ARRANGEMENTS),
    }


def _date(said: str) -> dict[str, Any]:
    # TOML has dates of its own; a validator meets them as text.
    return {"type": "string", "format": "date", "description": said}


def _fitted() -> dict[str, Any]:
    return {
        "type": "object",
        "description": "the part that was or will be fitted: file and name of a candidate, or the "
        "candidate itself, as in `rungwise schema candidates`",
        "required": ["name"],
    }


def _proof() -> dict[str, Any]:
    names = {"type": "array", "items": {"type": "string"}}
    reading = _reading()
    reading["required"] = ["check"]
    reading["properties"] |= {
        each: {"type": ["number", "string"], "description": f"{each} under load, for microfarads"}
        for each in ("amps", "volts")
    }
    return {
        "type": "object",
        "description": "what was measured after the repair, as in `rungwise prove`",
        "required": ["repaired"],
        "additionalProperties": False,
        "properties": {
            "repaired": {**names, "description": "parts or wires that were put right"},
            "found": {**names, "description": "the faults put right, by suspect id"},
            "readings": {"type": "array", "items": reading},
            "line_volts": {**names, "description": "three line-to-line volts: three-phase only"},
            "winding_temperature": _degrees("of the windings at the insulation test"),
            "joints_around": _degrees("of the air around the joints"),
            "refrigerant": _measured("gauges and line temperatures"),
            "air": _measured("dry and wet bulb before and after the indoor coil, and the flow"),
            "conditions": _measured("outdoor_dry, run_time, outdoor_coil_wet, altitude"),
        },
    }


def _degrees(what: str) -> dict[str, Any]:
    return {"type": "string", "description": f'temperature {what}: "75 °F" or "24 °C"'}


def _measured(what: str) -> dict[str, Any]:
    return {"type": "object", "description": what}


def _outcomes() -> dict[str, Any]:
    return {
        "symptoms": {
            "type": "object",
            "description": 'what was seen, heard or smelled: compressor = "humming"',
            "additionalProperties": {"type": "string"},
        },
        "readings": {
            "type": "array",
            "description": "each reading in the order in which it was taken",
            "items": _reading(),
        },
    }


def _reading() -> dict[str, Any]:
    return {
        "type": "object",
        "required": ["check", "value"],
        "additionalProperties": False,
        "properties": {
            "check": {"type": "string", "description": "the check's id, as in `rungwise expect`"},
            "value": {
                "type": ["number", "string"],
                "description": 'what the meter showed: 26.4, "26.4 V", "OL", "can\'t reach"; '
                "or one of the answers of a look",
            },
            "note": {"type": "string", "description": "anything worth remembering"},
        },
    }
