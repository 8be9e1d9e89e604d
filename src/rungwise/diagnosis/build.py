"""Building a unit's fault table from its circuit: every check on every particle of every suspect.

All specimens are settled together, since the few that settle late cost as much as many do; the
checks are read in chunks, so that memory stays bounded and the time grows linearly with the
number of suspects.  Beside the particles each suspect is solved with one unknown after the other
moved, which gives the slopes; unknowns that no check sees together are moved together (Curtis,
Powell and Reid 1974), so that thirty unknowns cost about half as many solutions.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, TypeVar

import numpy as np
import numpy.typing as npt

from rungwise.circuit import INSULATION, OHMS, BoolArray
from rungwise.diagnosis.arrays import IntArray, RealArray
from rungwise.diagnosis.bench import Bench
from rungwise.diagnosis.beyond_a_flip import as_uncertain_as_alike, beyond_a_flip
from rungwise.diagnosis.check import Check
from rungwise.diagnosis.checks import checks_of
from rungwise.diagnosis.course import Course
from rungwise.diagnosis.fault_table import CheckCard, FaultTable, SuspectCard
from rungwise.diagnosis.readers import InsulationReader, LinkReader, OhmReader
from rungwise.diagnosis.slopes import (
    MOVE,
    WORSE,
    Group,
    Raw,
    compact,
    grouped,
    in_full,
    least_floors,
    most_alike,
    owners,
    slopes_of,
    tangents_of,
)
from rungwise.faults import HEALTHY, Layout, Suspect, SuspectSet
from rungwise.unit import Unit

T = TypeVar("T")

PARTICLES = 12

CHUNK = 4608
"""Specimens whose checks are read together."""

FORMAT = "29"
"""Raised when what a table holds changes, so that saved ones are built anew."""

SAMPLED = 0.5
"""Each particle stands this share of a drawn deviation off the middle; the rest of the variance,
1 - SAMPLED², is left to the slopes.  What flips (a coil that just pulls in) is seen by the
particles, what follows smoothly by the slopes."""

LEFT = 1.0 - SAMPLED**2
"""Share of each unknown's variance that is left to the slopes."""


@dataclass(frozen=True, slots=True)
class Anchor:
    """A middling specimen at which slopes are taken.

    severity: of its fault, 0 to 1. hot: whether what heat and pressure opened is found open.
    """

    severity: float = 0.5
    hot: bool = False


LISTED, UNLISTED, FIXED = "listed", "unlisted", "fixed"
ANCHORS: Mapping[str, tuple[Anchor, ...]] = {
    LISTED: (Anchor(0.2), Anchor(), Anchor(0.7), Anchor(0.9), Anchor(0.8, hot=True)),
    UNLISTED: (Anchor(),),
    FIXED: (Anchor(), Anchor(hot=True)),
}
"""Where slopes are taken by the sort of fault.  A joint that grows bad drops a little, then the
motor behind it stalls, then its overload is found open: each is a circuit of its own, in which
other unknowns move the readings.  An unlisted way is only sketched."""

KEPT_SHARE = {LISTED: 1.5, UNLISTED: 2.0 / 3.0, FIXED: 4.0 / 3.0}
"""Particles of a sort over the usual number.  A fault of one severity needs more: whether a switch
opens behind it, and is found open as one comes and once it is dead, makes eight sorts.  One that
may be mild or bad needs most: it passes from a little less volts to a motor that stalls and to an
open overload, and each of these states wants a few."""

Progress = Callable[[float], None]

ShareOut = Callable[[Callable[..., T], Sequence[tuple[Any, ...]]], Iterable[T]]
"""Works a function on several sets of arguments, in whatever processes it has; in their order."""


