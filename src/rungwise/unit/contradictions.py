"""Numbers of a unit file that are each allowed and cannot be true together."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from rungwise.parts import KINDS, Motor
from rungwise.unit.unit import Part
from rungwise.unit.usual_numbers import coil_size, numbers_of_kind

LEAST_SPEED = 0.6
MOST_SPEED = 0.995
"""Rated speed over synchronous speed of an induction motor (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Contradiction:
    """What is wrong with a part, which parameter to mend, and what it may be."""

    parameter: str
    what: str
    value: float
    allowed: str


@dataclass(frozen=True, slots=True)
class Order:
    """A parameter that must be greater than another of the same part, and why."""

    greater: str
    lesser: str
    why: str


ORDERS = (
    Order("locked_a", "rated_a", "a motor draws more amps locked than running"),
    Order("pull_in_ratio", "drop_out_ratio", "a coil drops out at fewer volts than pull it in"),
    Order("pick_up_volt", "drop_out_volt", "a relay drops out at fewer volts than pull it in"),
    Order("most_volt", "least_volt", "between the two it lets the unit run"),
    Order("coil_in_henry", "coil_out_henry", "a coil has more inductance with its plunger in"),
)


def contradicted(part: Part, hz: float) -> Iterator[Contradiction]:
    """What cannot be true together in one part on a supply of `hz`."""
    numbers = numbers_of_kind(KINDS[part.kind], part.values)
    for order in ORDERS:
        if order.greater in numbers and numbers[order.greater] <= numbers[order.lesser]:
            yield Contradiction(
                order.greater,
                f"{order.greater} of the {part.title} must be more than its {order.lesser}: "
                f"{order.why}.",
                numbers[order.greater],
                f"more than {numbers[order.lesser]:g}",
            )
    if KINDS[part.kind].facet(Motor) is not None:
        yield from _speed(part, numbers, hz)
    yield from _switch_points(part, numbers)
    if KINDS[part.kind].is_contactor:
        yield from _coil_ohm(part, numbers)


def _switch_points(part: Part, numbers: Mapping[str, float]) -> Iterator[Contradiction]:
    """A switch that closes as pressure rises closes above where it opens, as its kind does."""
    kind = KINDS[part.kind]
    if not {"closes_psi", "opens_psi"} <= numbers.keys():
        return
    usual = kind.parameter("closes_psi").default - kind.parameter("opens_psi").default
    if usual * (numbers["closes_psi"] - numbers["opens_psi"]) <= 0.0:
        side = "more" if usual > 0.0 else "less"
        yield Contradiction(
            "closes_psi",
            f"closes_psi of the {part.title} must be {side} than its opens_psi: it closes again "
            "on the other side of where it opens.",
            numbers["closes_psi"],
            f"{side} than {numbers['opens_psi']:g}",
        )


def _coil_ohm(part: Part, numbers: Mapping[str, float]) -> Iterator[Contradiction]:
    kind = KINDS[part.kind]
    usual, size = kind.parameter("coil_ohm"), coil_size(kind, numbers)
    low, high = size * usual.low, size * usual.high
    if not low <= numbers["coil_ohm"] <= high:
        yield Contradiction(
            "coil_ohm",
            f"The coil of the {part.title} is said to be for {numbers['coil_volt']:g} V, and such "
            "a coil has other ohms.",
            numbers["coil_ohm"],
            f"{low:.3g} to {high:.3g} Ω",
        )


def _speed(part: Part, numbers: Mapping[str, float], hz: float) -> Iterator[Contradiction]:
    poles, rpm = numbers["poles"], numbers["rated_rpm"]
    if poles % 2:
        what = f"The {part.title} cannot have {poles:g} poles: they come in pairs."
        yield Contradiction("poles", what, poles, "2, 4, 6, 8, 10 or 12")
        return
    synchronous = 120.0 * hz / poles
    if not LEAST_SPEED * synchronous <= rpm <= MOST_SPEED * synchronous:
        yield Contradiction(
            "rated_rpm",
            f"A motor of {poles:g} poles on {hz:g} Hz turns a little below {synchronous:.0f} rpm, "
            f"and the {part.title} is said to turn at {rpm:g}.",
            rpm,
            f"{LEAST_SPEED * synchronous:.0f} to {MOST_SPEED * synchronous:.0f} rpm, "
            "or another number of poles",
        )
