"""The test of a repair as a phone takes it along: what is read in which order, and its limits."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

from rungwise.records import REPAIRED
from rungwise.services import DiagnosisService
from rungwise.verification import ReadingLimits
from rungwise.web.job import Job
from rungwise.web.pages.along.slots import ms_of, slot
from rungwise.web.pages.proof.assembly import ProofRows, ProofState, can_be_repaired, shown_of
from rungwise.web.pages.proof.now import start_groups, ways_of
from rungwise.web.pages.proof.view import LookLine, ProofNow, StartLine
from rungwise.web.templating import Piece
from rungwise.wording import told

ENDS = ("read", "refused", "some", "unknown")
"""How a test may end on a phone: all reads well, something does not, something was not reached,
or what was repaired was not taken along."""


def starts_carried(piece: Piece, job: Job, desk: DiagnosisService) -> dict[str, Any]:
    """What every test of the unit has: the first start, what can be repaired, how it ends."""
    state = shown_of(job, desk, ProofRows((), ()))
    groups = start_groups(state.startup(), state.pauses())
    return {
        "starts": [_start(piece, job, state, group) for group in groups],
        "ends": {each: _piece(piece, job, end=each) for each in ENDS},
        "repaired": _piece(
            piece, job, now=ProofNow(doing="repaired"), can_be_repaired=can_be_repaired(job)
        ),
    }


def proof_carried(
    piece: Piece, job: Job, desk: DiagnosisService, block: str
) -> dict[str, Any] | None:
    """What is left to read once a part or wire is repaired, in order, each with its limits.

    None where nothing can be judged.
    """
    state = shown_of(job, desk, ProofRows((), (), (), [block]))
    if state.answer is None:
        return None
    groups = [group[0].number for group in start_groups(state.startup(), state.pauses())]
    ways: list[dict[str, Any]] = []
    for each in ways_of(state):
        if each.doing == "start":
            ways.append({"doing": "start", "at": groups.index(each.start[0].number)})
        elif each.doing == "looks":
            html = _looks(piece, job, each.looks)
            ways.append({"doing": "looks", "ids": [it.id for it in each.looks], "html": html})
        elif each.doing == "check":
            ways.append({"doing": "check", "id": each.check})
    looks = [it for way in ways if way["doing"] == "looks" for it in way["ids"]]
    ids = [*(way["id"] for way in ways if way["doing"] == "check"), *looks]
    return {"ways": ways, "checks": {each: _check(piece, state, each) for each in ids}}


def proof_state(job: Job, kept: ProofRows) -> dict[str, Any]:
    """What was read and ticked of the test when the call is taken along."""
    row = kept.fields.get(REPAIRED)
    readings = [each for each in kept.standing if each.typed.strip() and not each.refusal]
    return {
        "repaired": row.typed if row else "",
        "found": job.found,
        "readings": [
            {"check": each.check, "typed": each.typed, "at": ms_of(each.at)} for each in readings
        ],
        "ticks": [each.number for each in kept.ticks if each.done],
    }


def _check(piece: Piece, state: ProofState, check: str) -> dict[str, Any]:
    assert state.answer is not None  # noqa: S101  # asked for by `proof_carried` alone
    card = state.cards[check]
    shown = replace(state, asked=check).card(check)
    limits = state.answer.limits(check)
    ask = shown.model_copy(update={"last": slot("last")}) if shown else None
    return {
        "title": told(card.title),
        "form": card.form,
        "unit": card.unit,
        "choices": list(card.choices),
        "band": told(state.answer.band(check)),
        "limits": _limits(limits) if limits else None,
        "html": _piece(piece, state.job, now=ProofNow(doing="check", check=check), card=ask),
    }


def _limits(limits: ReadingLimits) -> dict[str, Any]:
    spans = [[_plain(low), _plain(high), level] for low, high, level in limits.spans]
    return {"spans": spans, "choices": list(limits.choices), "wrong": limits.wrong}


def _plain(limit: float) -> float | str:
    return limit if math.isfinite(limit) else ("inf" if limit > 0.0 else "-inf")


def _start(piece: Piece, job: Job, state: ProofState, group: Sequence[StartLine]) -> dict[str, Any]:
    fresh = [each.model_copy(update={"done": False, "who": "", "at": ""}) for each in group]
    now = ProofNow(doing="start", start=fresh)
    html = _piece(piece, job, now=now, startup=state.startup())
    return {"steps": [each.number for each in group], "html": html}


def _looks(piece: Piece, job: Job, looks: Sequence[LookLine]) -> str:
    return _piece(piece, job, now=ProofNow(doing="looks", looks=list(looks)))


def _piece(piece: Piece, job: Job, **more: Any) -> str:
    nothing: dict[str, Any] = {
        "standing": "",
        "worth": [],
        "startup": [],
        "card": None,
        "now": None,
        "end": "",
    }
    wrong = SimpleNamespace(wrong="", names=[])
    view = SimpleNamespace(
        number=job.number, version=slot("version"), repaired=wrong, **{**nothing, **more}
    )
    return piece("along_proof.html", view=view)
