"""A new unit: each figure is judged as it is left, and kept whether or not it can be used."""

from __future__ import annotations

from typing import Any

import pytest
from fastapi.testclient import TestClient
from tests.web.mill_street import Solving, token_in, twin

from rungwise.records import Store
from rungwise.services import DiagnosisService, unit_from_text
from rungwise.web.pages.new_unit.estimates import MARK, plain, with_estimates

PLATE = {
    "volt": "230",
    "rla_a": "10.2 A",
    "lra_a": "54",
    "fan_fla_a": "0.8",
    "herm_uf": "35 MFD",
    "fan_uf": "5",
    "mca_a": "13.9",
    "mocp_a": "20",
    "capacitor_v": "440",
}


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> DiagnosisService:
    """Nothing here asks for an answer, so no new unit is solved."""
    return Solving(tmp_path_factory.mktemp("none"))


@pytest.fixture
def plate(page: TestClient) -> str:
    """The nameplate of a unit that was just begun."""
    shown = page.get("/new-unit/unit?sort=cooling&poles=2").text
    form = {"token": token_in(shown), "arrangement": "two_pole_plain"}
    sent = [page.post("/units", data=form, follow_redirects=False) for _ in range(2)]
    first, again = (each.headers["location"] for each in sent)
    assert first == again
    return str(first)


def leave(page: TestClient, plate: str, key: str, typed: str) -> Any:
    """Leave one field, as the script does."""
    return page.post(f"{plate}/{key}", data={"typed": typed}).json()


def lines(page: TestClient, plate: str) -> dict[str, Any]:
    return {line["key"]: line for group in twin(page, plate)["groups"] for line in group["lines"]}


def test_the_form_asks_only_for_parts_that_the_arrangement_has(
    page: TestClient, plate: str
) -> None:
    assert "heater_w" not in lines(page, plate)
    assert {*PLATE, "main_ohm", "maker", "customer", "address"} <= set(lines(page, plate))


def test_a_plausible_plate_goes_into_the_unit(page: TestClient, plate: str, store: Store) -> None:
    for key, typed in PLATE.items():
        assert leave(page, plate, key, typed)["level"] == "fine", key
    place = {"customer": "Mrs. Finch", "address": "20 Mill Street", "town": "Maple Hollow"}
    answer = page.post(plate, data={**PLATE, **place, "done": "1"})
    number = int(answer.url.path.rpartition("/")[2])
    with store.reading() as book:
        row = book.units.get(number)
        site, whose = book.units.where(row)
    unit = unit_from_text(row.toml)
    assert (row.state, row.title) == ("whole", "20 Mill Street")
    assert unit.part("compressor").values["rated_a"] == 10.2
    assert unit.part("capacitor").values["volt"] == 440
    assert site is not None
    assert whose is not None
    assert (site.address, whose.phone) == ("20 Mill Street", "555 0142")


@pytest.mark.parametrize(
    ("key", "typed", "level", "told"),
    [
        ("rla_a", "160", "wrong", "too high"),
        ("rla_a", "16 V", "wrong", "is a voltage"),
        ("herm_uf", "45 F", "wrong", "did you mean 45 µF"),
        ("lra_a", "130", "doubt", "3 to 8 times is usual"),
        ("mocp_a", "22", "doubt", "no standard size"),
        ("volt", "208", "wrong", "it may have 187 to 229 V"),
        ("volt", "208/230", "fine", "208/230 V. OK"),
        ("volt", "208/2300 V", "wrong", "too high"),
        ("maker", "Hollow Air", "", "Saved."),
    ],
)
def test_a_figure_is_judged_as_it_is_left(
    page: TestClient, plate: str, key: str, typed: str, level: str, told: str
) -> None:
    left = leave(page, plate, key, typed)
    assert left["level"] == level
    assert told.casefold() in left["text"].casefold()
    line = lines(page, plate)[key]
    assert (line["typed"], line["level"]) == (typed, level)


