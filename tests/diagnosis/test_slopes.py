"""Slopes of readings by what nobody told: the same alone and in groups, and as sampling has it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from rungwise.diagnosis import build
from rungwise.diagnosis.check import Check
from rungwise.diagnosis.checks import checks_of
from rungwise.diagnosis.slope_table import SlopeTable
from rungwise.diagnosis.slopes import (
    EVERY_SECOND,
    KERNEL,
    MOVE,
    SEEN,
    WORSE,
    Group,
    Raw,
    compact,
    grouped,
    in_full,
    most_alike,
    owners,
    slopes_of,
    tangents_of,
)
from rungwise.faults import SuspectSet
from rungwise.faults.spreads import Layout
from rungwise.faults.suspect_set import HEALTHY
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement

SPECIMENS = 600

NO_OWNER = np.empty((0, 1), dtype=np.intp)
"""Of one check where no unknown is moved."""


@cache
def suspects_of(name: str) -> SuspectSet:
    return SuspectSet(arrangement(name))


@cache
def numbers_of(name: str) -> tuple[Check, ...]:
    return tuple(check for check in checks_of(arrangement(name)) if check.reader is not None)


def slopes(name: str, suspect: str, groups: list[Group]) -> np.ndarray:
    """Of one suspect at the lower of the two severities, float [M, D]."""
    suspects = suspects_of(name)
    members = [group.members for group in groups]
    layout = Layout.moved(members, len(suspects.spreads), MOVE, 0.5, hot=False)
    chosen = [suspects.suspect(suspect)]
    raw = build._readings(build._bench(suspects, chosen, layout), chosen, numbers_of(name), layout)
    owner = owners(groups, len(numbers_of(name)))
    return np.asarray(in_full(slopes_of(raw, 0, groups)[0, 0], owner, len(suspects.learned)))


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_unknowns_moved_together_have_the_slopes_that_each_has_alone(name: str) -> None:
    """Curtis, Powell and Reid 1974: columns without a row in common need one difference."""
    checks = len(numbers_of(name))
    alone = [Group.alone(at, checks) for at in range(len(suspects_of(name).learned))]
    each = slopes(name, HEALTHY, alone)
    groups = grouped(each)
    # What moves no reading of a good unit (a house's other loads, with both legs there) is in none.
    moving = np.flatnonzero((np.abs(each) >= SEEN).any(axis=0))
    assert sorted(at for group in groups for at in group.members) == moving.tolist()
    assert len(groups) < len(moving) / 2
    together = slopes(name, HEALTHY, groups)
    np.testing.assert_allclose(together, each, atol=0.02)


def test_what_is_found_hot_hides_no_severity_from_its_neighbors() -> None:
    """Cold ones read lower the worse it is, hot ones the same whatever it is; both by turns."""
    layout = Layout.drawn(8, 1, 0)
    order = np.argsort(layout.rank)
    hot = layout.hot[:, 0] > 0
    raw = Raw.empty(1, 8, (numbers_of("two_pole_plain")[0],))
    z = np.where(hot, 5.0, 4.0 - 0.1 * np.argsort(order))
    raw.reading[:, 0] = np.sinh(z) * raw.floor[0]
    bare, live = replace(layout, z=layout.z[:, :0]), np.array([False])
    for alike in (np.zeros((1, 8), dtype=np.intp), hot[None].astype(np.intp)):
        slope = np.zeros((1, 1 + alike.max(), 0, 1))
        found = tangents_of(raw, bare, alike, slope, NO_OWNER, live, worse=False)
        # Every second one is alike, so that the next of its sort is two steps away.
        np.testing.assert_allclose(found[~hot, 0], -0.2 * KERNEL, rtol=1e-5)
        np.testing.assert_allclose(found[hot, 0], 0.0, atol=1e-6)


def test_what_was_found_hot_is_no_bar_between_two_in_one_state() -> None:
    """The worst two of a bad joint stall the motor, one found hot and one not: a step apart."""
    layout = Layout.drawn(8, 1, 0)
    order = np.argsort(layout.rank)
    raw = Raw.empty(1, 8, (numbers_of("two_pole_plain")[0],))
    z = np.full(8, 5.0)
    z[order[-2:]] = 2.0, 1.7
    raw.reading[:, 0] = np.sinh(z) * raw.floor[0]
    alike = (z < 5.0)[None].astype(np.intp)
    bare = replace(layout, z=layout.z[:, :0])
    slope, live = np.zeros((1, 2, 0, 1)), np.array([False])
    found = tangents_of(raw, bare, alike, slope, NO_OWNER, live, worse=False)
    np.testing.assert_allclose(found[order[-2:], 0], -0.3 * KERNEL, rtol=1e-5)
    np.testing.assert_allclose(found[order[:-2], 0], 0.0, atol=1e-6)


def test_a_particle_follows_the_anchor_in_its_own_state() -> None:
    """Two anchors, running and stalled: each particle goes to the one it reads like."""
    layout = Layout.drawn(4, 1, 0) + Layout.moved([], 1, MOVE, 0.1, hot=False)
    layout += Layout.moved([], 1, MOVE, 0.3, hot=False)
    raw = Raw.empty(1, 6, (numbers_of("two_pole_plain")[0],))
    raw.reading[:, 0] = np.array([240.0, 40.0, 42.0, 238.0, 239.0, 41.0])
    np.testing.assert_array_equal(most_alike(raw, layout, 4, 4, 2), [[0, 1, 1, 0]])


def test_no_check_follows_two_unknowns_of_a_group() -> None:
    rng = np.random.default_rng(2)
    slope = rng.normal(size=(40, 25)) * (rng.random((40, 25)) < 0.08)
    for group in grouped(slope):
        assert ((np.abs(slope[:, group.members]) > 0.0).sum(axis=1) <= 1).all()
        moved = np.abs(slope[:, group.members]).max(axis=1) > 0.0
        owner = np.abs(slope[np.arange(40), group.owner])
        np.testing.assert_allclose(owner[moved], np.abs(slope[:, group.members]).max(axis=1)[moved])


def test_slopes_by_group_are_kept_as_those_in_full_are() -> None:
    """Unknowns that two checks follow, in the same lists; what one check alone sees as variance."""
    rng = np.random.default_rng(6)
    unknowns = 17
    owner = np.array([rng.permutation(unknowns)[:5] for _ in range(9)]).T
    slope = (rng.normal(size=(4, 5, 9)) * (rng.random((4, 5, 9)) < 0.3)).astype(np.float32)
    full = in_full(slope, owner, unknowns)
    seen = (np.abs(full) >= SEEN).any(axis=0).sum(axis=0)
    assert 0 < (seen >= 2).sum() < unknowns
    wanted = SlopeTable.of(full[:, :, seen >= 2])
    found, own = compact(slope, owner, unknowns)
    np.testing.assert_array_equal(found.unknown, wanted.unknown)
    np.testing.assert_array_equal(found.by, wanted.by)
    np.testing.assert_allclose(own, (full[:, :, seen < 2] ** 2).sum(axis=2), rtol=1e-6)


def test_where_a_worse_one_flips_its_neighbors_tell() -> None:
    """Eight severities, read 0.1 higher each; the fourth falls far once it is a little worse."""
    drawn = Layout.drawn(8, 1, 0)
    layout = drawn + drawn.worse(WORSE / 8)
    raw = Raw.empty(1, 16, (numbers_of("two_pole_plain")[0],))
    order = np.argsort(drawn.rank)
    z = np.empty(8)
    z[order] = 4.0 + 0.1 * np.arange(8)
    worse = z + 0.1 * WORSE
    worse[order[3]] = 1.0
    raw.reading[:, 0] = np.sinh(np.append(z, worse)) * raw.floor[0]
    bare, alike = replace(layout, z=layout.z[:, :0]), np.zeros((1, 8), dtype=np.intp)
    slope, dead = np.zeros((1, 1, 0, 1)), np.array([False])
    found = tangents_of(raw, bare, alike, slope, NO_OWNER, dead, worse=True)[order, 0]
    np.testing.assert_allclose(np.delete(found, 3), 0.1 * KERNEL * EVERY_SECOND, rtol=1e-5)
    alone = tangents_of(raw, bare, alike, slope, NO_OWNER, dead, worse=False)[order, 0]
    assert found[3] == alone[3] != 0.0


@pytest.mark.parametrize("name", ["one_pole_heater", "hard_start_delay"])
def test_slopes_give_the_spread_that_sampling_gives(name: str) -> None:
    """Root of the summed squares of slopes against the deviation of 600 drawn good specimens.

    Where a unit flips (an overload that trips on the heaviest load) sampling is wider, so the
    middle nine tenths are compared. Within 20%, or 0.02 on the scale, for 19 checks in 20.
    """
    suspects, checks = suspects_of(name), numbers_of(name)
    alone = [Group.alone(at, len(checks)) for at in range(len(suspects.learned))]
    by_slopes = np.sqrt((slopes(name, HEALTHY, alone) ** 2).sum(axis=1))
    drawn = Layout.drawn(SPECIMENS, len(suspects.spreads), 3)
    learned = np.array([each.learned for each in suspects.spreads])
    drawn = replace(drawn, z=drawn.z * learned)
    good = [suspects.suspect(HEALTHY)]
    raw = build._readings(build._bench(suspects, good, drawn), good, checks, drawn)
    z = np.arcsinh(raw.reading / raw.floor)
    finite = np.isfinite(z).all(axis=0)
    low, high = np.quantile(z[:, finite], [0.05, 0.95], axis=0)
    sampled = (high - low) / 3.2897  # of a normal: 1.645 deviations either way
    off = np.abs(sampled - by_slopes[finite])
    fine = off <= np.maximum(0.2 * sampled, 0.02)
    assert fine.mean() >= 0.95, np.flatnonzero(finite)[~fine]


def test_a_specimen_settled_beside_another_reads_as_one_from_rest() -> None:
    """As long as nothing flips: a good unit, every unknown moved, to a thousandth of the scale."""
    name = "hard_start_delay"
    suspects, checks = suspects_of(name), numbers_of(name)
    alone = [[at] for at in range(len(suspects.learned))]
    beside = Layout.moved(alone, len(suspects.spreads), MOVE, 0.5, hot=False)
    rest = replace(beside, beside=np.arange(len(beside)))
    good = [suspects.suspect(HEALTHY)]
    one, other = (
        build._readings(build._bench(suspects, good, each), good, checks, each)
        for each in (beside, rest)
    )
    floor = np.broadcast_to(other.floor, other.reading.shape)
    finite = np.isfinite(other.reading)
    np.testing.assert_array_equal(np.isfinite(one.reading), finite)
    z = [np.arcsinh(raw.reading[finite] / floor[finite]) for raw in (one, other)]
    np.testing.assert_allclose(z[0], z[1], atol=1e-3)
