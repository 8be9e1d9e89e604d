"""One way in which a wiring does not do as the unit is meant to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from rungwise.circuit import Harm
from rungwise.parts import Does

Sort = Literal["does", "amount", "harm", "wire"]


@dataclass(frozen=True)
class Deviation:
    """What differs, and in which situations.

    part: the load, the part that suffers, or the wire.  situations: indices.  want_amount, amount:
    watts, volts or amps, one each a situation (of a wire, what it bears and what it carries).
    want, does: codes of `Does` for a load.  harm: what suffers.
    """

    sort: Sort
    part: str
    situations: tuple[int, ...]
    want_amount: tuple[float, ...]
    amount: tuple[float, ...]
    want: Does = Does.OFF
    does: Does = Does.OFF
    harm: Harm | None = None
