"""The work on one call at 390 px: one step a card, its key in sight, nothing long, no raw names."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import Locator, Page, expect
from tests.browser.conftest import PHONE, Phone
from tests.browser.hidden_fault import Cabinet
from tests.web.mill_street import EXAMPLES, UNIT_TOML, Shop
from tests.wide import WIDE

from rungwise.faults import HEALTHY
from rungwise.records import Store
from rungwise.services import unit_from_text

UNIT = unit_from_text(UNIT_TOML)
FILE_NAMES = re.compile(
    "|".join(
        rf"(?<![\w.]){re.escape(name)}(?!\w)"
        for name in (*UNIT.terminals(), *(w for w in UNIT.wire_by_name if "_" in w))
    )
)
"""Terminals and wires as the unit's file has them: no person knows those."""

MOST_SCREENS = 3.0
MOST = 40


@pytest.fixture(scope="module")
def good() -> Cabinet:
    """The unit once it is repaired."""
    return Cabinet(HEALTHY)


@pytest.fixture(autouse=True)
def a_van(store: Store, shop: Shop) -> None:
    """A van with contactors, and what the customer and the eyes told."""
    text = (EXAMPLES / "van-stock.toml").read_text(encoding="utf-8")
    with store.writing(shop.amari) as book:
        book.persons.leave(shop.amari, "stock", text)
        book.calls.leave(shop.call, "suspected", "contactor")


def looked_at(page: Page) -> None:
    """What holds of every state: the next key on the first screen, the page short, words only."""
    key = page.locator(
        ".card .entry :is(.key.go, .answers .key, input[type=text]) >> visible=true"
    ).first
    box, strip = key.bounding_box(), page.locator("nav.way").bounding_box()
    assert box
    assert strip
    where = f"{page.url}: {key.inner_text()!r} at {box['y']:.0f}"
    assert box["y"] >= 0.0, where
    assert box["y"] + box["height"] <= strip["y"] + 0.5, where
    whole = page.locator("html").bounding_box()
    assert whole
    assert whole["height"] <= MOST_SCREENS * PHONE["height"], f"{page.url}: {whole['height']:.0f}"
    assert whole["width"] <= PHONE["width"]
    text = re.sub(r"<svg.*?</svg>|<[^>]*>", " ", page.locator("main").inner_html(), flags=re.DOTALL)
    assert FILE_NAMES.findall(text) == [], page.url
    assert not re.search(r"\bsafe\b", text.casefold())


def tap(page: Page, key: Locator) -> None:
    """Touch a key, and wait until another page is there: each carries tokens of its own."""
    token = page.locator("main input[name=token]").first
    before = token.get_attribute("value")
    key.click()
    expect(token).not_to_have_attribute("value", before or "", timeout=30_000)
    page.wait_for_load_state()  # the token stands above the rest of a page that is still read


def card(page: Page) -> Locator:
    return page.locator(".card")


def walk(page: Page, path: str) -> Iterator[str]:
    """Every state of a page until its result: the heading of its card, with the page looked at."""
    page.goto(path)
    for _ in range(MOST):
        looked_at(page)
        if card(page).locator(".stamp").count():
            return
        yield card(page).locator("h2").first.inner_text()
    pytest.fail(f"{path} comes to no result")


def fill(page: Page, typed: str) -> None:
    card(page).locator("input[name=typed]").fill(typed)
    tap(page, card(page).locator(".pad .go"))


def lock_out(page: Page) -> int:
    """The whole lockout; how many taps it took, digits left out."""
    taps = 0
    for heading in walk(page, "/calls/1/dead"):
        taps += 1
        if "touch" in heading:
            card(page).locator(".entry a.go").click()
            page.wait_for_url("**hands=*")
        elif "Prove" in heading and not page.get_by_role("button", name="Same again").count():
            fill(page, "120")
        elif "measure first" in heading:
            fill(page, "0")
        else:
            tap(page, card(page).locator(".entry .key.go").first)
    return taps


def rewire(page: Page) -> int:
    """Wires as found, moved and as left."""
    taps = 0
    for heading in walk(page, "/calls/1/wires?of=contactor"):
        taps += 1
        if "move" in heading.casefold():
            tap(page, card(page).get_by_role("button", name="Done"))
        else:
            tap(page, card(page).get_by_role("button", name=re.compile("where the unit file")))
    return taps


