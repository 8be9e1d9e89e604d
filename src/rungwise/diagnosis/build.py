"""Building a unit's fault table from its circuit: every check on every particle of every suspect.

The suspects are worked in chunks, so that memory stays bounded and the time grows linearly with
their number.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping, Sequence

import numpy as np

from rungwise.diagnosis.bench import Bench
from rungwise.diagnosis.check import Check
from rungwise.diagnosis.checks import checks_of
from rungwise.diagnosis.fault_table import FaultTable, SuspectCard
from rungwise.suspects import Suspect, SuspectSet
from rungwise.unit.element import FloatArray
from rungwise.unit.unit import Unit

PARTICLES = 48
CHUNK = 1536
FORMAT = "5"
"""Raised when what a table holds changes, so that saved ones are built anew."""

Progress = Callable[[float], None]


def build_table(
    unit: Unit,
    *,
    particles: int = PARTICLES,
    seed: int = 0,
    weights: Mapping[str, float] | None = None,
    progress: Progress | None = None,
) -> FaultTable:
    """The fault table of ``unit``: ``particles`` for every suspect, all checks.

    ``weights`` overrides start weights by suspect id; ``progress`` is told the share done.
    """
    return table_of(SuspectSet(unit, weights), checks_of(unit), particles, seed, progress)


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
) -> FaultTable:
    """The table of the ``chosen`` suspects (all by default) and of ``checks``."""
    listed = tuple(suspects if chosen is None else chosen)
    size = len(listed) * particles
    reading = np.full((size, len(checks)), np.nan)
    reading_sd = np.ones((size, len(checks)))
    choices = {
        at: np.zeros((size, len(check.card.choices)))
        for at, check in enumerate(checks)
        if check.look is not None
    }
    for at, chunk in _chunks(listed, max(1, CHUNK // particles)):
        bench = bench_of(suspects, chunk, particles, seed)
        rows = slice(at * particles, (at + len(chunk)) * particles)
        _fill(bench, chunk, checks, rows, reading, reading_sd, choices)
        if progress is not None:
            progress((at + len(chunk)) / len(listed))
    return FaultTable(
        suspects=tuple(_card(suspects, suspect) for suspect in listed),
        checks=tuple(check.card for check in checks),
        suspect_of=np.repeat(np.arange(len(listed)), particles),
        reading=reading,
        reading_sd=reading_sd,
        choice_probability=choices,
        digest=table_digest(suspects.unit, particles, seed),
    )


def bench_of(
    suspects: SuspectSet, chosen: Sequence[Suspect], particles: int, seed: int = 0
) -> Bench:
    """The bench of some suspects' particles; every other particle is measured while still hot."""
    values = suspects.particles(chosen, particles, seed)
    hot = np.tile((np.arange(particles) % 2) * 1.0, len(chosen))
    return Bench(suspects.plan, values, len(chosen) * particles, hot)


def _chunks(listed: tuple[Suspect, ...], length: int) -> Iterator[tuple[int, tuple[Suspect, ...]]]:
    for at in range(0, len(listed), length):
        yield at, listed[at : at + length]


def _fill(
    bench: Bench,
    chunk: Sequence[Suspect],
    checks: Sequence[Check],
    rows: slice,
    reading: FloatArray,
    reading_sd: FloatArray,
    choices: Mapping[int, FloatArray],
) -> None:
    for at, check in enumerate(checks):
        if check.look is not None:
            choices[at][rows] = check.look(bench, chunk)
        elif check.reader is not None:
            reading[rows, at], reading_sd[rows, at] = check.reader(bench)


def _card(suspects: SuspectSet, suspect: Suspect) -> SuspectCard:
    block = suspects.plan.blocks.get(suspect.block)
    return SuspectCard(
        id=suspect.id,
        title=suspect.title,
        part=suspect.block,
        mode=suspect.mode,
        repair=suspect.repair,
        repair_text=suspect.repair_text,
        weight=suspect.weight,
        cause_text=suspect.title,
        effect_text=suspect.effect,
        behind=suspect.behind,
        repair_minutes=suspect.repair_minutes,
        known=suspect.known,
        shown_by=tuple(sorted(suspect.shown_by)),
        is_effect=suspect.is_effect,
        wrong_minutes=suspect.wrong_minutes,
        kind=block.kind.name if block else "",
    )
