"""The score of a practice call as a paper."""

from __future__ import annotations

from rungwise.report import Head, Layout, Made, Paper, Point, PracticeScore, practice_paper
from rungwise.web.deps import Visitor
from rungwise.web.pages.practice import view
from rungwise.web.pages.practice.context import PracticeContext, practised
from rungwise.web.pages.practice.end import score_view
from rungwise.wording import mark, say


def score_paper(here: Visitor, number: int, layout: Layout) -> Paper:
    """The score of a practice call that has ended.

    Raises UnknownName when there is no such call, BadRecord for a customer's, and while the fault
    is hidden still.
    """
    with here.reading() as book:
        call = practised(book, number)
        shop = book.shop.only()
    told = score_view(here.desk, call)
    return practice_paper(_score(call, told, (shop.name,) if shop else ()), layout)


def _score(call: PracticeContext, told: view.PracticeScore, shop: tuple[str, ...]) -> PracticeScore:
    own, tool = told.own, told.tool
    return PracticeScore(
        head=_head(call, shop),
        level=call.level.title,
        score=told.score,
        found=told.found,
        fault=told.fault,
        to_do=told.to_do,
        behind=told.behind,
        severity=(*told.severity, *(say("it opened: {each}", each=each) for each in told.followed)),
        points=tuple(Point(each.why, each.points) for each in told.points),
        own=(
            *_ways(own.checks, own.minutes, own.live),
            (mark("wrong parts named"), str(own.wrong_parts)),
            (mark("help asked"), str(own.helps)),
        ),
        tool=(*_ways(tool.checks, tool.minutes, tool.live), ("answer", tool.answer)),
        made=tuple(_made(each) for each in told.steps),
        tool_made=tuple((each.title, each.text) for each in tool.steps),
        named=tuple(_named(each) for each in told.named),
    )


def _head(call: PracticeContext, shop: tuple[str, ...]) -> Head:
    held = call.held
    return Head(
        shop=shop, title=held.call.title, day=held.call.day.isoformat(), unit=call.unit_title,
        place="", customer="", technician=held.technician, people=(), plate=(),
    )  # fmt: skip


def _ways(checks: int, minutes: float, live: int) -> tuple[tuple[str, str], ...]:
    return (
        ("checks", str(checks)),
        ("minutes", f"{minutes:.0f}"),
        (mark("of them near live parts"), str(live)),
    )


def _made(each: view.PracticeStep) -> Made:
    return Made(
        title=each.title, text=each.text, won=each.won_bits, best=each.best,
        hoped_best=each.best_bits, was_best=each.was_best, needless_live=each.needless_live,
    )  # fmt: skip


def _named(each: view.NameLine) -> str:
    cause = say(", with {cause} behind it", cause=each.cause) if each.cause else ""
    return f"{each.part}{cause}: {each.told}"