def build_table(
    unit: Unit,
    *,
    particles: int = PARTICLES,
    seed: int = 0,
    weights: Mapping[str, float] | None = None,
    progress: Progress | None = None,
    share_out: ShareOut[_Filled] | None = None,
) -> FaultTable:
    """The fault table of `unit`: `particles` for every suspect, all checks.

    `weights` overrides start weights by suspect id; `progress` is told the share done.
    `share_out` has the suspects worked in several processes; here one after another without it.
    """
    suspects, checks = SuspectSet(unit, weights), checks_of(unit)
    return table_of(suspects, checks, particles, seed, progress, share_out=share_out)


def table_digest(unit: Unit, particles: int = PARTICLES, seed: int = 0) -> str:
    """The digest that a table of this unit carries."""
    content = f"{FORMAT} {unit.digest} {particles} {seed}"
    return hashlib.sha256(content.encode()).hexdigest()[:16]


def table_of(
    suspects: SuspectSet,
    checks: Sequence[Check],
    particles: int,
    seed: int = 0,
    progress: Progress | None = None,
    chosen: Sequence[Suspect] | None = None,
    share_out: ShareOut[_Filled] | None = None,
) -> FaultTable:
    """The table of the `chosen` suspects (all by default) and of `checks`.

    `progress`, `share_out`: as in `build_table`; only all checks of a unit are shared out.
    """
    listed = tuple(suspects if chosen is None else chosen)
    design = _Design.of(suspects, checks, seed)
    if share_out is None:
        filled = _filled(suspects, checks, particles, design, listed, progress)
    else:
        filled = _shared_out(suspects, checks, particles, design, listed, share_out)
    slope = np.concatenate(filled.slopes)
    slopes, own = compact(slope, owners(design.groups, len(checks)), len(design.smooth))
    slopes, own = slopes.times(np.sqrt(LEFT)), LEFT * own
    return FaultTable(
        suspects=tuple(_card(suspects, suspect) for suspect in listed),
        checks=tuple(_topped(check) for check in checks),
        suspect_of=np.repeat(np.arange(len(listed)), _counts(listed, particles)),
        reading=filled.reading,
        reading_sd=as_uncertain_as_alike(
            filled.reading,
            filled.reading_sd,
            filled.beyond,
            slopes.variance() + own,
            filled.slope_of,
            least_floors(checks),
        ),
        choice_probability=filled.choices,
        digest=table_digest(suspects.unit, particles, seed),
        slope=slopes,
        slope_of=filled.slope_of,
        own=own,
        tangent=filled.tangent,
    )


SHARES = 2
"""Shares of a table that is worked in several processes: a phone in the yard has two cores at
least, and each share pays once more for what few specimens that settle late cost."""


def _shared_out(
    suspects: SuspectSet,
    checks: Sequence[Check],
    particles: int,
    design: _Design,
    listed: Sequence[Suspect],
    share_out: ShareOut[_Filled],
) -> _Filled:
    """What the shares come to, each of suspects spread over the whole list."""
    filled = _Filled.empty(_counts(listed, particles), checks)
    places = [np.arange(len(listed))[at::SHARES] for at in range(SHARES)]
    names = [[listed[at].id for at in each] for each in places]
    laid = suspects.unit, particles, design.seed, design.smooth, design.groups
    parts = share_out(_share, [(*laid, some) for some in names])
    for each, part in zip(places, parts, strict=True):
        filled.take_over(each, part)
    return filled


def _share(
    unit: Unit,
    particles: int,
    seed: int,
    smooth: IntArray,
    groups: list[Group],
    names: Sequence[str],
) -> _Filled:
    """One share of a table: that of some suspects, by id."""
    suspects = SuspectSet(unit)
    by_id = {each.id: each for each in suspects}
    design = _Design(suspects, smooth, groups, seed)
    return _filled(suspects, checks_of(unit), particles, design, [by_id[it] for it in names])


