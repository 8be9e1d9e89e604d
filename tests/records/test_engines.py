from __future__ import annotations

from rungwise.records import Store


def test_store_opens(store: Store) -> None:
    with store.writing() as book:
        book.persons.add("R. Amari", zone="America/Chicago")
    with store.reading() as book:
        assert len(book.persons.all()) == 1
