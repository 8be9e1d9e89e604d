"""What a plan for making a unit dead tells, in the few words that its judge goes by."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from rungwise.evaluation.live_truth import GROUND

__all__ = ["Act", "ActSort", "Pair", "Refusal", "ToldPlan", "told_plan"]

Pair = tuple[str, str]
"""Where two leads go: ``part.terminal``, or `live_truth.GROUND`."""

ActSort = Literal[
    "stop call", "open", "try", "prove meter", "read dead", "read charge", "other"
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Act:
    """One step. devices: opened in it; pairs: read in it, in this order."""

    sort: ActSort
    place: str
    devices: tuple[str, ...] = ()
    pairs: tuple[Pair, ...] = ()


@dataclass(frozen=True)
class ToldPlan:
    """A plan as told.

    live: terminals said to stay live. unshown: devices that it opens and says it counts for
    nothing. dead_volt: what a reading must stay below. charges: volts told of each section, by
    its two terminals.
    """

    acts: tuple[Act, ...]
    live: frozenset[str] = frozenset()
    unshown: frozenset[str] = frozenset()
    dead_volt: float = 5.0
    charges: Mapping[frozenset[str], float] = field(default_factory=dict)

    def opened(self) -> tuple[str, ...]:
        """Every device that it opens, in order."""
        return tuple(device for act in self.acts for device in act.devices)


@dataclass(frozen=True, slots=True)
class Refusal:
    """No plan, and why: a sort for the program and words for the person."""

    sort: str
    words: str


_SORTS: Mapping[str, ActSort] = {
    "stop": "stop call",
    "open": "open",
    "try": "try",
    "prove meter": "prove meter",
    "measure": "read dead",
    "charge": "read charge",
    "empty": "read charge",
}


def told_plan(plan: Mapping[str, Any]) -> ToldPlan | Refusal:
    """The plan that ``rungwise isolate --json`` prints."""
    refusals: Sequence[Mapping[str, Any]] = plan["refusals"]
    if refusals:
        first = refusals[0]
        words = " ".join(f"{each['what']} {each['add']}" for each in refusals)
        return Refusal(first["kind"], words)
    dead = [r["below_v"] for step in plan["steps"] for r in step["readings"] if _is_dead(r)]
    return ToldPlan(
        acts=tuple(act for step in plan["steps"] for act in _acts(step)),
        live=frozenset(t for each in plan["stays_live"] for t in each["terminals"]),
        unshown=frozenset(d["device"] for d in plan["devices"] if not d["relied_on"]),
        dead_volt=max(dead, default=5.0),
        charges={frozenset(each["terminals"]): each["peak_v"] for each in plan["charges"]},
    )


def _acts(step: Mapping[str, Any]) -> Iterator[Act]:
    readings, place = step["readings"], step["place"]
    sort = _SORTS.get(step["kind"], "other")
    if sort == "open":
        yield Act(sort, place, devices=(step["device"],))
    elif sort == "read dead":
        pairs = tuple(_pair(r) for r in readings if _is_dead(r))
        yield Act(sort if pairs else "other", place, pairs=pairs)
    else:
        yield Act(sort, place, pairs=tuple(_pair(r) for r in readings))


def _is_dead(reading: Mapping[str, Any]) -> bool:
    return bool(reading["current"] == "AC" and reading["expects"] == "dead")


def _pair(reading: Mapping[str, Any]) -> Pair:
    return _end(reading["red"]), _end(reading["black"])


def _end(terminal: str) -> str:
    return GROUND if terminal == "@earth" else terminal
