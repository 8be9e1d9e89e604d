"""A call on its page: answers are kept as typed, mended, told apart, and never saved twice."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from tests.cli.running import ran
from tests.records.written import write_call
from tests.web.mill_street import EXAMPLES, UNIT_TOML, Shop, give, twin

from rungwise.diagnosis.call_file import read_call
from rungwise.records import Store
from rungwise.services import unit_from_text
from rungwise.services.runtime.table_store import SUFFIX, digest_of
from rungwise.web.unit_pictures import LEAST_BELIEF

CALLS = ("call-01-suspected-contactor.toml", "call-04-low-pressure.toml")


def enter(page: TestClient, store: Store, shop: Shop, name: str) -> int:
    """Enter an example call through its page, answer by answer."""
    told = read_call(EXAMPLES / name)
    with store.writing(shop.amari) as book:
        call = book.calls.open(shop.unit, title=told.title, suspected=told.suspected).id
    for each in (*told.symptoms, *told.readings):
        give(page, call, each.check, str(each.typed))
    return call


@pytest.mark.parametrize("name", CALLS)
def test_page_and_command_answer_the_same(
    name: str, page: TestClient, store: Store, shop: Shop, tables: Path, tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    """The twin of a call holds, key by key, what `rungwise diagnose --json` prints for it."""
    told = read_call(EXAMPLES / name)
    assert told.unit_name == "unit-01-mill-street.toml"
    call = enter(page, store, shop, name)
    with store.reading() as book:
        path = write_call(book, call, tmp_path)
    table = tables / f"{digest_of(unit_from_text(UNIT_TOML))}{SUFFIX}"
    shutil.copy(table, tmp_path / f"unit{SUFFIX}")
    printed = ran(capsys, "diagnose", str(path), "--json").json
    shown = twin(page, f"/calls/{call}")["diagnosis"]
    assert shown["verdict"]["kind"] == "found"
    printed["call"]["unit"].pop("name")
    shown["call"]["unit"].pop("name")  # the one piece that is a file's and not the unit's
    assert shown == printed


def test_what_is_read_while_the_desk_mends_the_nameplate_is_kept(
    page: TestClient, store: Store, shop: Shop
) -> None:
    """Two hands on one call: a slip on the plate makes the unit a draft, and the yard reads on."""
    plate = f"/units/{shop.unit}/plate/rla_a"
    assert page.post(plate, data={"typed": "1,650"}).json()["level"] == "wrong"
    assert give(page, shop.call, "volts-coil", "27.1 V").status_code == 303
    assert page.get(f"/calls/{shop.call}").status_code == 200
    page.post(plate, data={"typed": "16 A"})
    with store.reading() as book:
        kept = book.readings.now(shop.call)["volts-coil"]
    assert (kept.typed, kept.value) == ("27.1 V", 27.1)


def test_one_tap_keeps_a_symptom_and_another_takes_it_back(page: TestClient, shop: Shop) -> None:
    path = f"/calls/{shop.call}"
    give(page, shop.call, "look-fan", "not turning", back="look-fan")
    looks = {each["id"]: each["chosen"] for each in twin(page, path)["looks"]}
    assert looks["look-fan"] == "not turning"
    give(page, shop.call, "look-fan", "-", back="look-fan")
    looks = {each["id"]: each["chosen"] for each in twin(page, path)["looks"]}
    assert looks["look-fan"] == "-"
    assert twin(page, path)["diagnosis"]["readings"] == []


@pytest.mark.parametrize(
    ("typed", "more", "volts"),
    [
        ("27", {}, 27.0),
        ("27 V", {}, 27.0),
        ("26,4", {}, 26.4),
        ("0.4k", {}, 400.0),
        ("350", {"unit": "mV"}, 0.35),
        ("26 V", {"unit": "mV"}, 26.0),
        ("", {"quick": "can't reach"}, None),
    ],
)
def test_a_number_is_taken_as_it_is_typed(
    page: TestClient, store: Store, shop: Shop, typed: str, more: dict[str, Any],
    volts: float | None,
) -> None:  # fmt: skip
    give(page, shop.call, "volts-coil", typed, **more)
    with store.reading() as book:
        row = book.readings.now(shop.call)["volts-coil"]
    assert (row.number, row.unit, row.refusal) == (volts, "V", "")


def test_an_open_circuit_is_one_key(page: TestClient, shop: Shop) -> None:
    give(page, shop.call, "ohms-coil", "", quick="OL")
    (reading,) = twin(page, f"/calls/{shop.call}")["readings"]
    assert reading["text"] == "OL"


def test_a_number_that_cannot_be_used_is_kept_with_what_is_wrong(
    page: TestClient, shop: Shop
) -> None:
    """It stands in the window again, says why, and does not speak in the verdict."""
    answer = give(page, shop.call, "ohms-coil", "13.8 A", look=True)
    assert 'value="13.8 A"' in answer.text
    assert 'aria-invalid="true"' in answer.text
    told = twin(page, f"/calls/{shop.call}?check=ohms-coil")
    assert "is a current" in told["asked"]["wrong"]
    assert told["diagnosis"]["readings"] == []
    assert (told["readings"][0]["typed"], told["readings"][0]["text"]) == ("13.8 A", "13.8 A")


def test_a_corrected_reading_supersedes_and_its_history_stays(page: TestClient, shop: Shop) -> None:
    for typed in ("13.8 A", "138", "13.8"):
        give(page, shop.call, "ohms-coil", typed, back="r-ohms-coil")
    (reading,) = twin(page, f"/calls/{shop.call}")["readings"]
    assert reading["text"] == "13.8 Ω"
    assert [each["text"] for each in reading["earlier"]] == ["13.8 A", "138"]
    assert "<s>138</s>" in page.get(f"/calls/{shop.call}").text


def test_a_form_sent_again_saves_nothing_twice(page: TestClient, shop: Shop) -> None:
    """Reload, back button, nervous thumb."""
    path = f"/calls/{shop.call}"
    version = str(twin(page, path)["version"])
    for _ in range(3):
        give(page, shop.call, "volts-coil", "0 V", seen=version)
    (reading,) = twin(page, path)["readings"]
    assert reading["earlier"] == []
    assert twin(page, path)["clashes"] == []


def test_two_people_on_one_call_lose_nothing(page: TestClient, shop: Shop) -> None:
    """The second one's form had not seen the first one's reading: both are kept, one is chosen."""
    path = f"/calls/{shop.call}"
    seen = str(twin(page, path)["version"])
    give(page, shop.call, "ohms-coil", "13.8 Ω", seen=seen)
    page.cookies.set("person", str(shop.okafor))
    answer = give(page, shop.call, "ohms-coil", "14.2 Ω", seen=seen, look=True)
    assert "Two answers to one check" in answer.text
    (clash,) = twin(page, path)["clashes"]
    assert (clash["text"], clash["who"]) == ("14.2 Ω", "J. Okafor")
    assert (clash["stands"]["text"], clash["stands"]["who"]) == ("13.8 Ω", "R. Amari")
    page.post(f"{path}/choose", data={"row": str(clash["id"])})
    told = twin(page, path)
    assert (told["readings"][0]["text"], told["clashes"]) == ("14.2 Ω", [])


def test_the_answer_that_stands_may_be_chosen_too(page: TestClient, shop: Shop) -> None:
    path = f"/calls/{shop.call}"
    seen = str(twin(page, path)["version"])
    give(page, shop.call, "ohms-coil", "13.8 Ω", seen=seen)
    page.cookies.set("person", str(shop.okafor))
    give(page, shop.call, "ohms-coil", "14.2 Ω", seen=seen)
    (clash,) = twin(page, path)["clashes"]
    page.post(f"{path}/choose", data={"row": str(clash["stands"]["id"])})
    told = twin(page, path)
    assert (told["readings"][0]["text"], told["clashes"]) == ("13.8 Ω", [])
    assert "14.2 Ω" in [each["text"] for each in told["readings"][0]["earlier"]]


def test_answers_to_different_checks_do_not_get_in_each_others_way(
    page: TestClient, shop: Shop
) -> None:
    path = f"/calls/{shop.call}"
    seen = str(twin(page, path)["version"])
    give(page, shop.call, "ohms-coil", "13.8 Ω", seen=seen)
    give(page, shop.call, "volts-coil", "0 V", seen=seen)
    told = twin(page, path)
    assert (len(told["readings"]), told["clashes"]) == (2, [])


def test_the_next_check_tells_where_both_leads_go(page: TestClient, shop: Shop) -> None:
    asked = twin(page, f"/calls/{shop.call}?check=volts-contactor-T1-earth")["asked"]
    assert asked["leads"]["red"] == "contactor.T1"
    assert asked["leads"]["black"] == "bare metal (ground)"
    assert asked["state"] == "unit live"
    assert asked["means"]
    html = page.get(f"/calls/{shop.call}?check=volts-contactor-T1-T2").text
    assert html.count("lead goes here") == 2
    assert "<b>DANGER</b>" in html


def test_a_check_that_is_asked_for_once_more_counts_twice(
    page: TestClient, shop: Shop, store: Store
) -> None:
    """Told the same again it stands beside the first; else the card would ask for it for ever."""
    look = {"check": "look-fan-by-hand", "typed": "stuck"}
    for again in ({}, {"again": "true"}):
        page.post(f"/calls/{shop.call}/readings", data=look | again)
    with store.reading() as book:
        rows = [*book.symptoms.history(shop.call), *book.readings.history(shop.call)]
    assert [(row.taken, row.stands) for row in rows if "by-hand" in row.check] == [
        (1, True),
        (2, True),
    ]


def test_a_symptom_that_is_asked_for_once_more_reaches_the_odds_twice(
    page: TestClient, shop: Shop, store: Store, tmp_path: Path
) -> None:
    for again in ({}, {"again": "true"}):
        answer = {"check": "look-plunger", "typed": "no"} | again
        page.post(f"/calls/{shop.call}/readings", data=answer)
    with store.reading() as book:
        told = read_call(write_call(book, shop.call, tmp_path))
    rows = [each.check for each in (*told.symptoms, *told.readings)]
    assert [each for each in rows if each.endswith("plunger")] == ["plunger", "look-plunger"]


def test_a_check_that_is_skipped_is_not_advised_again(page: TestClient, shop: Shop) -> None:
    path = f"/calls/{shop.call}"
    give(page, shop.call, "volts-coil", "0 V")
    first = twin(page, path)["asked"]["id"]
    second = twin(page, f"{path}?skip={first}")["asked"]["id"]
    third = twin(page, f"{path}?skip={first}&skip={second}")["asked"]["id"]
    assert len({first, second, third}) == 3
    answer = give(page, shop.call, second, "can't tell", skip=[first])
    assert f"skip={first}" in answer.headers["location"]


def test_a_live_unit_is_told_in_the_colour_of_live_also_where_one_only_looks(
    page: TestClient, shop: Shop
) -> None:
    """A look at a live unit is made beside live parts."""
    html = page.get(f"/calls/{shop.call}?check=look-compressor").text
    assert '<p class="state live"><b>power on</b>' in html
    assert (
        '<p class="state dead"><b>power off</b>'
        in page.get(f"/calls/{shop.call}?check=ohms-coil").text
    )


def test_the_picture_marks_a_part_with_what_the_list_tells_of_it(
    page: TestClient, shop: Shop
) -> None:
    """In whole percents on both; where a part has other faults besides, the list says so.

    That nothing is wrong, or that two wires of a cable touch, is no part: no mark can stand for it.
    """
    give(page, shop.call, "look-compressor", "humming")
    give(page, shop.call, "look-fan", "turning")
    path = f"/calls/{shop.call}"
    suspects, unit = twin(page, path)["suspects"], unit_from_text(UNIT_TOML)
    drawn = {*unit.part_by_name, *unit.wire_by_name}
    html = page.get(path).text
    picture = page.get(f"{path}/picture").text
    assert any(each["in_all"] for each in suspects)
    assert not all(each["in_all"] for each in suspects)
    assert {each["part"] for each in suspects} - drawn == {"unit"}
    for each in suspects:
        share = each["in_all"] or each["probability"]
        if each["part"] in drawn and share >= LEAST_BELIEF:
            assert f"?{round(100 * share)}%" in picture, each["title"]
        if each["in_all"]:
            assert each["part"] in drawn
            assert f"All faults of this part together: {round(100 * share)}%." in html


def test_suspects_tell_what_spoke_for_them_and_against(
    page: TestClient, store: Store, shop: Shop
) -> None:
    call = enter(page, store, shop, CALLS[0])
    told = twin(page, f"/calls/{call}")
    assert told["suspects"][0]["title"] == "condensate float switch open, as it should be"
    assert told["suspects"][0]["speaks_for"]
    assert told["decided"]
    html = page.get(f"/calls/{call}").text
    assert "A guess would have replaced" in html
    assert told["diagnosis"]["verdict"]["answer"]["to_do"].capitalize() in html


def test_a_field_of_the_call_is_kept_as_it_is_left(page: TestClient, shop: Shop) -> None:
    path = f"/calls/{shop.call}"
    left = page.post(f"{path}/fields/title", data={"typed": "Warm since Monday"})
    assert left.json()["level"] == "fine"
    page.post(f"{path}/fields", data={"title": "Warm since Monday", "suspected": "contactor"})
    told = twin(page, path)
    assert (told["title"], told["suspected"]) == ("Warm since Monday", "contactor")


def test_a_suspected_part_that_is_none_is_kept_as_refused_and_stops_nothing(
    page: TestClient, shop: Shop
) -> None:
    path = f"/calls/{shop.call}"
    answer = page.post(f"{path}/fields/suspected", data={"typed": "gearbox"}).json()
    assert answer["level"] == "wrong"
    assert "not one that can be at fault" in answer["text"]
    give(page, shop.call, "volts-coil", "0 V")
    told = twin(page, path)
    assert (told["trouble"], told["suspected"]) == ("", "")
    assert "gearbox" in told["refused"]["suspected"]
    assert told["readings"][0]["typed"] == "0 V"


@pytest.mark.parametrize(
    "path",
    ["", "/dead", "/part", "/wires", "/lost", "/proof", "/sign-off", "/paper",
     "/paper/customer.pdf"],
)  # fmt: skip
def test_a_call_put_on_a_unit_without_what_was_told_keeps_its_pages(
    page: TestClient, store: Store, shop: Shop, path: str
) -> None:
    """What was suspected, read and fitted on one unit is no part of the other."""
    with store.writing(shop.amari) as book:
        book.calls.leave(shop.call, "suspected", "gearbox")
        book.symptoms.take(shop.call, "gearbox", "grinding", value="grinding")
        book.readings.take(shop.call, "ohms-gearbox", "600 Ω", value=600.0, unit="Ω")
        book.fitted.fit(shop.call, "gearbox", {"name": "a new one", "for": "gearbox"})
    answer = page.get(f"/calls/{shop.call}{path}")
    assert answer.status_code == 200
    if not path:
        assert "“600 Ω” (ohms-gearbox) is no reading of this unit" in answer.text.replace(
            "\xa0", " "
        )
        assert twin(page, f"/calls/{shop.call}")["trouble"] == ""


def test_a_photo_is_kept_once_and_shown(page: TestClient, shop: Shop) -> None:
    photo = (Path(__file__).parent / "contactor.png").read_bytes()
    for _ in range(2):
        form = {"photo": ("c.png", photo, "image/png")}
        page.post(f"/calls/{shop.call}/photos", files=form, data={"shows": "contactor"})
    (line,) = twin(page, f"/calls/{shop.call}")["photos"]
    assert line["shows"] == "contactor"
    for size in ("", "/small"):
        sent = page.get(f"/photos/{line['id']}{size}")
        assert sent.headers["content-type"].startswith("image/")
    page.post(f"/photos/{line['id']}/remove")
    assert twin(page, f"/calls/{shop.call}")["photos"] == []
