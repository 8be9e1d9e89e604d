"""The answers about the work itself, as the commands give them, each worked out once."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rungwise.circuit import Call, Plan
from rungwise.errors import BadCandidateFile, BadWiresFile
from rungwise.files import Document
from rungwise.isolation import NO_EDITS, LiveMap, WorkPlan, isolating_devices
from rungwise.replacement import Candidate, candidates_from
from rungwise.rewiring import WiresRecord, recover, rewire, wires_from
from rungwise.services import (
    RESULTS,
    Fitting,
    Isolation,
    RecoverAnswer,
    RewireAnswer,
    elsewhere,
    fitting,
    isolation_of,
    keeps_running,
    strict,
    unit_json,
)
from rungwise.unit import Unit
from rungwise.web.context import CallContext
from rungwise.web.job import Job, mark_of
from rungwise.web.pages.call.assembly import CallAnswer
from rungwise.web.pages.proof.results import ground_ahead

STOCK_FILE = "the van's stock"
WIRES_FILE = "the wires of this call"

_worked = RESULTS.shelf("plans, fits and wires")


def isolation(job: Job, scope: str, *, runs_on: bool = False) -> Isolation:
    """How a scope of the call's unit is made dead; runs_on: somebody saw that it cannot be stopped.

    Else what the readings speak for decides it.
    """
    seen = runs_on or _keeps_running(job)
    key = _isolation_key(job, scope, seen)
    return _worked.get(key, lambda: isolation_of(job.unit, scope, runs_on=seen))


def plan_of(job: Job, scope: str, *, runs_on: bool = False) -> WorkPlan:
    """The plan of a scope for a unit that runs on, or for one that does not."""
    key = _isolation_key(job, scope, runs_on)
    return _worked.get(key, lambda: isolation_of(job.unit, scope, runs_on=runs_on)).plan


def isolation_json(job: Job, scope: str, *, runs_on: bool = False) -> dict[str, Any]:
    """What `rungwise isolate --json` prints."""
    return _plain(isolation(job, scope, runs_on=runs_on).as_json())


def _keeps_running(job: Job) -> bool:
    answer = job.answer
    if answer is None:
        return False
    told = sorted((each.card.id, str(each.value)) for each in answer.outcomes)
    key = ("runs on", job.mark, mark_of(str(told)))
    return bool(_worked.get(key, lambda: keeps_running(job.unit, answer)))


def warm(held: CallContext, at: CallAnswer) -> None:
    """Begin with what is asked next once a call is open: how its outdoor unit is made dead."""
    if at.unit is not None:
        job = Job(held, at, at.unit, "")
        # A plan with a fault in it waits until it is asked for: the readings may change their mind.
        if not job.found:
            key = _isolation_key(job, "cabinet", False)
            _worked.ahead(key, lambda: isolation_of(job.unit, "cabinet", runs_on=False))
        ground_ahead(job)


def _isolation_key(job: Job, scope: str, runs_on: bool) -> tuple[str, ...]:  # noqa: FBT001
    return "isolation", job.mark, scope, str(runs_on)


def live_map(job: Job, call: Call) -> LiveMap:
    """Which points are live, whichever of the devices are open; call: of the thermostat."""

    def made() -> LiveMap:
        unit = job.unit
        return LiveMap(Plan(unit), isolating_devices(unit), unit.terminals(), NO_EDITS, call)

    return _worked.get(("live", job.mark, call), made)


def stock_in(text: str, unit: Unit) -> tuple[tuple[Candidate, Mapping[str, Any]], ...]:
    """The candidates in a candidates file's text, each with its table.

    Raises BadCandidateFile.
    """

    def made() -> tuple[tuple[Candidate, Mapping[str, Any]], ...]:
        document = Document(text, file=STOCK_FILE, error=BadCandidateFile)
        told = document.data.get("candidates", [])
        return tuple(zip(candidates_from(document, unit), told, strict=True))

    return _worked.get(("stock", tuple(unit.part_by_name), unit.digest, mark_of(text)), made)


def fitted(job: Job, candidates: tuple[Candidate, ...], of: str) -> Fitting:
    """The candidates judged and ranked; of: tells these candidates from any others."""
    return _worked.get(("fit", job.mark, of), lambda: elsewhere(fitting, job.unit, candidates))


def fit_json(job: Job, found: Fitting) -> dict[str, Any]:
    """What `rungwise fit --json` prints."""
    return _plain({"unit": unit_json(job.unit), **found.as_json()})


def wires_in(text: str, unit: Unit) -> WiresRecord:
    """The record in a wires file's text. Raises BadWiresFile."""
    return wires_from(Document(text, file=WIRES_FILE, error=BadWiresFile), unit)


def rewired(job: Job, text: str) -> tuple[RewireAnswer, dict[str, Any]]:
    """The answer to a wires file's text, and what `rungwise rewire --json` prints.

    Raises BadWiresFile.
    """

    def made() -> tuple[RewireAnswer, dict[str, Any]]:
        answer = RewireAnswer(rewire(job.unit, wires_in(text, job.unit)))
        return answer, _plain(answer.as_json())

    return _worked.get(("rewire", job.mark, mark_of(text)), made)


def recovered(job: Job, text: str, wait_s: float) -> tuple[RecoverAnswer, dict[str, Any]] | None:
    """The answer to a file of loose wires, and what `rungwise recover --json` prints.

    None while it is not there within `wait_s`: it is worked out meanwhile. Raises BadWiresFile.
    """
    record = wires_in(text, job.unit)

    def made() -> tuple[RecoverAnswer, dict[str, Any]]:
        answer = RecoverAnswer(recover(job.unit, record))
        return answer, _plain(answer.as_json())

    matter = ("recover", job.number)
    return _worked.within((*matter, job.mark, mark_of(text)), made, wait_s, matter)


def _plain(value: Mapping[str, object]) -> dict[str, Any]:
    """With OL where a number is infinite, as the commands print it."""
    found: dict[str, Any] = strict(value)
    return found
