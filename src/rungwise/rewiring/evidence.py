"""What readings say of loose ends: what each may be, which pairs go together, and which are whole.

A wire may be broken inside.  So OL rules an end out only once a reading has shown its wire whole,
by ohms that came through it; before that OL only makes likelier what it would need no fault for.
Ohms that do come through rule out at once whatever could not read so.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import combinations

import numpy as np
import numpy.typing as npt

from rungwise.parts import EARTH, FloatArray
from rungwise.rewiring.dead_ohms import DeadOhms
from rungwise.rewiring.taken_reading import apart_ohm, least_ohm
from rungwise.rewiring.wires_record import LooseWire, Reading

BoolArray = npt.NDArray[np.bool_]

BROKEN_SHARE = 0.04
"""How often a wire is broken inside or at its far end (order of magnitude, no source)."""

FAULT_SHARE = 0.03
"""How often a part has the fault that a reading needs to fit (order of magnitude, no source)."""

PairOdds = tuple[int, int, FloatArray]
"""Two loose ends, and how well a reading goes with each two ends of the record that they may be."""


def conducts(reading: Reading) -> bool:
    """Whether ohms came through; "no beep", OL and what could not be reached do not say so."""
    return not math.isinf(reading.high_ohm)


def reads_open(reading: Reading) -> bool:
    """Whether nothing came through; not so of what could not be reached."""
    return not conducts(reading) and reading.low_ohm > 0.0


def without_earth(readings: Iterable[Reading]) -> Iterator[Reading]:
    """The readings but for ohms to bare metal, which an earthed winding would also give."""
    return (each for each in readings if not (conducts(each) and EARTH in (each.a, each.b)))


def sharpened(readings: Sequence[Reading]) -> Iterator[Reading]:
    """The readings, each with the least ohms that the lowest of them leaves it."""
    shown = [each.ohm for each in readings if each.ohm is not None and not math.isinf(each.ohm)]
    for each in readings:
        if each.ohm is None or math.isinf(each.ohm):
            yield each
        else:
            low = max(each.low_ohm, least_ohm(each.ohm, min(shown)))
            yield replace(each, low_ohm=low)


class Evidence:
    """What `readings` leave of what may be seen of some loose ends.

    whole: [ends], whether ohms came through the wire of each.  domain: [ends, ends of the record].
    ties: by two loose ends (p < q) what they may be together.  odds: [ends, ends of the record],
    the share of the faults that the readings would need; pair_odds: the same for two ends.
    """

    def __init__(
        self,
        ohms: DeadOhms,
        loose: Sequence[LooseWire],
        readings: Sequence[Reading],
        seen: BoolArray,
    ) -> None:
        self.ohms = ohms
        self.names = tuple(end for wire in loose for end in wire.ends)
        self.readings = tuple(sharpened(readings))
        self.domain = seen.copy()
        self.ties: dict[tuple[int, int], BoolArray] = {}
        self.odds = np.ones(seen.shape)
        self.pair_odds: list[PairOdds] = []
        self.whole = np.zeros(len(self.names), bool)
        for reading in filter(conducts, self.readings):
            self.whole[self.loose_of(reading)] = True
        self._tie_free_wires(loose)
        for reading in self.readings:
            self._take(reading)
        for one, other in combinations(self._on_terminals(), 2):
            self._compare(one, other)

    def loose_of(self, reading: Reading) -> list[int]:
        """The loose ends that a reading was taken on."""
        return [self.names.index(each) for each in (reading.a, reading.b) if each in self.names]

    def _tie_free_wires(self, loose: Sequence[LooseWire]) -> None:
        """The two loose ends of one wire are the two ends of one wire of the record."""
        at = 0
        for wire in loose:
            if wire.both_ends:
                self._tie(at, at + 1, self.ohms.off.partners)
            at += len(wire.ends)

    def _take(self, reading: Reading) -> None:
        loose = self.loose_of(reading)
        fits, odds = self._table(reading)
        hard = conducts(reading) or bool(self.whole[loose].all())
        odds = np.where(fits, odds, odds if hard else BROKEN_SHARE)
        size = len(self.ohms.off)
        if len(loose) == 2:
            p, q = loose
            if hard:
                self._tie(p, q, fits[:size, :size])
            self.pair_odds.append((p, q, odds[:size, :size]))
        elif loose:
            (p,) = loose
            point = self.ohms.point(reading.b if reading.a in self.names else reading.a)
            if hard:
                self.domain[p] &= fits[:size, point]
            # One break or one fault is behind all that does not read through.
            self.odds[p] = np.minimum(self.odds[p], odds[:size, point])

    def _on_terminals(self) -> Iterator[tuple[int, int, float]]:
        """The readings between a loose end and a terminal: end, point, and the ohms shown."""
        for reading in filter(conducts, self.readings):
            loose = self.loose_of(reading)
            if len(loose) == 1 and reading.ohm is not None:
                point = self.ohms.point(reading.b if reading.a in self.names else reading.a)
                yield loose[0], point, reading.ohm

    def _compare(self, one: tuple[int, int, float], other: tuple[int, int, float]) -> None:
        """Two readings on one end by the same leads: what these add is in both, so their
        difference tells more than either of them.
        """
        (p, a, first), (q, b, second) = one, other
        if p != q:
            return
        ohms, size = self.ohms, len(self.ohms.off)
        slack, apart = apart_ohm(first, second), first - second
        with np.errstate(invalid="ignore"):  # what cannot read is ruled out by its own reading
            least = ohms.least[:size, a] - ohms.through[:size, b]
            most = ohms.through[:size, a] - ohms.least[:size, b]
            self.domain[p] &= ~((apart < least - slack) | (apart > most + slack))

    def _table(self, reading: Reading) -> tuple[BoolArray, FloatArray]:
        """By two points whether a unit with one fault may read so, and what that fault costs."""
        ohms = self.ohms
        sound = (ohms.low <= reading.high_ohm) & (ohms.high >= reading.low_ohm)
        most = ohms.through if conducts(reading) else ohms.most
        fits = (ohms.least <= reading.high_ohm) & (most >= reading.low_ohm)
        return np.asarray(fits), np.where(sound, 1.0, FAULT_SHARE)

    def _tie(self, p: int, q: int, allowed: BoolArray) -> None:
        key, table = ((p, q), allowed) if p < q else ((q, p), allowed.T)
        self.ties[key] = self.ties[key] & table if key in self.ties else table
