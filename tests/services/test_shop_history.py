"""What upkeep reads out of the records: lives of parts, readings, the van, and what is left out."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.services.yard import CAPACITOR, NOW, START_KIT, TODAY, UNIT, unit, visit

from rungwise.maintenance.history import PartLife
from rungwise.records import Store, UnitOfWork
from rungwise.services.history.shop_records import ShopRecords, shop_records

HERM, FAN = "uf-capacitor-HERM-C", "uf-capacitor-FAN-C"
DROP = "drop-contactor-L1-T1"


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("store") / "shop.sqlite"
    Store.open(f"sqlite:///{path}").close()
    return path


@pytest.fixture
def book(empty: Path, tmp_path: Path) -> Iterator[UnitOfWork]:
    """A book to write in, of a shop with nothing in it."""
    path = tmp_path / "shop.sqlite"
    path.write_bytes(empty.read_bytes())
    store = Store.open(f"sqlite:///{path}", now=lambda: NOW)
    with store.writing() as held:
        yield held
    store.close()


def lives(records: ShopRecords, part: str) -> list[PartLife]:
    return [each for each in records.file.history.parts if each.part == part]


def values(life: PartLife) -> list[float]:
    return [each.value for each in life.readings]


def test_a_part_lives_until_a_fault_that_only_a_new_one_puts_right(book: UnitOfWork) -> None:
    """Readings before the repair are the old part's, the proof after it is the new one's."""
    home = unit(book)
    visit(book, home, "2025-04-10", readings={HERM: "43 µF"})
    visit(book, home, "2026-06-01", readings={HERM: "37 µF"}, proofs={HERM: "49.5 µF"},
          fitted=CAPACITOR, fault="capacitor.herm_weak")  # fmt: skip
    old, new = lives(shop_records(book), "capacitor")
    assert (old.fitted, old.ended, old.mode) == (
        dt.date(2014, 5, 20), dt.date(2026, 6, 1), "herm_weak",
    )  # fmt: skip
    assert (old.rated, values(old)) == (45.0, [43.0, 37.0])
    assert (new.fitted, new.running) == (dt.date(2026, 6, 1), True)
    assert (new.rated, values(new)) == (50.0, [49.5])


def test_a_fault_that_is_put_right_otherwise_ends_no_part(book: UnitOfWork) -> None:
    visit(book, unit(book), "2026-06-01", fault="disconnect.out")
    (found,) = lives(shop_records(book), "disconnect")
    assert found.running


def test_a_part_taken_out_unfailed_ends_without_a_mode(book: UnitOfWork) -> None:
    visit(book, unit(book), "2026-06-01", fitted=CAPACITOR)
    old, new = lives(shop_records(book), "capacitor")
    assert (old.ended, old.mode, new.running) == (dt.date(2026, 6, 1), "", True)


def test_what_a_fault_took_with_it_ends_too(book: UnitOfWork) -> None:
    visit(book, unit(book), "2026-06-01", fault="comp_r.high_resistance>contactor.pole1_pitted")
    old, new = lives(shop_records(book), "contactor")
    assert (old.mode, new.running) == ("pole1_pitted", True)


def test_a_start_kit_is_set_beside_the_compressor_and_does_not_end_it(book: UnitOfWork) -> None:
    visit(book, unit(book), "2026-06-01", fitted=START_KIT)
    (found,) = lives(shop_records(book), "compressor")
    assert found.running


def test_live_figures_count_after_the_repair_only(book: UnitOfWork) -> None:
    """Before it, the fault itself may have moved them."""
    visit(book, unit(book), "2026-06-01", readings={DROP: "240 V"}, proofs={DROP: "31 mV"})
    (found,) = lives(shop_records(book), "contactor")
    assert values(found) == [0.031]


def test_a_sudden_failure_leaves_no_reading_of_wear(book: UnitOfWork) -> None:
    home = unit(book)
    visit(book, home, "2025-04-10", readings={HERM: "44 µF"})
    visit(book, home, "2026-06-01", readings={HERM: "2 µF"}, fault="capacitor.herm_open")
    assert values(lives(shop_records(book), "capacitor")[0]) == [44.0]


def test_of_two_sections_the_more_worn_is_followed_with_its_own_rating(book: UnitOfWork) -> None:
    home = unit(book)
    for day, herm, fan in (("2025-04-10", "44.8 µF", "4.9 µF"), ("2026-04-10", "44 µF", "4.3 µF")):
        visit(book, home, day, readings={HERM: herm, FAN: fan})
    (found,) = lives(shop_records(book), "capacitor")
    assert (found.rated, values(found)) == (5.0, [4.9, 4.3])


def test_an_open_circuit_and_a_dead_short_are_no_readings_of_wear(book: UnitOfWork) -> None:
    home = unit(book)
    call = visit(book, home, "2026-04-10", readings={"insulation-compressor": "0 MΩ"}, closed=False)
    book.proofs.take(call, "insulation-compressor", "OL", value=float("inf"), unit="MΩ")
    book.calls.close(call)
    assert values(lives(shop_records(book), "compressor")[0]) == []


def test_practice_never_counts_and_an_open_call_only_when_it_is_asked_for(book: UnitOfWork) -> None:
    home = unit(book)
    visit(book, home, "2026-06-01", fault="capacitor.herm_weak", kind="practice")
    call = visit(book, home, "2026-07-06", readings={HERM: "41 µF"}, closed=False)
    (plain,) = lives(shop_records(book), "capacitor")
    assert (plain.running, values(plain)) == (True, [])
    (also,) = lives(shop_records(book, until=TODAY, also=call), "capacitor")
    assert values(also) == [41.0]
    assert shop_records(book).file.history.units[0].visits == ()


def test_a_shop_on_an_earlier_day_knows_nothing_of_what_came_later(book: UnitOfWork) -> None:
    home = unit(book)
    visit(book, home, "2025-04-10", readings={HERM: "44 µF"})
    visit(book, home, "2026-06-01", fault="capacitor.herm_weak")
    then = shop_records(book, until=dt.date(2026, 5, 1))
    (found,) = lives(then, "capacitor")
    assert (then.file.history.today, found.running) == (dt.date(2026, 5, 1), True)


def test_a_unit_that_is_not_known_well_enough_is_left_out_with_the_reason(book: UnitOfWork) -> None:
    draft = book.units.add("A draft").id
    ageless = unit(book, "", "No age")
    early = unit(book, "2025-01-01", "Called before")
    visit(book, early, "2024-06-01")
    good = unit(book, "2014-05-20", "Good")
    found = shop_records(book)
    assert {each.number for each in found.left_out} == {draft, ageless, early}
    assert "nameplate" in found.note_on(draft)
    assert "nobody entered when it was installed" in found.note_on(ageless)
    assert "after the first call" in found.note_on(early)
    assert (found.numbers, found.note_on(good)) == ({"Good": good}, "")


def test_a_year_alone_is_taken_at_its_middle_and_said_so(book: UnitOfWork) -> None:
    year = unit(book, "2014", "A year")
    plate = book.units.add(
        "A plate", toml=UNIT.replace("[nameplate]", '[nameplate]\nmade = "2012-03"')
    )
    found = shop_records(book)
    assert [each.installed for each in found.file.history.units] == [
        dt.date(2014, 7, 1), dt.date(2012, 3, 1),
    ]  # fmt: skip
    assert "2014" in found.note_on(year)
    assert "nobody entered when it was installed" in found.note_on(plate.id)


def test_a_call_in_the_first_half_of_that_year_is_not_before_the_unit(book: UnitOfWork) -> None:
    home = unit(book, "2025")
    visit(book, home, "2025-03-01", readings={HERM: "45 µF"})
    found = shop_records(book)
    assert found.left_out == ()
    assert found.file.history.units[0].installed == dt.date(2025, 3, 1)


def test_two_units_of_one_title_are_told_apart(book: UnitOfWork) -> None:
    first, second = unit(book), unit(book)
    assert set(shop_records(book).numbers.values()) == {first, second}


def test_the_van_is_counted_by_what_was_written_down_as_fitted(book: UnitOfWork) -> None:
    """Over the last year; what no list has is a line too, and what was not used stays one."""
    shop = book.shop.name_it("Hollow Cooling")
    listed = '[[candidates]]\nname = "fuse"\nfor = "lv_fuse"\nkind = "lv_fuse"\nwhere = "bin 2"\n'
    book.shop.leave(shop.id, "stock", listed)
    home = unit(book)
    for day in ("2025-01-05", "2026-05-01", "2026-06-01"):
        visit(book, home, day, fitted=CAPACITOR)
    found = shop_records(book)
    lines = {each.part: each for each in found.file.history.stock}
    assert set(lines) == {"fuse", "dual 50+5"}
    assert (lines["dual 50+5"].used, lines["dual 50+5"].cost) == (2, 12.4)
    assert (lines["fuse"].used, lines["fuse"].cost) == (0, 60.0)
    assert set(found.carried) == {"fuse"}


def test_a_list_of_the_van_that_cannot_be_read_carries_nothing(book: UnitOfWork) -> None:
    shop = book.shop.name_it("Hollow Cooling")
    book.shop.leave(shop.id, "stock", "[[candidates")
    assert shop_records(book).file.history.stock == ()


def test_the_mark_changes_with_what_counts_and_with_nothing_else(book: UnitOfWork) -> None:
    home = unit(book)
    call = visit(book, home, "2026-07-06", closed=False)
    before = book.past.mark()
    book.readings.take(call, HERM, "44 µF", value=44.0, unit="µF")
    assert book.past.mark() == before
    book.calls.close(call)
    closed = book.past.mark()
    assert closed != before
    book.units.leave(home, "installed", "2013")
    assert book.past.mark() != closed
