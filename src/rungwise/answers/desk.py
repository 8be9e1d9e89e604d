"""A desk that many calls are worked at: fault tables at hand, built while others wait for pages."""

from __future__ import annotations

import os
import threading
from collections import OrderedDict
from collections.abc import Collection
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path

from rungwise.answers.answering import Answered, answer_of
from rungwise.answers.opening import Opened
from rungwise.answers.table_store import SUFFIX, digest_of, kept_table
from rungwise.diagnosis.build import build_table
from rungwise.diagnosis.call_file import Call
from rungwise.diagnosis.fault_table import FaultTable
from rungwise.errors import BadInput
from rungwise.unit.unit import Unit

__all__ = ["Desk"]

TABLES = 16
"""Fault tables at hand; each takes about 40 MB."""

ANSWERS = 512


@dataclass
class _Making:
    """A table that is being read or built, and how far it has come, 0 to 1."""

    future: Future[FaultTable]
    share: float = 0.0


class Desk:
    """Answers for a server: any number of threads may ask at once.

    folder: where tables are kept between runs; the user's cache where none is given. tables: how
    many are held at hand; of more, the one not asked for longest is read again from the folder.
    """

    def __init__(self, folder: Path | None = None, *, tables: int = TABLES) -> None:
        self._folder = folder or _cache()
        self._most = tables
        self._tables: OrderedDict[str, _Making] = OrderedDict()
        self._answers: OrderedDict[object, Answered] = OrderedDict()
        self._digests: dict[int, tuple[Unit, str]] = {}
        self._lock = threading.Lock()
        # One at a time: a table takes a whole core for seconds, and pages need the other.
        self._builder = ThreadPoolExecutor(1, thread_name_prefix="fault-table")

    def ready(self, unit: Unit) -> float | None:
        """None where the table of `unit` is at hand; else how far it has come, 0 to 1.

        The first time that it is asked about a unit, it begins with the table.
        """
        making = self._making(unit)
        return None if making.future.done() else making.share

    def table(self, unit: Unit) -> FaultTable:
        """The fault table of `unit`; waits until it is built."""
        return self._making(unit).future.result()

    def answer(
        self, unit: Unit, call: Call, *, asked: str | None = None, skipped: Collection[str] = ()
    ) -> Answered:
        """The answer of a call on `unit`, kept for the next who asks the same; else `answer_of`.

        Raises UnknownName and BadReading for what cannot be used.
        """
        table = self.table(unit)
        outcomes = call.outcomes(table.checks)
        key = (
            self._digest(unit),
            tuple((each.card.id, each.value) for each in outcomes),
            call.suspected,
            asked,
            frozenset(skipped),
        )
        with self._lock:
            held = self._answers.get(key)
        if held is None:
            held = answer_of(call, Opened(unit, None), table, asked=asked, skipped=skipped)
            with self._lock:
                _hold(self._answers, key, held, ANSWERS)
        return replace(held, call=call, outcomes=outcomes, opened=Opened(unit, None))

    def close(self) -> None:
        """Let the builder go; a table that is begun is finished."""
        self._builder.shutdown(cancel_futures=True)

    def _making(self, unit: Unit) -> _Making:
        digest = self._digest(unit)
        with self._lock:
            making = self._tables.get(digest)
            if making is None or (making.future.done() and making.future.exception()):
                making = _Making(Future())
                self._tables[digest] = making
                self._builder.submit(self._make, unit, digest, making)
                while len(self._tables) > self._most:
                    self._tables.popitem(last=False)
            self._tables.move_to_end(digest)
        return making

    def _make(self, unit: Unit, digest: str, making: _Making) -> None:
        """Read or build a table in the builder's thread."""

        def told(share: float) -> None:
            making.share = share

        try:
            path = self._folder / f"{digest}{SUFFIX}"
            table = kept_table(path, digest)
            if table is None:
                table = replace(build_table(unit, progress=told), digest=digest)
                _keep(table, path)
        except BaseException as error:  # noqa: BLE001  # whoever waits for the table gets it
            making.future.set_exception(error)
        else:
            making.future.set_result(table)

    def _digest(self, unit: Unit) -> str:
        """The digest of `unit`, worked out once for each unit that is held."""
        known = self._digests.get(id(unit))
        if known is None or known[0] is not unit:
            known = (unit, digest_of(unit))
            self._digests[id(unit)] = known
        return known[1]


def _hold(held: OrderedDict[object, Answered], key: object, answer: Answered, most: int) -> None:
    held[key] = answer
    while len(held) > most:
        held.popitem(last=False)


def _keep(table: FaultTable, path: Path) -> None:
    """Write the table; one that cannot be kept is built again the next time."""
    try:
        table.save(path)
    except (OSError, BadInput):
        return


def _cache() -> Path:
    home = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    return Path(home, "rungwise", "tables")
