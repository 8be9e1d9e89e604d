"""A campaign of simulated calls: every call worked under every policy, then counted."""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass, replace
from functools import lru_cache, partial
from typing import Any

import numpy as np

from rungwise.diagnosis import PARTICLES, Belief, Bench, Check, checks_of, table_of
from rungwise.errors import BadInput, UnknownName
from rungwise.evaluation.ngspice_source import NgspiceSource
from rungwise.evaluation.noticing import is_noticed
from rungwise.evaluation.sources import EngineSource, Source, SourceName
from rungwise.evaluation.tally import Missed, Tally, missed, tally
from rungwise.evaluation.technician import Technician
from rungwise.evaluation.truth import draw_truth
from rungwise.evaluation.worked_call import POLICIES, Outcome, work_call
from rungwise.faults import SuspectSet
from rungwise.unit import FIRST_ARRANGEMENTS, arrangement

__all__ = ["Study", "run_study"]

Progress = Callable[[float], None]


@dataclass(frozen=True, slots=True)
class Study:
    """What a campaign found.

    outcomes: call by call, and within a call policy by policy.
    """

    source: SourceName
    seed: int
    policies: tuple[str, ...]
    outcomes: tuple[Outcome, ...]

    def of(self, policy: str) -> tuple[Outcome, ...]:
        """One policy's outcomes."""
        return tuple(each for each in self.outcomes if each.policy == policy)

    def tallies(self) -> tuple[Tally, ...]:
        """Every policy counted."""
        return tuple(tally(policy, self.of(policy)) for policy in self.policies)

    def missed(self, policy: str) -> tuple[Missed, ...]:
        """What one policy missed."""
        return missed(self.of(policy))

    def as_json(self) -> dict[str, Any]:
        """Everything as plain data."""
        return {
            "source": self.source,
            "seed": self.seed,
            "tallies": [each.as_json() for each in self.tallies()],
            "missed": {
                policy: [asdict(each) for each in self.missed(policy)] for policy in self.policies
            },
            "outcomes": [each.as_json() for each in self.outcomes],
        }


def run_study(
    calls: int,
    seed: int = 1,
    *,
    source: SourceName = "ngspice",
    policies: Sequence[str] = tuple(POLICIES),
    arrangements: Sequence[str] = FIRST_ARRANGEMENTS,
    processes: int = 1,
    progress: Progress | None = None,
) -> Study:
    """Simulate `calls` calls and work each under every policy.

    arrangements: the units that calls come from, each as often as the others. processes: workers
    to share the calls among; what is found does not depend on it. progress is told the share done.
    Raises BadInput for no calls, no process or an unknown policy, MissingProgram when ngspice is
    asked for and missing, UnknownName for an unknown arrangement.
    """
    _refuse(calls, policies, processes)
    _refuse_unknown(arrangements)
    job = partial(
        _work, seed=seed, source=source, policies=tuple(policies), units=tuple(arrangements)
    )
    outcomes: list[Outcome] = []
    for done, found in enumerate(_each(job, calls, processes), start=1):
        outcomes += found
        if progress is not None:
            progress(done / calls)
    return Study(source, seed, tuple(policies), tuple(outcomes))


def _refuse(calls: int, policies: Sequence[str], processes: int) -> None:
    if calls < 1:
        raise BadInput(what="A study needs at least one call.", key="calls", value=calls)
    if processes < 1:
        raise BadInput(what="It takes at least one process.", key="processes", value=processes)
    if not policies:
        raise BadInput(what="It takes at least one policy.", key="policy")
    for policy in policies:
        if policy not in POLICIES:
            raise BadInput(
                what=f"There is no policy {policy!r}.",
                key="policy",
                value=policy,
                allowed=", ".join(POLICIES),
            )


def _refuse_unknown(arrangements: Sequence[str]) -> None:
    for name in arrangements:
        if name not in FIRST_ARRANGEMENTS:
            what = "There is no such arrangement."
            raise UnknownName(what=what, name=name, known=FIRST_ARRANGEMENTS)


Job = Callable[[int], list[Outcome]]


def _each(job: Job, calls: int, processes: int) -> Iterator[list[Outcome]]:
    if processes == 1:
        yield from map(job, range(calls))
        return
    with multiprocessing.get_context("spawn").Pool(processes) as pool:
        yield from pool.imap(job, range(calls), chunksize=1)


@dataclass(frozen=True, slots=True)
class _Shop:
    """What is the same for every call on one arrangement."""

    suspects: SuspectSet
    checks: dict[str, Check]
    start: Belief


@lru_cache(maxsize=len(FIRST_ARRANGEMENTS))
def _shop(name: str) -> _Shop:
    unit = arrangement(name)
    suspects, checks = SuspectSet(unit), checks_of(unit)
    table = table_of(suspects, checks, PARTICLES)
    return _Shop(suspects, {check.card.id: check for check in checks}, Belief.start(table))


def _work(
    call: int, *, seed: int, source: SourceName, policies: tuple[str, ...], units: tuple[str, ...]
) -> list[Outcome]:
    """One call under every policy; all of them meet the same unit and the same findings."""
    rng = np.random.default_rng([seed, call])
    name = units[int(rng.integers(len(units)))]
    shop = _shop(name)
    truth = draw_truth(shop.suspects, rng)
    bench = Bench(truth.plan, truth.values, 1, np.array([float(truth.still_hot)]))
    read: Source = NgspiceSource(bench) if source == "ngspice" else EngineSource(bench)
    luck = int(rng.integers(2**32))
    technician = Technician(bench, truth.suspect, shop.checks, read, luck)
    noticed = is_noticed(truth, shop.checks)
    return [
        replace(work_call(shop.start, truth, technician.take, each, call, name), noticed=noticed)
        for each in policies
    ]
