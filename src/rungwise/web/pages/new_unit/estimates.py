"""What a nameplate does not say of a motor, estimated from what it says until it is measured.

A motor of another size but of the same design has ohms in proportion to its rated volts over its
locked-rotor amps: V/A is an impedance, and all of a machine's impedances scale together. The
compressor is scaled from the arrangement's by LRA; a fan's plate gives no LRA, so its own is
scaled with the FLA.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from rungwise.errors import BadInput
from rungwise.files import Document
from rungwise.parts import KINDS, Motor, PartKind
from rungwise.quantity import parse_rating
from rungwise.unit import ARRANGEMENTS, arrangement

FILE = "the unit file"
MARK = "# Estimated from the nameplate, until it is measured:"


OHMS = ("main_ohm", "aux_ohm")


def plain(toml: str) -> str:
    """A unit file without what was estimated."""
    return toml.partition(MARK)[0]


def with_estimates(text: str) -> str:
    """A unit file with what can be estimated at its end; a part that is described keeps its own."""
    told = plain(text).rstrip("\n") + "\n"
    parts = Document(told, file=FILE).data.get("parts", {})
    blocks = [
        "\n".join(
            [f"[parts.{part}]", *(f"{key} = {number:.4g}" for key, number in numbers.items())]
        )
        for part, numbers in _estimates(Document(told, file=FILE).data)
        if not set(numbers) & set(parts.get(part, {})) and part not in parts
    ]
    return "\n".join([told, MARK, *blocks, ""]) if blocks else told


def _estimates(data: Mapping[str, Any]) -> Iterator[tuple[str, dict[str, float]]]:
    """Of the compressor and the outdoor fan, one each."""
    plate, motors = data.get("nameplate", {}), list(_motors(data))
    for name, kind in [each[:2] for each in motors if each[2] == "compressor"][:1]:
        usual, locked = _defaults(kind), _number(plate, "lra_a", "A")
        if locked:
            ratio = _volt(plate, usual) / locked / (usual["rated_volt"] / usual["locked_a"])
            yield name, {key: usual[key] * ratio for key in OHMS}
    for name, kind in [each[:2] for each in motors if each[2] == "outdoor fan"][:1]:
        usual, rated = _defaults(kind), _number(plate, "fan_fla_a", "A")
        if rated:
            ratio = _volt(plate, usual) / rated / (usual["rated_volt"] / usual["rated_a"])
            ohms = {key: usual[key] * ratio for key in OHMS}
            yield name, {"locked_a": usual["locked_a"] * rated / usual["rated_a"], **ohms}


def _motors(data: Mapping[str, Any]) -> Iterator[tuple[str, PartKind, str]]:
    """Name, kind and what it is of each motor outdoors, by a file that may be half typed."""
    named = str(data.get("arrangement", ""))
    parts = arrangement(named).parts if named in ARRANGEMENTS else ()
    known = {part.name: (part.kind, part.place) for part in parts}
    for name, table in data.get("parts", {}).items():
        kind, place = known.get(name, ("", ""))
        known[name] = (str(table.get("kind", kind)), str(table.get("place", place)))
    for name, (sort, place) in known.items():
        motor = KINDS[sort].facet(Motor) if sort in KINDS else None
        if motor is not None and motor.drives == "compressor":
            yield name, KINDS[sort], "compressor"
        elif motor is not None and place == "outdoor":
            yield name, KINDS[sort], "outdoor fan"


def _volt(plate: Mapping[str, Any], usual: Mapping[str, float]) -> float:
    return _number(plate, "volt", "V") or usual["rated_volt"]


def _defaults(kind: PartKind) -> dict[str, float]:
    return {each.name: each.default for each in kind.parameters}


def _number(plate: Mapping[str, Any], key: str, unit: str) -> float:
    """A figure of the plate, 0 where it is missing or cannot be used."""
    try:
        number = parse_rating(plate.get(key, ""), unit)[1]
    except BadInput:
        return 0.0
    return number if 0.0 < number < 1e4 else 0.0