def prove(page: Page, good: Cabinet) -> int:
    """The test of the repair as a good unit answers it."""
    taps = 0
    for heading in walk(page, "/calls/1/proof"):
        taps += 1
        form = page.locator("section.check form[data-draft]").first
        if not page.locator("section.check").count() or "First start" in heading:
            tap(page, card(page).locator(".entry .key.go").first)
        elif page.locator("section.check .entry .key.go[name=typed]").count():
            tap(page, page.locator("section.check .entry .key.go[name=typed]"))
        elif form.locator("button[name=typed]").count():
            check = form.get_attribute("data-draft") or ""
            tap(page, form.locator(f'button[name=typed][value="{good.read(check)}"]'))
        else:
            fill(page, good_figure(page, good, form.get_attribute("data-draft") or ""))
    return taps


def good_figure(page: Page, good: Cabinet, check: str) -> str:
    """What a good unit reads; of a check of the test alone, the middle of what it must read."""
    try:
        return good.read(check)
    except KeyError:
        told = page.locator("section.check .head .must").inner_text()
        figures = [float(each) for each in re.findall(r"\d+(?:\.\d+)?", told)]
        return f"{sum(figures[-2:]) / len(figures[-2:]):.3g}"


@pytest.mark.parametrize("script", [True, False] if WIDE else [True])
def test_a_call_is_worked_card_by_card(
    phone: Phone, shop: Shop, store: Store, good: Cabinet, *, script: bool
) -> None:
    """Without script in the wide tests; test_whole_call goes without it always."""
    page = phone(script=script)
    taps = {"lockout": lock_out(page)}
    expect(page.locator(".stamp")).to_contain_text("POWER OFF, VERIFIED")

    page.goto("/calls/1/part?of=contactor")
    looked_at(page)
    tap(page, card(page).get_by_role("button", name="Install this one"))
    looked_at(page)
    expect(card(page)).to_contain_text("Installed")

    taps["wires"] = rewire(page)
    expect(page.locator(".stamp")).to_contain_text("WIRES CHECKED")
    taps["test"] = prove(page, good)
    page.goto("/calls/1/dead")  # it was started, so the lockout is over
    looked_at(page)
    expect(page.locator(".stamp")).to_contain_text("POWER ON")

    page.goto("/calls/1/sign-off")
    looked_at(page)
    page.get_by_label("Customer signature").fill("Mrs. Finch")
    page.get_by_role("button", name="Sign and close the call").click()
    expect(page.locator(".stamp")).to_contain_text("SIGNED")
    looked_at(page)
    with store.reading() as book:
        assert book.calls.get(shop.call).state == "closed"
        assert [row.part for row in book.fitted.standing(shop.call)] == ["contactor"]
    assert taps["lockout"] <= 13
    assert taps["wires"] <= 13
    assert taps["test"] <= 26


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_loose_wires_are_listed_and_rung_out_card_by_card(phone: Phone, *, script: bool) -> None:
    page = phone(script=script)
    page.goto("/calls/1/lost")
    looked_at(page)
    tap(page, card(page).get_by_role("button", name="High-pressure switch"))
    for tag in ("w1", "w2"):
        looked_at(page)
        expect(card(page).get_by_label("Tag")).to_have_value(tag)
        card(page).get_by_label("Color").fill("yellow")
        tap(page, card(page).get_by_role("button", name="Add it"))
    expect(card(page)).to_contain_text("ohms", ignore_case=True, timeout=90_000)
    looked_at(page)


def test_an_undo_brings_the_card_back(phone: Phone) -> None:
    page = phone()
    page.goto("/calls/1/dead?hands=cabinet")
    heading = card(page).locator("h2").first
    first = heading.inner_text()
    tap(page, card(page).get_by_role("button", name="Done"))
    expect(heading).not_to_have_text(first)
    tap(page, card(page).get_by_role("button", name="Undo"))
    expect(heading).to_have_text(first)
    page.goto("/calls/1/wires?of=contactor")
    tap(page, card(page).get_by_role("button", name="L1", exact=True))
    expect(card(page)).to_contain_text("2 of 10")
    tap(page, card(page).get_by_role("button", name="Undo"))
    expect(card(page)).to_contain_text("1 of 10")
