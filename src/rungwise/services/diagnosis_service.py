"""A desk that many calls are worked at: fault tables at hand, built while others wait for pages."""

from __future__ import annotations

import os
import threading
from collections import OrderedDict
from collections.abc import Collection
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

from rungwise.diagnosis import ReadingModel
from rungwise.diagnosis.build import build_table
from rungwise.diagnosis.call_file import Call
from rungwise.diagnosis.fault_table import FaultTable
from rungwise.errors import BadInput
from rungwise.services.diagnose import CallDiagnosis, answer_of
from rungwise.services.input_files import UnitSource
from rungwise.services.runtime.result_cache import ResultCache
from rungwise.services.runtime.table_store import SUFFIX, digest_of, kept_table, used
from rungwise.unit.unit import Unit

__all__ = ["DiagnosisService"]

TABLES = 8
"""Units at hand; each takes about 80 MB, half of it the table."""

ANSWERS = 512
"""Answers at hand, some 0.3 MB each, because those of a unit share what its table was made into."""

UNITS = 512
"""Units whose digest is known."""


_Key = TypeVar("_Key")
_Held = TypeVar("_Held")


@dataclass
class _Making:
    """A table that is read or built and made ready for calls; how far it has come, 0 to 1."""

    future: Future[ReadingModel]
    share: float = 0.0


class DiagnosisService:
    """Answers for a server: any number of threads may ask at once.

    folder: where tables are kept between runs; the user's cache where none is given. tables: how
    many are held at hand; of more, the one not asked for longest is read again from the folder.
    """

    def __init__(self, folder: Path | None = None, *, tables: int = TABLES) -> None:
        self._folder = folder or _cache()
        self._most = tables
        self._tables: OrderedDict[str, _Making] = OrderedDict()
        self._answers = ResultCache(ANSWERS)
        # One at a time: Python works in one thread anyhow, and many that reckon take turns so
        # often that all of them wait for the last.
        self._reckoning = threading.Lock()
        self._digests: OrderedDict[int, tuple[Unit, str]] = OrderedDict()
        self._lock = threading.RLock()
        # One at a time: a table takes a whole core for seconds, and pages need the other.
        self._builder = ThreadPoolExecutor(1, thread_name_prefix="fault-table")

    def ready(self, unit: Unit) -> float | None:
        """None where the table of `unit` is at hand; else how far it has come, 0 to 1.

        The first time that it is asked about a unit, it begins with the table. None too where the
        table could not be built: whoever asks for an answer then is told why.
        """
        making = self._making(unit)
        return None if making.future.done() else making.share

    def table(self, unit: Unit) -> FaultTable:
        """The fault table of `unit`; waits until it is built.

        Raises what building it raised; who asks after that has it tried again.
        """
        return self._model(unit).table

    def model(self, unit: Unit) -> ReadingModel:
        """That table made ready for any number of beliefs. Raises as `table` does."""
        return self._model(unit)

    def answer(
        self, unit: Unit, call: Call, *, asked: str | None = None, skipped: Collection[str] = ()
    ) -> CallDiagnosis:
        """The answer of a call on `unit`, kept for the next who asks the same; else `answer_of`.

        Raises UnknownName and BadReading for what cannot be used.
        """
        model = self._model(unit)
        outcomes = call.outcomes(model.table.checks)
        key = (
            self._digest(unit),
            unit.arrangement,  # what the unit is meant to do, which is no matter of its circuit
            tuple((each.card.id, each.value) for each in outcomes),
            call.suspected,
            call.own and (call.own.by_suspect, call.own.ratios),
            call.complaint,
            asked,
            frozenset(skipped),
        )

        def made() -> CallDiagnosis:
            with self._reckoning:
                return answer_of(call, UnitSource(unit, None), model, asked=asked, skipped=skipped)

        held = self._answers.get(key, made)
        with self._lock:
            if key[0] not in self._tables:  # forgotten meanwhile: the answer would hold its table
                self._drop_answers(key[0])
        return replace(held, call=call, outcomes=outcomes, opened=UnitSource(unit, None))

    def close(self) -> None:
        """Let the builder go; a table that is begun is finished, who waits for another is told."""
        self._builder.shutdown(wait=False, cancel_futures=True)
        with self._lock:
            for making in self._tables.values():
                making.future.cancel()

    def _model(self, unit: Unit) -> ReadingModel:
        making = self._making(unit)
        try:
            return making.future.result()
        except BaseException:
            with self._lock:
                if self._tables.get(self._digest(unit)) is making:
                    del self._tables[self._digest(unit)]
            raise

    def _making(self, unit: Unit) -> _Making:
        digest = self._digest(unit)
        with self._lock:
            making = self._tables.get(digest)
            if making is None:
                making = _Making(Future())
                self._builder.submit(self._make, unit, digest, making)
                self._tables[digest] = making
                while len(self._tables) > self._most:
                    self._forget()
            self._tables.move_to_end(digest)
        return making

    def _forget(self) -> None:
        """Let go of the unit not asked about for longest, and of its answers: they hold it."""
        digest, _ = self._tables.popitem(last=False)
        self._drop_answers(digest)

    def _drop_answers(self, digest: str) -> None:
        self._answers.drop(lambda key: isinstance(key, tuple) and key[0] == digest)

    def _make(self, unit: Unit, digest: str, making: _Making) -> None:
        """Read or build a table in the builder's thread, and make it ready for calls."""

        def told(share: float) -> None:
            making.share = share

        if not making.future.set_running_or_notify_cancel():
            return
        try:
            path = self._folder / f"{digest}{SUFFIX}"
            table = kept_table(path, digest)
            if table is None:
                table = replace(build_table(unit, progress=told), digest=digest)
                _keep(table, path)
            used(path)
            model = ReadingModel(table)
        except BaseException as error:  # noqa: BLE001  # whoever waits for the table gets it
            making.future.set_exception(error)
        else:
            making.future.set_result(model)

    def _digest(self, unit: Unit) -> str:
        """The digest of `unit`, worked out once for each unit that is held."""
        with self._lock:
            known = self._digests.get(id(unit))
            if known is None or known[0] is not unit:
                known = (unit, digest_of(unit))
            _hold(self._digests, id(unit), known, UNITS)
        return known[1]


def _hold(held: OrderedDict[_Key, _Held], key: _Key, value: _Held, most: int) -> None:
    """Hold one more, and forget what was not asked for longest."""
    held[key] = value
    held.move_to_end(key)
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
