"""A form counts once: its token and what it made are written together, or neither is."""

from __future__ import annotations

import datetime as dt

import pytest
from tests.records.maple_hollow import Shop
from tests.records.test_two_writers import at_once

from rungwise.records import Store

TOLD = dt.datetime(2026, 7, 3, 11, 0, tzinfo=dt.UTC)
PAIRS = 8


def test_of_many_that_send_one_form_at_once_one_makes_something(shop: Shop) -> None:
    """Each through a store of its own, as two servers on one database have."""
    second = Store.open(shop.store.address)

    def sends(store: Store, token: str) -> None:
        with store.writing(shop.amari) as book:
            if book.sent.claim(token, "/calls"):
                call = book.calls.open(shop.unit)
                book.sent.led(token, f"/calls/{call.id}")

    for number in range(PAIRS):
        stores = (shop.store, second) * 2
        at_once(*(lambda each=each, n=number: sends(each, f"form {n}") for each in stores))
    second.close()
    with shop.store.reading() as book:
        assert len(book.calls.of_unit(shop.unit)) == 1 + PAIRS
        sent = [book.sent.of(f"form {number}") for number in range(PAIRS)]
        answers = {each.answer for each in sent if each}
    assert len(answers) == PAIRS


def test_what_fails_claims_nothing(shop: Shop) -> None:
    def fail() -> None:
        with shop.store.writing() as book:
            assert book.sent.claim("form", "/calls")
            raise RuntimeError

    with pytest.raises(RuntimeError):
        fail()
    with shop.store.writing() as book:
        assert book.sent.claim("form", "/calls")
        assert not book.sent.claim("form", "/calls")


def test_a_row_tells_when_it_was_told_and_when_it_was_written_down(shop: Shop) -> None:
    before = dt.datetime.now(dt.UTC)
    with shop.store.writing(shop.amari, at=TOLD) as book:
        book.sent.claim("form", "/x", device_at=TOLD + dt.timedelta(hours=3))
        book.readings.take(shop.call, "volts-coil", "27 V", value=27.0, unit="V")
        book.calls.leave(shop.call, "note", "by the fence")
    with shop.store.reading() as book:
        reading = book.readings.now(shop.call)["volts-coil"]
        entry = book.calls.entries(shop.call)["note"]
        sent = book.sent.of("form")
        for each in (reading, entry, sent):
            assert each is not None
            assert each.at == TOLD
            assert each.kept_at is not None
            assert each.kept_at >= before
        assert sent is not None
        assert (sent.device_at, sent.person_id) == (TOLD + dt.timedelta(hours=3), shop.amari)


def test_of_two_texts_for_a_field_either_may_be_chosen(shop: Shop) -> None:
    for chosen in ("Okoro's", "Amari's"):
        seen = shop.version()
        with shop.store.writing(shop.amari) as book:
            book.calls.leave(shop.call, "note", f"Amari's {chosen}", seen=seen)
        with shop.store.writing(shop.okoro) as book:
            late = book.calls.leave(shop.call, "note", f"Okoro's {chosen}", seen=seen)
            assert late.stale
        with shop.store.writing(shop.okoro) as book:
            rows = [book.calls.entries(shop.call)["note"], *book.calls.beside(shop.call)]
            book.calls.choose(shop.call, next(e.id for e in rows if e.typed.startswith(chosen)))
        with shop.store.reading() as book:
            assert book.calls.get(shop.call).note == f"{chosen} {chosen}"
            assert book.calls.beside(shop.call) == []
