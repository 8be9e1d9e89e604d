"""Style sheets in the page itself, so that a phone with little signal asks once and sees it.

The main sheet is linked as soon as the phone says by a cookie that it has it; the small ones of
the pages always stand in them.
"""

from __future__ import annotations

import base64
import hashlib
import re
from functools import cache

from rungwise.web.middleware import POLICY
from rungwise.web.statics import MAIN_STYLE, static_text, style_mark

_LINK = re.compile(r'<link rel="stylesheet" href="(/static/\w+/([\w.-]+\.css))">')


def dressed(page: str, has: str) -> tuple[str, str]:
    """A page with its style sheets in it, and the policy that lets just these stand there.

    has: the mark of the main sheet that the phone has, "" for none.
    """
    marks: list[str] = []

    def put(link: re.Match[str]) -> str:
        path, name = link.groups()
        if name == MAIN_STYLE and has == style_mark():
            return link[0]
        text, mark = _sheet(name)
        marks.append(mark)
        ahead = f'<link rel="prefetch" as="style" href="{path}">' if name == MAIN_STYLE else ""
        return f"<style>{text}</style>{ahead}"

    found = _LINK.sub(put, page)
    return found, POLICY.replace("style-src 'self'", " ".join(("style-src 'self'", *marks)))


@cache
def _sheet(name: str) -> tuple[str, str]:
    """The text of a sheet as it is served, and its mark in a content security policy."""
    text = static_text(name)
    digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
    return text, f"'sha256-{digest}'"
