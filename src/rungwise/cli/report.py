"""`rungwise report`: a call as a paper, for the customer or for the record."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from rungwise.cli.options import AsJson
from rungwise.cli.writing import Replace, write_out

if TYPE_CHECKING:
    from rungwise.report import Layout, Paper

CallName = Annotated[
    str,
    typer.Argument(
        metavar="CALL",
        help="The call file, or the number of a call in the records.",
        show_default=False,
    ),
]


class Kind(StrEnum):
    """Which paper."""

    CUSTOMER = "customer"
    TECHNICIAN = "technician"
    PRACTICE = "practice"


class Size(StrEnum):
    """On which paper."""

    LETTER = "letter"
    A4 = "a4"


class Units(StrEnum):
    """In which units temperatures, pressures, lengths and air flows are told."""

    US = "us"
    SI = "si"


class Spoken(StrEnum):
    """In which language the customer reads it."""

    ENGLISH = "en"
    SPANISH = "es"


def report(  # noqa: PLR0913, PLR0917  # the options of the command
    call: CallName,
    kind: Annotated[
        Kind, typer.Option("--kind", help="Customer report, the record, a practice score.")
    ] = Kind.CUSTOMER,
    size: Annotated[Size, typer.Option("--paper", help="Size of the paper.")] = Size.LETTER,
    units: Annotated[
        Units, typer.Option("--units", help="°F, psi, ft and cfm, or °C, kPa, m and m³/h.")
    ] = Units.US,
    language: Annotated[
        Spoken,
        typer.Option(
            "--language",
            envvar="RUNGWISE_LANGUAGE",
            show_envvar=False,
            help="Of the customer report; else what RUNGWISE_LANGUAGE names.",
        ),
    ] = Spoken.ENGLISH,
    prices: Annotated[
        Path | None,
        typer.Option("--prices", metavar="FILE", help="Lines for the bill, such as capacitor: 40."),
    ] = None,
    database: Annotated[
        str,
        typer.Option(
            "--database",
            metavar="ADDRESS",
            help="The records of a numbered call; else what RUNGWISE_DATABASE names.",
        ),
    ] = "",
    out: Annotated[
        Path | None, typer.Option("--out", "-o", metavar="FILE", help="Write the PDF there.")
    ] = None,
    over: Replace = False,
    as_json: AsJson = False,
) -> None:
    """Write a call as PDF: what was found, done, measured, and what was not measured.

    The page of the app gives the very same document for a call in the records.

    Example: rungwise report examples/maple-hollow/call-18-weak-capacitor.toml -o report.pdf
    """
    from rungwise.report import Layout

    layout = Layout(size.value, units.value, language.value)
    paper = _paper(call, kind, layout, _text(prices), database)
    if as_json:
        from rungwise.cli.printing import print_json

        print_json({"kind": paper.kind, **paper.as_json()})
        if out is None:
            return
    out = out or Path(f"{Path(call).stem}-{kind.value}.pdf")
    write_out(out, paper.pdf(), "paper", replace=over)
    if not as_json:
        typer.echo(f"Written: {out}")


def _paper(call: str, kind: Kind, layout: Layout, prices: str, database: str) -> Paper:
    from rungwise.cli.printing import waiting
    from rungwise.report import customer_paper, file_extras, technician_paper, worked_file

    if call.isdecimal() and not Path(call).exists():
        return _recorded(int(call), kind, layout, prices, database)
    if kind is Kind.PRACTICE:
        from rungwise.errors import BadInput

        raise BadInput(
            what="A practice call lies in the records, and has no file.", value=call,
            next_step="name its number, as its page in the app has it",
        )  # fmt: skip
    worked = worked_file(call, waiting)
    make = customer_paper if kind is Kind.CUSTOMER else technician_paper
    return make(worked, file_extras(worked, prices), layout)


def _recorded(number: int, kind: Kind, layout: Layout, prices: str, database: str) -> Paper:
    from rungwise.records import Store
    from rungwise.services import DiagnosisService
    from rungwise.web import paper_of

    store, desk = Store.open(database or None), DiagnosisService()
    try:
        return paper_of(store, desk, number, kind.value, layout, prices=prices)
    finally:
        desk.close()
        store.close()


def _text(file: Path | None) -> str:
    if file is None:
        return ""
    try:
        return file.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as fault:
        from rungwise.errors import BadInput

        what = "The file with the prices cannot be read."
        raise BadInput(what=what, file=file, next_step="check its name, and that it is text") from (
            fault
        )