def test_figures_that_cannot_be_true_together_leave_a_draft_and_lose_nothing(
    page: TestClient, plate: str
) -> None:
    leave(page, plate, "rla_a", "60")
    leave(page, plate, "lra_a", "54")
    told = twin(page, plate)
    assert not told["usable"]
    assert told["together"][0]["level"] == "wrong"
    answer = page.post(plate, data={"done": "1"})
    assert answer.url.path == plate
    assert "Not saved" in answer.text
    assert lines(page, plate)["rla_a"]["typed"] == "60"


def test_a_figure_that_cannot_be_read_stops_the_save_and_is_named(
    page: TestClient, plate: str, store: Store
) -> None:
    leave(page, plate, "rla_a", "1O.2")
    answer = page.post(plate, data={"done": "1", "title": "Barn"})
    number = int(plate.split("/")[2])
    with store.reading() as book:
        assert book.units.get(number).state == "draft"
    assert answer.url.path == plate
    assert "Correct first: RLA" in answer.text
    assert lines(page, plate)["rla_a"]["typed"] == "1O.2"
    leave(page, plate, "rla_a", "10.2")
    assert page.post(plate, data={"done": "1"}).url.path == f"/units/{number}"


@pytest.mark.parametrize("typed", ["40/5", "40+5", "5+40 MFD", "40 / 5 µF"])
def test_a_dual_capacitor_s_label_fills_both_sections(
    page: TestClient, plate: str, store: Store, typed: str
) -> None:
    assert leave(page, plate, "herm_uf", typed)["level"] == "fine"
    assert lines(page, plate)["fan_uf"]["text"].startswith("5 ")
    number = int(page.post(plate, data={"done": "1"}).url.path.rpartition("/")[2])
    with store.reading() as book:
        made = unit_from_text(book.units.get(number).toml)
    assert (made.nameplate["herm_uf"], made.nameplate["fan_uf"]) == (40, 5)


def test_the_fan_s_own_figure_wins_over_a_dual_label(page: TestClient, plate: str) -> None:
    leave(page, plate, "fan_uf", "7.5")
    leave(page, plate, "herm_uf", "40/5")
    assert lines(page, plate)["fan_uf"]["typed"] == "7.5"


def test_a_call_without_a_unit_asks_for_it_and_goes_on_before_the_plate(
    page: TestClient, store: Store
) -> None:
    form = {"token": token_in(page.get("/new-call").text), "said": "No cooling upstairs"}
    asked = page.post("/calls", data=form).url
    assert asked.path == "/new-unit"
    number = dict(asked.params)["call"]
    form = {"token": token_in(page.get(f"/new-unit/unit?sort=cooling&call={number}").text),
            "arrangement": "one_pole_heater", "call": number}  # fmt: skip
    assert page.post("/units", data=form).url.path == f"/calls/{number}"
    with store.reading() as book:
        call = book.calls.get(int(number))
        assert call.title == "No cooling upstairs"
        assert book.units.get(call.unit_id or 0).state == "whole"


def test_an_arrangement_that_was_looked_at_is_in_no_list(page: TestClient, plate: str) -> None:
    """Until something is typed: backing out leaves nothing behind."""
    number = int(plate.split("/")[2])
    for path in ("/units", "/new-call"):
        assert number not in [each["id"] for each in twin(page, path)["units"]], path
    leave(page, plate, "model", "HA-2")
    assert number in [each["id"] for each in twin(page, "/units")["units"]]


def test_ohms_are_estimated_until_they_are_measured() -> None:
    """Half the locked-rotor amps at the same volts, twice the ohms: impedances scale together."""
    text = 'arrangement = "one_pole_heater"\n[nameplate]\nlra_a = "40 A"\n'
    held = with_estimates(text)
    assert MARK in held
    assert unit_from_text(held).part("compressor").values["main_ohm"] == pytest.approx(2 * 0.7)
    assert plain(held).strip() == text.strip()
    assert with_estimates(held) == held
    measured = text + "[parts.compressor]\nmain_ohm = 1.1\naux_ohm = 3.0\n"
    assert MARK not in with_estimates(measured)


def test_a_phase_too_many_is_refused_in_circuit_words(page: TestClient, plate: str) -> None:
    assert leave(page, plate, "phases", "1")["level"] != "wrong"
    told = leave(page, plate, "phases", "3")
    assert told["level"] == "wrong"
    assert "a phase too many" in told["text"]
