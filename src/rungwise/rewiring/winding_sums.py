"""Readings on one motor belong together: C to R and C to S make up R to S, whatever they are.

Where a unit file does not give the winding ohms, one reading alone tells little.  Three tell which
lead is which, because the largest of them is the sum of the others.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from rungwise.parts import FloatArray, split_end
from rungwise.rewiring.assignments import IntArray
from rungwise.rewiring.dead_ohms import COPPER_OHM, DeadOhms, unrecorded_windings
from rungwise.rewiring.wires_record import Reading

BoolArray = npt.NDArray[np.bool_]

_LEADS = ("C", "R", "S")
_MAIN, _AUX, _BOTH = 0, 1, 2
_BETWEEN = {(0, 1): _MAIN, (0, 2): _AUX, (1, 2): _BOTH}

Limits = tuple[tuple[tuple[float, float], float], tuple[tuple[float, float], float]]
"""Least and most of main and start winding, each with that of their sum before any reading."""

NOT_ALONE = 0.02
"""Share by which a winding may read otherwise because something lies in parallel to it."""


def sums_hold(
    ohms: DeadOhms, names: Sequence[str], readings: Sequence[Reading], matchings: IntArray
) -> BoolArray:
    """Bool [many]: which matchings [many, n] leave winding ohms that all readings agree with."""
    holds = np.ones(len(matchings), bool)
    for motor in unrecorded_windings(ohms.off.unit):
        limits = _limits(ohms, motor)
        if limits is not None:
            holds &= _motor_holds(ohms, motor, limits, names, readings, matchings)
    return holds


def _limits(ohms: DeadOhms, motor: str) -> Limits | None:
    """Main and start winding at least and at most; None where something lies beside them."""
    points = _points(ohms, motor)
    if len(points) < len(_LEADS):
        return None
    c, r, s = (points[lead] for lead in _LEADS)
    main, aux, both = (float(ohms.usual[a, b]) for a, b in ((c, r), (c, s), (r, s)))
    if abs(main + aux - both) > NOT_ALONE * both + COPPER_OHM:
        return None
    low, high = ((float(table[c, r]), float(table[c, s])) for table in (ohms.low, ohms.high))
    return (low, 0.0), (high, np.inf)


def _points(ohms: DeadOhms, motor: str) -> dict[str, int]:
    """A point at each lead of a motor: a probe there, or an end that runs to it."""
    found = {}
    for lead in _LEADS:
        terminal = f"{motor}.{lead}"
        ends = [at for at, each in enumerate(ohms.off.ends) if each.far == terminal]
        if terminal in ohms.probes:
            ends.append(ohms.point(terminal))
        if ends:
            found[lead] = ends[0]
    return found


def _motor_holds(  # what it goes by
    ohms: DeadOhms,
    motor: str,
    limits: Limits,
    names: Sequence[str],
    readings: Sequence[Reading],
    matchings: IntArray,
) -> BoolArray:
    """Whether main, start winding and their sum can lie within all bands that were read."""
    low, high = (np.tile([*each, free], (len(matchings), 1)) for each, free in limits)
    codes = np.array([_lead_of(each.far, motor) for each in ohms.off.ends])
    for reading in readings:
        if not np.isfinite(reading.high_ohm):  # open, which any winding may be
            continue
        a, b = (_lead(each, names, codes, matchings, motor) for each in (reading.a, reading.b))
        for (one, two), which in _BETWEEN.items():
            rows = ((a == one) & (b == two)) | ((a == two) & (b == one))
            low[rows, which] = np.maximum(low[rows, which], reading.low_ohm - COPPER_OHM)
            high[rows, which] = np.minimum(high[rows, which], reading.high_ohm)
    return _feasible(low, high)


def _feasible(low: FloatArray, high: FloatArray) -> BoolArray:
    fits = (low <= high).all(axis=1)
    fits &= low[:, _MAIN] + low[:, _AUX] <= high[:, _BOTH] + COPPER_OHM
    return np.asarray(fits & (high[:, _MAIN] + high[:, _AUX] + COPPER_OHM >= low[:, _BOTH]))


def _lead_of(terminal: str, motor: str) -> int:
    """Which lead of the motor a terminal is; -1 for none."""
    part, lead = split_end(terminal)
    return _LEADS.index(lead) if part == motor and lead in _LEADS else -1


def _lead(
    point: str, names: Sequence[str], codes: IntArray, matchings: IntArray, motor: str
) -> IntArray:
    """Which lead a point is in every matching [many]."""
    if point in names:
        return np.asarray(codes[matchings[:, names.index(point)]])
    return np.full(len(matchings), _lead_of(point, motor))
