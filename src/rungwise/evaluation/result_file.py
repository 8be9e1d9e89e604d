"""Files of results, a line of JSON for each thing worked, and work shared among processes."""

from __future__ import annotations

import json
import multiprocessing
import os
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any, Generic, TypeVar

from rungwise.errors import BadInput

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


def plain(found: float | str | None) -> float | str | None:
    """An outcome as a line keeps it: what is infinite as a meter shows it."""
    return "OL" if found == float("inf") else found


Number = TypeVar("Number")


class Resumed(Generic[Number]):
    """Numbered things to work, less those whose lines an earlier run has left in the file.

    wanted: their numbers. number_of: the number in a line. results: the file, if there is to be
    one; lines of another seed in it are left alone. left: what is still to be worked.
    """

    def __init__(
        self,
        wanted: Sequence[Number],
        seed: int,
        number_of: Callable[[Line], Any],
        results: Path | None,
    ) -> None:
        self._wanted, self._number_of, self._results = wanted, number_of, results
        there = read_results(results) if results is not None and results.exists() else []
        mine = set(wanted)
        self.found = [it for it in there if it["seed"] == seed and number_of(it) in mine]
        done = {number_of(line) for line in self.found}
        self.left = [number for number in wanted if number not in done]

    def work(
        self,
        job: Callable[[Number], Line],
        processes: int,
        progress: Callable[[float], None] | None,
    ) -> list[Line]:
        """Work what is left; each line goes into the file as it is made. All lines, by number."""
        for line in each(job, self.left, processes):
            self.found.append(line)
            self._add(line)
            if progress is not None:
                progress(len(self.found) / len(self._wanted))
        return sorted(self.found, key=self._number_of)

    def _add(self, line: Line) -> None:
        if self._results is not None:
            with self._results.open("a", encoding="utf-8") as out:
                out.write(json.dumps(line) + "\n")
