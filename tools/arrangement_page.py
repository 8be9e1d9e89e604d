"""One page of figures for every shipped arrangement.

    .venv/bin/python tools/arrangement_page.py [--out docs/arrangements.md] [--only NAME]
        [--counts] [--no-table] [--misplaced] [--sample 400] [--every 9]
        [--calls FILE] [--only-calls]

Each figure is worked out when the page is made: the circuit, what is suspected and what can be
checked; the fault table (seconds of two processes, megabytes kept and at hand); ngspice on every
demand, healthy and with one suspect in `--every`; plans for each place; and labels that overlap in
the drawings.  --misplaced adds single misplacements of wires, --sample of them drawn evenly (0:
every one, which takes minutes a unit); --no-table works nothing else, --counts only what a unit
has of nodes, suspects and checks.  Figures are kept in
benchmarks/arrangements.json, so that --only renews a row and leaves the others.
--calls (repeatable) names files of results of `rungwise study --world other`, counted for each
arrangement in a second table; rows of other arrangements stay (benchmarks/arrangement_calls.json).
--only-calls writes that table alone and leaves the rest as it is.
"""

from __future__ import annotations

import argparse
import json
import re
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from time import perf_counter

import numpy as np
import numpy.typing as npt

from rungwise.circuit import Condition, solve
from rungwise.circuit.ngspice import run_many
from rungwise.circuit.spice import netlists
from rungwise.circuit.spice_names import names_of
from rungwise.diagnosis import FaultTable, ReadingModel, build_table, checks_of
from rungwise.drawing import Marks, ladder, panel
from rungwise.drawing.picture import overlaps
from rungwise.errors import NoSettling, RungwiseError
from rungwise.evaluation import ARRANGEMENT_COLUMNS, arrangement_cells, read_results
from rungwise.evaluation.tally import Share
from rungwise.faults import HEALTHY, Suspect, SuspectSet
from rungwise.isolation import isolate
from rungwise.parts import Control
from rungwise.rewiring.yardstick import Yardstick
from rungwise.services.runtime.worker_pool import share_out
from rungwise.unit import ARRANGEMENTS, Unit, arrangement
from wiring_trial.misplacement import Finding, Misplacement, judged, misplacements

SHARE, FLOOR_VOLT = 1e-3, 1e-3
"""Of the volts, or this many volts: what ngspice may differ by."""

COLUMNS = (
    "arrangement", "nodes", "suspects", "checks", "table s", "kept MB", "at hand MB",
    "ngspice agrees", "places with a plan", "labels that overlap", "misplacements found",
)  # fmt: skip


KEPT = Path("benchmarks/arrangements.json")
"""The figures by arrangement and column."""

KEPT_CALLS = Path("benchmarks/arrangement_calls.json")
"""The cells of the second table by arrangement."""

NOT_RUN = {"misplacements found": "not run: minutes a unit"}
"""Why a cell may be empty; of any other column that it wants a table, or ngspice, of its own."""


def main() -> None:
    """Work every arrangement, and write the page after each, so that a stop loses nothing."""
    asked = _asked()
    if not asked.only_calls:
        for name in asked.only or ARRANGEMENTS:
            print(" | ".join((name, *_renewed(name, asked).values())), flush=True)
            _write(asked)
    _write(asked)


def _renewed(name: str, asked: argparse.Namespace) -> dict[str, str]:
    """The row of one arrangement worked anew and put to what is kept."""
    unit = arrangement(name)
    row = {}
    if asked.counts:
        row = _counts(unit)
    elif not asked.no_table:
        row = dict(zip(COLUMNS[1:-1], _cells(unit, asked.every), strict=True))
    if asked.misplaced:
        row[COLUMNS[-1]] = _misplaced(unit, asked.sample)
    kept = _kept()
    kept[name] = kept.get(name, {}) | row
    KEPT.write_text(json.dumps(kept, indent=1) + "\n", encoding="utf-8")
    return row


def _counts(unit: Unit) -> dict[str, str]:
    suspects = SuspectSet(unit)
    numbers = (len(suspects.plan.nodes), len(suspects), len(checks_of(unit)))
    return dict(zip(COLUMNS[1:4], map(str, numbers), strict=True))


def _kept() -> dict[str, dict[str, str]]:
    found = json.loads(KEPT.read_text(encoding="utf-8")) if KEPT.exists() else {}
    return {name: found[name] for name in ARRANGEMENTS if name in found}


CALLS_HEAD = "## In a world that another program solves\n"


