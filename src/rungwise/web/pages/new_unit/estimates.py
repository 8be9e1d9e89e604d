"""What a nameplate does not say of a motor, estimated from what it says until it is measured.

A motor of another size but of the same design has ohms in proportion to its rated volts over its
locked-rotor amps: V/A is an impedance, and all of a machine's impedances scale together. The
compressor is scaled from the arrangement's by LRA; a fan's plate gives no LRA, so its own is
scaled with the FLA.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from rungwise.errors import BadInput
from rungwise.files.document import Document
from rungwise.parts import KINDS
from rungwise.quantity import parse_rating

__all__ = ["FILE", "MARK", "plain", "with_estimates"]

FILE = "the unit file"
MARK = "# Estimated from the nameplate, until it is measured:"


def plain(text: str) -> str:
    """A unit file without what was estimated."""
    return text.partition(MARK)[0]


def with_estimates(text: str) -> str:
    """A unit file with what can be estimated at its end; a part that is described keeps its own."""
    told = plain(text).rstrip("\n") + "\n"
    parts = Document(told, file=FILE).data.get("parts", {})
    blocks = [
        "\n".join(
            [f"[parts.{part}]", *(f"{key} = {number:.4g}" for key, number in numbers.items())]
        )
        for part, numbers in _estimates(Document(told, file=FILE).data.get("nameplate", {}))
        if not set(numbers) & set(parts.get(part, {})) and part not in parts
    ]
    return "\n".join([told, MARK, *blocks, ""]) if blocks else told


def _estimates(plate: dict[str, Any]) -> Iterator[tuple[str, dict[str, float]]]:
    compressor, fan = _defaults("compressor"), _defaults("fan_motor")
    volt = _number(plate, "volt", "V") or compressor["rated_volt"]
    locked = _number(plate, "lra_a", "A")
    if locked:
        ratio = (volt / locked) / (compressor["rated_volt"] / compressor["locked_a"])
        yield "compressor", {key: compressor[key] * ratio for key in ("main_ohm", "aux_ohm")}
    rated = _number(plate, "fan_fla_a", "A")
    if rated:
        ratio = (volt / rated) / (fan["rated_volt"] / fan["rated_a"])
        ohms = {key: fan[key] * ratio for key in ("main_ohm", "aux_ohm")}
        yield "fan", {"locked_a": fan["locked_a"] * rated / fan["rated_a"], **ohms}


def _defaults(kind: str) -> dict[str, float]:
    return {each.name: each.default for each in KINDS[kind].parameters}


def _number(plate: dict[str, Any], key: str, unit: str) -> float:
    """A figure of the plate, 0 where it is missing or cannot be used."""
    try:
        number = parse_rating(plate.get(key, ""), unit)[1]
    except BadInput:
        return 0.0
    return number if 0.0 < number < 1e4 else 0.0
