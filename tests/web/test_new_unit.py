"""A new unit: each figure is judged as it is left, and kept whether or not it can be used."""

from __future__ import annotations

from typing import Any

import pytest
from fastapi.testclient import TestClient
from tests.web.mill_street import Shop, Solving, token_in, twin

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
        ("volt", "208/230", "fine", "208/230 V. Plausible."),
        ("volt", "208/2300 V", "wrong", "too high"),
        ("maker", "Hollow Air", "", "Kept."),
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
    assert "stays a draft" in answer.text
    assert lines(page, plate)["rla_a"]["typed"] == "60"


def test_a_figure_that_cannot_be_read_does_not_keep_the_unit_out(
    page: TestClient, plate: str, store: Store
) -> None:
    leave(page, plate, "rla_a", "1O.2")
    answer = page.post(plate, data={"done": "1", "title": "Barn"})
    number = int(answer.url.path.rpartition("/")[2])
    with store.reading() as book:
        row = book.units.get(number)
    assert "1O.2" not in row.toml
    assert lines(page, plate)["rla_a"]["typed"] == "1O.2"


def test_a_unit_begun_for_a_call_leads_back_to_it(page: TestClient, shop: Shop) -> None:
    del shop
    form = {"token": token_in(page.get("/new-call").text)}
    call = page.post("/calls", data=form).url.path
    number = call.rpartition("/")[2]
    form = {"token": token_in(page.get(f"/new-unit/unit?sort=cooling&call={number}").text),
            "arrangement": "one_pole_heater", "call": number}  # fmt: skip
    plate = page.post("/units", data=form).url
    assert "Fill in its nameplate" in page.get(call).text
    answer = page.post(plate.path, data={"call": number, "done": "1", "title": "Barn"})
    assert answer.url.path == call


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
