"""A desk that many calls are worked at: fault tables at hand, built while others wait for pages."""

from __future__ import annotations

import os
import threading
from collections.abc import Collection
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

from rungwise.diagnosis import Call, FaultTable, ReadingModel, build_table
from rungwise.errors import BadInput
from rungwise.parts import PartKind
from rungwise.services.diagnose import CallDiagnosis, answer_of
from rungwise.services.input_files import UnitSource
from rungwise.services.runtime.result_cache import RESULTS, ResultCache
from rungwise.services.runtime.table_store import SUFFIX, digest_of, kept_table, used
from rungwise.services.runtime.worker_pool import share_out
from rungwise.unit import Unit


class _Table(Future[ReadingModel]):
    """A table that is read or built and made ready for calls; how far it has come, 0 to 1."""

    share = 0.0


class DiagnosisService:
    """Answers for a server: any number of threads may ask at once.

    folder: where tables are kept between runs; the user's cache where none is given. results: where
    tables and answers are kept at hand; a table that had to go is read again from the folder, and
    takes its answers along: they hold it.
    """

    def __init__(self, folder: Path | None = None, *, results: ResultCache = RESULTS) -> None:
        self._folder = folder or _cache()
        self._own = object()  # what another desk keeps at hand may come from another folder
        self._tables = results.shelf("fault tables", apart=(Unit, PartKind))
        self._answers = results.shelf("answers", apart=(Unit, PartKind, ReadingModel))
        self._digest = results.shelf("digests of units").per_unit(digest_of)
        # One at a time: Python works in one thread anyhow, and many that reckon take turns so
        # often that all of them wait for the last.
        self._reckoning = threading.Lock()
        self._lock = threading.RLock()
        # One at a time: a table takes a whole core for seconds, and pages need the other.
        self._builder = ThreadPoolExecutor(1, thread_name_prefix="fault-table")

    def ready(self, unit: Unit) -> float | None:
        """None where the table of `unit` is at hand; else how far it has come, 0 to 1.

        The first time that it is asked about a unit, it begins with the table. None too where the
        table could not be built: whoever asks for an answer then is told why.
        """
        table = self._table(unit)
        return None if table.done() else table.share

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
            self._own,
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

        held = self._answers.get(key, made, under=self._tables.full_key(key[:2]))
        return replace(held, call=call, outcomes=outcomes, opened=UnitSource(unit, None))

    def close(self) -> None:
        """Let the builder go; a table that is begun is finished, who waits for another is told."""
        self._builder.shutdown(wait=False, cancel_futures=True)
        for table in self._tables.drop_all(
            lambda key: isinstance(key, tuple) and key[0] is self._own
        ):
            table.cancel()

    def _model(self, unit: Unit) -> ReadingModel:
        table = self._table(unit)
        try:
            return table.result()
        except BaseException:
            self._tables.drop((self._own, self._digest(unit)), table)
            raise

    def _table(self, unit: Unit) -> _Table:
        key = (self._own, digest := self._digest(unit))
        with self._lock:
            table = self._tables.held(key)
            if not isinstance(table, _Table):
                table = _Table()
                self._tables.hold(key, table)
                self._builder.submit(self._make, unit, digest, table)
        return table

    def _make(self, unit: Unit, digest: str, making: _Table) -> None:
        """Read or build a table in the builder's thread, and make it ready for calls."""

        def told(share: float) -> None:
            making.share = share

        if not making.set_running_or_notify_cancel():
            return
        try:
            path = self._folder / f"{digest}{SUFFIX}"
            table = kept_table(path, digest)
            if table is None:
                table = replace(
                    build_table(unit, progress=told, share_out=share_out), digest=digest
                )
                _keep(table, path)
            used(path)
            model = ReadingModel(table)
        except BaseException as error:  # noqa: BLE001  # whoever waits for the table gets it
            making.set_exception(error)
        else:
            making.set_result(model)


def _keep(table: FaultTable, path: Path) -> None:
    """Write the table; one that cannot be kept is built again the next time."""
    try:
        table.save(path)
    except (OSError, BadInput):
        return


def _cache() -> Path:
    home = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    return Path(home, "rungwise", "tables")
