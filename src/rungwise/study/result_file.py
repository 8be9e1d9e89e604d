"""Files of results, a line of JSON for each thing worked, and work shared among processes."""

from __future__ import annotations

import json
import multiprocessing
import os
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any, TypeVar

from rungwise.errors import BadInput

__all__ = ["Line", "add_result", "each", "kept_results", "read_results"]

Line = dict[str, Any]


def read_results(results: Path) -> list[Line]:
    """The lines of a file of results. Raises BadInput when there is none, or it is another file."""
    try:
        lines = results.read_text(encoding="utf-8").splitlines()
        return [json.loads(line) for line in lines if line]
    except (OSError, UnicodeDecodeError, json.JSONDecodeError) as error:
        raise BadInput(
            what="This is no file of results.",
            file=str(results),
            next_step="make one with rungwise study --world other --results FILE",
        ) from error


def kept_results(results: Path | None) -> list[Line]:
    """The lines of a file that an earlier run left, none where there is no file."""
    return read_results(results) if results is not None and results.exists() else []


def add_result(results: Path | None, line: Line) -> None:
    """Put one line at the end of the file, if there is to be one."""
    if results is not None:
        with results.open("a", encoding="utf-8") as out:
            out.write(json.dumps(line) + "\n")


Given = TypeVar("Given")
Made = TypeVar("Made")


def each(job: Callable[[Given], Made], given: Sequence[Given], processes: int) -> Iterator[Made]:
    """What the job makes of each, in this process or shared among several, as it gets done."""
    if processes == 1:
        yield from map(job, given)
        return
    # Two libraries that each take every core only wait for each other; set before they load.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    with multiprocessing.get_context("spawn").Pool(processes) as pool:
        yield from pool.imap_unordered(job, given, chunksize=1)
