"""Nothing that was typed is lost: it is superseded, or kept beside, and never overwritten."""

from __future__ import annotations

import datetime as dt
import math

import pytest
from tests.records.maple_hollow import Shop

from rungwise.errors import BadRecord, UnknownName
from rungwise.records import Store


def test_a_reading_is_superseded_and_its_history_stays(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        book.readings.take(shop.call, "volts-coil", "2.7", value=2.7, unit="V")
        book.readings.take(shop.call, "volts-coil", "27", value=27.0, unit="V")
    with shop.store.reading() as book:
        assert [each.typed for each in book.readings.standing(shop.call)] == ["27"]
        old, new = book.readings.history(shop.call)
        assert (old.typed, old.number, old.superseded_by_id) == ("2.7", 2.7, new.id)


def test_a_refused_reading_is_kept_as_typed_with_its_reason(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        left = book.readings.take(
            shop.call, "volts-coil", "27 A", value=27.0, unit="V", refusal="volts are asked"
        )
    assert (left.row.typed, left.row.refusal) == ("27 A", "volts are asked")
    assert left.row.value is None
    assert not left.row.counts


def test_an_empty_text_takes_a_reading_back_and_keeps_it(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        book.readings.take(shop.call, "volts-coil", "27", value=27.0)
        book.readings.take(shop.call, "volts-coil", "")
    with shop.store.reading() as book:
        assert not book.readings.now(shop.call)["volts-coil"].counts
        assert [each.typed for each in book.readings.history(shop.call)] == ["27", ""]


def test_a_check_made_again_stands_beside_the_first(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        for value in (13.8, 13.9):
            book.readings.take(
                shop.call, "ohms-coil", f"{value} Ω", value=value, unit="Ω", again=True
            )
        book.readings.take(shop.call, "ohms-coil", "14 Ω", value=14.0, unit="Ω")
    with shop.store.reading() as book:
        found = [(each.taken, each.typed) for each in book.readings.standing(shop.call)]
        assert found == [(1, "13.8 Ω"), (2, "14 Ω")]


def test_a_check_made_again_is_counted_once_when_its_form_comes_twice(shop: Shop) -> None:
    seen = shop.version()
    for _ in range(2):
        with shop.store.writing(shop.amari) as book:
            book.readings.take(shop.call, "ohms-coil", "14", value=14.0, again=True, seen=seen)
    with shop.store.reading() as book:
        assert len(book.readings.history(shop.call)) == 1


def test_a_value_comes_back_as_it_went_in(shop: Shop) -> None:
    values: list[float | str | None] = [0.0, 27.55, -1e-300, 1e308, math.inf, "humming", None]
    with shop.store.writing(shop.amari) as book:
        for number, value in enumerate(values):
            book.readings.take(shop.call, f"check-{number}", "typed", value=value)
    with shop.store.reading() as book:
        assert [each.value for each in book.readings.standing(shop.call)] == values


def test_not_a_number_is_no_reading(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book, pytest.raises(ValueError, match="no reading"):
        book.readings.take(shop.call, "volts-coil", "nan", value=math.nan)


def test_what_is_mended_keeps_its_place_in_the_order(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        for check in ("first", "second", "third"):
            book.readings.take(shop.call, check, "1")
        book.readings.take(shop.call, "first", "2")
    with shop.store.reading() as book:
        found = [(each.check, each.typed) for each in book.readings.standing(shop.call)]
    assert found == [("first", "2"), ("second", "1"), ("third", "1")]


def test_symptoms_and_readings_and_proofs_of_one_check_do_not_meet(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        book.symptoms.take(shop.call, "look-compressor", "silent", value="silent")
        book.readings.take(shop.call, "compressor", "1")
        book.proofs.take(shop.call, "compressor", "2")
    with shop.store.reading() as book:
        pages = (book.symptoms, book.readings, book.proofs)
        assert [page.now(shop.call)["compressor"].typed for page in pages] == ["silent", "1", "2"]


def test_the_same_text_twice_is_kept_once(shop: Shop) -> None:
    for _ in range(2):
        with shop.store.writing(shop.amari) as book:
            book.readings.take(shop.call, "volts-coil", "27", value=27.0)
            book.calls.leave(shop.call, "title", "Still no cooling")
    with shop.store.reading() as book:
        assert len(book.readings.history(shop.call)) == 1
        assert len(book.calls.history(shop.call, "title")) == 1


def test_two_persons_on_one_call_see_both(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        book.readings.take(shop.call, "volts-coil", "27", value=27.0)
    with shop.store.writing(shop.okoro) as book:
        book.readings.take(shop.call, "ohms-coil", "14", value=14.0)
    with shop.store.reading(shop.okoro) as book:
        found = {each.check: each for each in book.readings.standing(shop.call)}
        names = {check: each.person.name for check, each in found.items() if each.person}
    assert names == {"volts-coil": "R. Amari", "ohms-coil": "S. Okoro"}


def test_a_stale_form_overwrites_nobody_and_is_kept_beside(shop: Shop) -> None:
    seen = shop.version()
    with shop.store.writing(shop.amari) as book:
        book.readings.take(shop.call, "volts-coil", "27", value=27.0, seen=seen)
    with shop.store.writing(shop.okoro) as book:
        left = book.readings.take(shop.call, "volts-coil", "0.4", value=0.4, seen=seen)
        assert left.stale
        assert left.other is not None
        assert left.other.typed == "27"
    with shop.store.reading() as book:
        assert book.readings.now(shop.call)["volts-coil"].typed == "27"
        assert [each.typed for each in book.readings.beside(shop.call)] == ["0.4"]


def test_a_stale_form_sent_twice_is_kept_beside_once(shop: Shop) -> None:
    seen = shop.version()
    with shop.store.writing(shop.amari) as book:
        book.readings.take(shop.call, "volts-coil", "27", value=27.0, seen=seen)
    for _ in range(2):
        with shop.store.writing(shop.okoro) as book:
            book.readings.take(shop.call, "volts-coil", "0.4", value=0.4, seen=seen)
    with shop.store.reading() as book:
        assert len(book.readings.history(shop.call)) == 2


def test_a_stale_form_writes_where_nobody_else_wrote(shop: Shop) -> None:
    seen = shop.version()
    with shop.store.writing(shop.amari) as book:
        book.readings.take(shop.call, "volts-coil", "27", seen=seen)
    with shop.store.writing(shop.okoro) as book:
        assert not book.readings.take(shop.call, "ohms-coil", "14", seen=seen).stale


def test_ones_own_earlier_text_is_mended_on_the_same_form(shop: Shop) -> None:
    seen = shop.version()
    with shop.store.writing(shop.amari) as book:
        book.readings.take(shop.call, "volts-coil", "2.7", seen=seen)
    with shop.store.writing(shop.amari) as book:
        assert not book.readings.take(shop.call, "volts-coil", "27", seen=seen).stale


def test_the_one_kept_beside_can_be_chosen(shop: Shop) -> None:
    seen = shop.version()
    with shop.store.writing(shop.amari) as book:
        first = book.readings.take(shop.call, "volts-coil", "27", seen=seen).row.id
    with shop.store.writing(shop.okoro) as book:
        second = book.readings.take(shop.call, "volts-coil", "0.4", seen=seen).row.id
        book.readings.stand(second)
    with shop.store.writing(shop.okoro) as book:
        assert book.readings.now(shop.call)["volts-coil"].id == second
        assert book.readings.beside(shop.call) == []
        with pytest.raises(BadRecord, match="newer"):
            book.readings.stand(first)


def test_a_field_saves_as_it_is_left_even_when_it_is_refused(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        book.calls.leave(shop.call, "day", "2026-07-03")
        left = book.calls.leave(shop.call, "day", "on Tuesday")
        assert "not a day" in left.row.refusal
    with shop.store.reading() as book:
        assert book.calls.get(shop.call).day == dt.date(2026, 7, 3)
        assert book.calls.entries(shop.call)["day"].typed == "on Tuesday"
        history = book.calls.history(shop.call, "day")
        assert [each.typed for each in history] == ["2026-07-03", "on Tuesday"]


def test_a_field_that_is_no_column_is_kept_too(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        draft = book.units.add("A new one")
        book.units.leave(draft.id, "nameplate.rla_a", "16 V", refusal="amps are asked")
        assert draft.state == "draft"
        entry = book.units.entries(draft.id)["nameplate.rla_a"]
        assert (entry.typed, entry.refusal) == ("16 V", "amps are asked")


def test_a_stale_field_is_kept_beside_and_can_be_chosen(shop: Shop) -> None:
    seen = shop.version()
    with shop.store.writing(shop.amari) as book:
        book.calls.leave(shop.call, "title", "Hums", seen=seen)
    with shop.store.writing(shop.okoro) as book:
        left = book.calls.leave(shop.call, "title", "Is silent", seen=seen)
        assert left.stale
        assert book.calls.get(shop.call).title == "Hums"
        assert [each.typed for each in book.calls.beside(shop.call)] == ["Is silent"]
        book.calls.stand(shop.call, left.row.id)
        assert book.calls.get(shop.call).title == "Is silent"
        assert book.calls.beside(shop.call) == []


def test_every_write_on_a_call_moves_its_version(shop: Shop) -> None:
    versions = [shop.version()]
    with shop.store.writing(shop.amari) as book:
        book.readings.take(shop.call, "volts-coil", "27")
    versions.append(shop.version())
    with shop.store.writing(shop.amari) as book:
        book.calls.close(shop.call)
    versions.append(shop.version())
    assert versions == sorted(set(versions))


def test_an_error_leaves_nothing_of_its_book_behind(shop: Shop) -> None:
    def write(*calls: int) -> None:
        with shop.store.writing(shop.amari) as book:
            for call in calls:
                book.readings.take(call, "volts-coil", "27")

    with pytest.raises(UnknownName):
        write(shop.call, 9999)
    with shop.store.reading() as book:
        assert book.readings.history(shop.call) == []


def test_a_book_opened_for_reading_cannot_be_written_in(shop: Shop) -> None:
    with shop.store.reading(shop.amari) as book, pytest.raises(RuntimeError, match="reading"):
        book.calls.close(shop.call)


def test_a_moment_is_kept_in_utc_with_the_zone_of_its_person(shop: Shop) -> None:
    half_past_nine = dt.datetime.fromisoformat("2026-07-03T21:30:00.123456-05:00")
    with shop.store.writing(shop.okoro, at=half_past_nine) as book:
        number = book.readings.take(shop.call, "volts-coil", "27").row.id
    with shop.store.reading() as book:
        row = book.readings.get(number)
        assert row.at == half_past_nine
        assert row.at.tzinfo is dt.UTC
        assert row.local.isoformat() == "2026-07-04T08:00:00.123456+05:30"


def test_it_is_the_shops_day_for_whoever_has_not_said_who_works(shop: Shop) -> None:
    """In the evening at Chicago it is tomorrow already by UTC and at Kolkata."""
    evening = dt.datetime.fromisoformat("2026-07-03T21:30:00-05:00")
    with shop.store.writing(at=evening) as book:
        assert book.calls.today() == dt.date(2026, 7, 3)
    with shop.store.writing(shop.okoro, at=evening) as book:
        assert book.calls.today() == dt.date(2026, 7, 4)


def test_a_time_without_its_zone_is_refused(store: Store) -> None:
    naive = dt.datetime(2026, 7, 3)  # noqa: DTZ001  # that is what is refused
    with (
        pytest.raises(Exception, match="needs its zone"),
        store.writing(at=naive) as book,
    ):
        book.units.add("A unit")


def test_any_text_can_be_kept(shop: Shop) -> None:
    """What no database can hold becomes the replacement sign, and the rest of it stays."""
    texts = {
        "a\x00b": "a\ufffdb",
        "half \ud83d of a sign": "half \ufffd of a sign",
        "Ω\r\n\t\u202e\U0001f527": "Ω\r\n\t\u202e\U0001f527",
        "x" * 100_000: "x" * 100_000,
    }
    with shop.store.writing(shop.amari) as book:
        for number, typed in enumerate(texts):
            book.readings.take(shop.call, f"check-{number}", typed)
    with shop.store.reading() as book:
        kept = [each.typed for each in book.readings.standing(shop.call)]
    assert kept == list(texts.values())
