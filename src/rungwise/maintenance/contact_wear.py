"""How fast contacts wear: by how often they break, and what.

Electrical life goes with (rated amps / amps)^2: at half the current four times the operations
(common practice, no source). Wear is told as a pace against an ordinary contactor, so that all
contactors of a shop, counted in their own time, share one life. How far this one is on its way is
then read off its drop (`measure`, `trend`).
"""

from __future__ import annotations

from rungwise.errors import BadQuantity

ORDINARY_STARTS = 1500.0
"""Starts in a year of an ordinary unit (common practice, no source)."""

ORDINARY_LOAD = 0.6
"""Amps of an ordinary unit as a share of the contactor's rated full-load amps (the same)."""

EXPONENT = 2.0
MOST_PACE, LEAST_PACE = 8.0, 0.125


def pace(starts_a_year: float, amps: float, rated_a: float) -> float:
    """Wear a year against an ordinary contact: starts × (load share)^2, held within 1/8 to 8.

    Raises BadQuantity for figures that no contactor has.
    """
    if starts_a_year <= 0.0 or amps <= 0.0 or rated_a <= 0.0:
        raise BadQuantity(
            what="Wear of contacts needs starts a year, amps and rated amps.",
            value=f"{starts_a_year:g} starts, {amps:g} A of {rated_a:g} A",
            allowed="all above 0",
        )
    load: float = (amps / rated_a / ORDINARY_LOAD) ** EXPONENT
    return min(max(starts_a_year / ORDINARY_STARTS * load, LEAST_PACE), MOST_PACE)
