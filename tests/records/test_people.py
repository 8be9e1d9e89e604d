"""Shop, persons, customers, sites, units and calls."""

from __future__ import annotations

import datetime as dt

import pytest
from tests.records.maple_hollow import UNIT_TEXT, Shop

from rungwise.errors import BadRecord, UnknownName
from rungwise.records import Store


def test_a_shop_is_named_once_and_can_be_named_anew(store: Store) -> None:
    with store.writing() as book:
        assert book.shop.only() is None
        first = book.shop.name_it("Hollow Cooling", zone="America/Chicago").id
        second = book.shop.name_it("Hollow Air and Cooling", zone="America/Denver")
        assert (second.id, second.name, second.zone) == (
            first, "Hollow Air and Cooling", "America/Denver",
        )  # fmt: skip


def test_what_cannot_be_a_person_is_refused(shop: Shop) -> None:
    refusals: list[tuple[dict[str, str], str]] = [
        ({"name": " ", "zone": "UTC"}, "empty"),
        ({"name": "A. B.", "zone": "America/Chicgo"}, "America/Chicago"),
        ({"name": "A. B.", "zone": "../../etc/passwd"}, "time zone"),
        ({"name": "A. B.", "zone": ""}, "time zone"),
        ({"name": "A. B.", "zone": "UTC", "role": "king"}, "technician, owner"),
        ({"name": "R. Amari", "zone": "UTC"}, "already"),
    ]
    with shop.store.writing() as book:
        for said, what in refusals:
            with pytest.raises(BadRecord) as refused:
                book.persons.add(**said)
            assert what in str(refused.value)
        assert len(book.persons.all()) == 2


def test_a_person_who_left_is_no_longer_offered_and_keeps_what_was_told(shop: Shop) -> None:
    with shop.store.writing(shop.okoro) as book:
        book.readings.take(shop.call, "volts-coil", "27")
    with shop.store.writing(shop.amari) as book:
        book.persons.set_active(shop.okoro, active=False)
    with shop.store.reading() as book:
        assert [each.name for each in book.persons.active()] == ["R. Amari"]
        (reading,) = book.readings.standing(shop.call)
        assert reading.person is not None
        assert reading.person.name == "S. Okoro"


def test_a_customer_is_found_by_a_piece_of_name_or_number(shop: Shop) -> None:
    with shop.store.writing() as book:
        book.customers.add("100% Bakery")
    with shop.store.reading() as book:
        found = {
            words: [c.name for c in book.customers.find(words)] for words in ("FIN", "0117", "%")
        }
    assert found == {"FIN": ["Mrs. Finch"], "0117": ["Mrs. Finch"], "%": ["100% Bakery"]}


def test_a_unit_knows_where_it_is_and_whose(shop: Shop) -> None:
    with shop.store.reading() as book:
        site, customer = book.units.where(book.units.get(shop.unit))
        assert site is not None
        assert customer is not None
        assert (site.town, customer.name) == ("Maple Hollow", "Mrs. Finch")


def test_a_draft_becomes_whole_with_its_text_and_the_old_text_stays(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        draft = book.units.add("A new one")
        book.units.rewrite(draft.id, UNIT_TEXT)
        whole = book.units.rewrite(draft.id, UNIT_TEXT + "# mended\n")
        assert whole.state == "whole"
        assert whole.toml.endswith("# mended\n")
        assert [each.typed for each in book.units.history(draft.id, "toml")] == [
            UNIT_TEXT, UNIT_TEXT + "# mended\n",
        ]  # fmt: skip


def test_a_call_has_the_customer_of_its_unit_and_the_day_of_its_person(shop: Shop) -> None:
    late = dt.datetime.fromisoformat("2026-07-03T23:30:00-05:00")
    with shop.store.writing(shop.amari, at=late) as book:
        call = book.calls.open(shop.unit)
        customer, technician = book.calls.people(call)
    assert call.day == dt.date(2026, 7, 3)
    assert customer is not None
    assert customer.name == "Mrs. Finch"
    assert technician is None


def test_the_lists_of_calls(shop: Shop) -> None:
    day = dt.date(2026, 7, 4)
    with shop.store.writing(shop.amari) as book:
        booked = book.calls.open(shop.unit, day=day, booked=True)
        practice = book.calls.open(shop.unit, day=day, kind="practice")
        book.calls.close(shop.call)
        assert [each.id for each in book.calls.of_day(day)] == [booked.id]
        assert [each.id for each in book.calls.of_day(day, kind="practice")] == [practice.id]
        assert [each.id for each in book.calls.unfinished()] == [booked.id]
        assert {each.id for each in book.calls.of_unit(shop.unit)} == {booked.id, shop.call}


def test_a_call_is_booked_begun_closed_and_taken_up_again(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        call = book.calls.open(None, title="Phone: no cooling", booked=True)
        states = [call.state]
        book.calls.put_on(call.id, shop.unit)
        book.calls.give(call.id, shop.okoro)
        steps = (book.calls.start, book.calls.close, book.calls.start)
        states += [step(call.id).state for step in steps]
        assert states == ["booked", "open", "closed", "open"]
        assert call.closed_at is None
        assert (call.unit_id, call.technician_id) == (shop.unit, shop.okoro)


def test_a_number_that_is_not_there_is_told_so(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        for act in (
            lambda: book.calls.get(10**6), lambda: book.readings.take(10**6, "volts-coil", "27"),
            lambda: book.units.leave(10**6, "title", "x"), lambda: book.calls.open(10**6),
        ):  # fmt: skip
            with pytest.raises(UnknownName, match="1000000"):
                act()
    with pytest.raises(UnknownName, match="no person 1000000"), shop.store.writing(10**6):
        pass


def test_any_number_may_be_asked_for(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        for act in (book.calls.get, book.calls.close):
            for number in (0, -1, 2**31, 10**30):
                with pytest.raises(UnknownName, match="no call"):
                    act(number)


def test_a_name_that_another_has_is_kept_as_typed_and_not_taken_over(shop: Shop) -> None:
    with shop.store.writing(shop.okoro) as book:
        refused = book.persons.leave(shop.okoro, "name", " R. Amari")
        own = book.persons.leave(shop.amari, "name", "R. Amari")
    assert "already" in refused.row.refusal
    assert own.row.refusal == ""
    with shop.store.reading() as book:
        assert book.persons.get(shop.okoro).name == "S. Okoro"
        assert book.persons.entries(shop.okoro)["name"].typed == " R. Amari"


def test_a_clock_that_was_set_back_ends_nothing_before_it_began(shop: Shop) -> None:
    before = dt.datetime(1969, 12, 31, tzinfo=dt.UTC)
    with shop.store.writing(shop.amari) as book:
        visit = book.visits.arrive(shop.call).id
    with shop.store.writing(shop.amari, at=before) as book:
        left = book.visits.depart(visit)
        closed = book.calls.close(shop.call)
        assert left.left_at == left.arrived_at
        assert closed.closed_at == closed.opened_at
