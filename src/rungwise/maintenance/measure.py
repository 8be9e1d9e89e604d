"""What is measured at every visit, the scale on which it wears, and where it is worn out.

A quantity is followed on a scale on which wear is taken as a straight line from new to its limit:
the share of the rated value, or the natural logarithm.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log

import numpy as np

from rungwise.circuit import CLAMP, FINE_VOLTS, MICROFARADS, Instrument
from rungwise.circuit import INSULATION as MEGOHMS
from rungwise.errors import BadReading, UnknownName
from rungwise.parts import CAPACITOR, CONTACT_DROP, INSULATION, Grade, Limit
from rungwise.quantity import format_quantity
from rungwise.wording import mark, say


@dataclass(frozen=True, slots=True)
class Measure:
    """One quantity.

    new, new_sd: what a new part has on the scale, and how parts differ.
    wander_sd: what moves a reading besides the meter, such as heat and load, on the scale.
    stated: the limit that every room tells, of the value or of its share of the rated one; alone
    a figure on the scale where only upkeep has one. log: the scale is ln(value), else
    value / rated.
    """

    name: str
    title: str
    meter: Instrument
    new: float
    new_sd: float
    wander_sd: float
    stated: Limit | float
    log: bool = False

    @property
    def limit(self) -> float:
        """Where it counts as worn out, on the scale."""
        if not isinstance(self.stated, Limit):
            return self.stated
        return log(self.stated.change) if self.log else self.stated.change

    @property
    def falling(self) -> bool:
        """Whether wear makes it less."""
        return self.limit < self.new

    @property
    def span(self) -> float:
        """From new to worn out, on the scale."""
        return self.limit - self.new

    def on_scale(self, value: float, rated: float) -> float:
        """A reading on the scale. Raises BadReading when it cannot be told there."""
        base = 1.0 if self.log else rated
        if not (value > 0.0 and base > 0.0 and np.isfinite(value)):
            raise BadReading(
                what=f"The {self.title} cannot be followed from this reading.",
                value=value,
                allowed=f"above 0 {self.meter.unit}"
                + ("" if self.log else ", and the part's rated value above 0"),
                next_step=mark("leave the reading out, or give the rated value"),
            )
        return log(value) if self.log else value / rated

    def off_scale(self, y: float, rated: float) -> float:
        """The value in the meter's unit."""
        return exp(y) if self.log else y * rated

    def grade(self, value: float, rated: float) -> Grade:
        """Where a reading stands by the stated limit; without one, good until it is worn out."""
        if isinstance(self.stated, Limit):
            return self.stated.grade(value if self.log else value / rated)
        worn = self.on_scale(value, rated)
        return "good" if (worn > self.limit) == self.falling else "change"

    def limit_told(self, rated: float) -> str:
        """Where it is good and where it is changed, in one sentence."""
        unit = self.meter.unit
        if isinstance(self.stated, Limit):
            return self.stated.told(1.0 if self.log else rated, unit)
        return say(
            "changed at {value}", value=format_quantity(self.off_scale(self.limit, rated), unit)
        )

    def sd(self, value: float, rated: float) -> float:
        """Error of a reading on the scale: the meter's, and what wanders."""
        meter = float(self.meter.sd(np.asarray(value))) / (value if self.log else rated)
        return float(np.hypot(meter, self.wander_sd))


# Common practice, no source: new values and their spread, and at what share of its plate a fan that
# drags is worn out. Where the others are changed is told once, in `unit.limits`.
MEASURES = {
    each.name: each
    for each in (
        Measure("capacitance", mark("capacitance"), MICROFARADS, 1.0, 0.025, 0.006, CAPACITOR),
        Measure("contact_drop", mark("drop across the contact"), FINE_VOLTS,
                log(0.03), 0.30, 0.12, CONTACT_DROP, log=True),
        Measure("insulation", mark("insulation"), MEGOHMS, log(200.0), 0.8, 0.35, INSULATION,
                log=True),
        Measure("amps", mark("running amps"), CLAMP, 0.90, 0.05, 0.03, 1.15),
    )
}  # fmt: skip


def measure_named(name: str) -> Measure:
    """The quantity. Raises UnknownName."""
    if name not in MEASURES:
        raise UnknownName(what=mark("No such quantity is followed over visits."), name=name,
                          known=MEASURES)  # fmt: skip
    return MEASURES[name]