def _write(asked: argparse.Namespace) -> None:
    """The page from what is kept, with the calls given, or else those that it had."""
    old = asked.out.read_text(encoding="utf-8") if asked.out.exists() else ""
    head, mark, told = old.partition(CALLS_HEAD)
    calls = _calls(asked.calls) or "\n" + mark + told
    page = head if asked.only_calls else _page(asked.every)
    asked.out.write_text(page.rstrip() + "\n" + calls, encoding="utf-8")


def _calls(files: Sequence[Path]) -> str:
    """The table of the other world's calls, an arrangement a row; "" without any."""
    lines = [line for file in files for line in read_results(file)]
    if not lines:
        return ""
    cells = json.loads(KEPT_CALLS.read_text(encoding="utf-8")) if KEPT_CALLS.exists() else {}
    for name in {line["arrangement"] for line in lines}:
        cells[name] = arrangement_cells([each for each in lines if each["arrangement"] == name])
    cells = {name: cells[name] for name in ARRANGEMENTS if name in cells}
    KEPT_CALLS.write_text(json.dumps(cells, indent=1) + "\n", encoding="utf-8")
    columns = ("arrangement", *ARRANGEMENT_COLUMNS)
    text = ["", CALLS_HEAD, CALLS_TOLD, "", f"| {' | '.join(columns)} |",
            f"|{'---|' * len(columns)}"]  # fmt: skip
    text += [f"| {' | '.join((arrangement(name).title, *own))} |" for name, own in cells.items()]
    text.append(f"| **all of these** | {' | '.join(_summed(list(cells.values())))} |")
    return "\n".join(text) + "\n"


COUNTED = re.compile(r"(\d+) of (\d+)$")


def _summed(rows: Sequence[Sequence[str]]) -> Iterator[str]:
    """The cells of all rows together, from their counts; checks by the calls they are a mean of."""
    for at, column in enumerate(ARRANGEMENT_COLUMNS):
        own = [row[at] for row in rows]
        counts = [tuple(map(int, met.groups())) for each in own if (met := COUNTED.search(each))]
        hits, of = sum(each[0] for each in counts), sum(each[1] for each in counts)
        if column == "calls":
            yield str(sum(map(int, own)))
        elif column == "checks":
            common = [int(COUNTED.search(row[1])[2]) for row in rows if COUNTED.search(row[1])]  # type: ignore[index]
            told = [float(row[at]) for row in rows if COUNTED.search(row[1])]
            yield f"{np.average(told, weights=common):.1f}"
        elif all("%" not in each for each in own):
            yield f"{hits} of {of}"
        else:
            yield f"{Share(hits, of).text()}, {hits} of {of}"


CALLS_TOLD = (
    "Calls of `rungwise study --world other --arrangement NAME`; what they are stands in\n"
    "[Study](study.md). In brackets 95% (Wilson). Culprit first and checks: listed faults and\n"
    "effects with a cause behind. Condemned: a healthy compressor, contactor, motor or board that\n"
    "a claim would replace."
)


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    parser.add_argument("--out", type=Path, default=Path("docs/arrangements.md"))
    parser.add_argument("--only", action="append", metavar="NAME")
    parser.add_argument("--counts", action="store_true")
    parser.add_argument("--no-table", action="store_true")
    parser.add_argument("--misplaced", action="store_true")
    parser.add_argument("--sample", type=int, default=400, metavar="N")
    parser.add_argument("--calls", type=Path, action="append", default=[], metavar="FILE")
    parser.add_argument("--only-calls", action="store_true")
    parser.add_argument("--every", type=int, default=9, metavar="N")
    return parser.parse_args()


def _page(every: int) -> str:
    head = [
        "# Every arrangement, in figures",
        "",
        "Written by `tools/arrangement_page.py`. *ngspice agrees*: node volts within 0.1% or",
        f"1 mV, on every demand, healthy and with one suspect in {every}. *table s*: seconds until",
        "a cold fault table stands, two processes. *misplacements found*: of single wire ends on a",
        "wrong terminal of the cabinet and swaps of two, those that change what the unit does;",
        "where there are more than a few hundred, of an even draw.",
        "",
        f"| {' | '.join(COLUMNS)} |",
        f"|{'---|' * len(COLUMNS)}",
    ]
    kept = _kept()
    rows = [(arrangement(name).title, *_row(kept.get(name, {}))) for name in ARRANGEMENTS]
    return "\n".join([*head, *(f"| {' | '.join(row)} |" for row in rows)]) + "\n"