def _filled(
    suspects: SuspectSet,
    checks: Sequence[Check],
    particles: int,
    design: _Design,
    listed: Sequence[Suspect],
    progress: Progress | None = None,
) -> _Filled:
    """The readings of the suspects listed and how they follow the unknowns."""
    sorts = np.array([_sort(each) for each in listed])
    filled = _Filled.empty(_counts(listed, particles), checks)
    runs = _runs(sorts, particles, design)
    settled = _whole_bench(suspects, [([listed[at] for at in r.places], r.layout) for r in runs])
    dead = np.array([not check.card.live for check in checks])
    owner = owners(design.groups, len(checks))
    done = start = 0
    for run in runs:
        for some in _chunks(run.places, len(run.layout)):
            size = len(some) * len(run.layout)
            bench, start = settled.part(slice(start, start + size)), start + size
            raw = _readings(bench, [listed[at] for at in some], checks, run.layout)
            slope = slopes_of(raw, run.drawn, design.groups)
            laid = design.smooth_only(run.layout)
            alike = most_alike(raw, laid, run.kept, run.drawn, slope.shape[1])
            grows = run.drawn > run.kept
            tangent = tangents_of(raw, laid, alike, slope, owner, dead, worse=grows)
            beyond = beyond_a_flip(raw, run.kept, run.drawn, alike, slope.shape[1])
            filled.put(some, raw, run.kept, tangent, beyond)
            filled.follow(some, slope, alike)
            done += len(some)
            if progress is not None:
                progress(done / len(listed))
    return filled


def _counts(listed: Sequence[Suspect], particles: int) -> IntArray:
    """How many particles each suspect has."""
    return np.array([_kept(_sort(each), particles) for each in listed])


def _kept(sort: str, particles: int) -> int:
    """How many particles a suspect of a sort has."""
    return max(1, round(KEPT_SHARE[sort] * particles))


def _sort(suspect: Suspect) -> str:
    if not suspect.ranged:
        return FIXED
    return LISTED if suspect.known else UNLISTED


@dataclass(frozen=True, slots=True, eq=False)
class _Run:
    """Suspects of one sort, by their places in the list, and how each one's specimens lie.

    kept: how many of the specimens are particles of the table. drawn: how many come before those
    at which slopes are taken: the particles, and where it may be mild or bad each one a little
    worse.
    """

    places: IntArray
    layout: Layout
    kept: int
    drawn: int


def _runs(sorts: npt.NDArray[np.str_], particles: int, design: _Design) -> list[_Run]:
    """What is worked, sort after sort."""
    made = []
    for sort, anchors in ANCHORS.items():
        kept = _kept(sort, particles)
        places = np.flatnonzero(sorts == sort)
        layout, drawn = design.layout(kept, anchors, ranged=sort != FIXED)
        made.append(_Run(places, layout, kept, drawn))
    return made


@dataclass(frozen=True, slots=True, eq=False)
class _Design:
    """How the specimens of every suspect are laid out.

    smooth: int [D], the spreads that readings follow. groups: which of them (by their places in
    `smooth`) are moved together.
    """

    suspects: SuspectSet
    smooth: IntArray
    groups: list[Group]
    seed: int

    @classmethod
    def of(cls, suspects: SuspectSet, checks: Sequence[Check], seed: int) -> _Design:
        """From what moves the readings of the healthy unit."""
        groups = _groups(suspects, checks)
        smooth = np.array(sorted(at for group in groups for at in group.members), dtype=np.intp)
        return cls(suspects, smooth, [group.among(smooth) for group in groups], seed)

    def layout(self, kept: int, anchors: Sequence[Anchor], *, ranged: bool) -> tuple[Layout, int]:
        """The particles, then for each anchor the middling specimen and every group moved.

        And how many come before the anchors: of a fault that is `ranged` each particle once more,
        a little worse.
        """
        spreads = len(self.suspects.spreads)
        drawn = Layout.drawn(kept, spreads, self.seed)
        share = np.ones(spreads)
        share[self.smooth] = SAMPLED  # what the slopes integrate is sampled nearer the middle
        layout = replace(drawn, z=drawn.z * share)
        if ranged:
            layout += layout.worse(WORSE / kept)
        count = len(layout)
        members = [self.smooth[group.members].tolist() for group in self.groups]
        for each in anchors:
            layout += Layout.moved(members, spreads, MOVE, each.severity, hot=each.hot)
        return layout, count

    def smooth_only(self, layout: Layout) -> Layout:
        """The same specimens, told by the smooth spreads alone."""
        return replace(layout, z=layout.z[:, self.smooth])


