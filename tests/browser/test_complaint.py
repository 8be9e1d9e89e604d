"""What the customer said, told with a thumb on a phone, with script and without."""

from __future__ import annotations

import pytest
from tests.browser.conftest import Phone
from tests.web.mill_street import Shop


@pytest.mark.parametrize("script", [True, False])
def test_it_is_ticked_on_a_new_call_and_taken_back_on_the_call(
    phone: Phone, shop: Shop, *, script: bool
) -> None:
    page = phone(script=script)
    page.goto("/new-call")
    page.locator("#complaint > summary").click()
    page.locator("label", has_text="After a storm").click()
    page.get_by_text("14 Mill Street").first.click()
    page.wait_for_url("**/calls/*")
    page.locator("#symptoms > summary").click()
    keys = page.locator("#complaint")
    if not keys.get_by_role("button").first.is_visible():
        keys.locator("summary").click()
    storm = keys.get_by_role("button", name="After a storm")
    assert storm.get_attribute("aria-pressed") == "true"
    storm.click()
    page.locator('#complaint button[value="after_storm"][aria-pressed="false"]').wait_for(
        state="attached"
    )
    assert shop.call
