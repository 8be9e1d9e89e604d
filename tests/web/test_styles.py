"""A page carries its style sheets until the phone has them, and lets no other style stand in it."""

from __future__ import annotations

import base64
import hashlib
import re

from rungwise.web.statics import static_text, static_url, style_mark
from rungwise.web.styles import dressed

PAGE = "".join(
    f'<link rel="stylesheet" href="{static_url(each)}">' for each in ("rungwise.css", "steps.css")
)


def mark_of(text: str) -> str:
    """What a policy says to let a style with this text stand in the page (CSP level 3)."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def test_every_style_in_the_page_is_let_by_its_own_policy() -> None:
    page, policy = dressed(PAGE, has="")
    texts = re.findall(r"<style>(.*?)</style>", page, re.DOTALL)
    assert texts == [static_text("rungwise.css"), static_text("steps.css")]
    assert all(mark_of(each) in policy for each in texts)
    assert "unsafe-inline" not in policy


def test_the_main_sheet_is_linked_once_the_phone_says_that_it_has_it() -> None:
    page, policy = dressed(PAGE, has=style_mark())
    assert f'<link rel="stylesheet" href="{static_url("rungwise.css")}">' in page
    assert static_text("rungwise.css") not in page
    assert policy.count("sha256-") == 1
    assert dressed(PAGE, has="of an older one") == dressed(PAGE, has="")
