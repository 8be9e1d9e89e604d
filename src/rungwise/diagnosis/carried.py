"""A fault table as a phone carries it: fewer digits, and what is known of the parts worked out.

A table takes tens of megabytes, and most of it says that a fault changes nothing: particle k of a
suspect is the good unit's particle k with one thing other. So readings are kept as whole steps
and as differences from the good unit's particle, byte by byte, which packs to about a megabyte.
What is unpacked is a fault table as any other (`FaultTable`), the same to the last digit here and
on the phone: there `static/belief/` reckons with it what this room does.
"""

from __future__ import annotations

import gzip
import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass
from typing import Any, TypeAlias

import numpy as np
import numpy.typing as npt

from rungwise.circuit import FINE_VOLTS
from rungwise.diagnosis.accused_compressor import volts_at_poles, volts_at_rest
from rungwise.diagnosis.arrays import FloatArray, IntArray
from rungwise.diagnosis.behind import (
    always_wanted,
    asks_for_causes,
    bad_at_rest,
    causes_of,
    of_fans_outdoors,
)
from rungwise.diagnosis.chips import CHIPS
from rungwise.diagnosis.complaint import looks_owed
from rungwise.diagnosis.fault_table import FaultTable, SuspectCard
from rungwise.diagnosis.healthy_proof import (
    full_under_load,
    heat_proof,
    in_the_weather,
    proof_batch,
)
from rungwise.diagnosis.look_card import COOLED, DEAD, LOOKING, ON_CALL, ON_HEAT
from rungwise.diagnosis.scale import FLOOR_ERRORS, floors_of
from rungwise.diagnosis.season import at_rest, resting_till_summer
from rungwise.diagnosis.slope_table import SlopeTable
from rungwise.faults import HEALTHY

FORMAT = 1

READING_STEPS = 2.0**16
"""Of one unit of the scale: a step is a hundredth of what the best meter errs."""

SD_STEPS = 128.0
"""Of a doubling of the meter's error."""

TANGENT_STEPS = 2.0**12
SLOPE_STEPS = 2.0**13
MOST_STEPS = 32767

NOT_MADE, OVER = 0x400000, 0x400001
"""In place of the steps of a reading that cannot be made, and of OL."""

Whole: TypeAlias = npt.NDArray[np.int64]


def packed(table: FaultTable) -> bytes:
    """The table and what is known of its parts, as a phone takes it along.

    A gzip of one line of JSON and of the bytes of the arrays that it lists, each array with the
    lowest bytes of all its numbers first.
    """
    planes, listed = [], []
    for each in _steps_of(table):
        planes.append(_planes(each, _like(table, each.like)))
        listed.append({"name": each.name, "width": each.width, "like": each.like})
    cards: dict[str, Any] = {
        "format": FORMAT,
        "digest": table.digest,
        "suspects": [_json_of(asdict(card)) for card in table.suspects],
        "checks": [_json_of(asdict(card)) for card in table.checks],
        "counts": np.bincount(table.suspect_of).tolist(),
        "good": _good(table),
        "floors": _floors(table).tolist(),
        "longest": int(table.slopes.by.shape[2]),
        "unknowns": table.slopes.unknowns,
        "known": known_of(table),
        "arrays": listed,
    }
    head = json.dumps(cards, ensure_ascii=False, separators=(",", ":")).encode() + b"\n"
    return gzip.compress(head + b"".join(planes), 9, mtime=0)


