"""How each reading follows each unknown, from specimens in which it was moved."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from rungwise.circuit import BoolArray
from rungwise.diagnosis.arrays import FloatArray, IntArray, RealArray
from rungwise.diagnosis.check import Check
from rungwise.diagnosis.scale import FLOOR_ERRORS, OVER_RANGE_STEP
from rungwise.diagnosis.slope_table import SlopeTable
from rungwise.faults import Layout

MOVE = 0.6
"""Standard deviations by which an unknown is moved."""

REACH = 1.2
"""Readings of neighboring severities further apart than this on the scale are two sorts."""

FURTHEST = 4
"""Severities after which what is found hot comes again, whatever was between."""

KERNEL = 0.6
"""Standard deviation of a particle along its severity, over the step to the next one."""

WORSE = 0.4
"""Steps of severity by which a particle is made worse to see which way its readings go."""

EVERY_SECOND = 1.5
"""Steps to the next particle alike: every second one was found hot, which makes some readings."""

AWAY = 0.5
"""What the whole range of severity counts against an anchor, on the scale of one reading."""

FLIP = 0.8
"""A reading that changes by more than this on the scale, per move, has flipped and has no slope."""

SEEN = 0.012
"""A check sees an unknown that moves it by this on the scale, per standard deviation."""


@dataclass(frozen=True, eq=False)
class Raw:
    """What every check reads on the specimens of a layout, suspect after suspect.

    reading, reading_sd: float [S * R, M]. choices: float [S * R, choices] by column. suspects: S.
    floor: float [M], y0 of each check's scale.
    """

    reading: FloatArray
    reading_sd: FloatArray
    choices: dict[int, FloatArray]
    suspects: int
    floor: FloatArray

    @classmethod
    def empty(cls, suspects: int, rows: int, checks: Sequence[Check]) -> Raw:
        """Nothing read yet."""
        size = suspects * rows
        choices = {
            at: np.zeros((size, len(check.card.choices)))
            for at, check in enumerate(checks)
            if check.look is not None
        }
        shape = (size, len(checks))
        return cls(np.full(shape, np.nan), np.ones(shape), choices, suspects, least_floors(checks))

    @cached_property
    def z(self) -> FloatArray:
        """The readings on the scale, float [S, R, M]; once all are filled in."""
        with np.errstate(invalid="ignore"):
            z = np.arcsinh(self.reading / self.floor)
        over = np.isposinf(self.reading)
        top = np.where(over, -np.inf, z).max(axis=0, initial=0.0)
        # OL gets a place on the scale, or differences with it would be infinite or nothing at all;
        # far enough above all numbers that going there counts as a flip.
        placed = np.where(over, top + OVER_RANGE_STEP, z)
        return placed.reshape(self.suspects, -1, self.reading.shape[1])

    def first(self, count: int) -> IntArray:
        """Rows of the first `count` specimens of each suspect."""
        rows = len(self.reading) // self.suspects
        return (np.arange(self.suspects)[:, None] * rows + np.arange(count)).ravel()


def least_floors(checks: Sequence[Check]) -> FloatArray:
    """y0 of each check, float [M].

    Of the meters and not of the readings at hand: whoever is worked beside a suspect has no part
    in how its readings follow the unknowns.
    """
    least = [1.0 if each.reader is None else each.reader.least_sd for each in checks]
    return np.asarray(FLOOR_ERRORS * np.array(least))


@dataclass(frozen=True, slots=True, eq=False)
class Group:
    """Unknowns that are moved together.

    members: their numbers. owner: int [M], the one of them that moves each check.
    """

    members: list[int]
    owner: IntArray

    @classmethod
    def alone(cls, unknown: int, checks: int) -> Group:
        """One unknown by itself."""
        return cls([unknown], np.full(checks, unknown))

    def among(self, some: IntArray) -> Group:
        """The same group, its unknowns told by their places in `some` (rising)."""
        members = np.searchsorted(some, self.members).tolist()
        return Group(members, np.searchsorted(some, self.owner))


def grouped(slope: RealArray) -> list[Group]:
    """Unknowns put together where no check follows two of them; from slopes [M, D].

    First fit, those that move most checks first; one that moves none is in no group.
    """
    seen = np.abs(slope) >= SEEN
    groups: list[tuple[list[int], npt.NDArray[np.bool_]]] = []
    rising = np.argsort(-seen.sum(axis=0), kind="stable")
    for unknown in rising[seen[:, rising].any(axis=0)].tolist():
        fits = (g for g in groups if not (g[1] & seen[:, unknown]).any())
        group = next(fits, None)
        if group is None:
            groups.append(([unknown], seen[:, unknown].copy()))
        else:
            group[0].append(unknown)
            np.logical_or(group[1], seen[:, unknown], out=group[1])
    return [_owned(members, slope) for members, _ in groups]


def _owned(members: list[int], slope: RealArray) -> Group:
    """A check that no member moves on a good unit falls to the one that moves most elsewhere."""
    size = np.abs(slope[:, members])
    usual = int(np.argmax(size.sum(axis=0)))
    owner = np.where(size.max(axis=1) > 0.0, size.argmax(axis=1), usual)
    return Group(members, np.asarray(members)[owner])


def owners(groups: Sequence[Group], checks: int) -> IntArray:
    """The unknown of each group that moves each check, int [groups, M]."""
    return np.array([group.owner for group in groups], dtype=np.intp).reshape(-1, checks)


def slopes_of(raw: Raw, particles: int, groups: Sequence[Group]) -> RealArray:
    """Change of each reading on the scale by one standard deviation of what each group moves.

    float [S, severities, groups, M], from the specimens behind the first `particles` of each
    suspect: for each severity one unmoved, then one for each group.  A reading follows that unknown
    of a group which owns its check (`owners`), and no other of it.
    """
    checks, each = raw.reading.shape[1], 1 + len(groups)
    z = raw.z[:, particles:].reshape(raw.suspects, -1, each, checks)
    moved = z[:, :, 1:] - z[:, :, :1]
    size = np.abs(moved)
    # A flip (a coil that no longer pulls in) is no slope: carried on in a line it would foretell
    # readings that no unit gives. Particles on both sides of it tell of it. NaN too: a check that
    # cannot be made.
    # A group's unknowns are moved at once. What moves a check by less than what counts as seen may
    # come from another of them than the owner, and would be laid to the wrong one.
    moved[~((size <= FLIP) & (size >= SEEN * MOVE))] = 0.0
    # A slope from one finite step is not good to more digits.
    return np.asarray(moved / MOVE, dtype=np.float32)


def in_full(slope: RealArray, owner: IntArray, unknowns: int) -> RealArray:
    """Slopes [..., groups, M] by all unknowns, float [..., M, unknowns]."""
    full = np.zeros((*slope.shape[:-2], slope.shape[-1], unknowns), dtype=slope.dtype)
    for at, own in enumerate(owner):
        full[..., np.arange(len(own)), own] = slope[..., at, :]
    return full


def most_alike(raw: Raw, layout: Layout, particles: int, drawn: int, anchors: int) -> IntArray:
    """Which anchor reads most like each particle, int [S, particles].

    The anchors are the unmoved specimens behind the first `drawn` of each suspect. A reading counts
    by how far the two are apart, up to a flip: on the far side of a stall other unknowns move the
    readings. Of anchors that read alike it is the one of the nearest severity.
    """
    z, known = raw.z, np.isfinite(raw.z)
    unmoved = slice(drawn, None, (z.shape[1] - drawn) // anchors)
    apart = np.abs(z[:, :particles, None] - z[:, None, unmoved])
    apart[known[:, :particles, None] != known[:, None, unmoved]] = REACH
    unlike = np.fmin(np.nan_to_num(apart), REACH).sum(axis=3)
    away = np.abs(layout.rank[:particles, None] - layout.rank[unmoved])
    return np.asarray((unlike + AWAY * away).argmin(axis=2))


def tangents_of(
    raw: Raw,
    layout: Layout,
    alike: IntArray,
    slope: RealArray,
    owner: IntArray,
    dead: BoolArray,
    *,
    worse: bool,
) -> RealArray:
    """How far each particle reaches along its suspect's severity, on the scale; float [S * K, M].

    worse: whether the specimens behind the particles are the same a little worse: by how they
    read, since a drop grows with its ohms, and who looks back at the milder ones reaches but half
    as far as to the next worse.  Where that flips a reading, half the way to the particles of the
    next severities, signed, once what their unknowns do is taken out by `slope` (float
    [S, anchors, groups, M], of the unknowns `owner`; `alike`: int [S, K], which anchor each
    particle follows; dead: bool [M], checks of the unit made dead).  Where a reading flips between
    two severities nothing reaches across.
    """
    checks, particles, z = raw.reading.shape[1], alike.shape[1], raw.z
    found = np.zeros((raw.suspects, particles, checks), dtype=np.float32)
    rough: BoolArray = np.ones(found.shape, dtype=bool)
    if worse:
        with np.errstate(invalid="ignore"):
            grown = z[:, particles : 2 * particles] - z[:, :particles]
        rough = ~(np.abs(grown) <= FLIP * WORSE)
        found[:] = KERNEL * EVERY_SECOND / WORSE * np.where(rough, 0.0, grown)
    suspect, check = np.nonzero(rough.any(axis=1))
    state = _states(alike[suspect], layout, slope.shape[1], dead[check])
    level = _without_unknowns(raw, layout, alike, slope, owner, (suspect, check))
    reach = _to_neighbors(level, layout, state)
    here = rough[suspect, :, check]
    found[suspect, :, check] = np.where(here, reach.T, found[suspect, :, check])
    return found.reshape(-1, checks)


def _without_unknowns(
    raw: Raw,
    layout: Layout,
    alike: IntArray,
    slope: RealArray,
    owner: IntArray,
    cells: tuple[IntArray, IntArray],
) -> FloatArray:
    """Readings of some (suspect, check) on the scale, float [K, cells], unknowns taken out."""
    suspect, check = cells
    level = np.empty((alike.shape[1], len(suspect)))
    for particle, z in enumerate(layout.z[: len(level)].astype(slope.dtype)):
        own = slope[suspect, alike[suspect, particle], :, check]
        level[particle] = raw.z[suspect, particle, check]
        level[particle] -= np.einsum("cg,cg->c", own, z[owner.T[check]])
    return level


def _states(
    alike: IntArray, layout: Layout, anchors: int, dead: BoolArray
) -> tuple[npt.NDArray[np.bool_], IntArray]:
    """What was found hot, bool [K, cells], and the state of each particle, int [K, cells]."""
    count = alike.shape[1]
    hot = layout.hot[:count] > 0
    # By one anchor alone no two states are told apart: then what was hot decides.
    own = alike.T if anchors > 1 else np.broadcast_to(np.arange(count)[:, None], alike.T.shape)
    return np.where(dead, hot[:, 1:], hot[:, :1]), own


def _to_neighbors(
    z: FloatArray, layout: Layout, state: tuple[npt.NDArray[np.bool_], IntArray]
) -> FloatArray:
    """Half the way to the particles of the next severities, on the scale; float [K, cells]."""
    order = np.argsort(layout.rank[: len(z)])
    rising, hot, own = z[order], state[0][order], state[1][order]
    above = _to_next(rising, hot, own)
    below = -_to_next(rising[::-1], hot[::-1], own[::-1])[::-1]
    number = np.isfinite(above).astype(np.float64) + np.isfinite(below)
    reach = np.empty(z.shape)
    reach[order] = KERNEL * (np.nan_to_num(above) + np.nan_to_num(below))
    reach[order] /= np.maximum(number, 1.0)
    return reach


def _to_next(z: FloatArray, hot: BoolArray, state: IntArray) -> FloatArray:
    """From each particle to the next above, float [K, cells]; NaN where nothing reaches there.

    Neighbors differ in what is found hot (bool [K, cells]).  Where that makes the reading, the next
    one does not lie on the way, and it is the next one that is found alike.  Two in the same state
    (int [K, cells]) are alike, whatever was hot.
    """
    found, like = np.full(z.shape, np.nan), np.full(z.shape, np.nan)
    for away in range(min(FURTHEST, len(z) - 1), 0, -1):
        here = slice(None, -away)
        same = (hot[away:] == hot[here]) | (state[away:] == state[here])
        np.subtract(z[away:], z[here], out=like[here], where=same)
    gap = z[1:] - z[:-1]
    with np.errstate(invalid="ignore"):
        on_the_way = (gap * like[:-1] >= 0.0) & (np.abs(gap) <= np.abs(like[:-1]))
        found[:-1] = np.where(on_the_way, gap, like[:-1])
        found[np.abs(found) > REACH] = np.nan
    return found


def compact(slope: RealArray, owner: IntArray, unknowns: int) -> tuple[SlopeTable, RealArray]:
    """Slopes of the unknowns that two checks share, and the variance that the others leave.

    slope: float [Q, groups, M], of the unknowns `owner`. Gives float [Q, M] beside the slopes.
    """
    seen = np.zeros(unknowns, dtype=np.intp)
    np.add.at(seen, owner, (np.abs(slope) >= SEEN).any(axis=0))
    shared = seen >= 2  # an unknown that one check sees correlates nothing
    alone = np.where(shared[owner], np.float32(0.0), slope)
    own = (alone**2).sum(axis=1)
    place = np.cumsum(shared) - 1
    return SlopeTable.owned(slope, np.where(shared[owner], place[owner], -1), shared.sum()), own
