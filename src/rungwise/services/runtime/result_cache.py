"""One cache for all that a server keeps at hand, with a bound in bytes.

What takes long is worked out once and kept under its key: fault tables, answers, plans, pictures,
units read from their text. Everything lies in one `ResultCache`, sorted by kind on shelves; each
result is weighed once it is there, and while all of them together weigh more than the limit, the
one not asked for longest goes, with whatever was worked out of it.
"""

from __future__ import annotations

import gc
import sys
import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from concurrent.futures import CancelledError, Future, ThreadPoolExecutor
from concurrent.futures import TimeoutError as NotYet
from contextlib import suppress
from dataclasses import dataclass, field
from functools import wraps
from types import BuiltinFunctionType, FunctionType, ModuleType
from typing import Any, ParamSpec, TypeVar

from rungwise.parts import PartKind
from rungwise.unit import Unit
from rungwise.wording import current

P = ParamSpec("P")
T = TypeVar("T")

Key = tuple[str, Hashable]
"""The kind of a result, and what tells it from the others of its kind."""

LIMIT_BYTE = 1_500_000_000
"""Of all results together: eight units at 120 MB each, and some forty answers at 12 MB beside."""

ENTRY_BYTE = 1_000
"""What keeping takes besides key and result: the future with its lock, the places in the order."""

_CODE = (type, ModuleType, FunctionType, BuiltinFunctionType)
"""What belongs to the program and not to a result."""


def size_of(*roots: object, apart: tuple[type, ...] = ()) -> int:
    """Bytes that `roots` and all that hangs on them take; code is not counted.

    apart: types whose instances are weighed where they are kept themselves, and not here. A root
    is weighed whatever its type is.
    """
    seen, todo, total = {id(each) for each in roots}, list(roots), 0
    while todo:
        one = todo.pop()
        total += sys.getsizeof(one)
        # An array that is a view of another says nothing of it to the collector.
        base = getattr(one, "base", None) if hasattr(one, "strides") else None
        for each in (*gc.get_referents(one), *([] if base is None else [base])):
            if id(each) not in seen and not isinstance(each, _CODE + apart):
                seen.add(id(each))
                todo.append(each)
    return total


@dataclass
class _Entry:
    """A result that is there or under way. size_byte: 0 until it is weighed. under: its parent."""

    future: Future[Any]
    apart: tuple[type, ...] | None = None
    under: Key | None = None
    size_byte: int = 0
    children: set[Key] = field(default_factory=set)


@dataclass(frozen=True)
class CacheUsage:
    """How full a cache is. by_kind: number of results and bytes of each kind."""

    used_byte: int
    limit_byte: int
    by_kind: dict[str, tuple[int, int]]


class ResultCache:
    """Results by key, the one not asked for longest let go of first. Thread-safe."""

    def __init__(self, limit_byte: int = LIMIT_BYTE) -> None:
        self.limit_byte = limit_byte
        self._entries: OrderedDict[Key, _Entry] = OrderedDict()
        self._used_byte = 0
        self._apart: tuple[type, ...] = ()
        self._lock = threading.RLock()
        # Weighing takes some milliseconds, for which nobody needs to wait.
        self._weigher = ThreadPoolExecutor(1, thread_name_prefix="weigh-results")

    def shelf(self, kind: str, apart: tuple[type, ...] | None = None) -> Shelf:
        """Where results of one kind lie. apart: what does not count to them; see `size_of`."""
        return Shelf(self, kind, apart)

    def count_apart(self, *types: type) -> None:
        """Weigh instances of these types only where they are kept themselves."""
        self._apart = (*self._apart, *types)

    def usage(self) -> CacheUsage:
        """How full it is, once all that is there has been weighed.

        What others are made of grows as they are made, and is weighed again.
        """
        with self._lock:
            grown = [key for key, each in self._entries.items() if each.children]
        for key in grown:
            self.weigh(key)
        self._weigher.submit(int).result()
        with self._lock:
            by_kind: dict[str, tuple[int, int]] = {}
            for (kind, _), each in self._entries.items():
                count, size = by_kind.get(kind, (0, 0))
                by_kind[kind] = (count + 1, size + each.size_byte)
            return CacheUsage(self._used_byte, self.limit_byte, by_kind)

    def found(self, key: Key) -> Future[Any] | None:
        """What is kept or under way under `key`; it then is the one asked for last."""
        with self._lock:
            entry = self._entries.get(key)
            if entry is None:
                return None
            self._entries.move_to_end(key)
            return entry.future

    def put(self, key: Key, entry: _Entry) -> bool:
        """Keep an entry, replacing what was there; False where its parent is kept no longer."""
        with self._lock:
            self._take_out(key)
            parent = self._entries.get(entry.under) if entry.under is not None else None
            if entry.under is not None and parent is None:
                return False
            if parent is not None:
                parent.children.add(key)
            self._entries[key] = entry
            return True

    def weigh(self, key: Key) -> None:
        """Have what is kept under `key` weighed soon, and make room for it."""
        with suppress(RuntimeError):  # the program ends, and nobody will ask for it any more
            self._weigher.submit(self._weigh, key)

    def drop(self, key: Key, future: Future[Any] | None = None) -> None:
        """Let go of what is kept under `key`, if it is `future` or that is None."""
        with self._lock:
            entry = self._entries.get(key)
            if entry is not None and future in (None, entry.future):
                self._take_out(key)

    def drop_all(self, which: Callable[[Key], bool]) -> list[Future[Any]]:
        """Let go of all whose keys are such, and tell what they were."""
        with self._lock:
            keys = [key for key in self._entries if which(key)]
            futures = [self._entries[key].future for key in keys]
            for key in keys:
                self._take_out(key)
            return futures

    def _weigh(self, key: Key) -> None:
        with self._lock:
            entry = self._entries.get(key)
        if entry is None or not entry.future.done() or entry.future.cancelled():
            return
        if entry.future.exception() is not None:
            return
        apart = self._apart if entry.apart is None else entry.apart
        size = ENTRY_BYTE + size_of(entry.future.result(), key, apart=apart)
        with self._lock:
            if self._entries.get(key) is entry:
                self._used_byte += size - entry.size_byte
                entry.size_byte = size
                self._make_room(key)

    def _make_room(self, newest: Key) -> None:
        """The lock is held. What is under way stays, and so does what was weighed just now."""
        spare: set[Key | None] = {newest}
        if (entry := self._entries.get(newest)) is not None:
            spare.add(entry.under)
        for key in list(self._entries):
            if self._used_byte <= self.limit_byte:
                return
            found = self._entries.get(key)
            if found is not None and found.future.done() and key not in spare:
                self._take_out(key)

    def _take_out(self, key: Key) -> None:
        """The lock is held. What was worked out of it goes too: it would hold it."""
        entry = self._entries.pop(key, None)
        if entry is None:
            return
        self._used_byte -= entry.size_byte
        parent = self._entries.get(entry.under) if entry.under is not None else None
        if parent is not None:
            parent.children.discard(key)
        for each in list(entry.children):
            self._take_out(each)


