"""A campaign of calls in the other world, written down call by call."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache, partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from rungwise.diagnosis import (
    CHIPS,
    Belief,
    Check,
    FaultTable,
    build_table,
    checks_of,
    complaint_weights,
)
from rungwise.errors import BadInput, MissingProgram
from rungwise.evaluation.other_call import work_other_call
from rungwise.evaluation.other_units import PLATES, Drawn, drawn, unit_of
from rungwise.evaluation.result_file import Resumed, each
from rungwise.other_world import Case, apart_volt, draw_case, known
from rungwise.unit import FIRST_ARRANGEMENTS, Unit, arrangement

Progress = Callable[[float], None]


def run_other_world(
    calls: Sequence[int],
    seed: int = 1,
    *,
    processes: int = 1,
    results: Path | None = None,
    plates: bool = False,
    arrangements: Sequence[str] = FIRST_ARRANGEMENTS,
    progress: Progress | None = None,
) -> list[dict[str, Any]]:
    """Work the calls of these numbers and return a line of results for each.

    plates: meet units of two and four tons too. arrangements: those that are met; see
    `check_known`.
    results: a file of lines that is added to as calls end; calls of this seed that stand there
    are not worked again. processes: workers that share the calls; what is found does not depend
    on it.
    """
    check_known(arrangements)
    run = Resumed(calls, seed, lambda line: int(line["call"]), results)
    if not run.left:
        return run.found
    with TemporaryDirectory(prefix="rungwise-") as folder:
        draw = partial(drawn, seed=seed, plates=plates, arrangements=tuple(arrangements))
        met = [draw(call) for call in run.left]
        units = sorted({(call.arrangement, call.plate) for call in met})
        for _ in each(partial(save_table, folder=folder), units, processes):
            pass
        job = partial(_work, draw=draw, seed=seed, folder=folder)
        return run.work(job, processes, progress)


def check_known(arrangements: Sequence[str]) -> None:
    """Raises BadInput for an arrangement with a part that the other world knows nothing of."""
    for name in arrangements:
        unit = arrangement(name)
        if not known(unit):
            raise BadInput(
                what=f"the other world knows nothing of a part of {unit.title}",
                key="--arrangement",
                value=name,
                next_step="choose another arrangement",
            )


def save_table(unit: tuple[str, str], *, folder: str) -> None:
    """The fault table of an arrangement under a plate, built once for all workers."""
    build_table(unit_of(*unit)).save(table_file(folder, *unit))


def table_file(folder: str, name: str, plate: str) -> Path:
    """Where the table of an arrangement under a plate is saved."""
    return Path(folder) / f"{name} {plate}.npz"


@dataclass(frozen=True, slots=True)
class _Shop:
    """What is the same for every call on one arrangement."""

    unit: Unit
    checks: dict[str, Check]
    start: Belief


@lru_cache(maxsize=len(FIRST_ARRANGEMENTS) * len(PLATES))
def _shop(name: str, plate: str, file: Path) -> _Shop:
    unit = unit_of(name, plate)
    table = FaultTable.load(file)
    return _Shop(unit, {check.card.id: check for check in checks_of(unit)}, Belief.start(table))


def _started(shop: _Shop, said: frozenset[str]) -> Belief:
    """The belief once the customer has spoken, where there are keys for what was said."""
    chips = [chip.id for chip in CHIPS if chip.id in said]
    weights = complaint_weights(shop.start.table.suspects, None, chips)
    return Belief.start(shop.start.model, weights, said=chips)


def _work(call: int, *, draw: Callable[[int], Drawn], seed: int, folder: str) -> dict[str, Any]:
    met = draw(call)
    unit = unit_of(met.arrangement, met.plate)
    case = draw_case(unit, met.kind, met.rng)
    shop = _shop(met.arrangement, met.plate, table_file(folder, met.arrangement, met.plate))
    start = _started(shop, case.truth.said)
    luck = int(met.rng.integers(2**31))
    told = work_other_call(unit, shop.checks, start, case, luck)
    head = {"seed": seed, "call": call, "arrangement": met.arrangement, "plate": met.plate}
    return {**head, **told, "ngspice_apart_v": _apart(case)}


def _apart(case: Case) -> float | None:
    """How far ngspice is from this house's volts; None where it is not installed."""
    try:
        return float(f"{apart_volt(case.visit):.2g}")
    except MissingProgram:
        return None
