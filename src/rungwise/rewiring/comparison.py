"""Many wirings held against what the unit is meant to do."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Literal

import numpy as np
import numpy.typing as npt

from rungwise.circuit import Harm
from rungwise.parts import Capacitor, Coil, Does, FloatArray, Heater, Motor, part_of
from rungwise.rewiring.observed import Observed

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


_LIMIT_AMP = {18: 7.0, 16: 10.0, 14: 15.0, 12: 20.0, 10: 30.0, 8: 40.0, 6: 55.0, 4: 70.0}
"""AWG 14 to 10: NEC 240.4(D); 8 to 4: NEC 310.16 (2023), 60 °C column; 18 and 16: 240.4(D) from
memory.  Air-conditioning circuits may go by Article 440 instead; the lower figures are kept here,
because a wire inside a cabinet lies in hot air."""

_SIZES = sorted(_LIMIT_AMP)


def limit_amp(awg: float) -> float:
    """Amps that a copper wire of gauge `awg` bears for hours; an odd size counts as thinner.

    Thinner than 18 AWG bears 3 A (order of magnitude, no source); 4 AWG and thicker bears 70 A.
    """
    if awg > _SIZES[-1]:
        return 3.0
    at = bisect_right(_SIZES, awg)
    thicker = _SIZES[at - 1] if at and _SIZES[at - 1] == awg else _SIZES[min(at, len(_SIZES) - 1)]
    return _LIMIT_AMP[_SIZES[0] if awg < _SIZES[0] else thicker]


BoolArray = npt.NDArray[np.bool_]

SAME_SHARE = 0.03
"""Watts or volts that differ by less are the same: a longer way through copper moves them less."""

LEAST_WATT = 3.0
LEAST_VOLT = 1.0
"""Differences below these are ghosts."""

LIVE_VOLT = 90.0
"""Above ghosts, below a leg's 120 V."""

TOUCHED = (Motor, Heater, Capacitor)
"""What the parts have that a hand may touch while the contactor is out."""

MORE_AMP = 1.1
"""A wire over its limit is excused up to this share of what it carries as meant."""