class _Filled:
    """The arrays of a table while suspects are worked, in the order of the suspects."""

    def __init__(self, count: IntArray, raw: Raw) -> None:
        self.first = np.append(0, np.cumsum(count))
        self.reading = raw.reading.astype(np.float32)
        self.reading_sd = raw.reading_sd.astype(np.float32)
        self.choices = {at: chance.astype(np.float32) for at, chance in raw.choices.items()}
        self.tangent: RealArray = np.zeros(self.reading.shape, dtype=np.float32)
        self.beyond: BoolArray = np.zeros(self.reading.shape, dtype=bool)
        self.slope_of = np.zeros(len(self.reading), dtype=np.intp)
        self.slopes: list[RealArray] = []

    @classmethod
    def empty(cls, count: IntArray, checks: Sequence[Check]) -> _Filled:
        """Room for `count` particles of each suspect."""
        return cls(count, Raw.empty(1, int(count.sum()), checks))

    def rows(self, places: IntArray) -> IntArray:
        """The rows of some suspects' particles."""
        spans = [np.arange(self.first[at], self.first[at + 1]) for at in places]
        return np.concatenate(spans)

    def put(
        self, places: IntArray, raw: Raw, kept: int, tangent: RealArray, beyond: BoolArray
    ) -> None:
        """Take over the first `kept` specimens of each of these suspects."""
        rows, here = self.rows(places), raw.first(kept)
        self.reading[rows], self.reading_sd[rows] = raw.reading[here], raw.reading_sd[here]
        for at, chance in raw.choices.items():
            self.choices[at][rows] = chance[here]
        self.tangent[rows], self.beyond[rows] = tangent, beyond

    def take_over(self, places: IntArray, part: _Filled) -> None:
        """Take over what was worked of some suspects apart, all of them, in their order."""
        rows, before = self.rows(places), sum(map(len, self.slopes))
        self.reading[rows], self.reading_sd[rows] = part.reading, part.reading_sd
        for at, chance in part.choices.items():
            self.choices[at][rows] = chance
        self.tangent[rows], self.beyond[rows] = part.tangent, part.beyond
        self.slope_of[rows] = before + part.slope_of
        self.slopes += part.slopes

    def follow(self, places: IntArray, slope: RealArray, alike: IntArray) -> None:
        """Lay each particle to the slopes of the anchor that reads most like it.

        slope: float [suspects, anchors, groups, M]. alike: int [suspects, K]. Slopes that no
        particle follows are let go.
        """
        before = sum(map(len, self.slopes))
        own = np.arange(len(places))[:, None] * slope.shape[1] + alike
        used, place = np.unique(own.ravel(), return_inverse=True)
        self.slope_of[self.rows(places)] = before + place
        self.slopes.append(slope.reshape(-1, *slope.shape[2:])[used])


def bench_of(
    suspects: SuspectSet, chosen: Sequence[Suspect], particles: int, seed: int = 0
) -> Bench:
    """The bench of some suspects' particles as they come."""
    return _bench(suspects, chosen, Layout.drawn(particles, len(suspects.spreads), seed))


def _bench(suspects: SuspectSet, chosen: Sequence[Suspect], layout: Layout) -> Bench:
    return _whole_bench(suspects, [(chosen, layout)])


