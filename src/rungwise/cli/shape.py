"""`rungwise shape`: from plain answers, or a wiring label, to a unit file and what it does."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from rungwise.cli.options import AsJson

if TYPE_CHECKING:
    from rungwise.cli.page import Page
    from rungwise.services import ShapedUnit
    from rungwise.shaping import Unlike

Said = Annotated[
    list[str] | None,
    typer.Option(
        "--answer",
        metavar="QUESTION=ANSWER",
        help="An answer, such as poles=2 or heater=unknown; may be given more than once.",
        show_default=False,
    ),
]
Seen = Annotated[
    list[str] | None,
    typer.Option("--also", metavar="KIND", help="A sort of part that is in it besides.",
                 show_default=False),
]  # fmt: skip
Fed = Annotated[
    list[str] | None,
    typer.Option("--fed-by", metavar="SUPPLY",
                 help="Not like any: what comes into the cabinet, 240, 120 or 24.",
                 show_default=False),
]  # fmt: skip


def shape(  # noqa: PLR0913, PLR0917  # the options of the command
    answer: Said = None,
    label: Annotated[
        str,
        typer.Option("--label", metavar="FILE", help="The wiring label, a wire a line.",
                     show_default=False),
    ] = "",
    unit: Annotated[
        str,
        typer.Option("--unit", metavar="UNIT", help="A unit that is there already: tell it.",
                     show_default=False),
    ] = "",
    also: Seen = None,
    start: Annotated[
        str,
        typer.Option("--from", metavar="NAME", help="The arrangement to start from.",
                     show_default=False),
    ] = "",
    fed_by: Fed = None,
    write: Annotated[
        str,
        typer.Option("--write", metavar="FILE", help="Write the unit file there.",
                     show_default=False),
    ] = "",
    as_json: AsJson = False,
) -> None:  # fmt: skip
    """Choose and shape an arrangement by plain answers, or read a wiring label into a unit.

    With nothing given it asks. Exit code 1 when something is missing or it cannot be solved.

    Example: rungwise shape --answer sort=cooling --answer poles=2 --answer heater=line_stat
    """
    if fed_by:
        _alone(list(fed_by), as_json=as_json)
        return
    found = _found(_answers(answer or [], asks=not (label or unit or start)), label, unit,
                   also or [], start)  # fmt: skip
    if write:
        _write(write, found.text)
    if as_json:
        from rungwise.cli.printing import print_json

        print_json(found.as_json())
    else:
        from rungwise.cli.page import Page

        _tell(Page(), found, write)
    if not found.portrait.whole:
        raise typer.Exit(1)


def _found(
    answers: dict[str, str], label: str, unit: str, also: list[str], start: str
) -> ShapedUnit:
    from rungwise.cli.printing import waiting
    from rungwise.services import changed_unit, open_unit, shaped_unit, told_unit

    text = _read(label) if label else ""
    with waiting("solving the unit"):
        if unit:
            source = open_unit(unit)
            if not label:
                return told_unit(source.unit)
            return changed_unit(told_unit(source.unit).text, label=text)
        return shaped_unit(answers, label=text, there=also, start=start)


def _answers(said: list[str], *, asks: bool) -> dict[str, str]:
    """The answers as given; where none is, they are asked for."""
    if not said:
        return _asked() if asks else {}
    found = {}
    for each in said:
        key, sign, answer = each.partition("=")
        if not sign:
            from rungwise.errors import BadInput

            raise BadInput(
                what="An answer names its question.", value=each, next_step="write poles=2"
            )
        found[key.strip()] = answer.strip()
    return found


def _asked() -> dict[str, str]:
    """Ask the plain questions one by one; a number or a word answers."""
    from rungwise.shaping import QUESTIONS, UNKNOWN

    found = {}
    for question in QUESTIONS:
        typer.echo(f"\n{question.asks}")
        keys = [each.key for each in question.answers]
        for number, each in enumerate(question.answers, start=1):
            hint = f" ({each.hint})" if each.hint else ""
            typer.echo(f"  {number}  {each.words}{hint}")
        said = typer.prompt("  number, or enter for: I don't know", default="", show_default=False)
        typed = said.strip()
        at = int(typed) if typed.isdecimal() else 0
        found[question.key] = keys[at - 1] if 0 < at <= len(keys) else typed or UNKNOWN
    return found


def _read(path: str) -> str:
    from rungwise.errors import BadInput

    try:
        return Path(path).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as fault:
        raise BadInput(
            what="The wiring label cannot be read.", file=path, next_step="name a text file"
        ) from fault


def _write(path: str, text: str) -> None:
    from rungwise.errors import BadInput

    if Path(path).exists():
        raise BadInput(
            what="There is a file of this name already.", value=path, next_step="name a new one"
        )
    try:
        Path(path).write_text(text, encoding="utf-8", newline="")
    except OSError as fault:
        raise BadInput(
            what="The unit file cannot be written.", value=path, next_step="name another place"
        ) from fault


def _tell(page: Page, found: ShapedUnit, written: str) -> None:
    page.title(found.unit.title, [f"Held against: {found.start[1]}."])
    portrait = found.portrait
    page.heading("what it does")
    if portrait.unsolved:
        page.point(portrait.unsolved, mark="no:")
    page.pairs([(each.when, each.told) for each in portrait.doings])
    for heading, lines in (
        ("missing", portrait.missing),
        ("what it no longer does", portrait.lost),
        ("unusual", (*found.unusual, *portrait.odd)),
        ("changed from the arrangement", found.changes),
        ("not known", found.unsaid),
        ("taken from the arrangement", found.taken),
        ("fits as well", tuple(f"{title} (--from {name})" for name, title in found.alike)),
        ("is one of these in it?", tuple(f"{e.title} (--also {e.kind})" for e in found.extras)),
    ):
        if lines:
            page.heading(heading)
        for line in lines:
            page.point(line)
    if written:
        page.heading("the unit file")
        page.point(f"written to {written}")


def _alone(supplies: list[str], *, as_json: bool) -> None:
    """Not like any: what the supplies alone say."""
    from rungwise.cli.page import Page
    from rungwise.shaping import unlike

    found = unlike(supplies)
    if as_json:
        from rungwise.cli.printing import print_json

        print_json(_unlike_json(found))
        return
    page = Page()
    page.title(found.unit.title, ["No model stands behind its loads: nothing is found or proved."])
    page.heading("lock out")
    for number, step in enumerate(found.steps, start=1):
        page.point(step, mark=f"{number}.")
    for power in ("off", "on"):
        page.heading(f"checks, power {power}")
        page.pairs([(each.title, each.reads) for each in found.checks if each.power == power])
    page.heading("what Rungwise does not know of it")
    for line in found.unknown:
        page.point(line)


def _unlike_json(found: Unlike) -> dict[str, object]:
    from dataclasses import asdict

    return {
        "model": None,
        "devices": [asdict(each) for each in found.ways],
        "leads": [asdict(each) for each in found.leads],
        "steps": list(found.steps),
        "checks": [asdict(each) for each in found.checks],
        "not_known": list(found.unknown),
    }
