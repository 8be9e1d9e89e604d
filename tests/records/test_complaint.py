"""What the customer said is kept with the call, on both engines, and comes back in its file."""

from __future__ import annotations

from pathlib import Path

import pytest
from alembic import command
from sqlalchemy import text
from tests.records.conftest import ENGINES, NewStore
from tests.records.maple_hollow import Shop, furnished
from tests.records.postgres import Cluster
from tests.records.written import write_call

from rungwise.diagnosis.call_file import read_call
from rungwise.errors import UnknownName
from rungwise.records import Store, archive
from rungwise.records.engine import chosen_url, connected
from rungwise.records.intake import bring_call
from rungwise.records.migration import bring_up_to_date, configuration


def test_it_goes_into_the_call_s_file_and_comes_back(shop: Shop, tmp_path: Path) -> None:
    with shop.store.writing(shop.amari) as book:
        call = book.calls.open(shop.unit, complaint=["water", "after_storm"])
        assert call.said == ("after_storm", "water")
        path = write_call(book, call.id, tmp_path)
        assert read_call(path).complaint == ("after_storm", "water")
        assert bring_call(book, path).said == ("after_storm", "water")


def test_what_is_not_known_is_refused_and_what_stands_stays(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        with pytest.raises(UnknownName):
            book.calls.open(shop.unit, complaint=["thunder"])
        book.calls.leave(shop.call, "complaint", "ice")
        left = book.calls.leave(shop.call, "complaint", "ice,thunder")
        assert "after_storm" in left.row.refusal
        assert book.calls.get(shop.call).said == ("ice",)


def test_an_archive_carries_it_to_the_other_engine(new_store: NewStore, tmp_path: Path) -> None:
    first, other = (new_store(engine) for engine in ENGINES)
    shop = furnished(first)
    with first.writing(shop.amari) as book:
        book.calls.leave(shop.call, "complaint", "noise")
    archive.export(first, tmp_path / "all.zip")
    archive.load(other, tmp_path / "all.zip")
    with other.reading() as book:
        assert book.calls.get(shop.call).said == ("noise",)


def test_a_closed_call_tells_it_with_its_cause(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        book.calls.leave(shop.call, "complaint", "smell,noise")
        book.truths.tell(shop.call, "contactor", suspect="contactor.welded")
        book.calls.close(shop.call)
        (known,) = book.truths.known()
    assert known.said == ("noise", "smell")


@pytest.mark.parametrize("engine", ENGINES)
def test_calls_from_before_have_said_nothing(
    engine: str, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    """A database of the first form, with a call in it, is brought up to date."""
    url = f"sqlite:///{tmp_path / 'old.sqlite'}"
    if engine == "postgresql":
        cluster: Cluster = request.getfixturevalue("cluster")
        url = cluster.new()
    made = connected(chosen_url(url))[0]
    with made.begin() as connection:
        command.upgrade(configuration(connection), "first_tables")
        connection.execute(
            text(
                "INSERT INTO call (version, kind, state, title, suspected, note, day, opened_at)"
                " VALUES (1, 'service', 'open', 'Old', '', '', '2026-01-02', '2026-01-02 10:00:00')"
            )
        )
        bring_up_to_date(connection)
    made.dispose()
    store = Store.open(url)
    with store.reading() as book:
        (call,) = book.calls.all()
        assert (call.title, call.said) == ("Old", ())
    store.close()
