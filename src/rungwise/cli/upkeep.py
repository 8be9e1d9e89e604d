"""`rungwise upkeep`: what will fail next in a shop's units, what to carry, whom to visit."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, NoReturn

import typer

from rungwise.cli.options import AsJson

if TYPE_CHECKING:
    from collections.abc import Sequence

    from rungwise.cli.page import Page
    from rungwise.maintenance import ShopOutlook
    from rungwise.services import Notice, OutlookResult, ShopForecast

MOST_LINES = 20
"""Of each list on the page; --json gives them all."""


def upkeep(
    file: Annotated[
        str,
        typer.Argument(
            metavar="[SHOP]", help="The shop file; the records if none.", show_default=False
        ),
    ] = "",
    database: Annotated[
        str,
        typer.Option(
            "--database",
            metavar="ADDRESS",
            help="The records to read, if no file; else what RUNGWISE_DATABASE names.",
            show_default=False,
        ),
    ] = "",
    as_json: AsJson = False,
) -> None:
    """Say which units to visit first, which parts to replace now, and what the van should carry.

    Read from the shop's own visits, lives of parts and closed calls: in a shop file, or in the
    records that the app keeps. The app's page gives the same answer.

    Example: rungwise upkeep examples/maple-hollow/shop.toml
    """
    if file and database:
        _refuse_both(file, database)
    if not file:
        _from_records(database, as_json=as_json)
        return
    from rungwise.cli.printing import waiting
    from rungwise.services import foreseen, foreseen_json

    with waiting("looking ahead"):
        answer = foreseen(file)
    _give(answer, foreseen_json(answer) if as_json else None)


def _refuse_both(file: str, database: str) -> NoReturn:
    from rungwise.errors import BadInput

    raise BadInput(
        what="A shop file and records cannot both be read.",
        value=f"{file} and {database}",
        next_step="leave one of them out",
    )


def _from_records(database: str, *, as_json: bool) -> None:
    from rungwise.cli.printing import waiting
    from rungwise.records import Store
    from rungwise.services import shop_ahead

    store = Store.open(database or None)
    try:
        with waiting("looking ahead"):
            ahead = shop_ahead(store)
    finally:
        store.close()
    page = _give(ahead.foreseen, ahead.as_json() if as_json else None)
    if page is not None:
        _tell_noted(page, "units left out", ahead.records.left_out)
        _tell_noted(page, "ages taken roughly", ahead.records.rough)


def _give(answer: ShopForecast, told: OutlookResult | None) -> Page | None:
    """Print the answer as JSON where that is asked for, else as a page, which comes back."""
    if told is not None:
        from rungwise.cli.printing import print_json

        print_json(told)
        return None
    from rungwise.cli.page import Page

    page = Page()
    _tell(page, answer)
    return page


def _tell_noted(page: Page, heading: str, rows: Sequence[Notice]) -> None:
    if rows:
        page.heading(heading)
    for each in rows[:MOST_LINES]:
        page.point(f"{each.unit}: {each.why}")
    _more(page, len(rows))


def _tell(page: Page, answer: ShopForecast) -> None:
    shop, outlook = answer.shop, answer.outlook
    ahead = outlook.plan.ahead_y
    page.title(
        shop.title or "The shop's units",
        [
            f"{len(shop.history.units)} units, {len(shop.history.calls)} closed calls",
            f"as of {shop.history.today}; chances are for {_counted(ahead, 'year')} ahead",
            "in brackets: 90% intervals, as far as the shop is as the model has it",
        ],
    )
    _tell_visits(page, outlook)
    _tell_replaced(page, answer)
    _tell_stock(page, outlook)
    _tell_weights(page, outlook)


def _tell_visits(page: Page, outlook: ShopOutlook) -> None:
    page.heading("visits, in this order")
    if not outlook.visits:
        page.say("No visit is expected to save more than it costs.")
    for number, each in enumerate(outlook.visits[:MOST_LINES], start=1):
        worst = each.reasons[0]
        page.point(
            f"{each.unit.name}: {each.chance:.0%} that something fails, saves {each.saves:.0f}; "
            f"most of all the {worst.part.part}, {worst.chance:.0%}; "
            f"last seen {each.unit.last_seen}",
            mark=f"{number}.",
        )
    _more(page, len(outlook.visits))


def _tell_replaced(page: Page, answer: ShopForecast) -> None:
    from rungwise.services import worn_told

    page.heading("replace now, once you are there")
    if not answer.replaced:
        page.say("No part.")
    for each in answer.replaced[:MOST_LINES]:
        choice = each.choice
        page.point(
            f"{each.part.unit}, {each.part.part}: {each.chance:.0%} to fail, worth it from "
            f"{choice.break_even:.0%}; saves {choice.saves:.0f}. {worn_told(each)}".strip()
        )
    _more(page, len(answer.replaced))
    if answer.replaced:
        page.say("Lock out and verify before a part is touched: rungwise isolate.")


def _tell_stock(page: Page, outlook: ShopOutlook) -> None:
    if not outlook.stock:
        return
    page.heading("on the van")
    weeks = outlook.plan.fill_weeks
    page.say(f"Until the next fill in {_counted(weeks, 'week')}:")
    page.pairs(
        (
            _spaced(each.part),
            f"{each.quantity} ({each.expected:.2f} expected, {each.chance_short:.1%} short)",
        )
        for each in outlook.stock
    )


def _tell_weights(page: Page, outlook: ShopOutlook) -> None:
    from rungwise.services import moved_weights

    moved = moved_weights(outlook)
    if not moved:
        return
    page.heading("weights that the shop's calls have moved")
    page.say(f"Per thousand calls, from {sum(outlook.weights.calls)} closed calls:")
    for each in moved[:MOST_LINES]:
        page.point(
            f"{_spaced(each.kind)}, {_spaced(each.mode)}: {each.start:.0f}, now {each.mean:.0f} "
            f"({each.now.low:.0f} to {each.now.high:.0f}), {_counted(each.count, 'call')}"
        )
    _more(page, len(moved))


def _counted(number: float, noun: str) -> str:
    return f"{number:g} {noun}" if number == 1.0 else f"{number:g} {noun}s"


def _spaced(name: str) -> str:
    return name.replace("_", " ")


def _more(page: Page, held: int) -> None:
    if held > MOST_LINES:
        page.say(f"And {held - MOST_LINES} more; --json gives them all.")
