"""The lock-out without signal stands where the server stands after the same taps."""

from __future__ import annotations

import datetime as dt
import json
import math
from types import SimpleNamespace
from typing import Any

import numpy as np
from tests.phone.phone_belief import node_says
from tests.web.mill_street import UNIT_TOML

from rungwise.isolation import SCOPES, WorkPlan, isolate
from rungwise.services import unit_from_text
from rungwise.web.answer_parsing import typed_of
from rungwise.web.pages.along.lockout import plan_carried
from rungwise.web.pages.make_dead.cards import cards_of, last_done, now_of
from rungwise.web.pages.make_dead.evidence import proof_of
from rungwise.web.pages.make_dead.reading import rule_of
from rungwise.web.pages.make_dead.rounds import POWER_ON, counting
from rungwise.web.pages.make_dead.route import ALL, after_of, told_of
from rungwise.web.pages.make_dead.stamp import stamp_of
from rungwise.web.pages.make_dead.steps import rows_of, step_id, step_lines

START = dt.datetime(2026, 7, 1, 15, 0, tzinfo=dt.UTC)
TYPED = ("0", "0.4", "119", "120", "240", "31", "400 mV", "can't reach", "abc", "5", "49.96")
WALKS = 60


def entries_on(rng: np.random.Generator, plan: WorkPlan) -> list[tuple[str, list[list[str]]]]:
    """Taps as they come: card by card with slips, taken back, power put on, readings anew."""
    cards = cards_of(plan, step_lines(plan, (), (), START.date()))
    found: list[tuple[str, list[list[str]]]] = []
    for card in cards[: 1 + int(rng.integers(len(cards)))] * int(rng.integers(1, 3)):
        ids = [["check", line.id] for line in card.lines]
        found.append(("/dead", [*ids, *_said(rng, card)]))
        if rng.random() < 0.1:
            found.append(("/dead", [*ids, ["done", "false"]]))
        if rng.random() < 0.03:
            path = "/dead/power-on" if rng.random() < 0.5 else "/dead/again"
            found.append((path, [["hands", plan.scope]]))
    return found


def _said(rng: np.random.Generator, card: Any) -> list[list[str]]:
    if rng.random() < 0.75:  # as a good unit and a good meter let one answer it
        if card.all_below:
            return [["quick", ALL]]
        about = {"prove meter": "120", "charge": "31", "empty": "3"}
        return [["typed", about.get(card.kind, "0")], ["unit", "V"]]
    return [["typed", str(rng.choice(TYPED))], ["unit", str(rng.choice(["V", "mV"]))]]


def on_server(plan: WorkPlan, entries: list[tuple[str, list[list[str]]]]) -> dict[str, Any]:
    """What the lock-out page makes of them."""
    steps = {step_id(plan.scope, each): each for each in plan.steps}
    held: dict[tuple[str, int, str], Any] = {}
    for at, (path, pairs) in enumerate(entries):
        fields = dict(pairs)
        when = START + dt.timedelta(minutes=at)
        if path != "/dead":
            zone = POWER_ON if path.endswith("power-on") else f"readings again, {plan.scope}"
            held[zone, at, zone] = _row(len(held) * 1000 + at, zone, 0, zone, when, done=True)
            continue
        said = typed_of(fields.get("typed", ""), fields.get("unit", ""), fields.get("quick", ""))
        for n, check in enumerate(value for name, value in pairs if name == "check"):
            told = told_of(steps[check], said, fields.get("done", "true"))
            key = plan.scope, told.step.number, told.step.whole
            held.pop(key, None)
            held[key] = _row(
                at * 100 + n, *key, when, done=told.done, typed=told.typed, reading=told.volt,
                refusal=told.refusal,
            )  # fmt: skip
        if fields.get("done") == "false":
            undone = [steps[value] for name, value in pairs if name == "check"]
            for number, whole in sorted(after_of(plan, undone)):
                row = held.get((plan.scope, number, whole))
                if row is not None and (row.done or row.typed):
                    del held[plan.scope, number, whole]
                    held[plan.scope, number, whole] = _row(
                        0, plan.scope, number, whole, when, done=False
                    )
    every: list[Any] = [
        SimpleNamespace(**{**vars(row), "id": n}) for n, row in enumerate(held.values(), 1)
    ]
    rows = counting(plan, rows_of(every, plan.scope), every)
    lines = step_lines(plan, rows, (), START.date())
    cards, proof = cards_of(plan, lines), proof_of(lines)
    card, undo = now_of(cards), last_done(cards)
    now = START + dt.timedelta(minutes=len(entries) + 5)
    stamp = stamp_of(plan, lines, rows, proof, now, None)
    return {
        "states": [each.state for each in lines],
        "proved": [bool(each.proved) for each in lines],
        "card": card and card.number - 1,
        "same": card and card.same,
        "undo": undo and undo.number - 1,
        "proof": [proof.asked, len(proof.taken), len(proof.not_so), len(proof.open)],
        "stamp": stamp and [stamp.stands, stamp.taken, stamp.at, stamp.until],
        "said": [each.said for each in lines if each.state == "not so"],
    }


