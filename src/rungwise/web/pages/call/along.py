"""A call as a phone takes it along: every card that may come up.

Drawn and worded here, by the templates that draw it with signal; the phone chooses among them by
its own belief.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from types import SimpleNamespace
from typing import Any

from fastapi import APIRouter, Request, Response
from pydantic import Field

from rungwise.diagnosis import CheckCard, ReadingModel, SuspectCard, full_id, packed
from rungwise.errors import BadRecord
from rungwise.faults import FirstWork, first_work
from rungwise.parts import Caution
from rungwise.services import RESULTS, stated_spans, weights_before
from rungwise.unit import Unit
from rungwise.web.answer_parsing import is_free
from rungwise.web.context import CallContext, gathered
from rungwise.web.cropping import cropped
from rungwise.web.deps import Here
from rungwise.web.leads import Leads, checks_held, leads_of
from rungwise.web.pages.along.slots import SIGN, patch, tokens_of
from rungwise.web.pages.call import assembly
from rungwise.web.pages.call.assembly import CallAnswer, call_of
from rungwise.web.pages.call.picture import draw_on
from rungwise.web.pages.call.view import CheckCardView, Drawing
from rungwise.web.prompt import ask_of
from rungwise.web.schemas import View
from rungwise.web.templating import Piece
from rungwise.web.unit_pictures import place_of, spots_of, svg_at_check
from rungwise.wording import mark

router = APIRouter(include_in_schema=False)

SLOT = SIGN
"""Stands where the phone puts its own words."""

_tables = RESULTS.shelf("tables taken along")

VARIANTS = ("found", "suspected", "suspected+", "shown", "shown+", "undecided")
"""How a repair may stand in a verdict: `shown` is suspected, what is behind it not settled; a plus
that something is owed before it."""


class Fields(View):
    """What the pieces of a call need of its view."""

    number: int
    version: int
    skipped: list[str] = Field(default_factory=list)
    asked: CheckCardView | None = None
    drawing: Drawing | None = None


@router.get("/calls/{number}/along/table")
def along_table(number: int, here: Here) -> Response:
    """The unit's table as a phone gets it; waits until the unit is worked out."""
    _, _, model = _worked(number, here)
    content = _tables.get(model.table.digest, lambda: packed(model.table))
    told = {"content-encoding": "gzip", "x-digest": model.table.digest}
    return Response(content, media_type="application/octet-stream", headers=told)


@router.get("/calls/{number}/along/state")
def along_state(number: int, here: Here) -> Response:
    """What was told of the call so far: readings as values, and the weights before them."""
    held, at, model = _worked(number, here)
    call = call_of(held, _unit(at))
    outcomes = call.outcomes(model.table.checks)
    told = {
        "version": held.call.version,
        "weights": weights_before(call, model.table.suspects) or {},
        "said": call.complaint,
        "readings": [(each.card.id, _plain(each.card, each.value)) for each in outcomes],
        "suspected": call.suspected,
        "unused": [full_id(each.check, at.by_id) for each in held.standing if each.refusal],
    }
    return Response(json.dumps(told), media_type="application/json")


@router.get("/calls/{number}/along")
def along(number: int, here: Here, request: Request) -> Response:
    """Every card that may come up in a call, with every answer that it may come to."""
    held, at, model = _worked(number, here)
    unit = _unit(at)
    view = Fields(title="", number=number, version=held.call.version).about(unit)
    piece = Piece(request, view.names)
    told = {
        "number": number,
        "free": [card.id for card in at.cards if is_free(card)],
        "cards": {card.id: _card(piece, view, unit, card) for card in at.cards},
        "answers": dict(_answers(piece, view, unit, model)),
        "rows": piece("along_rows.html", view=view, suspects=_rows(model)),
        "pictures": _pictures(unit),
        "limits": stated_spans(unit),
        "words": json.loads(piece("along_words.html", view=view, slot=SLOT)),
    }
    return Response(json.dumps(told, ensure_ascii=False), media_type="application/json")


def _worked(number: int, here: Here) -> tuple[CallContext, CallAnswer, ReadingModel]:
    """The call, and its unit worked out. Raises BadRecord where its unit is not known."""
    with here.reading() as book:
        held = gathered(book, number)
    at = assembly.solved(here.desk, held)
    if at.unit is None:
        raise BadRecord(
            what=mark("It is not known yet which unit this call is about."),
            next_step=mark("choose the unit first; then the call can be taken along"),
        )
    return held, at, here.desk.model(at.unit)


