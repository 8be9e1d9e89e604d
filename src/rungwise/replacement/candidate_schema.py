"""The JSON Schema of candidate files, written from the table that reads them."""

from __future__ import annotations

from typing import Any

from rungwise.parts import KINDS
from rungwise.parts.kind import Parameter
from rungwise.replacement.candidate_file import MOST_PRICE
from rungwise.replacement.candidate_kinds import CANDIDATE_KINDS, CandidateKind
from rungwise.unit.joint_work import PLACES_ON_A_TERMINAL

__all__ = ["candidate_schema"]

Schema = dict[str, Any]


def candidate_schema() -> Schema:
    """JSON Schema, draft 2020-12, of the values of a candidate file.

    It knows every kind with its keys. Whether a number is in range, and whether a unit has the
    part that a candidate is for, is judged where the file is read.
    """
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Rungwise candidates",
        "description": "Parts that may be fitted: one, or all that a van carries.",
        "type": "object",
        "required": ["candidates"],
        "additionalProperties": False,
        "properties": {
            "title": _text("whose parts they are"),
            "candidates": {
                "type": "array",
                "minItems": 1,
                "items": {"oneOf": [_candidate(kind) for kind in CANDIDATE_KINDS.values()]},
            },
        },
    }


def _candidate(kind: CandidateKind) -> Schema:
    terminals = sorted({t for piece in kind.pieces for t in KINDS[piece.kind].terminals})
    places = {"type": "array", "items": {"enum": list(PLACES_ON_A_TERMINAL)}}
    return {
        "type": "object",
        "description": kind.title,
        "required": ["name", "for", "kind", *kind.label],
        "additionalProperties": False,
        "properties": {
            "name": _text("what the shop calls it"),
            "for": {
                "anyOf": [_text("a part of the unit"), {"type": "array", "items": _text("a part")}]
            },
            "kind": {"const": kind.name},
            "price": {"type": "number", "minimum": 0, "maximum": MOST_PRICE},
            "where": _text("van bin or shelf"),
            "terminals": {
                "type": "object",
                "description": "what each terminal offers to wires, one entry a wire",
                "additionalProperties": False,
                "properties": dict.fromkeys(terminals, places),
            },
            **{key: _figure(each) for key, each in kind.parameters().items()},
            **{key: {"enum": list(choices)} for key, choices in kind.texts.items()},
        },
    }


def _figure(parameter: Parameter) -> Schema:
    return {
        "type": ["number", "string"],
        "description": f"{parameter.what}, in {parameter.unit}"
        if parameter.unit
        else parameter.what,
    }


def _text(what: str) -> Schema:
    return {"type": "string", "minLength": 1, "description": what}
