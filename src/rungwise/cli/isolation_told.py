"""Laying out the steps that make a unit dead."""

from __future__ import annotations

from rungwise.answers.isolating import Isolation
from rungwise.cli.page import Page
from rungwise.isolation import Step
from rungwise.isolation.wording import place_words

__all__ = ["tell_isolation"]


def tell_isolation(page: Page, isolation: Isolation) -> None:
    """Print it."""
    page.heading("make it dead")
    page.say(f"{isolation.plan.title}.", style="bold")
    for caution in isolation.cautions:
        page.say(f"{caution.signal}: {caution.text}")
    page.blank()
    for step in isolation.plan.steps:
        _tell_step(page, step)


def _tell_step(page: Page, step: Step) -> None:
    mark = f"{step.number:>2}."
    page.point(f"[{place_words(step.place)}] {step.text}", mark=mark)
    for caution in step.cautions:
        page.say(f"{caution.signal}: {caution.text}", indent=4)
    if step.must_read:
        page.say(f"Must read: {step.must_read}.", indent=4)
    if step.else_means:
        page.say(f"{step.else_means}.", indent=4)
