"""Writing what was asked for into a file, and never over what a person wrote."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Annotated

import typer

Replace = Annotated[
    bool,
    typer.Option(
        "--replace", help="Write over an older file of the same sort; over nothing else ever."
    ),
]

HEAD = 5
"""Bytes at the beginning that tell a PDF, an SVG and a netlist from each other and from TOML."""


def write_out(out: Path, content: str | bytes, noun: str, *, replace: bool) -> None:
    """Write a file whole. noun: what it is, such as "picture".

    What lies there already stays, unless `replace` is given and it begins as this one does.
    Raises BadInput where it is not written.
    """
    told = content.encode() if isinstance(content, str) else content
    try:
        _refuse_what_lies_there(out, told, noun, replace=replace)
        _write(out, told, replace=replace)
    except OSError as fault:
        from rungwise.errors import BadInput

        what = f"The {noun} cannot be written there: {fault.strerror}."
        raise BadInput(what=what, file=out, next_step="name another file with -o") from fault


def _refuse_what_lies_there(out: Path, told: bytes, noun: str, *, replace: bool) -> None:
    from rungwise.errors import BadInput

    if not out.is_file():  # nothing, or no file: a device or a pipe takes all
        return
    with out.open("rb") as file:
        alike = file.read(HEAD) == told[:HEAD]
    if alike and replace:
        return
    raise BadInput(
        what=f"A file lies there already, and the {noun} does not replace it."
        if alike
        else f"What lies there is no {noun}, and is left alone.",
        file=out,
        next_step="name another file with -o"
        + (", or say --replace to write over it" if alike else ""),
    )


def _write(out: Path, told: bytes, *, replace: bool) -> None:
    """Whole or not at all: the old one stays until the new one is."""
    if not (replace and out.is_file()):
        with out.open("wb" if out.exists() else "xb") as file:
            file.write(told)
        return
    import tempfile

    handle, name = tempfile.mkstemp(prefix=".rungwise-", dir=out.absolute().parent)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(told)
        Path(name).replace(out)
    finally:
        Path(name).unlink(missing_ok=True)
