"""What the season of a call says: on a call for heat, what rests until summer is not the matter.

A weak capacitor outdoors is as weak in January, but nobody called for it: it is there by chance
only. So such faults keep a small share of their odds, from which a reading taken on them still
brings them back, and the call is about what can act in it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from weakref import WeakKeyDictionary

import numpy as np

from rungwise.diagnosis.arrays import BoolArray, FloatArray, IntArray, log_sum
from rungwise.diagnosis.fault_table import CheckCard, FaultTable
from rungwise.diagnosis.look_card import COOLED, ON_CALL, ON_HEAT
from rungwise.diagnosis.reading_model import Reading
from rungwise.diagnosis.table_parts import parts_with
from rungwise.faults import HEALTHY
from rungwise.parts import Reverses, part_of

THERE_BY_CHANCE = 0.02
"""Odds of a fault that does nothing on a call for heat, against those of one that was called for
(common practice, no source)."""

SEEN_ALIKE = 0.02
"""Chances of a look that differ by less are the same to whoever looks."""


def begun_by_heat(table: FaultTable, readings: Sequence[Reading]) -> bool:
    """Whether the call began with what was seen on a call for heat: it is cold outdoors."""
    return bool(readings) and table.checks[readings[0].check].condition == ON_HEAT


def seen_running_on(table: FaultTable, readings: Sequence[Reading]) -> bool:
    """Whether something was seen to run with the thermostat off: that is looked into in any air."""
    taken = ((table.checks[each.check], each.value) for each in readings)
    return any(card.thing == "idle" and value > 0 for card, value in taken)


def in_season(table: FaultTable, log_prior: FloatArray, readings: Sequence[Reading]) -> FloatArray:
    """The prior of every particle, nats, once the season of the call is known.

    What is listed keeps its share together. Where something runs on, nothing is at rest.
    """
    if not begun_by_heat(table, readings) or seen_running_on(table, readings):
        return log_prior
    resting = at_rest(table)[table.suspect_of]
    if not resting.any():
        return log_prior
    moved = log_prior + np.where(resting, np.log(THERE_BY_CHANCE), 0.0)
    return np.asarray(moved + (log_sum(log_prior) - log_sum(moved)))


def resting_till_summer(table: FaultTable) -> frozenset[str]:
    """Ids of the checks of what is no part of a call for heat.

    Where nothing turns the refrigerant round, that is all that is read as the unit cools, and all
    that is read on what stands outdoors.
    """
    if any(parts_with(table, Reverses)):
        return frozenset()
    return frozenset(card.id for card in (*as_it_cools(table), *_outdoors(table)))


def as_it_cools(table: FaultTable) -> list[CheckCard]:
    """The checks made on a call for cooling."""
    return [card for card in table.checks if card.condition in (ON_CALL, COOLED)]


def _outdoors(table: FaultTable) -> Iterator[CheckCard]:
    """The checks on nothing but what stands outdoors."""
    places = {each.part: each.place for each in table.suspects if each.place}
    for card in table.checks:
        ends = (part_of(end) for end in (card.red, card.black))
        on = {places[part] for part in (*card.touches, *ends) if part in places}
        if on and on <= {"outdoor", "disconnect"}:
            yield card


def at_rest(table: FaultTable) -> BoolArray:
    """Which suspects do nothing on a call for heat, bool [S].

    Whatever is seen and measured on one, and seen or drawn with the thermostat off, is as on the
    good unit. None where the refrigerant is turned round: all of that unit works in winter.
    """
    if table not in _AT_REST:
        _AT_REST[table] = _at_rest(table)
    return _AT_REST[table]


_AT_REST: WeakKeyDictionary[FaultTable, BoolArray] = WeakKeyDictionary()
"""Of each table at hand: every step of a call for heat asks for it."""


def _at_rest(table: FaultTable) -> BoolArray:
    columns = [at for at, card in enumerate(table.checks) if card.condition == ON_HEAT]
    resting = resting_till_summer(table)
    if not columns or not resting:
        return np.zeros(len(table.suspects), dtype=bool)
    columns += [
        at
        for at, card in enumerate(table.checks)
        if card.id not in resting
        and (card.thing == "idle" or (card.quantity == "amps" and card.setting == "standby"))
    ]
    moved = np.zeros(table.particles, dtype=bool)
    for rows in _alike(table):
        for column in columns:
            moved[rows] |= _moved(table, rows, column)
    acts = np.bincount(table.suspect_of, weights=moved) > 0
    good = np.array([each.id == HEALTHY for each in table.suspects])
    return np.asarray(~acts & ~good)


def _alike(table: FaultTable) -> list[IntArray]:
    """Rows of particles, int [suspects, n], for the suspects of each number of particles.

    Column k of one differs from column k of another by the fault alone.
    """
    rows = [np.flatnonzero(table.suspect_of == at) for at in range(len(table.suspects))]
    counts = sorted({len(each) for each in rows})
    return [np.array([each for each in rows if len(each) == count]) for count in counts]


def _moved(table: FaultTable, rows: IntArray, column: int) -> BoolArray:
    """Which of these particles read otherwise than most do in their place, bool like rows."""
    chances = table.choice_probability.get(column)
    if chances is not None:
        found = chances[rows]
        return np.asarray((np.abs(found - np.median(found, axis=0)) > SEEN_ALIKE).any(axis=-1))
    found = np.nan_to_num(table.reading[rows, column].astype(np.float64), nan=-1.0, posinf=1e9)
    usual = np.median(found, axis=0)
    error = np.median(np.nan_to_num(table.reading_sd[rows, column]), axis=0)
    return np.asarray(np.abs(found - usual) > error)