class Comparison:
    """The variants of `seen` against `meant`, a batch of one; loads are matched by name."""

    def __init__(self, meant: Observed, seen: Observed) -> None:
        self.meant = meant
        self.seen = seen
        theirs, ours = seen.load_states.loads, meant.load_states.loads
        self.loads = tuple(name for name in theirs if name in ours)
        self._theirs = [theirs.index(name) for name in self.loads]
        self._ours = [ours.index(name) for name in self.loads]

    @cached_property
    def alike(self) -> BoolArray:
        """Bool [variants]: which of them do all that the unit is meant to, and harm nothing more.

        The same codes, the same watts and volts, nothing suffers that does not suffer anyway, and
        no wire carries more than it bears.
        """
        tables = (self._other_code, self._other_amount, self._new_harm, self._hot_wire)
        return np.asarray(~np.any([each.any(axis=(0, 1)) for each in tables], axis=0))

    def deviations(self, variant: int) -> tuple[Deviation, ...]:
        """Every way in which a variant is not as meant; none where it is alike."""
        found = (self._does, self._amounts, self._harms, self._wires)
        return tuple(each for some in found for each in some(variant))

    def more_live(self, variant: int) -> tuple[str, ...]:
        """Terminals of loads and capacitors that are live with the thermostat off, unlike meant."""
        unit = self.seen.wirings.unit
        before = dict(zip(self.meant.nodes, self.meant.rest_volt[:, 0], strict=True))
        return tuple(
            node
            for node, volt in zip(self.seen.nodes, self.seen.rest_volt[:, variant], strict=True)
            if volt > LIVE_VOLT >= before.get(node, 0.0)
            if node in unit.terminals()
            if any(unit.kind_of(part_of(node)).facet(sort) for sort in TOUCHED)
        )

    @cached_property
    def _codes(self) -> tuple[npt.NDArray[np.int8], npt.NDArray[np.int8]]:
        """What the loads are meant to do [situations, loads, 1], and do [.., .., variants]."""
        meant, seen = self.meant.load_states, self.seen.load_states
        return meant.code[:, self._ours], seen.code[:, self._theirs]

    @cached_property
    def _amount(self) -> tuple[FloatArray, FloatArray]:
        meant, seen = self.meant.load_states, self.seen.load_states
        return meant.amount[:, self._ours], seen.amount[:, self._theirs]

    @cached_property
    def _other_code(self) -> BoolArray:
        meant, seen = self._codes
        return np.asarray(meant != seen)

    @cached_property
    def _other_amount(self) -> BoolArray:
        meant, seen = self._amount
        blocks = self.seen.wirings.plan.blocks
        kinds = [blocks[name].kind for name in self.loads]
        coils = [kind.facet(Coil) is not None for kind in kinds]
        least = np.where(coils, LEAST_VOLT, LEAST_WATT)[None, :, None]
        far = np.abs(seen - meant) > np.maximum(SAME_SHARE * np.abs(meant), least)
        return np.asarray(far & (self._codes[1] != Does.OFF) & ~self._other_code)

    @cached_property
    def _new_harm(self) -> BoolArray:
        """Bool [situations, harms, variants]: what suffers that does not suffer as meant."""
        told, meant = self.seen.load_states, self.meant.load_states
        known = {harm: at for at, harm in enumerate(meant.harms)}
        excused = np.zeros((*told.harmed.shape[:2], 1), bool)
        for at, harm in enumerate(told.harms):
            if harm in known:
                excused[:, at] = meant.harmed[:, known[harm]]
        return np.asarray(told.harmed & ~excused)

    @cached_property
    def _limits(self) -> FloatArray:
        """Amps [situations, wires] over which a wire carries too much."""
        usual = {name: self.meant.wire_amp[:, at, 0] for at, name in enumerate(self.meant.wires)}
        wires = self.seen.wirings.unit.wire_by_name
        nothing = np.zeros(self.seen.wire_amp.shape[0])
        return np.array(
            [
                np.maximum(limit_amp(wires[name].awg), MORE_AMP * usual.get(name, nothing))
                for name in self.seen.wires
            ]
        ).T

    @cached_property
    def _hot_wire(self) -> BoolArray:
        """A wire takes minutes to grow hot, so the first seconds of a call are left out."""
        lasts = [each.condition.horizon == "settled" for each in self.seen.load_states.situations]
        over = self.seen.wire_amp > self._limits[:, :, None]
        return np.asarray(over & np.array(lasts)[:, None, None])

    def _does(self, variant: int) -> Iterator[Deviation]:
        for at, name in enumerate(self.loads):
            want, does = self._codes[0][:, at, 0], self._codes[1][:, at, variant]
            differs = self._other_code[:, at, variant]
            for pair in sorted(
                set(zip(want[differs].tolist(), does[differs].tolist(), strict=True))
            ):
                where = differs & (want == pair[0]) & (does == pair[1])
                yield self._load(
                    "does", name, where, variant, want=Does(pair[0]), does=Does(pair[1])
                )

    def _amounts(self, variant: int) -> Iterator[Deviation]:
        for at, name in enumerate(self.loads):
            where = self._other_amount[:, at, variant]
            if where.any():
                code = int(self._codes[1][np.flatnonzero(where)[0], at, variant])
                yield self._load("amount", name, where, variant, want=Does(code), does=Does(code))

    def _load(
        self, sort: Sort, name: str, where: BoolArray, variant: int, **codes: int
    ) -> Deviation:
        at = self.loads.index(name)
        meant, seen = self._amount
        return _deviation(sort, name, where, (meant[:, at, 0], seen[:, at, variant]), **codes)

    def _harms(self, variant: int) -> Iterator[Deviation]:
        new = self._new_harm[:, :, variant]
        for at in np.flatnonzero(new.any(axis=0)):
            harm = self.seen.load_states.harms[at]
            amount = self.seen.load_states.harm_amount[:, at, variant]
            nothing = np.zeros_like(amount)
            yield _deviation("harm", harm.part, new[:, at], (nothing, amount), harm=harm)

    def _wires(self, variant: int) -> Iterator[Deviation]:
        hot = self._hot_wire[:, :, variant]
        for at in np.flatnonzero(hot.any(axis=0)):
            amounts = self._limits[:, at], self.seen.wire_amp[:, at, variant]
            yield _deviation("wire", self.seen.wires[at], hot[:, at], amounts)


def _deviation(
    sort: Sort, part: str, where: BoolArray, amounts: tuple[FloatArray, FloatArray], **more: Any
) -> Deviation:
    places = np.flatnonzero(where)
    meant, found = (tuple(each[places].tolist()) for each in amounts)
    return Deviation(sort, part, tuple(places.tolist()), meant, found, **more)
