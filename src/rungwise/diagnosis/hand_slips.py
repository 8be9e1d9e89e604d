"""What a hand and an eye get wrong in a way of its own: the point, the unit, the terminal.

A slip is not any number.  Many are the right reading with its point a place off or in another unit
of the meter's own scale (nF for µF), and many are the right reading between other terminals: R and
S of a compressor taken for each other, the leads on FAN and not on HERM.  Such a slip fits a good
unit as well as a reading does, so that it speaks against a fault and not only for none.  So does a
winding read too soon, when its shell is cold outside and its overload still open inside.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from rungwise.diagnosis.arrays import FloatArray
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.parts import part_of

OFF_BY: tuple[tuple[float, float], ...] = (
    (10.0, 0.06),
    (0.1, 0.06),
    (1e3, 0.06),
    (1e-3, 0.06),
    (1e6, 0.02),
    (1e-6, 0.02),
)
"""By what a slipped reading has to be multiplied to be right, and the share of all slips that are
so: the point a place off, or the unit (common practice, no source)."""

LEAST = 0.25
"""On the scale: what is under it, foretold or read, cannot be told from nothing at all."""

FINEST = 0.05
"""On the scale: nobody reads a display closer than that near its floor."""

EXCHANGED = 0.01
"""Chance that two terminals of a part are taken for each other (common practice, no source)."""

TOO_SOON = 0.1
"""Chance that a shell taken for cold is hot inside still: left to itself it takes hours (common
practice, no source)."""

ROOT_2PI = float(np.sqrt(2.0 * np.pi))


@dataclass(frozen=True, eq=False)
class Mistake:
    """Checks that may have been taken for others: two terminals of a part, or hot for cold.

    of: the column of the check that was then really made, by that of the check it was taken for.
    share: how probable beforehand. ends: the two nodes taken for each other; empty where a part
    was read too soon, before its overload has closed. first: columns of what tells without a
    second wait, to be read before it.
    """

    of: Mapping[int, int]
    share: float
    ends: tuple[str, ...] = ()
    first: tuple[int, ...] = ()

    def moves(self, check: int) -> bool:
        """Whether a check was then really another one."""
        return self.of.get(check, check) != check


def mistakes(cards: Sequence[CheckCard]) -> tuple[Mistake, ...]:
    """All that may be taken for something else on a unit."""
    return (*_exchanged(cards), *_too_soon(cards))


def _too_soon(cards: Sequence[CheckCard]) -> Iterator[Mistake]:
    """Each winding read once its shell is cold, taken for itself as it was found."""
    found = {
        (card.red, card.black): at
        for at, card in enumerate(cards)
        if card.setting == "apart" and card.quantity == "ohms" and _on_one_part(card)
    }
    for at, card in enumerate(cards):
        if card.setting == "cooled" and (card.red, card.black) in found:
            past = (
                other
                for (red, black), other in found.items()
                if part_of(red) == part_of(card.red) and card.red not in (red, black)
            )
            yield Mistake({at: found[card.red, card.black]}, TOO_SOON, first=tuple(past))


def _exchanged(cards: Sequence[CheckCard]) -> Iterator[Mistake]:
    """The exchanges of terminals after which every reading on the part is still one of its checks.

    Only of what is read between two terminals of a part by itself, its leads off.
    """
    groups: dict[tuple[str, str], dict[frozenset[str], int]] = {}
    for at, card in enumerate(cards):
        if card.setting == "apart" and card.form == "number" and _on_one_part(card):
            pair = frozenset({card.red, card.black})
            groups.setdefault((part_of(card.red), card.quantity), {})[pair] = at
    for places in groups.values():
        yield from _exchanges(places)


def _on_one_part(card: CheckCard) -> bool:
    return bool(card.red and card.black) and part_of(card.red) == part_of(card.black)


def _exchanges(places: Mapping[frozenset[str], int]) -> Iterator[Mistake]:
    nodes = dict.fromkeys(node for pair in places for node in sorted(pair))
    for one, other in combinations(nodes, 2):
        swapped = {one: other, other: one}
        moved = {
            at: frozenset(swapped.get(node, node) for node in pair) for pair, at in places.items()
        }
        of = {at: places[pair] for at, pair in moved.items() if pair in places}
        if len(of) == len(moved) and any(at != other_at for at, other_at in of.items()):
            yield Mistake(of, EXCHANGED, (one, other))


def slip_densities(middle: FloatArray, spread: FloatArray, z: FloatArray) -> FloatArray:
    """Density of readings as slips, for each way of `OFF_BY` with its share in it, [ways, n, d].

    middle, spread: float [n, d], what each particle foretells, on the scale. z: float [d], as read.
    What is foretold as no number, or would be read as nothing at all, is no slip of these.
    """
    found = np.zeros((len(OFF_BY), *middle.shape))
    foretold = np.isfinite(middle) & (middle >= LEAST)
    size = np.sinh(np.where(foretold, middle, 0.0))
    for way, (factor, share) in enumerate(OFF_BY):
        seen = size / factor
        mean = np.arcsinh(seen)
        sd = np.hypot(spread * np.hypot(1.0, size) / (factor * np.hypot(1.0, seen)), FINEST)
        density = share * np.exp(-0.5 * ((z - mean) / sd) ** 2) / (ROOT_2PI * sd)
        found[way] = np.where(foretold & (mean >= LEAST), density, 0.0)
    return found


def named_share(middle: FloatArray) -> FloatArray:
    """Share of the slips that are of one of the ways of `OFF_BY`, on each particle, [n, d]."""
    size = np.sinh(np.where(np.isfinite(middle) & (middle >= LEAST), middle, 0.0))
    seen = [share * (np.arcsinh(size / by) >= LEAST) for by, share in OFF_BY]
    return np.asarray(np.sum(seen, axis=0))
