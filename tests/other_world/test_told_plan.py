"""Reading a plan's JSON into what the judge goes by."""

from __future__ import annotations

from typing import Any

from rungwise.other_world.live_truth import GROUND
from rungwise.other_world.written_plan import Act, Refusal, ToldPlan, told_plan


def reading(red: str, black: str, expects: str, current: str = "AC") -> dict[str, Any]:
    return {"red": red, "black": black, "current": current, "expects": expects, "below_v": 5.0}


def step(kind: str, place: str, *readings: dict[str, Any], device: str = "") -> dict[str, Any]:
    return {"kind": kind, "place": place, "device": device, "readings": list(readings)}


PLAN: dict[str, Any] = {
    "refusals": [],
    "steps": [
        step("stop", "room"),
        step("open", "disconnect", device="disconnect"),
        step("lock", "disconnect", device="disconnect"),
        step("prove meter", "disconnect", reading("disconnect.line1", "@earth", "live")),
        step("measure", "outdoor", reading("contactor.L1", "@earth", "dead"),
             reading("y_splice.1", "@earth", "any")),
        step("charge", "outdoor", reading("capacitor.HERM", "capacitor.C", "any", "DC")),
        step("protect", "outdoor"),
    ],
    "stays_live": [
        {"kind": "line", "terminals": ["disconnect.line1"]},
        {"kind": "control", "terminals": ["y_splice.1"]},
    ],
    "devices": [
        {"device": "disconnect", "relied_on": True},
        {"device": "spare", "relied_on": False},
    ],
    "charges": [{"terminals": ["capacitor.HERM", "capacitor.C"], "peak_v": 623.0}],
}  # fmt: skip


def test_a_plan_is_read_step_by_step_and_only_dead_readings_prove() -> None:
    told = told_plan(PLAN)
    assert isinstance(told, ToldPlan)
    assert told.acts == (
        Act("stop call", "room"),
        Act("open", "disconnect", devices=("disconnect",)),
        Act("lock", "disconnect", devices=("disconnect",)),
        Act("prove meter", "disconnect", pairs=(("disconnect.line1", GROUND),)),
        Act("read dead", "outdoor", pairs=(("contactor.L1", GROUND),), below=(5.0,)),
        Act("read charge", "outdoor", pairs=(("capacitor.HERM", "capacitor.C"),)),
        Act("other", "outdoor"),
    )
    assert told.opened() == ("disconnect",)
    assert told.live == {"disconnect.line1"}
    assert told.low == {"y_splice.1"}
    assert told.unshown == {"spare"}
    assert told.charges[frozenset(("capacitor.HERM", "capacitor.C"))] == 623.0


def test_refusals_are_read_with_all_their_words() -> None:
    refusals = [
        {"kind": "feeds nothing", "what": "The disconnect feeds nothing.", "add": "Add a wire."},
        {"kind": "nothing runs", "what": "The compressor never runs.", "add": "Look at Y."},
    ]
    told = told_plan(PLAN | {"refusals": refusals, "steps": []})
    assert told == Refusal(
        "feeds nothing",
        "The disconnect feeds nothing. Add a wire. The compressor never runs. Look at Y.",
    )
