"""The first minutes: an empty shop, the demo beside it, and what the phone tells of itself."""

from __future__ import annotations

import pytest
from fastapi.testclient import TestClient
from tests.web.mill_street import Shop, Solving, token_in, twin

from rungwise.records import Store
from rungwise.services import DiagnosisService
from rungwise.web.app import create_app


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> DiagnosisService:
    """Nothing here asks for an answer, so no unit is solved."""
    return Solving(tmp_path_factory.mktemp("none"))


@pytest.fixture
def visitor(store: Store, desk: DiagnosisService) -> TestClient:
    """A phone that was never here, in Denver, before an empty shop."""
    client = TestClient(create_app(store, desk))
    client.cookies.set("zone", "America%2FDenver")
    return client


def test_an_empty_shop_opens_on_a_unit_the_symptoms_and_the_demo(visitor: TestClient) -> None:
    told = visitor.get("/").text
    for words in ('href="/new-unit"', 'href="/new-call"', 'action="/demo"'):
        assert words in told
    assert "No call on this day" not in told


def test_a_shop_with_a_unit_opens_on_its_day(page: TestClient, shop: Shop) -> None:
    del shop
    assert not twin(page, "/day")["empty"]
    assert 'action="/demo"' not in page.get("/day").text


def test_the_demo_stands_beside_the_shop_and_says_so(visitor: TestClient, store: Store) -> None:
    shown = visitor.post("/demo").text
    assert "Demo shop. Nothing here is real." in shown
    calls = twin(visitor, "/day")["calls"]
    assert len(calls) == 2
    assert {each["progress"] for each in calls} == {"symptoms taken", "measuring"}
    assert visitor.get(f"/calls/{calls[0]['id']}").status_code == 200
    form = {"token": token_in(visitor.get("/new-call").text), "said": "in the demo"}
    visitor.post("/calls", data=form)
    assert len(twin(visitor, "/day")["calls"]) == 3
    with store.reading() as book:
        assert not book.calls.all()
        assert not book.units.all()
    assert 'action="/demo"' in visitor.post("/demo/leave").text


def test_a_person_of_the_demo_is_nobody_in_the_shop(page: TestClient, shop: Shop) -> None:
    del shop
    before = page.get("/day").text
    page.post("/demo")
    page.post("/persons", data={"name": "V. Guest", "zone": "America/Chicago"})
    assert "V. Guest" in page.get("/day").text
    page.post("/demo/leave")
    assert page.get("/day").text.split("</header>")[0] == before.split("</header>")[0]


def test_the_zone_of_the_phone_stands_where_nobody_typed_one(
    visitor: TestClient, store: Store
) -> None:
    assert twin(visitor, "/person")["zone"] == "America/Denver"
    visitor.post("/persons", data={"name": "T. Vale"})
    with store.reading() as book:
        assert [each.zone for each in book.persons.all()] == ["America/Denver"]


def test_without_a_zone_nobody_is_put_in_utc_in_silence(visitor: TestClient, store: Store) -> None:
    visitor.cookies.delete("zone")
    answer = visitor.post("/persons", data={"name": "T. Vale"})
    assert answer.status_code == 422
    assert "time zone" in answer.text
    with store.reading() as book:
        assert not book.persons.all()


@pytest.mark.parametrize("zone", ["Nowhere/Town", "%00", "../etc"])
def test_a_zone_that_does_not_exist_counts_as_none(visitor: TestClient, zone: str) -> None:
    visitor.cookies.set("zone", zone)
    assert visitor.get("/day").status_code == 200
    assert twin(visitor, "/person")["zone"] == ""


def test_a_call_of_a_late_evening_is_of_that_day_by_the_phone(store: Store) -> None:
    """03:30 UTC is still the evening before in Denver."""
    import datetime as dt  # noqa: PLC0415  # of this test alone

    at = dt.datetime(2026, 11, 28, 3, 30, tzinfo=dt.UTC)
    with store.writing(at=at, zone="America/Denver") as book:
        assert book.calls.open(None, title="late").day == dt.date(2026, 11, 27)


def test_looking_for_the_unit_keeps_what_the_customer_said(page: TestClient, shop: Shop) -> None:
    """The field and what is looked for stand in one form."""
    del shop
    asked = "/new-call?said=Warm+air+upstairs&complaint=blows_warm&find=mill"
    told = page.get(asked).text
    form = told[
        told.index('action="/calls"') : told.index("</form>", told.index('action="/calls"'))
    ]
    assert 'name="said" value="Warm air upstairs"' in form
    assert 'name="find"' in form


@pytest.mark.parametrize("words", ["HA-3-36", "ha336", "MH 0417", "mh0417"])
def test_a_unit_is_found_by_its_model_and_serial(page: TestClient, shop: Shop, words: str) -> None:
    units = twin(page, f"/units?find={words}")["units"]
    assert [each["id"] for each in units] == [shop.unit]
