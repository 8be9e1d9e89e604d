"""A call in a store is the very call of the files: what the engine reads of it is the same."""

from __future__ import annotations

import datetime as dt
import json
import re
import shutil
import tomllib
from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.records.maple_hollow import EXAMPLES, UNIT_TEXT, Shop
from tests.records.written import call_text, comment, lines, paper_rows, quoted, write_call

from rungwise.diagnosis.by_hand import ByHand
from rungwise.diagnosis.call_file import Call, call_from, read_call
from rungwise.diagnosis.checks import checks_of
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.errors import (
    BadCallFile,
    BadCandidateFile,
    BadInput,
    BadReading,
    BadRecord,
    UnknownName,
)
from rungwise.files.document import Document
from rungwise.files.table import Table
from rungwise.records import Store
from rungwise.records.files import call_values, unit_text, wires_of
from rungwise.records.intake import FolderIntake, bring_call, bring_folder
from rungwise.records.proof_text import proof_lines_in, proof_values
from rungwise.rewiring.wires_file import read_wires
from rungwise.unit.unit_file import read_unit
from rungwise.verification.proof_checks import own_checks
from rungwise.verification.proof_file import told_of
from rungwise.verification.start_story import SECONDS, seconds_card
from rungwise.verification.told import Told


@pytest.fixture(scope="module")
def brought(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Store, FolderIntake]]:
    """A store with the examples in it, which nobody writes in any more."""
    store = Store.open(f"sqlite:///{tmp_path_factory.mktemp('brought') / 'shop.sqlite'}")
    with store.writing() as book:
        found = bring_folder(book, EXAMPLES)
    yield store, found
    store.close()


def meaning(call: Call, cards: Iterable[CheckCard]) -> dict[str, object]:
    """All that the engine and the program take from a call's file."""
    return {
        "outcomes": call.outcomes(cards),
        "title": call.title,
        "customer": call.customer,
        "technician": call.technician,
        "date": call.date,
        "suspected": call.suspected,
        "fitted": call.fitted.data if call.fitted else None,
    }


def test_every_example_comes_out_as_it_went_in(
    brought: tuple[Store, FolderIntake], tmp_path: Path
) -> None:
    store, found = brought
    paths = sorted(EXAMPLES.glob("call-*.toml"))
    assert len(found.calls) == len(paths)
    cards = {}
    for call, path in zip(found.calls, paths, strict=True):
        folder = tmp_path / path.stem
        folder.mkdir()
        with store.reading() as book:
            written = write_call(book, call.id, folder)
        first, second = read_call(path), read_call(written)
        name = first.unit_name
        if name not in cards:
            cards[name] = [check.card for check in checks_of(first.unit())]
            assert (folder / "unit.toml").read_bytes() == (EXAMPLES / name).read_bytes()
        assert meaning(second, cards[name]) == meaning(first, cards[name])
        assert second.document.text.splitlines()[0] == first.document.text.splitlines()[0]


def test_file_and_rows_are_two_readers_of_one_call(brought: tuple[Store, FolderIntake]) -> None:
    """File to value to rows to value to file: every step leaves the same value."""
    store, found = brought
    for call, path in zip(found.calls, sorted(EXAMPLES.glob("call-*.toml")), strict=True):
        told = read_call(path)
        unit, wires, shop = told.unit_name, told.wires, told.shop
        with store.reading() as book:
            values = call_values(book, call.id, unit=unit, wires=wires, shop=shop)
            text = call_text(book, call.id, unit=unit, wires=wires, shop=shop)
        assert tomllib.loads(text) == values
        of_rows = call_from(Document.of_values(values, file="rows", error=BadCallFile))
        assert of_rows == call_from(Document(text, file="call.toml", error=BadCallFile))
        assert as_kept(of_rows) == as_kept(told), path.stem
        assert of_rows != replace(of_rows, title="another call")


def as_kept(call: Call) -> Call:
    """The call as records keep it: what was typed as text, the part fitted with all its figures."""
    proof = list(proof_lines_in(call.proof.data)) if call.proof else []
    kept = Table(call.document, ("proof",), proof_values(proof))
    readings = tuple(replace(each, typed=str(each.typed)) for each in call.readings)
    return replace(call, readings=readings, proof=kept, fitted=None)


