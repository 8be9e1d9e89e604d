"""`rungwise archive`: everything in the records as one file, and back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from rungwise.cli.options import AsJson

if TYPE_CHECKING:
    from rungwise.records import Summary

archive = typer.Typer(
    name="archive",
    help="Everything in the records as one file, and back.",
    no_args_is_help=True,
    rich_markup_mode=None,
)

ArchiveFile = Annotated[
    str, typer.Argument(metavar="FILE", help="The archive.", show_default=False)
]
Database = Annotated[
    str,
    typer.Option(
        "--database",
        metavar="ADDRESS",
        help="The records: sqlite:///FILE or postgresql://...; else what RUNGWISE_DATABASE names.",
        show_default=False,
    ),
]


@archive.command("export")
def export_records(file: ArchiveFile, database: Database = "", as_json: AsJson = False) -> None:
    """Write everything in the records into one file, photos too.

    Example: rungwise archive export shop.zip
    """
    from rungwise.records import Store, export

    store = Store.open(database or None)
    try:
        _tell("written to", file, export(store, file), as_json=as_json)
    finally:
        store.close()


@archive.command("import")
def import_records(file: ArchiveFile, database: Database = "", as_json: AsJson = False) -> None:
    """Read everything from such a file into records that are empty. All is read, or nothing.

    Example: rungwise archive import shop.zip --database sqlite:///shop.sqlite
    """
    from rungwise.records import Store, load

    store = Store.open(database or None)
    try:
        _tell("read from", file, load(store, file), as_json=as_json)
    finally:
        store.close()


def _tell(done: str, file: str, summary: Summary, *, as_json: bool) -> None:
    if as_json:
        from dataclasses import asdict

        from rungwise.cli.printing import print_json

        print_json({"file": file, **asdict(summary)})
        return
    from rungwise.cli.page import Page

    page = Page()
    rows = _counted(sum(summary.rows.values()), "row")
    page.say(f"{rows} and {_counted(summary.photos, 'picture')} {done} {file}.")
    held = {name.replace("_", " "): str(count) for name, count in summary.rows.items() if count}
    page.pairs(list(held.items()))


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"
