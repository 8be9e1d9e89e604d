"""This phone: what it needs to work without signal, and what it has of it."""

from __future__ import annotations

import segno
from fastapi import APIRouter

from rungwise.web.deps import Here
from rungwise.web.schemas import View, page
from rungwise.wording import mark

router = APIRouter()


class PhonePage(View):
    """What a phone needs to work without signal.

    fingerprint: of the shop's authority, "" where the server has none. door: the plain address
    that a phone opens first. address: of the pages, once it trusts them.
    """

    fingerprint: str
    door: str
    address: str


@page(router, "/phone", "phone.html")
def phone(here: Here) -> PhonePage:
    """How a phone comes to trust the server, installs the app, and what it carries."""
    trust = here.house.secure
    title = mark("Use it without signal")
    if trust is None:
        return PhonePage(title=title, fingerprint="", door="", address="")
    view = PhonePage(
        title=title, fingerprint=trust.fingerprint, door=trust.door, address=trust.address
    )
    view.draw("code", lambda: segno.make(trust.door, micro=False).svg_inline(scale=5, border=4))
    return view


class NoSignal(View):
    """What stands in for a page that this phone does not have."""


@page(router, "/phone/no-signal", "no_signal.html")
def no_signal() -> NoSignal:
    """Shown by the phone itself, where there is no signal and no copy of the page."""
    return NoSignal(title=mark("No signal"))
