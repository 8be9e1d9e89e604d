"""Answers that take the processor a second or more, worked out once and kept at hand."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from concurrent.futures import CancelledError, Future, ThreadPoolExecutor
from concurrent.futures import TimeoutError as NotYet
from typing import Any, TypeVar

__all__ = ["ResultCache"]

T = TypeVar("T")


class ResultCache:
    """Answers by key, each worked out once; the one not asked for longest goes first.

    Thread-safe. One thread works ahead, so that no more than one processor is taken from those
    who wait for a page. An answer that raised is worked out again when it is asked for again.
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._held: OrderedDict[Hashable, Future[Any]] = OrderedDict()
        self._asked: dict[Hashable, Hashable] = {}
        self._lock = threading.Lock()
        self._ahead = ThreadPoolExecutor(1, thread_name_prefix="work-ahead")

    def get(self, key: Hashable, make: Callable[[], T]) -> T:
        """The answer under `key`, worked out now if nobody has begun with it."""
        with self._lock:
            future = self._held.get(key)
            ours = future is None or future.cancel()
            if future is None or ours:
                future = self._put(key, Future())
                future.set_running_or_notify_cancel()  # or another might cancel this one in turn
            self._held.move_to_end(key)
        if ours:
            self._fill(key, future, make)
        found: T = future.result()
        return found

    def within(
        self, key: Hashable, make: Callable[[], T], wait_s: float, matter: Hashable = None
    ) -> T | None:
        """The same, None if it is not there within `wait_s`; it is then worked out meanwhile.

        matter: what it is about. An answer about it that was asked for before, and is not begun,
        is asked for no longer.
        """
        if matter is not None:
            self._forget(matter, key)
        future = self.ahead(key, make)
        try:
            return future.result(wait_s)
        except (NotYet, CancelledError):
            return None

    def ahead(self, key: Hashable, make: Callable[[], T]) -> Future[T]:
        """Begin with an answer that will be asked for, and do not wait."""
        with self._lock:
            if key not in self._held:
                self._put(key, self._ahead.submit(self._made, key, make))
            return self._held[key]

    def drop(self, which: Callable[[Hashable], bool]) -> None:
        """Let go of the answers whose keys are such."""
        with self._lock:
            for key in [key for key in self._held if which(key)]:
                del self._held[key]

    def _forget(self, matter: Hashable, key: Hashable) -> None:
        """Take back what was asked for last about a matter, if nobody has begun with it."""
        with self._lock:
            before = self._asked.get(matter)
            self._asked[matter] = key
            future = self._held.get(before) if before != key else None
            if future is not None and future.cancel():
                self._held.pop(before)

    def _made(self, key: Hashable, make: Callable[[], T]) -> T:
        try:
            return make()
        except BaseException:
            self._drop(key)
            raise

    def _fill(self, key: Hashable, future: Future[T], make: Callable[[], T]) -> None:
        try:
            future.set_result(make())
        except BaseException as error:  # noqa: BLE001  # those who wait get it
            self._drop(key)
            future.set_exception(error)

    def _put(self, key: Hashable, future: Future[Any]) -> Future[Any]:
        """The lock is held."""
        self._held[key] = future
        self._held.move_to_end(key)
        while len(self._held) > self._most:
            self._held.popitem(last=False)
        return future

    def _drop(self, key: Hashable) -> None:
        with self._lock:
            self._held.pop(key, None)
