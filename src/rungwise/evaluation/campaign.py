"""A campaign of simulated calls: every call worked under every policy, then counted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass, replace
from functools import lru_cache, partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np

from rungwise.diagnosis import Belief, Bench, Check, FaultTable, checks_of
from rungwise.errors import BadInput, UnknownName
from rungwise.evaluation.ngspice_source import NgspiceSource
from rungwise.evaluation.noticing import is_noticed
from rungwise.evaluation.other_world import save_table, table_file
from rungwise.evaluation.result_file import each
from rungwise.evaluation.sources import EngineSource, Source, SourceName
from rungwise.evaluation.tally import Missed, Tally, missed, tally
from rungwise.evaluation.technician import Technician
from rungwise.evaluation.truth import draw_truth
from rungwise.evaluation.worked_call import POLICIES, Outcome, work_call
from rungwise.faults import SuspectSet
from rungwise.unit import FIRST_ARRANGEMENTS, arrangement

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
    units = tuple(arrangements)
    outcomes: list[Outcome] = []
    with TemporaryDirectory(prefix="rungwise-") as folder:
        met = sorted({_drawn(call, seed, units)[0] for call in range(calls)})
        building = partial(save_table, folder=folder)
        for _ in each(building, [(name, "") for name in met], min(processes, len(met))):
            pass
        job = partial(
            _work, seed=seed, source=source, policies=tuple(policies), units=units, folder=folder
        )
        for done, found in enumerate(each(job, range(calls), processes), start=1):
            outcomes += found
            if progress is not None:
                progress(done / calls)
    outcomes.sort(key=lambda outcome: outcome.call)
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


@dataclass(frozen=True, slots=True)
class _Shop:
    """What is the same for every call on one arrangement."""

    suspects: SuspectSet
    checks: dict[str, Check]
    start: Belief


@lru_cache(maxsize=len(FIRST_ARRANGEMENTS))
def _shop(name: str, file: Path) -> _Shop:
    unit = arrangement(name)
    checks = {check.card.id: check for check in checks_of(unit)}
    return _Shop(SuspectSet(unit), checks, Belief.start(FaultTable.load(file)))


def _drawn(call: int, seed: int, units: tuple[str, ...]) -> tuple[str, np.random.Generator]:
    """The arrangement that a call is on, and the source of the rest of its luck."""
    rng = np.random.default_rng([seed, call])
    return units[int(rng.integers(len(units)))], rng


def _work(
    call: int,
    *,
    seed: int,
    source: SourceName,
    policies: tuple[str, ...],
    units: tuple[str, ...],
    folder: str,
) -> list[Outcome]:
    """One call under every policy; all of them meet the same unit and the same findings."""
    name, rng = _drawn(call, seed, units)
    shop = _shop(name, table_file(folder, name, ""))
    truth = draw_truth(shop.suspects, rng)
    bench = Bench(truth.plan, truth.values, 1, np.array([float(truth.still_hot)]))
    read: Source = NgspiceSource(bench) if source == "ngspice" else EngineSource(bench)
    luck = int(rng.integers(2**32))
    technician = Technician(bench, truth.suspect, shop.checks, read, luck)
    noticed = is_noticed(truth, shop.checks)
    return [
        replace(work_call(shop.start, truth, technician.take, policy, call, name), noticed=noticed)
        for policy in policies
    ]