class Shelf:
    """The results of one kind in a cache, each worked out once.

    One thread of the shelf works ahead, so that no more than one processor is taken from those
    who wait for a page. A result that raised is worked out again when it is asked for again.
    """

    def __init__(self, cache: ResultCache, kind: str, apart: tuple[type, ...] | None) -> None:
        self._cache = cache
        self._kind = kind
        self._apart = apart
        self._asked: dict[Hashable, Hashable] = {}
        self._lock = threading.RLock()
        self._ahead = ThreadPoolExecutor(1, thread_name_prefix=f"ahead-{kind}")

    def get(self, key: Hashable, make: Callable[[], T], under: Key | None = None) -> T:
        """The result under `key`, worked out now if nobody has begun with it.

        under: the key of a result of any shelf that this one is made of and goes with.
        """
        full = self.full_key(key)
        with self._lock:
            future = self._cache.found(full)
            ours = future is None or future.cancel()
            if future is None or ours:
                future = Future()
                future.set_running_or_notify_cancel()  # or another might cancel this one in turn
                self._cache.put(full, _Entry(future, self._apart, under))
        if ours:
            self._fill(full, future, make)
        found: T = future.result()
        return found

    def within(
        self, key: Hashable, make: Callable[[], T], wait_s: float, matter: Hashable = None
    ) -> T | None:
        """The same, None if it is not there within `wait_s`; it is then worked out meanwhile.

        matter: what it is about. A result about it that was asked for before, and is not begun,
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
        """Begin with a result that will be asked for, and do not wait."""
        full = self.full_key(key)
        with self._lock:
            future = self._cache.found(full)
            if future is None:
                future = self._ahead.submit(make)
                self.hold(key, future)
            return future

    def full_key(self, key: Hashable) -> Key:
        """The key by which the result of another shelf can go `under` this one."""
        return self._kind, key

    def hold(self, key: Hashable, future: Future[Any]) -> None:
        """Keep what somebody else works out, from now on; what fails is let go of."""
        full = self.full_key(key)
        self._cache.put(full, _Entry(future, self._apart))
        future.add_done_callback(lambda done: self._settle(full, done))

    def held(self, key: Hashable) -> Future[Any] | None:
        """What is kept or under way."""
        return self._cache.found(self.full_key(key))

    def drop(self, key: Hashable, future: Future[Any] | None = None) -> None:
        """Let go of a result, if it is `future` or that is None."""
        self._cache.drop(self.full_key(key), future)

    def drop_all(self, which: Callable[[Hashable], bool]) -> list[Future[Any]]:
        """Let go of the results of this shelf whose keys are such, and tell what they were."""
        return self._cache.drop_all(lambda full: full[0] == self._kind and which(full[1]))

    def memo(self, make: Callable[P, T]) -> Callable[P, T]:
        """Let `make` work once for the same arguments. Nobody may change what it made."""

        @wraps(make)
        def found(*args: P.args, **named: P.kwargs) -> T:
            key = (make.__qualname__, args, tuple(named.items()))
            return self.get(key, lambda: make(*args, **named))

        return found

    def per_unit(self, make: Callable[[Unit], T]) -> Callable[[Unit], T]:
        """Let `make` work once for the very same unit, and once in each language.

        Nobody may change what it made.
        """

        @wraps(make)
        def found(unit: Unit) -> T:
            # The unit is kept along: while it is, no other can come by its id.
            key = (make.__qualname__, id(unit), current())
            return self.get(key, lambda: (unit, make(unit)))[1]

        return found

    def _forget(self, matter: Hashable, key: Hashable) -> None:
        """Take back what was asked for last about a matter, if nobody has begun with it."""
        with self._lock:
            before = self._asked.get(matter)
            self._asked[matter] = key
            future = self.held(before) if before not in (None, key) else None
            if future is not None and future.cancel():
                self.drop(before)

    def _fill(self, key: Key, future: Future[T], make: Callable[[], T]) -> None:
        try:
            future.set_result(make())
        except BaseException as error:  # noqa: BLE001  # those who wait get it
            self._cache.drop(key, future)
            future.set_exception(error)
        else:
            self._cache.weigh(key)

    def _settle(self, key: Key, done: Future[Any]) -> None:
        if done.cancelled() or done.exception() is not None:
            self._cache.drop(key, done)
        else:
            self._cache.weigh(key)


RESULTS = ResultCache()
"""What this process keeps at hand."""

RESULTS.count_apart(Unit, PartKind)
