"""A technician's whole call at 390 px, from symptoms to signature, with script and without."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import Phone
from tests.browser.hidden_fault import Cabinet
from tests.web.mill_street import Shop

from rungwise.records import Store

FAULT = "float_switch.open"
SYMPTOMS = 5
MOST = 15


@pytest.fixture(scope="module")
def cabinet() -> Cabinet:
    return Cabinet(FAULT)


def work(page: Page, cabinet: Cabinet) -> list[str]:
    """Answer each symptom and each next check until the page names the cause."""
    asked: list[str] = []
    while asks(page) and len(asked) < MOST:
        asked.append(cabinet.answer(page))
    return asked


def asks(page: Page) -> bool:
    """Whether a check is on the card; a page still on its way here has neither card."""
    expect(page.locator("section.check, section.verdict").first).to_be_visible()
    page.wait_for_load_state()
    return bool(page.locator("section.check").count())


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_from_symptom_to_signature(
    phone: Phone, shop: Shop, store: Store, cabinet: Cabinet, *, script: bool
) -> None:
    page = phone(script=script, person=None)
    page.goto("/")
    page.get_by_role("link", name="Who is working?").click()
    page.get_by_role("button", name="R. Amari").click()
    page.get_by_role("link", name="Day", exact=True).click()
    page.get_by_role("link", name="New call").click()
    page.get_by_label("Customer complaint").fill("No cooling since Monday")
    page.get_by_role("button", name="14 Mill Street").click()
    page.wait_for_url(re.compile(r"/calls/\d+"))
    number = int(re.findall(r"/calls/(\d+)", page.url)[0])
    assert number != shop.call

    asked = work(page, cabinet)
    assert SYMPTOMS < len(asked) < MOST
    expect(page.locator("#cause")).to_be_in_viewport()  # no scrolling to be told what it is
    expect(page.locator("main")).to_contain_text(re.compile("float switch open", re.IGNORECASE))

    page.get_by_role("link", name="Lock out").first.click()
    expect(page.locator(".card")).to_contain_text("condensate float switch")  # where it lies
    page.locator(".card .entry a.key.go").click()
    expect(page.locator("main")).to_contain_text("lock", ignore_case=True)
    page.locator(".card").get_by_role("button", name="Done", exact=True).click()
    expect(page.locator(".card").get_by_role("button", name="Undo")).to_be_in_viewport()
    expect(page.locator("#now")).to_be_in_viewport()

    page.goto(f"/calls/{number}/sign-off")
    expect(page.locator("main")).to_contain_text("What was not measured", ignore_case=True)
    page.get_by_label("Anything else for the customer").fill("The float switch had water under it.")
    page.get_by_label("Customer signature").fill("Mrs. Finch")
    page.get_by_role("button", name="Sign and close the call").click()
    expect(page.get_by_role("button", name="Reopen the call")).to_be_visible()

    with store.reading() as book:
        call = book.calls.get(number)
        assert call.state == "closed"
        told = {*book.readings.now(number), *book.symptoms.now(number)}
        assert {each.removeprefix("look-") for each in told} >= {
            each.removeprefix("look-") for each in asked
        }
        signed = book.sign_offs.last(number)
        assert signed is not None
        assert signed.received_by == "Mrs. Finch"
        assert book.steps.standing(number)


def test_by_keyboard_alone(phone: Phone, shop: Shop, store: Store, cabinet: Cabinet) -> None:
    """Tab, Enter and typing are enough to enter a symptom and a reading."""
    page = phone()
    page.goto(f"/calls/{shop.call}")
    look = page.locator("section.check form[data-draft]").get_attribute("data-draft") or ""
    tab_to(page, f'section.check button[value="{cabinet.read(look)}"]')
    page.keyboard.press("Enter")
    expect(page.locator(f'section.check form[data-draft="{look}"]')).to_have_count(0)
    while not page.locator("section.check input[name=typed]").count():
        cabinet.answer(page)
    form = page.locator("section.check form[data-draft]")
    check = form.get_attribute("data-draft") or ""
    tab_to(page, "section.check input[name=typed]")
    page.keyboard.type(cabinet.read(check))
    page.keyboard.press("Enter")
    expect(page.locator(f'section.check form[data-draft="{check}"]')).to_have_count(0)
    with store.reading() as book:
        assert check in book.readings.now(shop.call)


def tab_to(page: Page, selector: str) -> None:
    """Press Tab until the element has the focus, which must then be seen."""
    for _ in range(80):
        page.keyboard.press("Tab")
        if page.locator(f"{selector} >> nth=0").evaluate("e => e === document.activeElement"):
            outline = page.locator(f"{selector} >> nth=0").evaluate(
                "e => { let s = getComputedStyle(e), p = getComputedStyle(e.parentElement);"
                " return [s.outlineStyle, s.boxShadow, p.outlineStyle, p.boxShadow].join(' ') }"
            )
            assert outline != "none none none none"
            return
    pytest.fail(f"Tab does not reach {selector}")