def _row(figures: dict[str, str]) -> Iterator[str]:
    for column in COLUMNS[1:]:
        yield figures.get(column) or NOT_RUN.get(column, "not run: wants a table")


def _cells(unit: Unit, every: int) -> Iterator[str]:
    suspects = SuspectSet(unit)
    yield str(len(suspects.plan.nodes))
    yield str(len(suspects))
    yield from _of_table(unit)
    yield _ngspice(suspects, every)
    yield _plans(unit)
    yield str(_overlapping(unit))


def _of_table(unit: Unit) -> Iterator[str]:
    began = perf_counter()
    table = build_table(unit, share_out=share_out)
    seconds = perf_counter() - began
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "table.npz")
        table.save(path)
        kept = path.stat().st_size / 1e6
        model = ReadingModel(FaultTable.load(path))
    yield str(len(table.checks))
    yield f"{seconds:.1f}"
    yield f"{kept:.1f}"
    yield f"{_at_hand_mb(model):.0f}"


def _at_hand_mb(model: ReadingModel) -> float:
    table = model.table
    arrays = [
        table.reading, table.reading_sd, table.tangent, table.slopes.by, table.slopes.unknown,
        table.own, model.z, model.variance, model.unknown_variance,
        *table.choice_probability.values(),
    ]  # fmt: skip
    return sum(array.nbytes for array in arrays if array is not None) / 1e6


def _ngspice(suspects: SuspectSet, every: int) -> str:
    some = [each for at, each in enumerate(suspects) if at % every == 0 or each.id == HEALTHY]
    demands = dict.fromkeys(
        name for _, control in suspects.unit.having(Control) for name in control.demands
    )
    right = total = 0
    for demand in demands or ("cool",):
        agreed = _agreed(suspects, some, Condition(demand, demand))
        right, total = right + int(agreed.sum()), total + len(agreed)
    return f"{right} of {total}"


def _agreed(
    suspects: SuspectSet, some: Sequence[Suspect], condition: Condition
) -> npt.NDArray[np.bool_]:
    """Whether ngspice finds the same volts with each of some suspects."""
    solution = solve(suspects.plan, condition, suspects.typical_of(some), len(some))
    names = names_of(suspects.plan).node
    found = run_many(list(netlists(solution)))
    theirs = np.array([[each.volts[name] for name in names] for each in found]).T
    off = np.abs(solution.volts[:-1] - theirs)
    return np.asarray((off <= np.maximum(SHARE * np.abs(theirs), FLOOR_VOLT)).all(axis=0))


def _plans(unit: Unit) -> str:
    """For how many of the places where hands go a plan is given, of those that the unit has."""
    scopes = ("cabinet", "disconnect", "indoor", "everything")
    found = []
    for scope in scopes:
        try:
            found.append(not isolate(unit, scope=scope).refusals)
        except RungwiseError:
            continue  # no such place in this unit
    return f"{sum(found)} of {len(found)}"


def _overlapping(unit: Unit) -> int:
    places = dict.fromkeys(part.place for part in unit.parts)
    pictures = [ladder(unit), *(panel(unit, Marks(), place=place) for place in places)]
    return sum(len(overlaps(picture.labels)) for picture in pictures)


def _misplaced(unit: Unit, sample: int) -> str:
    every = tuple(misplacements(unit))
    some = every
    if 0 < sample < len(every):
        drawn = np.random.default_rng(SEED).choice(len(every), sample, replace=False)
        some = tuple(every[at] for at in sorted(drawn))
    findings, restless = _judged(unit, some)
    alike = sum(each.alike for each in findings)
    told = sum(each.alike and bool(each.why) for each in findings)
    of_all = "" if len(some) == len(every) else f" drawn of {len(every)}"
    rest = f"; {restless} come to no rest" if restless else ""
    return (
        f"{len(findings) - alike} of {len(some)}{of_all}; "
        f"{told} of the others proved harmless{rest}"
    )


def _judged(unit: Unit, some: Sequence[Misplacement]) -> tuple[list[Finding], int]:
    """What comes of them; one by one where some keep switching, with how many of them do."""
    yardstick = Yardstick(unit)
    try:
        return list(judged(yardstick, tuple(some))), 0
    except NoSettling:
        findings: list[Finding] = []
        for each in some:
            try:
                findings += judged(yardstick, (each,))
            except NoSettling:
                continue
        return findings, len(some) - len(findings)


SEED = 307
"""Of the draw of misplacements."""


if __name__ == "__main__":
    main()