def test_what_is_written_for_the_customers_page_comes_out_as_it_went_in(tmp_path: Path) -> None:
    """Quotes and line ends too."""
    told = ByHand(
        phone="555-0100", warranty='one year, "parts"', done=("Cleared the drain.", "Dried it."),
        prices=("visit: $90",),
    )  # fmt: skip
    path = tmp_path / "call.toml"
    path.write_text("\n".join(['unit = "two_pole_plain"', *paper_rows(told)]), encoding="utf-8")
    assert read_call(path).paper == told
    store = Store.open(f"sqlite:///{tmp_path / 'shop.sqlite'}")
    with store.writing() as book:
        call = bring_call(book, path)
        again = write_call(book, call.id, tmp_path)
    store.close()
    assert read_call(again).paper == told


def test_a_folder_brings_each_unit_person_and_customer_once(
    brought: tuple[Store, FolderIntake],
) -> None:
    store, found = brought
    assert len(found.units) == len(list(EXAMPLES.glob("unit-*.toml")))
    passed = {path.name.partition("-")[0] for path in found.passed_over}
    assert passed == {"candidate", "shop.toml", "van", "wires"}
    with store.reading() as book:
        for rows in (book.persons.all(), book.customers.all()):
            names = [each.name for each in rows]
            assert names
            assert len(set(names)) == len(names)
        mill = next(each for each in book.units.all() if "Mill Street" in each.title)
        site, owner = book.units.where(mill)
        assert site is not None
        assert owner is not None
        assert (site.address, site.town) == ("14 Mill Street", "Maple Hollow")


