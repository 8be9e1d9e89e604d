"""Laying out the steps that make a place of work dead."""

from __future__ import annotations

from rungwise.cli.page import Page
from rungwise.isolation import Step
from rungwise.services import Isolation
from rungwise.unit import place_words


def tell_isolation(page: Page, isolation: Isolation) -> None:
    """Print it."""
    page.heading("lock out")
    plan = isolation.plan
    page.say(f"{plan.title}.", style="bold")
    if not isolation.reached:
        _tell_refused(page, isolation)
        return
    stations = max(step.station for step in plan.steps)
    page.say(f"{len(plan.steps)} steps at {stations} places, with somebody at the thermostat.")
    for caution in plan.cautions:
        page.caution(caution)
    at = 0
    for step in plan.steps:
        if step.station != at:
            at = step.station
            page.blank()
            page.say(f"At the {place_words(step.place)}", style="bold")
        _tell_step(page, step)


def _tell_refused(page: Page, isolation: Isolation) -> None:
    page.warn(
        "DANGER",
        "No plan is made from this drawing; it would leave something unproved. Treat "
        "everything as live. STOP, open and lock every breaker and disconnect, or call a licensed "
        "electrician.",
    )
    page.blank()
    for refusal in isolation.plan.refusals:
        page.point(refusal.what)
        page.say(f"Do this: {refusal.add}.", indent=4)


def _tell_step(page: Page, step: Step) -> None:
    mark = f"{step.number:>2}."
    page.point(step.text, mark=mark)
    for caution in step.cautions:
        page.caution(caution, indent=4)
    for points in step.reads:
        page.say(points, indent=4)
    if step.must_read:
        page.say(f"Must read: {step.must_read}.", indent=4)
    if step.else_means:
        page.say(f"{step.else_means}.", indent=4)
