"""The picture on the card of a check."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Protocol

from rungwise.unit import Unit
from rungwise.web.cropping import cropped
from rungwise.web.leads import Leads, leads_of
from rungwise.web.pages.call.view import CheckCardView, Drawing
from rungwise.web.panes import panes
from rungwise.web.spots import place_words, wire_words
from rungwise.web.unit_pictures import MARKED, place_of, spots_of, svg_at_check
from rungwise.wording import say


class Pictured(Protocol):
    """A view whose check may have a picture."""

    asked: CheckCardView | None
    drawing: Drawing | None

    def draw(self, name: str, make: partial[str]) -> None:
        """See `View.draw`."""


def draw_on(view: Pictured, unit: Unit, suspected: Mapping[str, float]) -> None:
    """Where the leads go, in the cabinet, and what is suspected; nothing where no lead goes."""
    if view.asked is None or view.asked.leads is None:
        return
    leads = leads_of(unit, view.asked.id)
    spots = spots_of(unit, leads)
    drawn = svg_at_check(unit, "ladder", leads, suspected, place_of(unit, leads))
    view.drawing = Drawing(
        kind="ladder", caption=caption_of(unit, leads), ways=[], spots=spots,
        panes=panes(drawn, spots),
    )  # fmt: skip
    view.draw("picture", partial(cropped, drawn, spots))


def caption_of(unit: Unit, leads: Leads) -> str:
    """Where the leads go, and what the marks are."""
    if leads.jaw and not leads.red:
        return say(
            "Jaw around the {wire_words}. {MARKED}",
            wire_words=wire_words(unit, unit.wire_by_name[leads.jaw]),
            MARKED=MARKED,
        )
    if not leads.red:
        return MARKED
    red, black = (place_words(unit, each) for each in (leads.red, leads.black))
    return say("Red lead on {red}, black on {black}. {MARKED}", red=red, black=black, MARKED=MARKED)
