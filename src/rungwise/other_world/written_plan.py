"""What a plan for making a unit dead tells, in the few words that its judge goes by."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import repeat
from typing import Any, Literal

from rungwise.other_world.live_truth import GROUND

DEAD_VOLT = 5.0

Pair = tuple[str, str]
"""Where two leads go: `part.terminal`, or `live_truth.GROUND`."""

ActSort = Literal[
    "stop call", "open", "lock", "try", "prove meter", "read dead", "read charge", "discharge",
    "other",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Act:
    """One step. devices: opened or locked in it; pairs: read in it, in this order.

    below: what each must stay below where it is to be dead, V; `DEAD_VOLT` where nothing is said.
    """

    sort: ActSort
    place: str
    devices: tuple[str, ...] = ()
    pairs: tuple[Pair, ...] = ()
    below: tuple[float, ...] = ()

    def limits(self) -> Iterator[tuple[Pair, float]]:
        """Each pair with what it must stay below."""
        return zip(self.pairs, self.below or repeat(DEAD_VOLT), strict=False)


@dataclass(frozen=True)
class ToldPlan:
    """A plan as told.

    live: terminals said to stay live. low: terminals said to have a transformer's low volts
    whenever something calls. unshown: devices that it opens and says it counts for
    nothing. charges: volts told of each section, by
    its two terminals.
    """

    acts: tuple[Act, ...]
    live: frozenset[str] = frozenset()
    low: frozenset[str] = frozenset()
    unshown: frozenset[str] = frozenset()
    charges: Mapping[frozenset[str], float] = field(default_factory=dict)

    def opened(self) -> tuple[str, ...]:
        """Every device that it opens, in order."""
        return tuple(device for act in self.acts if act.sort == "open"
                     for device in act.devices)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Refusal:
    """No plan, and why: a sort for the program and words for the person."""

    sort: str
    words: str


_SORTS: Mapping[str, ActSort] = {
    "stop": "stop call",
    "open": "open",
    "lock": "lock",
    "try": "try",
    "prove meter": "prove meter",
    "measure": "read dead",
    "charge": "read charge",
    "discharge": "discharge",
    "empty": "read charge",
}


def told_plan(plan: Mapping[str, Any]) -> ToldPlan | Refusal:
    """The plan that `rungwise isolate --json` prints."""
    refusals: Sequence[Mapping[str, Any]] = plan["refusals"]
    if refusals:
        first = refusals[0]
        words = " ".join(f"{each['what']} {each['add']}" for each in refusals)
        return Refusal(first["kind"], words)
    return ToldPlan(
        acts=tuple(act for step in plan["steps"] for act in _acts(step)),
        live=_terminals(plan, "line"),
        low=_terminals(plan, "control"),
        unshown=frozenset(d["device"] for d in plan["devices"] if not d["relied_on"]),
        charges={frozenset(each["terminals"]): each["peak_v"] for each in plan["charges"]},
    )


def _terminals(plan: Mapping[str, Any], kind: str) -> frozenset[str]:
    told = (each["terminals"] for each in plan["stays_live"] if each["kind"] == kind)
    return frozenset(terminal for each in told for terminal in each)


def _acts(step: Mapping[str, Any]) -> Iterator[Act]:
    readings, place = step["readings"], step["place"]
    sort = _SORTS.get(step["kind"], "other")
    if sort in ("open", "lock"):
        yield Act(sort, place, devices=(step["device"],))
    elif sort in ("read dead", "try"):
        dead = [r for r in readings if _is_dead(r)]
        below = tuple(float(r["below_v"]) for r in dead)
        yield Act(sort, place, pairs=tuple(_pair(r) for r in dead), below=below)
    else:
        yield Act(sort, place, pairs=tuple(_pair(r) for r in readings))


def _is_dead(reading: Mapping[str, Any]) -> bool:
    return bool(reading["current"] == "AC" and reading["expects"] == "dead")


def _pair(reading: Mapping[str, Any]) -> Pair:
    return _end(reading["red"]), _end(reading["black"])


def _end(terminal: str) -> str:
    return GROUND if terminal == "@earth" else terminal
