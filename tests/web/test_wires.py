"""Wires: as found with one touch each, the moves, and what each wrong one as left would do."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from tests.cli.running import ran
from tests.web.mill_street import EXAMPLES, Shop, twin

from rungwise.records import Store
from rungwise.records.files import wires_of

UNIT = str(EXAMPLES / "unit-01-mill-street.toml")
PHOTO = Path(__file__).parent / "contactor.png"


def wires(page: TestClient, shop: Shop) -> Any:
    return twin(page, f"/calls/{shop.call}/wires?of=contactor")


def touch(page: TestClient, shop: Shop, stage: str, line: Any, **more: str) -> None:
    """Touch the terminal of a wire; where it is meant to be, if nothing else is said."""
    form = {"of": "contactor", "wire": line["wire"], "meant": line["meant"],
            "at": line["meant"], **more}  # fmt: skip
    answer = page.post(f"/calls/{shop.call}/wires/{stage}", data=form, follow_redirects=False)
    assert answer.status_code == 303, answer.text


def all_found(page: TestClient, shop: Shop) -> None:
    page.post(f"/calls/{shop.call}/wires/all-found", data={"of": "contactor"})


def test_nothing_is_solved_until_every_wire_was_found(page: TestClient, shop: Shop) -> None:
    touch(page, shop, "found", wires(page, shop)["wires"][0])
    view = wires(page, shop)
    assert [each["found"] for each in view["wires"]].count("") == len(view["wires"]) - 1
    assert (view["rewire"], view["moves"]) == (None, [])


def test_page_and_command_move_and_check_the_same(
    page: TestClient, store: Store, shop: Shop, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The twin holds what `rungwise rewire --json` prints for the file that the records keep."""
    all_found(page, shop)
    crossed = {"comp_r": "T2", "comp_c": "T1"}
    for line in wires(page, shop)["wires"]:
        touch(page, shop, "left", line, at=crossed.get(line["wire"], line["meant"]))
    view = wires(page, shop)
    with store.reading() as book:
        row = wires_of(book, shop.call)
        assert row is not None
        (tmp_path / "wires.toml").write_text(row.toml, encoding="utf-8")
    printed = ran(capsys, "rewire", UNIT, str(tmp_path / "wires.toml"), "--json").json
    printed["unit"].pop("name")
    view["rewire"]["unit"].pop("name")
    assert view["rewire"] == printed
    (wrong,) = view["as_left"]
    assert wrong["status"] == "wrong"
    is_on, belongs = "is on one-pole contactor T2", "belongs on one-pole contactor T1"
    assert f"to compressor R {is_on} and {belongs}" in wrong["text"]
    assert wrong["does"][0]["text"].startswith("the compressor hums")


def test_a_record_that_is_not_whole_is_no_answer_to_a_call(
    page: TestClient, store: Store, shop: Shop
) -> None:
    """Wires that nobody looked at yet are not wires that are off."""
    all_found(page, shop)
    touch(page, shop, "left", wires(page, shop)["wires"][0])
    view = wires(page, shop)
    assert (view["left_whole"], view["as_left"]) == (False, [])
    assert "not entered yet" in page.get(f"/calls/{shop.call}/wires?of=contactor").text
    with store.reading() as book:
        row = wires_of(book, shop.call)
    assert row is not None
    assert row.stage == "as found"


def test_colour_gauge_and_end_of_a_wire_are_kept_as_found(page: TestClient, shop: Shop) -> None:
    line = wires(page, shop)["wires"][0]
    touch(page, shop, "found", line, colour="brown", awg="12", joint="ring")
    kept = wires(page, shop)["wires"][0]
    assert (kept["colour"], kept["awg"], kept["joint"]) == ("brown", 12.0, "ring")


def test_what_no_wire_can_be_is_kept_and_its_reason_told(page: TestClient, shop: Shop) -> None:
    touch(page, shop, "found", wires(page, shop)["wires"][0], awg="99")
    all_found(page, shop)
    view = wires(page, shop)
    assert view["wires"][0]["awg"] == 99.0
    assert "99" in view["trouble"] or "awg" in view["trouble"]


@pytest.mark.parametrize(
    ("typed", "kept"),
    [("30 in-lb", "30"), ("30,5", "30.5"), ("#12", "12"), ("hand tight", "hand tight")],
)
def test_a_figure_that_is_no_number_leaves_the_page_standing(
    page: TestClient, shop: Shop, typed: str, kept: str
) -> None:
    all_found(page, shop)
    line = next(each for each in wires(page, shop)["wires"] if each["screwed"])
    touch(page, shop, "left", line)
    form = {"of": "contactor", "wire": line["wire"], "meant": line["meant"], "in_lb": typed}
    page.post(f"/calls/{shop.call}/wires/torque", data=form)
    assert page.get(f"/calls/{shop.call}/wires?of=contactor").status_code == 200
    torques = {each["wire"]: each["torque"] for each in wires(page, shop)["wires"]}
    assert torques[line["wire"]] == kept


def test_a_gauge_that_is_no_number_is_refused_with_its_reason(page: TestClient, shop: Shop) -> None:
    touch(page, shop, "found", wires(page, shop)["wires"][0], awg="thick")
    all_found(page, shop)
    view = wires(page, shop)
    assert "thick" in view["trouble"]
    assert page.get(f"/calls/{shop.call}/wires?of=contactor").status_code == 200


@pytest.mark.parametrize(
    ("path", "form"),
    [
        ("choose", {"row": "1"}), ("fields-choose", {"row": "1"}), ("part/none", {"of": "fan"}),
        ("dead/power-on", {"hands": "cabinet"}), ("dead/again", {"hands": "cabinet"}),
    ],
)  # fmt: skip
def test_a_number_that_no_row_can_have_is_no_page(
    page: TestClient, path: str, form: dict[str, str]
) -> None:
    assert page.post(f"/calls/{10**22}/{path}", data=form).status_code == 404


def test_a_move_is_ticked_and_taken_back(page: TestClient, shop: Shop) -> None:
    all_found(page, shop)
    first = wires(page, shop)["moves"][0]
    form = {"of": "contactor", "step": first["number"], "text": first["text"]}
    page.post(f"/calls/{shop.call}/wires/move", data=form)
    done = wires(page, shop)["moves"][0]
    assert (done["done"], done["who"]) == (True, "R. Amari")
    page.post(f"/calls/{shop.call}/wires/move", data={**form, "done": "false"})
    assert wires(page, shop)["moves"][0]["done"] is False


def test_the_new_part_cannot_always_be_held_beside_the_old(page: TestClient, shop: Shop) -> None:
    """Then as many ends hang free as the part has wires."""
    all_found(page, shop)
    form = {"of": "contactor", "marked": "yes", "place-L1": "lug, tab"}
    page.post(f"/calls/{shop.call}/wires/new", data=form)
    view = wires(page, shop)
    assert view["most_loose"] == len(view["wires"])
    assert dict(view["places"])["L1"] == "lug, tab"


def test_a_photo_of_the_wires_is_shown_small(page: TestClient, shop: Shop) -> None:
    file = {"photo": ("a.png", PHOTO.read_bytes(), "image/png")}
    answer = page.post(f"/calls/{shop.call}/wires/photos", files=file, data={"of": "contactor"})
    (photo,) = wires(page, shop)["photos"]
    assert f"/photos/{photo['id']}/small" in answer.text
    assert page.get(f"/photos/{photo['id']}/small").status_code == 200