def _row(number: int, zone: str, step: int, text: str, at: dt.datetime, **told: Any) -> Any:
    nothing = {"typed": "", "reading": None, "refusal": "", "person": None}
    return SimpleNamespace(
        id=number, zone_of_work=zone, number=step, text=text, at=at, local=at,
        **{**nothing, **told},
    )  # fmt: skip


LOOK = """JSON.stringify(DATA.map(([plan, words, entries, now]) => {
  const rows = it.rowsAfter(plan, [], entries.map(([path, pairs], at) => {
    const fields = { get: (name) => pairs.find(([key]) => key === name)?.[1] ?? null,
                     getAll: (name) => pairs.filter(([key]) => key === name).map(([, each]) => each) };
    return { path, fields, at: START + at * 60000 };
  }));
  const found = it.standing(plan, rows);
  const at = (card) => (card ? found.cards.findIndex((each) => each.lines[0] === card.lines[0]) : null);
  const stamp = it.stampOf(plan, found, now, 0);
  const clock = (time) => new Date(time).toLocaleTimeString("en", { hour: "numeric", hour12: true, minute: "2-digit", timeZone: "UTC" }).replace(/\u202f/g, " ");
  const { proof } = found;
  return {
    states: found.lines.map(({ state }) => state), proved: found.lines.map(({ proved }) => Boolean(proved)),
    card: at(found.card), same: found.same, undo: at(found.undo),
    proof: [proof.asked, proof.taken.length, proof.notSo.length, proof.open.length],
    stamp: stamp && [stamp.stands, stamp.taken, clock(stamp.at), clock(stamp.until)],
    said: found.lines.filter(({ state }) => state === "not so").map(({ step, said }) => words[step.id].replace("VOLTS", said.volts).replace("SECONDS", said.seconds)),
  };
}))"""  # noqa: E501  # the phone's own style


def bare(template: str, **_told: object) -> str:
    """Cards are not looked at here."""
    return template


def test_after_any_taps_the_phone_stands_where_the_server_does() -> None:
    """States, the next card, what may be taken back, what was measured, the stamp, the words."""
    unit = unit_from_text(UNIT_TOML)
    rng, data, mine = np.random.default_rng(7), [], []
    for scope in SCOPES:
        plan = isolate(unit, scope=scope)
        carried = plan_carried(bare, 1, plan)  # type: ignore[arg-type]
        words = {
            step_id(scope, each): rule_of(plan, each).otherwise("VOLTS", "SECONDS")
            for each in plan.steps if each.readings
        }  # fmt: skip
        for _ in range(WALKS // len(SCOPES)):
            entries = entries_on(rng, plan)
            now = START + dt.timedelta(minutes=len(entries) + 5)
            data.append((carried, words, entries, now.timestamp() * 1000.0))
            mine.append(on_server(plan, entries))
    text = LOOK.replace("DATA", json.dumps(data)).replace("START", str(START.timestamp() * 1000))
    phone = node_says("lockout", text)
    assert {it["stamp"] is None for it in mine} == {True, False}
    assert any(it["said"] for it in mine)
    for one, other, (_, _, entries, _) in zip(mine, phone, data, strict=True):
        assert one == other, entries


def test_a_reading_is_judged_by_the_same_rule_on_both_sides() -> None:
    """A rule as numbers, on readings at its limits and beside them."""
    plan = isolate(unit_from_text(UNIT_TOML), scope="everything")
    carried = plan_carried(bare, 1, plan)  # type: ignore[arg-type]
    rules = {step["id"]: step["rule"] for step in carried["steps"] if "rule" in step}
    asked, mine = [], []
    for step in plan.steps:
        if not step.readings:
            continue
        rule = rule_of(plan, step)
        limits = [each for each in (rule.low, rule.high) if math.isfinite(each)]
        beside = [math.nextafter(each, way) for each in limits for way in (0.0, 1e9)]
        for volt in (*limits, *beside, 0.0, 3.0, 24.0, 119.6, -240.0, 277.0):
            asked.append((rules[step_id("everything", step)], volt))
            mine.append(rule.judge(volt).level == "fits")
    phone = node_says(
        "lockout",
        f"JSON.stringify({json.dumps(asked)}.map(([rule, volt]) => it.judged(rule, volt).fits))",
    )
    assert phone == mine
    assert set(mine) == {True, False}
