"""A wire whose gauge cannot be right where it is said to go: a gauge seldom lies."""

from __future__ import annotations

from dataclasses import dataclass

from rungwise.parts import CONTROL_SIGNALS
from rungwise.unit import Wire

THICKER, THINNER = 4.0, 6.0
"""Numbers of gauge by which a wire on the 24 V side may not be thicker, and one at line volts not
thinner, than the unit file has it: over twice the copper, seen at a glance (no source)."""


@dataclass(frozen=True)
class Misfit:
    """A loose end that its readings bring to a terminal where its gauge does not go.

    wire, record_awg: the wire of the unit file that belongs on `near`, and its gauge.
    """

    name: str
    near: str
    wire: str
    awg: float
    record_awg: float


def cannot_be(awg: float, wire: Wire) -> bool:
    """Whether a wire of this gauge is far too thick for the 24 V side, or too thin for the line."""
    if wire.carries in CONTROL_SIGNALS:
        return wire.awg - awg >= THICKER
    return awg - wire.awg >= THINNER