def rounded(table: FaultTable) -> FaultTable:
    """The table with the digits that a phone gets, in double precision."""
    steps = {each.name: each.steps for each in _steps_of(table)}
    floor = _floors(table)
    reading = floor * np.sinh(steps["reading"] / READING_STEPS)
    reading = np.where(steps["reading"] == NOT_MADE, np.nan, reading)
    reading = np.where(steps["reading"] == OVER, np.inf, reading)
    tangent = steps["tangent"] / TANGENT_STEPS
    return FaultTable(
        suspects=table.suspects,
        checks=table.checks,
        suspect_of=table.suspect_of,
        reading=reading,
        reading_sd=floor / FLOOR_ERRORS * np.exp2(steps["sd"] / SD_STEPS),
        choice_probability={
            at: np.asarray(each, dtype=np.float32) for at, each in table.choice_probability.items()
        },
        digest=table.digest,
        slope=SlopeTable(
            table.slopes.unknown,
            (steps["slope"] / SLOPE_STEPS).reshape(table.slopes.by.shape).astype(np.float32),
            table.slopes.unknowns,
        ),
        slope_of=table.slope_of,
        own=table.own,
        tangent=tangent.astype(np.float32),
    )


def known_of(table: FaultTable) -> dict[str, Any]:
    """What this room takes from the kinds of the parts, for this table: plain names.

    proof, heatProof: the readings that a working unit is judged by, and on a call for heat.
    fullUnderLoad: by the volts at rest, the check and the volts as all runs that make it needless.
    owedTo: by chip of the complaint, the looks made before such a unit is let go.
    weather: what follows the day's air. resting: what is no part of a call for heat; atRest: the
    suspects that do nothing on it. owed: by
    suspect, the checks that always come before its repair. fans: by suspect, what clears the fans
    outdoors, unless a check of badAtRest was made. causes: by effect whose causes are
    read before it is put back, what may bring it about. volts: by suspect and setting, the volts
    owed beside its amps. sags: by suspect and such a check, the volts that a good unit gives
    there, and what is read at rest where they are low.
    """
    owed = {each.id: list(dict.fromkeys(always_wanted(table, each))) for each in table.suspects}
    effects = [each for each in table.suspects if each.is_effect]
    volts = {each.id: volts_at_poles(table, each) for each in table.suspects}
    sags = {each.id: volts_at_rest(table, each) for each in table.suspects}
    return {
        "healthy": HEALTHY,
        "fineVolts": FINE_VOLTS.name,
        "onCall": ON_CALL,
        "onHeat": ON_HEAT,
        "dead": DEAD,
        "looking": LOOKING,
        "cooled": COOLED,
        "proof": [card.id for card in proof_batch(table)],
        "fullUnderLoad": full_under_load(table),
        "heatProof": [card.id for card in heat_proof(table)],
        "owedTo": {
            each.id: looks for each in CHIPS if (looks := looks_owed(table.checks, each.id))
        },
        "weather": sorted(in_the_weather(table)),
        "resting": sorted(resting_till_summer(table)),
        "atRest": [
            each.id for each, rests in zip(table.suspects, at_rest(table), strict=True) if rests
        ],
        "owed": {name: checks for name, checks in owed.items() if checks},
        "fans": _told_by_suspect(table, of_fans_outdoors),
        "badAtRest": _told_by_suspect(table, bad_at_rest),
        "volts": {name: settings for name, settings in volts.items() if settings},
        "sags": {name: low for name, low in sags.items() if low},
        "asks": [each.id for each in effects if asks_for_causes(each)],
        "causes": {each.id: [cause.id for cause in causes_of(table, each)] for each in effects},
    }


def _told_by_suspect(
    table: FaultTable, rule: Callable[[FaultTable, SuspectCard], Iterable[str]]
) -> dict[str, list[str]]:
    """The checks that a rule names, by the suspects of which it names any."""
    told = {each.id: list(rule(table, each)) for each in table.suspects}
    return {name: checks for name, checks in told.items() if checks}


@dataclass(frozen=True)
class _Steps:
    """An array in whole steps, [rows, columns]. width: bytes of a number.

    like: what a row is told by: "particle", the good unit's particle of its place; "slopes", the
    good unit's slopes; "", nothing.
    """

    name: str
    width: int
    like: str
    steps: Whole


