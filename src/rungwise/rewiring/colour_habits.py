"""How well a loose wire's colour and gauge go with each wire of the record.

Habits of the trade, no law: they only say in which order to look, and never rule anything out.
Common practice, no source, all of it.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

import numpy as np

from rungwise.parts import FloatArray, Terminals, split_end
from rungwise.rewiring.off_ends import OffEnd, OffEnds
from rungwise.rewiring.wires_record import LooseWire

COLOURS = (
    "black", "red", "blue", "yellow", "white", "brown", "purple", "orange", "green", "gray", "pink",
    "yellow/black", "yellow/red", "black/white", "brown/white", "green/yellow",
)  # fmt: skip
"""Colours that a wire in a cabinet may have."""

_BY_SIGNAL: Mapping[str, tuple[str, ...]] = {
    "L1": ("black",),
    "L2": ("red", "black", "white"),
    "L3": ("blue", "black"),
    "L": ("brown", "black"),
    "Y": ("yellow", "white"),
    "C": ("blue", "black", "white", "brown"),
    "R": ("red",),
    "G": ("green",),
    "O": ("orange",),
    "B": ("blue", "black"),
    "W": ("white",),
    "W2": ("white", "brown"),
    "E": ("brown",),
    "power": ("purple", "red", "yellow", "black"),
    "heater": ("orange", "black", "white"),
}
"""Colours by what a wire carries, where its terminal says nothing."""

RECORDED = (0.90, 0.05, 0.05)
USUAL = (0.40, 0.35, 0.25)
"""Share of wires that have the recorded colour, one that is a habit, any: for colours that somebody
wrote down at this unit, and for those of the arrangement."""

GAUGES = ((0.5, 0.75), (2.5, 0.22), (100.0, 0.03))
"""Share of wires whose gauge is that of the record, next to it, and far from it, by how many
numbers it is off at most: a gauge seldom lies."""

LYING_SHARE = 0.15
"""Share of cabinets in which colors say nothing at all, before a single end is placed."""


def colour_shares(end: OffEnd, off: OffEnds, *, recorded: bool) -> dict[str, float]:
    """How often a wire of the record has each of `COLOURS`, or the colour that was recorded."""
    own, habit, anything = RECORDED if recorded else USUAL
    shares = {colour: anything / len(COLOURS) for colour in (*COLOURS, end.wire.colour)}
    shares[end.wire.colour] += own
    usual = _habits(end, off)
    for colour in usual:
        shares[colour] += habit / len(usual)
    total = sum(shares.values())
    return {colour: share / total for colour, share in shares.items()}


def weights(
    off: OffEnds,
    loose: Sequence[LooseWire],
    recorded: Collection[str] = (),
    placed: Sequence[int | None] = (),
) -> FloatArray:
    """How well each loose end goes with each end of the record, [loose ends, off ends], over 0.

    `recorded`: the wires whose colours somebody wrote down at this unit.  `placed`: of each
    loose end the end of the record that it was found to be, None where it was not; where the
    colours of those were odd, the others count for less.
    """
    shares = [colour_shares(end, off, recorded=end.wire.name in recorded) for end in off.ends]
    wires = [wire for wire in loose for _ in wire.ends]
    by_colour = np.array([[_colour(wire, share) for share in shares] for wire in wires])
    by_gauge = np.array([[_gauge(wire, end) for end in off.ends] for wire in wires])
    sound = _colours_tell(by_colour, placed)
    return np.asarray((sound * by_colour + (1.0 - sound) / len(COLOURS)) * by_gauge)


def _colours_tell(by_colour: FloatArray, placed: Sequence[int | None]) -> float:
    """How likely it is that the colours of this cabinet tell anything, by those of placed ends."""
    found = [float(by_colour[at, end]) for at, end in enumerate(placed) if end is not None]
    odds = (1.0 - LYING_SHARE) / LYING_SHARE * float(np.prod(np.array(found) * len(COLOURS)))
    return odds / (1.0 + odds)


def _habits(end: OffEnd, off: OffEnds) -> tuple[str, ...]:
    part, terminal = split_end(end.far)
    terminals = off.unit.kind_of(part).facet(Terminals) if part else None
    own = terminals.colors.get(terminal) if terminals else None
    found = own or _BY_SIGNAL.get(end.wire.carries)
    return found or (end.wire.colour,)


def _colour(wire: LooseWire, shares: Mapping[str, float]) -> float:
    """The share of the colour; one that nobody knows is as likely as the rarest."""
    if not wire.colour:
        return 1.0 / len(COLOURS)
    return shares.get(" ".join(wire.colour.casefold().split()), min(shares.values()))


def _gauge(wire: LooseWire, end: OffEnd) -> float:
    if wire.awg is None:
        return 1.0
    off = abs(wire.awg - end.wire.awg)
    return next(share for most, share in GAUGES if off <= most)
