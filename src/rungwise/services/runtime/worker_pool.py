"""Work that takes the processor for long, done in a process of its own while pages are served.

Python reckons in one thread at a time. So a plan that takes half a second in this process is half
a second that every page waits; in another process it takes the other core.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from typing import Any, ParamSpec, TypeVar

P = ParamSpec("P")
T = TypeVar("T")

PROCESSES = 2
"""The second is begun only when work comes while the first has some."""

_pools: list[ProcessPoolExecutor] = []
"""The one that is open, if one is."""


@contextmanager
def elsewhere_open() -> Iterator[None]:
    """Keep processes at hand for `elsewhere` for as long as this is open."""
    # Spawned: this process has threads, and a fork would copy the locks that they hold.
    spawn = multiprocessing.get_context("spawn")
    pool = ProcessPoolExecutor(PROCESSES, mp_context=spawn, initializer=_begin)
    pool.submit(os.getpid)  # so that it begins to load now, and not when somebody waits
    _pools.append(pool)
    try:
        yield
    finally:
        _pools.remove(pool)
        pool.shutdown(wait=False, cancel_futures=True)


def elsewhere(work: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
    """What `work` gives: from another process where some are open, else worked out here.

    work: a function at the top of a module; it, what it is given, and what it gives go over as
    copies. Raises what it raises.
    """
    for pool in _pools:
        try:
            return pool.submit(work, *args, **kwargs).result()
        except (BrokenProcessPool, RuntimeError):  # it was killed, or is being closed
            break
    return work(*args, **kwargs)


def share_out(work: Callable[..., T], given: Sequence[tuple[Any, ...]]) -> list[T]:
    """What `work` gives for each set of arguments, worked side by side where that can be.

    In the processes that are open; else in forks of this one, which ends with its last share.
    """
    for pool in _pools:
        try:
            return [each.result() for each in [pool.submit(work, *some) for some in given]]
        except (BrokenProcessPool, RuntimeError):
            break
    if _may_fork():
        return _forked(work, given)
    return [work(*some) for some in given]


def _may_fork() -> bool:
    """Whether forks are at hand and this is no worker itself.

    RUNGWISE_PROCESSES=1 forbids them; without it as many processes work as there are cores.
    """
    told = os.environ.get("RUNGWISE_PROCESSES", "")
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else 1
    first = multiprocessing.parent_process() is None
    more = (int(told) if told.isdecimal() else cores) > 1
    return first and more and "fork" in multiprocessing.get_all_start_methods()


def _forked(work: Callable[..., T], given: Sequence[tuple[Any, ...]]) -> list[T]:
    """All but the last in a fork each, the last one here."""
    fork = multiprocessing.get_context("fork")
    with ProcessPoolExecutor(max(1, len(given) - 1), mp_context=fork) as pool:
        begun = [pool.submit(work, *some) for some in given[:-1]]
        last = work(*given[-1])
        return [*(each.result() for each in begun), last]


def _begin() -> None:
    """Leave Ctrl-C to the process that serves, and go when that one is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_leave_with_parent, daemon=True).start()


def _leave_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(0)
