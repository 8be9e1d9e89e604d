"""Where one can go: the strip of pages, and the pages of a call. A new page is put in here."""

from __future__ import annotations

from rungwise.wording import mark

STRIP = [
    ("/day", mark("Day")),
    ("/units", mark("Units")),
    ("/practice", mark("Practice")),
    ("/person", mark("Person")),
]
"""Path and name of each page that is at hand everywhere; four at the most fit a phone."""

OF_CALL: list[tuple[str, str]] = [
    ("/dead", mark("Lock out")),
    ("/part", mark("The part")),
    ("/wires", mark("Wires")),
    ("/proof", mark("Test the repair")),
    ("/sign-off", mark("Sign off")),
]
"""Path below a call's own, such as `/dead`, and name of each page about it."""


def of_call(number: int) -> list[tuple[str, str]]:
    """The pages about one call."""
    return [(f"/calls/{number}{path}", name) for path, name in OF_CALL]
