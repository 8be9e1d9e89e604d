"""`rungwise study`: many simulated calls, worked to a verdict and counted."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from rungwise.cli.options import AsJson

if TYPE_CHECKING:
    from rungwise.cli.page import Page
    from rungwise.evaluation import Study


class World(StrEnum):
    """Who draws the truths: the program's own model, or a world that it did not make."""

    OWN = "own"
    OTHER = "other"
    WIRES = "wires"
    ISOLATION = "isolation"
    REPAIRS = "repairs"


class Readings(StrEnum):
    """Where the readings come from."""

    NGSPICE = "ngspice"
    ENGINE = "engine"


class Choosing(StrEnum):
    """Ways of choosing the next check."""

    RUNGWISE = "rungwise"
    HALF_SPLITTING = "half-splitting"
    MOST_LIKELY_FIRST = "most-likely-first"


WhoDraws = Annotated[
    World,
    typer.Option(
        "--world",
        help="Who draws the truths: our own model, a world apart, its lost wires, or damaged "
        "descriptions whose isolation plans are judged (--calls for each arrangement).",
    ),
]
MetAlone = Annotated[
    list[str] | None,
    typer.Option(
        "--arrangement",
        help="Other world: meet just this arrangement; may be repeated. Else the first four.",
    ),
]