def _whole_bench(suspects: SuspectSet, runs: Sequence[tuple[Sequence[Suspect], Layout]]) -> Bench:
    """The bench of the specimens of several layouts, each of suspects of its own."""
    sizes = [len(chosen) * len(layout) for chosen, layout in runs]
    each = [suspects.specimens(chosen, layout) for chosen, layout in runs]
    hot, dead = np.concatenate([np.tile(layout.hot, (len(some), 1)) for some, layout in runs]).T
    values = {
        key: np.concatenate(
            [
                values.get(key, np.full(size, float(suspects.plan.defaults[key])))
                for values, size in zip(each, sizes, strict=True)
            ]
        )
        for key in dict.fromkeys(key for values in each for key in values)
    }
    beside = np.concatenate(
        [
            (np.arange(len(some))[:, None] * len(layout) + layout.beside).ravel()
            for some, layout in runs
        ]
    )
    beside += np.repeat(np.cumsum([0, *sizes[:-1]]), sizes)
    course = Course(suspects.plan, values, sum(sizes), hot, beside)
    return Bench(suspects.plan, values, sum(sizes), hot, dead, course)


def _groups(suspects: SuspectSet, checks: Sequence[Check]) -> list[Group]:
    """Unknowns that may be moved together, from what each moves on the healthy unit.

    What moves nothing there (an overload's trip, the pull of a coil) only makes a unit flip, and
    is left to the particles; so are the milliohms of wires, which a reading hardly shows.
    """
    parts = suspects.unit.part_by_name
    alone = [
        Group.alone(at, len(checks))
        for at, spread in enumerate(suspects.spreads)
        if spread.learned or spread.block in parts
    ]
    healthy = [each for each in suspects if each.id == HEALTHY]
    if not healthy or not alone:
        return alone
    members = [group.members for group in alone]
    moved = Layout.moved(members, len(suspects.spreads), MOVE, Anchor().severity, hot=False)
    raw = _readings(_bench(suspects, healthy, moved), healthy, checks, moved)
    slope = slopes_of(raw, 0, alone)[0, 0]
    groups = grouped(in_full(slope, owners(alone, len(checks)), len(suspects.spreads)))
    moving = {at for group in groups for at in group.members}
    # What is to be learned and shows under a fault only: a house's other loads at a lost leg.
    hidden = [group for group in alone if suspects.spreads[group.members[0]].learned]
    return [*groups, *(group for group in hidden if group.members[0] not in moving)]


def _readings(
    bench: Bench, some: Sequence[Suspect], checks: Sequence[Check], layout: Layout
) -> Raw:
    """Every check on every specimen of the layout, suspect after suspect, which the bench holds."""
    raw = Raw.empty(len(some), len(layout), checks)
    bench.expect(each for check in checks if check.reader for each in check.reader.leads)
    for at, check in enumerate(checks):
        if check.look is not None:
            raw.choices[at][:] = check.look(bench, some)
        elif check.reader is not None:
            raw.reading[:, at], raw.reading_sd[:, at] = check.reader(bench)
    return raw


def _topped(check: Check) -> CheckCard:
    """The card with the end of its meter's range."""
    if isinstance(check.reader, OhmReader | LinkReader):
        return replace(check.card, top=OHMS.top)
    if isinstance(check.reader, InsulationReader):
        return replace(check.card, top=INSULATION.top)
    return check.card


def _chunks(places: IntArray, rows: int) -> Iterator[IntArray]:
    """Suspects, so many at a time that about `CHUNK` specimens are read together."""
    length = max(1, CHUNK // rows)
    for at in range(0, len(places), length):
        yield places[at : at + length]


def _card(suspects: SuspectSet, suspect: Suspect) -> SuspectCard:
    block = suspects.plan.blocks.get(suspect.block)
    part = suspects.unit.part_by_name.get(suspect.block)
    return SuspectCard(
        id=suspect.id,
        title=suspect.title,
        part=suspect.block,
        mode=suspect.mode,
        repair=suspect.repair,
        repair_text=suspect.repair_text,
        signal=suspect.signal,
        weight=suspect.weight,
        cause_of=suspect.cause_of or None,
        behind=suspect.behind,
        repair_minutes=suspect.repair_minutes,
        known=suspect.known,
        shown_by=tuple(sorted(suspect.shown_by)),
        is_effect=suspect.is_effect,
        wrong_minutes=suspect.wrong_minutes,
        kind=block.kind.name if block else "",
        place=part.place if part else "",
    )
