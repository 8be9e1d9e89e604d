"""`rungwise prove`: whether a repair is proved by what was measured after it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import typer

from rungwise.cli.options import AsJson, CallFile

if TYPE_CHECKING:
    from rungwise.cli.page import Page
    from rungwise.services import RepairProof
    from rungwise.verification import Finding, StartStep, Worth

WORDS = {
    "good": "good", "note": "noted", "caution": "look at it", "refuse": "refused",
    "worthless": "says nothing", "again": "read it again",
}  # fmt: skip


def prove(call: CallFile, as_json: AsJson = False) -> None:
    """Say whether the repair is proved, what may still hide behind it, and what to measure next.

    Exit code 1 while it is not proved, and when it is refused.

    Example: rungwise prove examples/maple-hollow/call-18-weak-capacitor.toml
    """
    from rungwise.cli.printing import waiting
    from rungwise.services import proof_json, proved

    answer = proved(call, waiting)
    if as_json:
        from rungwise.cli.printing import print_json

        print_json(proof_json(answer))
    else:
        from rungwise.cli.page import Page

        _tell(Page(), answer)
    if not answer.good:
        raise typer.Exit(1)


def _tell(page: Page, answer: RepairProof) -> None:
    proof = answer.proof
    page.title(answer.call.title or answer.opened.unit.title, [answer.opened.unit.title])
    page.heading("proof of the repair")
    page.say(proof.headline, style="bold")
    for reason in proof.reasons[1 if proof.standing == "refused" else 0 :]:
        page.point(reason)
    if proof.remaining:
        page.say("Not ruled out:")
        for each in proof.remaining:
            page.point(each.text)
    for text in proof.look_for:
        page.point(text, mark="What brings it about:")
    if proof.checks:
        page.heading("readings after the repair")
        for checked in proof.checks:
            page.point(checked.line())
    _tell_findings(page, proof.findings)
    _tell_worth(page, proof.worth)
    if proof.standing == "refused":
        page.warn("NOTICE", "First start comes after what fails the test is fixed.")
    else:
        _tell_startup(page, answer.startup)


def _tell_findings(page: Page, findings: Sequence[Finding]) -> None:
    if not findings:
        return
    page.heading("figures")
    for each in findings:
        page.point(f"{each.text} ({WORDS[each.level]}; {each.source})")


def _tell_worth(page: Page, worth: Sequence[Worth]) -> None:
    if not worth:
        return
    page.heading("checks still worth making")
    for caution in dict.fromkeys(it for each in worth for it in each.check.cautions):
        page.caution(caution)
    page.say("In this order, while each reads as it should:")
    for each in worth:
        page.point(f"{each.check.title} ({each.check.id}); {each.check.condition}")


def _tell_startup(page: Page, steps: Sequence[StartStep]) -> None:
    page.heading("the first start, and what to watch")
    call = ""
    for step in steps:
        if step.call != call:
            call = step.call
            page.say(f"{call[:1].upper()}{call[1:]}:")
        clock = "before" if step.time_s < 0.0 else f"{step.time_s:.1f} s"
        page.point(f"{step.what} {step.watch}".strip(), mark=f"{clock}:")
