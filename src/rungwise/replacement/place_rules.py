"""Rules of the place for a 50 Hz supply: told, not judged, since they are the country's own.

Colors: IEC 60445; sizes: IEC 60228; residual-current devices: IEC 61008-1 and 61009-1, asked for by
wiring rules after IEC 60364. None of these is quoted: check your own copy and the country's rules.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from rungwise.parts import RESIDUAL_A, awg_area_mm2
from rungwise.replacement.supply_circuit import outdoor_run
from rungwise.unit import Unit, Wire
from rungwise.wording import say

NEC_HZ = 60.0
"""The NEC's supplies have 60 Hz."""

SIZES_MM2 = (0.5, 0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0, 120.0)
"""Cross-sections of conductors, IEC 60228; check your own copy."""

NEUTRAL, PROTECTIVE = "blue", "green/yellow"


def rules_of_the_place(unit: Unit) -> tuple[str, ...]:
    """What is told of the rules of the place; nothing for a supply of 60 Hz."""
    if unit.hz >= NEC_HZ:
        return ()
    return (*_sizes(unit), *_colors(unit), _residual(unit), _PROTECTIVE)


def next_size_mm2(awg: float) -> float | None:
    """The least standard cross-section that is as large as an American gauge; None above all."""
    area = float(awg_area_mm2(np.asarray(awg)))
    return next((size for size in SIZES_MM2 if size >= area), None)


def _sizes(unit: Unit) -> Iterator[str]:
    told: dict[float, str] = {}
    for wire in outdoor_run(unit):
        area, size = float(awg_area_mm2(np.asarray(wire.awg))), next_size_mm2(wire.awg)
        larger = (
            say("{size} mm² is the next size as large", size=f"{size:g}")
            if size is not None
            else "no size is"
        )
        told[wire.awg] = say(
            "The outdoor run of {awg} AWG is {area} mm²; {larger}. Which size the run "
            "needs is a matter of the place: way of laying, length, device ahead. Not "
            "judged.",
            awg=f"{wire.awg:g}",
            area=f"{area:.2f}",
            larger=larger,
        )
    yield from told.values()


def _colors(unit: Unit) -> Iterator[str]:
    yield (
        "Lines brown, black and gray, neutral blue, protective conductor green and yellow and "
        "nothing else (IEC 60445; check your own copy). Older work has other colors: an old black "
        "may be the neutral. Measure, never trust a color."
    )
    for wire in unit.wires:
        if _against(wire):
            yield say("Against that: the {wire}.", wire=unit.wire_title(wire))


def _against(wire: Wire) -> bool:
    """Whether the color of a conductor of the supply is another's."""
    if wire.carries == "neutral":
        return wire.colour != NEUTRAL
    if wire.carries == "bond":
        return wire.colour != PROTECTIVE
    return wire.colour == PROTECTIVE


def _residual(unit: Unit) -> str:
    guards = [
        part.title
        for part in unit.parts
        if any(each.name == RESIDUAL_A for each in unit.kind_of(part.name).parameters)
    ]
    if guards:
        return say(
            "Residual current: {guards} trips at 30 mA at most; push its test button. "
            "What leaks past it is found with every load lifted, megohms one by one.",
            guards=guards[0],
        )
    return (
        "Residual current: no device for it stands in this drawing. Many places ask for one of "
        "30 mA ahead of such a unit: read the rules of the place. Not judged."
    )


_PROTECTIVE = (
    "Protective conductor: its continuity from the unit's metal to the main earthing terminal is "
    "measured with the leads' own ohms taken off; what is allowed is a matter of the place. "
    "Neutral and protective conductor meet at the origin and nowhere behind it."
)
