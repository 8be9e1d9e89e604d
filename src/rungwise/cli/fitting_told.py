"""Laying out candidate parts with their verdicts and reasons."""

from __future__ import annotations

from rungwise.cli.page import Page
from rungwise.replacement import Fit, Reason, Weight
from rungwise.services import CallPart, Fitting

MARKS = {
    Weight.BARS: "no:",
    Weight.UNJUDGED: "not judged:",
    Weight.CHANGE: "change:",
    Weight.CAUTION: "look:",
    Weight.NOTE: "note:",
    Weight.PASSES: "ok:",
}


WARNED = ("live.more",)
"""Rules about what can kill, told with their signal word (ANSI Z535.4, from memory)."""


def tell_fitting(page: Page, fitting: Fitting, *, every: bool = False) -> None:
    """Print it. every: what was strong enough too; always told where there is one candidate."""
    alone = len(fitting.by_part) == 1 and len(next(iter(fitting.by_part.values()))) == 1
    for parts, fits in fitting.by_part.items():
        page.heading(" and ".join(parts))
        for place, each in enumerate(fits, start=1):
            _tell_fit(page, place, each, every=every or alone)
        unseen = dict.fromkeys(what for each in fits for what in each.not_judged)
        page.say(f"Not looked at: {', '.join(unseen)}.")
    if fitting.strangers:
        names = ", ".join(f"{f.candidate.name} ({', '.join(f.candidate.parts)})"
                          for f in fitting.strangers)  # fmt: skip
        page.blank()
        page.say(f"Not for this unit, which has no such part: {names}.")


def _tell_fit(page: Page, place: int, told: Fit, *, every: bool) -> None:
    candidate = told.candidate
    price = "" if candidate.price is None else f"{candidate.price:.2f}"
    about = ", ".join(each for each in (candidate.title, price, candidate.where) if each)
    page.point(f"{candidate.name}: {told.verdict.value} ({about})", mark=f"{place}.", style="bold")
    for reason in told.reasons:
        if every or reason.weight is not Weight.PASSES:
            _tell_reason(page, reason)
    for change in told.changes:
        page.point(change.text, mark="·", indent=4)


def _tell_reason(page: Page, reason: Reason) -> None:
    if reason.rule in WARNED:
        page.warn("WARNING", f"{reason.text}", indent=4)
    else:
        page.point(reason.text, mark=MARKS[reason.weight], indent=4)


def tell_fitted(page: Page, fitted: CallPart) -> None:
    """Print it."""
    page.heading("the part fitted")
    if fitted.beside:
        page.warn("NOTICE", f"{fitted.beside}")
    tell_fitting(page, fitted.found)