def _unit(at: CallAnswer) -> Unit:
    assert at.unit is not None  # noqa: S101  # refused in `_worked`
    return at.unit


def _plain(card: CheckCard, value: float | str | None) -> float | str | None:
    """A value as the phone's belief takes it: OL by its name, a choice by its number."""
    if value is None:
        return None
    if card.form == "choice":
        return card.choices.index(str(value))
    return "OL" if float(value) == float("inf") else float(value)


def _card(piece: Piece, view: Fields, unit: Unit, card: CheckCard) -> str:
    view.asked = CheckCardView(
        **ask_of(unit, card).model_dump(), is_next=True, typed="", wrong="", means=[], why=""
    )
    view.drawing = None
    draw_on(view, unit, {})
    view.draw("picture", lambda: SLOT)  # its own is told by what differs from the bare one
    return piece("along_card.html", view=view)


@RESULTS.shelf("pictures taken along").per_unit
def _pictures(unit: Unit) -> dict[str, Any]:
    """The ladder without leads, and of each check what takes the place of which of its tokens."""
    base = svg_at_check(unit, "ladder", Leads(), {}, "outdoor")
    tokens = tokens_of(base)
    found = {}
    for check in checks_held(unit):
        leads = leads_of(unit, check)
        if leads.on_terminals or leads.jaw:
            drawn = svg_at_check(unit, "ladder", leads, {}, place_of(unit, leads))
            found[check] = patch(tokens, tokens_of(cropped(drawn, spots_of(unit, leads))))
    return {"base": base, "patches": found}


def _rows(model: ReadingModel) -> list[SimpleNamespace]:
    """Each suspect as a line among them; what spoke for it is told with signal."""
    return [
        SimpleNamespace(
            repair=each.repair, title=each.title, probability=0.5, in_all=None,
            speaks_for=[], speaks_against=[],
        )
        for each in model.table.suspects
    ]  # fmt: skip


def _answers(
    piece: Piece, view: Fields, unit: Unit, model: ReadingModel
) -> Iterator[tuple[str, Any]]:
    """By suspect and by how it stands, the card of the verdict and the lines below a check."""
    for suspect in model.table.suspects:
        begins = first_work(unit, suspect.repair)
        yield suspect.id, {each: _answer(piece, view, suspect, each, begins) for each in VARIANTS}
    for kind in ("none_of_these", "nothing_wrong_now"):
        yield kind, {kind: _answer(piece, view, None, kind)}


def _answer(
    piece: Piece, view: Fields, suspect: SuspectCard | None, variant: str,
    begins: FirstWork = "lock out",
) -> list[str]:  # fmt: skip
    shown, owed = variant.startswith("shown"), variant.endswith("+")
    kind = "suspected" if shown else variant.rstrip("+")
    todo = suspect.to_do if suspect else ""
    words = SimpleNamespace(
        owed=[SLOT] if owed else [], acquittal=[SLOT] if kind == "nothing_wrong_now" else [],
        doubts=[], headline=SLOT,
    )  # fmt: skip
    answer = suspect and SimpleNamespace(
        title=suspect.title, to_do=todo, behind=suspect.behind, repair=suspect.repair
    )
    verdict = SimpleNamespace(
        kind=kind, answer=answer, probability=0.5, shown=shown, words=words, causes=[],
        wrong_part=None, try_order=[answer] if answer else [],
    )  # fmt: skip
    # Undecided it is drawn once nothing is left to ask: what is likeliest is tried, power off.
    stop = SimpleNamespace(check=None, stop=kind == "undecided")
    told = SimpleNamespace(
        diagnosis=SimpleNamespace(verdict=verdict, next=stop, shortfalls=[], witnesses=[]),
        number=view.number, decided=True, begins=begins, why_stop="", try_order=[],
        parts=[], titles={},
        warned=todo if isinstance(todo, Caution) and kind != "undecided" else None,
    )  # fmt: skip
    return [piece("along_verdict.html", view=told), piece("along_so_far.html", view=told)]