def study(  # noqa: PLR0913, PLR0917  # one argument an option
    calls: Annotated[int, typer.Option("--calls", min=1, help="How many calls.")] = 100,
    seed: Annotated[int, typer.Option("--seed", min=0, help="Of all that is drawn.")] = 1,
    source: Annotated[
        Readings, typer.Option("--source", help="Where the readings come from (own world).")
    ] = Readings.NGSPICE,
    policy: Annotated[
        list[Choosing] | None,
        typer.Option("--policy", help="Only this way of choosing checks; may be repeated."),
    ] = None,
    processes: Annotated[
        int, typer.Option("--processes", min=1, help="How many processes share the calls.")
    ] = 1,
    world: WhoDraws = World.OWN,
    results: Annotated[
        Path | None,
        typer.Option("--results", help="Add one line a call to this file, and resume it."),
    ] = None,
    plates: Annotated[
        bool, typer.Option("--plates", help="Other world: meet units of two and four tons too.")
    ] = False,
    arrangement: MetAlone = None,
    only: Annotated[
        list[int] | None, typer.Option("--only", min=0, help="Just this call; may be repeated.")
    ] = None,
    tell: Annotated[
        bool, typer.Option("--tell", help="Other world, repairs: tell each check by check.")
    ] = False,
    tables: Annotated[
        list[Path] | None,
        typer.Option(
            "--tables", help="Only write the tables of a file of results; may be repeated."
        ),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Simulate calls with drawn faults, work each to a verdict, and count how it ended.

    Own world: read by ngspice unless --source says otherwise, worked by three ways of choosing
    checks. Other world: houses that the engine had no hand in; wires: cabinets of it whose wires
    were all pulled off; isolation: plans of damaged descriptions, followed in the true unit;
    repairs: proofs there, two of three with a second fault left in. See docs/study.md.

    Example: rungwise study --calls 5 --seed 1 --policy rungwise
    """
    numbers = tuple(only or range(calls))
    if tables:
        _write_tables(tables, world)
    elif world is World.WIRES:
        _wires(numbers, seed, processes, results, as_json=as_json)
    elif world is World.REPAIRS:
        _tell_proofs(_proofs(numbers, seed, processes, results), seed, tell=tell, as_json=as_json)
    elif world is World.OTHER:
        names = tuple(arrangement or ())
        lines = _other(numbers, seed, processes, results, plates=plates, names=names)
        _tell_other(lines, seed, tell=tell, as_json=as_json)
    elif world is World.ISOLATION:
        lines = _isolation(numbers, seed, processes, results)
        _tell_isolation(lines, seed, tell=tell, as_json=as_json)
    else:
        ways = tuple(policy or Choosing)
        _own(calls, seed, source, ways, processes, as_json=as_json)


def _own(  # what the options say
    calls: int,
    seed: int,
    source: Readings,
    ways: tuple[Choosing, ...],
    processes: int,
    *,
    as_json: bool,
) -> None:
    from rungwise.cli.printing import waiting
    from rungwise.evaluation import run_study

    with waiting(f"working {calls} calls") as progress:
        found = run_study(
            calls,
            seed,
            source=source.value,
            policies=[way.value for way in ways],
            processes=processes,
            progress=progress,
        )
    if as_json:
        from rungwise.cli.printing import print_json

        print_json(found.as_json())
        return
    from rungwise.cli.page import Page

    _tell(Page(), found, calls)


def _other(  # what the options say
    numbers: tuple[int, ...],
    seed: int,
    processes: int,
    results: Path | None,
    *,
    plates: bool,
    names: tuple[str, ...],
) -> list[dict[str, Any]]:
    from rungwise.cli.printing import waiting
    from rungwise.evaluation import run_other_world
    from rungwise.unit import FIRST_ARRANGEMENTS

    with waiting(f"working {len(numbers)} calls in the other world") as progress:
        return run_other_world(
            numbers,
            seed,
            processes=processes,
            results=results,
            plates=plates,
            arrangements=names or FIRST_ARRANGEMENTS,
            progress=progress,
        )


def _proofs(
    numbers: tuple[int, ...], seed: int, processes: int, results: Path | None
) -> list[dict[str, Any]]:
    from rungwise.cli.printing import waiting
    from rungwise.evaluation import run_other_proofs

    with waiting(f"proving {len(numbers)} repairs in the other world") as progress:
        return run_other_proofs(
            numbers, seed, processes=processes, results=results, progress=progress
        )


def _tell_proofs(lines: list[dict[str, Any]], seed: int, *, tell: bool, as_json: bool) -> None:
    if as_json:
        from rungwise.cli.printing import print_json

        print_json({"seed": seed, "proofs": lines})
        return
    from rungwise.cli.page import Page
    from rungwise.evaluation import proof_rows

    page = Page()
    if not tell:
        facts = (f"seed {seed}; a world apart", "in brackets 95%")
        page.title(f"{len(lines)} repairs proved in the other world", facts)
        page.pairs([(row.what, row.text) for row in proof_rows(lines)])
    for line in lines if tell else ():
        unit = f"{line['arrangement']} {line['plate']}"
        left = line["fault"] or "nothing"
        page.title(f"Proof {line['proof']}: {line['repaired']}", (unit, f"left in: {left}"))
        for check, found in line["steps"]:
            page.point(f"{check}: {found}")
        page.say(f"{line['standing']}: {'; '.join(line['reasons'])}")


def _tell_other(lines: list[dict[str, Any]], seed: int, *, tell: bool, as_json: bool) -> None:
    if as_json:
        from rungwise.cli.printing import print_json

        print_json({"seed": seed, "calls": lines})
        return
    from rungwise.cli.page import Page

    page = Page()
    if not tell:
        _tell_tables(page, lines, seed)
    for line in lines if tell else ():
        _tell_call(page, line)


def _tell_call(page: Page, line: dict[str, Any]) -> None:
    """One call of the other world: what is so, each check with what it left, and the end."""
    unit = f"{line['arrangement']} {line['plate']}".strip()
    facts = (f"{line['class']}, {unit}", f"seed {line['seed']}")
    page.title(f"Call {line['call']}: {line['truth']}", facts)
    page.pairs(
        [
            ("right to name", ", ".join(line["right"])),
            ("opened by it", ", ".join(line["opened"]) or "nothing"),
            ("noticed", ", ".join(line["symptoms"]) or "nothing"),
        ]
    )
    page.heading("Checks")
    for check, found, best, probability in line["steps"]:
        page.point(f"{check}: {found}. Then {best}, {100 * probability:.0f}%")
    page.heading("End")
    told = "right" if line["right_first"] else "not right"
    sure = 100 * line["probability"]
    page.say(f"{line['verdict']}: {line['answer']} ({line['suspect']}), {sure:.1f}%; {told}.")


def _tell_tables(page: Page, lines: list[dict[str, Any]], seed: int) -> None:
    from rungwise.evaluation import reliability, rows

    facts = (f"seed {seed}; a world apart", "in brackets 95%")
    page.title(f"{len(lines)} calls in the other world", facts)
    page.pairs([(row.what, row.text) for row in rows(lines)])
    page.heading("Claimed against right")
    page.pairs(
        [(f"{bin_} (mean {mean})", share.text()) for bin_, mean, share in reliability(lines)]
    )


def _wires(
    numbers: tuple[int, ...], seed: int, processes: int, results: Path | None, *, as_json: bool
) -> None:
    """Cabinets with lost wires, counted."""
    from rungwise.cli.printing import waiting
    from rungwise.evaluation import run_cabinets

    with waiting(f"working {len(numbers)} cabinets with lost wires") as progress:
        lines = run_cabinets(numbers, seed, processes=processes, results=results, progress=progress)
    if as_json:
        from rungwise.cli.printing import print_json

        print_json({"seed": seed, "cabinets": lines})
        return
    from rungwise.cli.page import Page
    from rungwise.evaluation import HEAD, groups

    page = Page()
    page.title(f"{len(lines)} cabinets with lost wires", (f"seed {seed}", "in brackets 95%"))
    for group in groups(lines):
        page.heading(f"{group.colors} colors, {group.broken} broken")
        page.pairs(list(zip(HEAD[2:], group.cells()[2:], strict=True)))


def _isolation(
    numbers: tuple[int, ...], seed: int, processes: int, results: Path | None
) -> list[dict[str, Any]]:
    from rungwise.cli.printing import waiting
    from rungwise.evaluation import run_isolation

    with waiting(f"judging {len(numbers)} isolation plans of every arrangement") as progress:
        return run_isolation(numbers, seed, processes=processes, results=results, progress=progress)


def _tell_isolation(lines: list[dict[str, Any]], seed: int, *, tell: bool, as_json: bool) -> None:
    if as_json:
        from rungwise.cli.printing import print_json

        print_json({"seed": seed, "cases": lines})
        return
    from rungwise.cli.page import Page
    from rungwise.evaluation import isolation_rows

    page = Page()
    facts = (f"seed {seed}; judged by another solver", "in brackets 95%")
    page.title(f"{len(lines)} isolation plans", facts)
    page.pairs([(row.what, row.text) for row in isolation_rows(lines)])
    for line in lines if tell else ():
        page.heading(f"{line['arrangement']} {line['case']}: {', '.join(line['damages'])}")
        page.say(f"{line['family']}, {line['scope']}: {line['ended']} {line['refusal']}".strip())
        for sort, where in line["findings"]:
            page.point(f"{sort}: {where}" if where else sort)


def _write_tables(results: list[Path], world: World) -> None:
    """The tables of files of results, a column each, as Markdown on the output."""
    from rungwise.evaluation import (
        cabinets_markdown,
        calls_markdown,
        isolation_markdown,
        proof_markdown,
        read_results,
    )

    found = {file.stem: read_results(file) for file in results}
    if world is World.WIRES:
        typer.echo("".join(cabinets_markdown(lines) for lines in found.values()), nl=False)
    else:
        told = {World.ISOLATION: isolation_markdown, World.REPAIRS: proof_markdown}.get(
            world, calls_markdown
        )
        typer.echo(told(found), nl=False)


def _tell(page: Page, found: Study, calls: int) -> None:
    facts = (f"seed {found.seed}; readings from {found.source}", "means per call; in brackets 95%")
    page.title(f"{calls} simulated calls", facts)
    for tally in found.tallies():
        page.heading(tally.policy)
        page.pairs(tally.rows())
        missed = found.missed(tally.policy)
        if missed:
            page.say("Missed:")
        for each in missed:
            instead = ", ".join(
                f"{truth} as {answer}" + (f" ({times} times)" if times > 1 else "")
                for truth, answer, times in each.instead
            )
            page.point(f"{each.kind}, {each.missed} of {each.met}: {instead}")