def test_what_was_refused_is_a_comment_and_does_not_speak(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        book.readings.take(shop.call, "volts-coil", "27\nA", refusal="Volts are asked.\n next: no")
        book.readings.take(shop.call, "ohms-coil", "14", value=14.0, unit="Ω", note="plunger out")
        book.readings.take(shop.call, "ohms-low", "1", value=1.0)
        book.readings.take(shop.call, "ohms-low", " ")
        text = call_text(book, shop.call)
    assert '# Not used: volts-coil = "27\\nA". Volts are asked.\n' in text
    assert tomllib.loads(text)["readings"] == [
        {"check": "ohms-coil", "value": "14", "note": "plunger out"}
    ]


def test_a_check_made_again_stands_in_the_file_twice_in_its_order(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        for typed in ("13.8 Ω", "13.9 Ω"):
            book.readings.take(shop.call, "ohms-coil", typed, value=1.0, again=True)
        read = tomllib.loads(call_text(book, shop.call))["readings"]
    assert [each["value"] for each in read] == ["13.8 Ω", "13.9 Ω"]


def test_a_note_becomes_the_comment_on_top_and_comes_back(shop: Shop, tmp_path: Path) -> None:
    with shop.store.writing(shop.amari) as book:
        book.calls.leave(shop.call, "note", "The gate sticks.\n\nDog = friendly\x1b.")
        path = write_call(book, shop.call, tmp_path)
        assert path.read_text(encoding="utf-8").startswith("# The gate sticks.\n#\n# Dog = fri")
        again = bring_call(book, path)
        assert again.note == "The gate sticks.\n\nDog = friendly."
        assert again.unit_id == shop.unit


@given(st.text())
def test_any_text_survives_between_quotes(text: str) -> None:
    assert tomllib.loads(f"key = {quoted(text)}") == {"key": text}


@given(st.text())
def test_any_text_can_stand_in_acomment(text: str) -> None:
    assert tomllib.loads("\n".join([*comment(text), "key = 1", ""])) == {"key": 1}


@given(st.dictionaries(st.text(min_size=1), st.text().filter(str.strip), max_size=4))
def test_any_symptom_survives_as_key_and_value(told: dict[str, str]) -> None:
    assert tomllib.loads("\n".join([*lines(told), ""])) == told


def test_a_part_and_the_wires_go_with_the_call(shop: Shop, tmp_path: Path) -> None:
    stock = tomllib.loads((EXAMPLES / "van-stock.toml").read_text(encoding="utf-8"))
    wires = (EXAMPLES / "wires-02-contactor-left.toml").read_bytes().decode()
    with shop.store.writing(shop.amari) as book:
        book.fitted.fit(shop.call, "contactor", stock["candidates"][0])
        book.wires.record(shop.call, "as found", "half", refusal="not TOML")
        assert wires_of(book, shop.call) is None
        book.wires.record(shop.call, "as left", wires)
        path = write_call(book, shop.call, tmp_path)
    call = read_call(path)
    assert call.fitted is not None
    assert call.fitted.data == stock["candidates"][0]
    assert read_wires(tmp_path / call.wires, call.unit()).part == "contactor"


def with_work(folder: Path, fitted: str) -> Path:
    """An example's call with a part fitted and wires, in a folder with the files it names."""
    for name in ("unit-01-mill-street.toml", "van-stock.toml", "wires-02-contactor-left.toml"):
        shutil.copy(EXAMPLES / name, folder)
    text = (EXAMPLES / "call-01-suspected-contactor.toml").read_text(encoding="utf-8")
    wires = 'suspected = "contactor"\nwires = "wires-02-contactor-left.toml"\n'
    path = folder / "call.toml"
    changed = text.replace('suspected = "contactor"\n', wires)
    path.write_text(f"{changed}\n[fitted]\n{fitted}\n", encoding="utf-8")
    return path


def test_a_part_named_from_a_stock_file_comes_in_as_itself(shop: Shop, tmp_path: Path) -> None:
    stock = tomllib.loads((EXAMPLES / "van-stock.toml").read_text(encoding="utf-8"))
    wanted = stock["candidates"][0]
    path = with_work(tmp_path, f'file = "van-stock.toml"\nname = {json.dumps(wanted["name"])}')
    with shop.store.writing(shop.amari) as book:
        call = bring_call(book, path)
        last = book.fitted.last(call.id)
        assert last is not None
        assert last.candidate == wanted
        wires = wires_of(book, call.id)
        assert wires is not None
        assert wires.stage == "as left"
        assert wires.toml == (EXAMPLES / "wires-02-contactor-left.toml").read_bytes().decode()
        again = bring_call(book, write_call(book, call.id, tmp_path))
        assert call_text(book, again.id) == call_text(book, call.id)


@pytest.mark.parametrize(
    ("fitted", "kind"),
    [
        ('file = "van-stock.toml"\nname = "gold one"', BadCallFile),
        ('file = "no-stock.toml"\nname = "gold one"', BadCandidateFile),
        ('name = "x"\nfor = "contactor"\nkind = "spring"', BadCallFile),
    ],
)
def test_a_file_that_is_refused_brings_nothing(
    on_sqlite: Shop, tmp_path: Path, fitted: str, kind: type[BadInput]
) -> None:
    path = with_work(tmp_path, fitted)
    with pytest.raises(kind), on_sqlite.store.writing(on_sqlite.amari) as book:
        bring_call(book, path)
    with on_sqlite.store.reading() as book:
        assert [each.id for each in book.calls.all()] == [on_sqlite.call]


def test_a_reading_that_its_check_cannot_have_is_refused_with_its_line(
    on_sqlite: Shop, tmp_path: Path
) -> None:
    path = with_work(tmp_path, "")
    text = path.read_text(encoding="utf-8").partition("\n[fitted]")[0]
    text, typed = re.subn(r'(check = "ohms-.*"\nvalue = )".*"', r'\1"13.8 V"', text, count=1)
    assert typed == 1
    path.write_text(text, encoding="utf-8")
    with pytest.raises(BadReading) as refused, on_sqlite.store.writing() as book:
        bring_call(book, path)
    assert refused.value.line is not None
    assert '"13.8 V"' in text.splitlines()[refused.value.line - 1]


def test_a_shipped_arrangement_can_be_the_unit(store: Store, tmp_path: Path) -> None:
    path = tmp_path / "call.toml"
    path.write_text('unit = "two_pole_plain"\n[symptoms]\nfan = "not turning"\n')
    with store.writing() as book:
        call = bring_call(book, path)
        assert call.unit_id is not None
        assert bring_call(book, path).unit_id == call.unit_id
        written = write_call(book, call.id, tmp_path)
    assert read_call(written).unit().arrangement == "two_pole_plain"


def test_a_unit_that_is_not_known_or_a_draft_is_told_so(shop: Shop, tmp_path: Path) -> None:
    with shop.store.writing(shop.amari) as book:
        unknown = book.calls.open(None, title="Phone")
        with pytest.raises(BadRecord, match="not known yet"):
            write_call(book, unknown.id, tmp_path)
        draft = book.calls.open(book.units.add("New").id)
        with pytest.raises(BadRecord, match="draft"):
            write_call(book, draft.id, tmp_path)
        with pytest.raises(UnknownName):
            call_text(book, 10**6)
    assert list(tmp_path.glob("*.toml")) == []


def test_a_call_comes_out_with_its_shop_and_the_age_of_its_unit(shop: Shop, tmp_path: Path) -> None:
    """Only where a shop file is written too; the day then comes back in with the call."""
    text = "today = 2026-01-01\n"
    with shop.store.writing(shop.amari) as book:
        book.units.leave(shop.unit, "installed", "2014-06-01")
        assert "installed" not in call_text(book, shop.call)
        path = write_call(book, shop.call, tmp_path, shop=text)
        read = read_call(path)
        assert (read.shop, read.installed) == ("shop.toml", dt.date(2014, 6, 1))
        assert (tmp_path / "shop.toml").read_text(encoding="utf-8") == text
        book.units.leave(shop.unit, "installed", "")
        again = bring_call(book, path)
        assert again.unit_id == shop.unit
        assert book.units.get(shop.unit).installed == dt.date(2014, 6, 1)


def test_the_text_of_a_unit_is_byte_for_byte_what_it_was(shop: Shop, tmp_path: Path) -> None:
    windows = UNIT_TEXT.replace("\n", "\r\n")
    with shop.store.writing(shop.amari) as book:
        book.units.rewrite(shop.unit, windows)
        assert unit_text(book.units.get(shop.unit)) == windows
        write_call(book, shop.call, tmp_path)
    assert (tmp_path / "unit.toml").read_bytes() == windows.encode()
    assert read_unit(tmp_path / "unit.toml").title


def proof_of(call: Call) -> Told:
    """What the engine takes from a call's [proof]."""
    unit = call.unit()
    checks = (*checks_of(unit), *own_checks(unit))
    cards = {each.card.id: each.card for each in checks} | {SECONDS: seconds_card()}
    assert call.proof is not None
    return told_of(call.proof, unit, cards)


@pytest.mark.parametrize("name", ["04-low-pressure", "07-blown-fuse", "18-weak-capacitor"])
def test_a_proof_comes_out_of_the_records_as_it_went_in(
    brought: tuple[Store, FolderIntake], tmp_path: Path, name: str
) -> None:
    """Repair, readings with amps and volts, refrigerant, air: the verdict is made of these."""
    store, found = brought
    names = [path.stem for path in sorted(EXAMPLES.glob("call-*.toml"))]
    call = found.calls[names.index(f"call-{name}")]
    with store.reading() as book:
        written = write_call(book, call.id, tmp_path)
    assert proof_of(read_call(written)) == proof_of(read_call(EXAMPLES / f"call-{name}.toml"))


def test_a_proof_that_cannot_speak_yet_is_a_comment(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        book.proofs.take(shop.call, "air.supply_dry", "57 °F")
        text = call_text(book, shop.call)
        assert "proof" not in tomllib.loads(text)
        assert 'air.supply_dry = "57 °F"' in text
        book.proofs.take(shop.call, "proof.repaired", "capacitor, contactor")
        text = call_text(book, shop.call)
        assert tomllib.loads(text)["proof"] == {"repaired": ["capacitor", "contactor"]}
        assert '# supply_dry = "57 °F"' in text
        book.proofs.take(shop.call, "air.return_dry", "76 °F")
        book.proofs.take(shop.call, "conditions.outdoor_coil_wet", "no")
        read = tomllib.loads(call_text(book, shop.call))["proof"]
    assert read["air"] == {"supply_dry": "57 °F", "return_dry": "76 °F"}
    assert read["conditions"] == {"outdoor_coil_wet": False}
