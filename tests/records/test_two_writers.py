"""Two persons write at once: both are kept, in one order, on both engines."""

from __future__ import annotations

import threading
from collections.abc import Callable

from tests.records.maple_hollow import Shop

from rungwise.records import EntryResult
from rungwise.records.rows import Reading

EACH = 12


def at_once(*jobs: Callable[[], None]) -> None:
    """Run all together, and let an error of any of them out."""
    wrong: list[BaseException] = []
    start = threading.Barrier(len(jobs))

    def run(job: Callable[[], None]) -> None:
        try:
            start.wait(timeout=30)
            job()
        except BaseException as error:  # noqa: BLE001  # told below, in the test's own thread
            wrong.append(error)

    threads = [threading.Thread(target=run, args=(job,)) for job in jobs]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    assert wrong == []


def test_readings_of_two_writers_are_all_kept_under_versions_of_their_own(shop: Shop) -> None:
    def takes(person: int) -> Callable[[], None]:
        def job() -> None:
            for number in range(EACH):
                with shop.store.writing(person) as book:
                    book.readings.take(shop.call, f"check-{person}-{number}", str(number))

        return job

    before = shop.version()
    at_once(takes(shop.amari), takes(shop.okoro))
    with shop.store.reading() as book:
        versions = [each.version for each in book.readings.standing(shop.call)]
    assert versions == list(range(before + 1, before + 1 + 2 * EACH))
    assert shop.version() == before + 2 * EACH


def test_two_who_write_one_reading_from_one_version_see_each_other(shop: Shop) -> None:
    """Whoever comes second does not win: both are kept, and the second is told of the first."""
    lefts: list[EntryResult[Reading]] = []

    def takes(person: int, number: int) -> Callable[[], None]:
        def job() -> None:
            with shop.store.writing(person) as book:
                left = book.readings.take(
                    shop.call, f"check-{number}", f"by {person}", seen=seen
                )  # fmt: skip
                lefts.append(left)

        return job

    seen = shop.version()
    for number in range(4):
        at_once(takes(shop.amari, number), takes(shop.okoro, number))
    assert sorted(left.stale for left in lefts) == [False] * 4 + [True] * 4
    with shop.store.reading() as book:
        standing = {each.check: each.typed for each in book.readings.standing(shop.call)}
        beside = {each.check: each.typed for each in book.readings.beside(shop.call)}
    assert standing.keys() == beside.keys()
    assert all({standing[each], beside[each]} == {f"by {shop.amari}", f"by {shop.okoro}"}
               for each in standing)  # fmt: skip


def test_the_same_check_made_by_two_at_once_is_counted_twice(shop: Shop) -> None:
    def takes(person: int) -> Callable[[], None]:
        def job() -> None:
            for number in range(4):
                with shop.store.writing(person) as book:
                    book.readings.take(
                        shop.call, "ohms-coil", f"{person} {number}", again=True
                    )  # fmt: skip

        return job

    at_once(takes(shop.amari), takes(shop.okoro))
    with shop.store.reading() as book:
        assert [each.taken for each in book.readings.standing(shop.call)] == list(range(1, 9))