def _steps_of(table: FaultTable) -> Iterator[_Steps]:
    """Each array of a table in whole steps.

    Raises ValueError for a table whose particles are a cloud, or not suspect by suspect.
    """
    if table.tangent is None or (np.diff(table.suspect_of) < 0).any():
        raise ValueError("a table without tangents, or in no order, is not carried")
    slopes = table.slopes
    flat = len(slopes), -1
    yield _Steps("slopeOf", 2, "", table.slope_of.astype(np.int64)[:, None])
    yield _Steps("reading", 3, "particle", _reading_steps(table))
    yield _Steps("sd", 2, "particle", _sd_steps(table))
    yield _Steps("tangent", 2, "", _clipped(table.tangent, TANGENT_STEPS))
    yield _Steps("own", 4, "slopes", _bits(table.own))
    yield _Steps("unknown", 1, "slopes", slopes.unknown.reshape(flat).astype(np.int64))
    yield _Steps("slope", 2, "slopes", _clipped(slopes.by.reshape(flat), SLOPE_STEPS))
    chances = [table.choice_probability[at] for at in sorted(table.choice_probability)]
    chance = np.concatenate([np.zeros((table.particles, 0)), *chances], axis=1)
    yield _Steps("chance", 4, "particle", _bits(chance))


def _reading_steps(table: FaultTable) -> Whole:
    reading = np.asarray(table.reading, dtype=np.float64)
    z = np.arcsinh(np.where(np.isfinite(reading), reading, 0.0) / _floors(table))
    steps = np.rint(z * READING_STEPS).astype(np.int64)
    steps = np.where(np.isnan(reading), NOT_MADE, steps)
    return np.asarray(np.where(np.isposinf(reading), OVER, steps))


def _sd_steps(table: FaultTable) -> Whole:
    """Above the least error of each check, from which its scale follows."""
    least = _floors(table) / FLOOR_ERRORS
    sd = np.where(np.isfinite(table.reading), np.maximum(table.reading_sd, least), least)
    return np.rint(np.log2(sd / least) * SD_STEPS).astype(np.int64)


def _like(table: FaultTable, like: str) -> IntArray | None:
    """The row that each row is told by."""
    good = np.flatnonzero(table.suspect_of == _good(table))
    if like == "slopes":
        return np.full(len(table.slopes), table.slope_of[good[0]])
    if not like:
        return None
    first = np.searchsorted(table.suspect_of, np.arange(len(table.suspects)))
    place = np.arange(table.particles) - first[table.suspect_of]
    return np.asarray(good[place % len(good)])


def _planes(told: _Steps, like: IntArray | None) -> bytes:
    """Column by column, less the row that each is told by; the lowest bytes of all first."""
    steps = told.steps
    if like is not None:
        itself = (like == np.arange(len(steps)))[:, None]
        steps = np.where(itself, steps, steps - steps[like])
    column = np.ascontiguousarray(steps.T)
    each = (((column >> (8 * byte)) & 0xFF).astype(np.uint8) for byte in range(told.width))
    return b"".join(plane.tobytes() for plane in each)


def _floors(table: FaultTable) -> FloatArray:
    return floors_of(table.reading, table.reading_sd)


def _good(table: FaultTable) -> int:
    """The suspect that all others are told by: nothing wrong, or the first."""
    return next((at for at, each in enumerate(table.suspects) if each.id == HEALTHY), 0)


def _clipped(array: npt.NDArray[Any], steps: float) -> Whole:
    whole = np.rint(array.astype(np.float64) * steps)
    return np.clip(whole, -MOST_STEPS, MOST_STEPS).astype(np.int64)


def _bits(array: npt.NDArray[Any]) -> Whole:
    return np.ascontiguousarray(array, dtype="<f4").view("<u4").astype(np.int64)


def _json_of(card: Mapping[str, Any]) -> dict[str, Any]:
    """A card without what is as usual, and with `null` for a meter that has no top."""
    return {
        key: None if value == float("inf") else value
        for key, value in card.items()
        if value not in ("", (), [])
    }
