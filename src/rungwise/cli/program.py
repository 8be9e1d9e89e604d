"""The program: all commands together, and what happens when one of them refuses."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import Annotated, TextIO

import typer

from rungwise.cli import (
    archive,
    call,
    diagnose,
    draw,
    expect,
    fit,
    isolate,
    nameplate,
    prove,
    recover,
    report,
    rewire,
    schema,
    serve,
    shape,
    spice,
    study,
    upkeep,
    work,
)
from rungwise.cli.harmless import harmless
from rungwise.errors import BadInput, RungwiseError
from rungwise.version import __version__

BAD_INPUT = 2

app = typer.Typer(
    name="rungwise",
    help="From a no-cool call's readings to the cause, the next check and a dead unit.",
    epilog="Exit codes: 0 done, 1 the answer is negative or not decided, 2 bad input. "
    "Every command has --help with an example.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)
for command in (
    call.call,
    work.work,
    shape.shape,
    diagnose.diagnose,
    isolate.isolate,
    fit.fit,
    nameplate.plate,
    rewire.rewire,
    recover.recover,
    prove.prove,
    report.report,
    expect.expect,
    draw.draw,
    spice.spice,
    schema.schema,
    upkeep.upkeep,
    study.study,
    serve.serve,
):
    app.command()(command)
app.add_typer(archive.archive)


def _version(asked: bool) -> None:
    if asked:
        typer.echo(f"rungwise {__version__}")
        raise typer.Exit


@app.callback()
def _program(
    version: Annotated[  # its callback does the work
        bool,
        typer.Option("--version", callback=_version, is_eager=True, help="Print the version."),
    ] = False,
) -> None:
    pass


def main() -> None:
    """Run the command that was typed, and end with its exit code."""
    sys.exit(run(sys.argv[1:]))


def run(arguments: Sequence[str]) -> int:
    """Run one command; the exit code."""
    for stream in (sys.stdout, sys.stderr):
        _never_choke(stream)
    try:
        app(args=list(arguments), prog_name="rungwise")
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else int(end.code is not None)
    except RungwiseError as error:
        _refuse(error, as_json="--json" in arguments)
        return BAD_INPUT
    except KeyboardInterrupt:
        return 130  # as a shell has it
    return 0


def _never_choke(stream: TextIO) -> None:
    """Write a question mark where the terminal has no sign for Ω or µ."""
    reconfigure = getattr(stream, "reconfigure", None)
    if reconfigure is not None:
        reconfigure(errors="replace")


def _refuse(error: RungwiseError, *, as_json: bool) -> None:
    """Tell it on the error stream, and as JSON too where JSON was asked for."""
    typer.echo(harmless(f"rungwise: {error}"), err=True)
    if as_json:
        import json

        kind = type(error).__name__
        fields = error.fields() if isinstance(error, BadInput) else {"what": str(error)}
        typer.echo(json.dumps({"error": {"kind": kind, **fields}}, ensure_ascii=False, indent=2))
