"""What may still hide behind a repair, and how likely before the first check after it.

Three sorts of suspects would let a repaired unit start and fail again: the repair that did not
take, the cause behind an effect (which fuse, overload or pressure switch a fault opens is read
from the solved circuit), and a second fault beside the first.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from rungwise.circuit import Key, Plan
from rungwise.diagnosis import bench_of
from rungwise.errors import UnknownName
from rungwise.faults import HEALTHY, Suspect, SuspectSet
from rungwise.unit import Unit

Why = Literal["recurs", "behind", "beside"]

NOT_TAKEN = 0.04
"""A repair that did not take: a dead new part, a joint not made (common practice, no source)."""

SECOND_FAULT = 0.05
"""A second fault that has nothing to do with the first (common practice, no source)."""

MOST_BEHIND = 0.6
"""No cause behind is taken for surer than this before the unit has been measured again."""

OPENING_PARTICLES = 8


@dataclass(frozen=True, slots=True)
class Hidden:
    """A suspect that the repair may have left in.

    why: "recurs" (the repaired one again), "behind" (it brought the repaired one about, or was
    brought about by it), "beside" (a second fault by chance). chance: before any check.
    opens: whether it would open the new fuse, breaker or overload again once power is back.
    """

    suspect: Suspect
    why: Why
    chance: float
    opens: bool = False


def repairs_named(suspects: SuspectSet, names: Sequence[str]) -> frozenset[str]:
    """The repairs that were done, from parts or wires ("capacitor") or repairs' own keys.

    Raises UnknownName for what is neither in this unit.
    """
    by_block: dict[str, set[str]] = {}
    for suspect in suspects:
        if suspect.id != HEALTHY and not suspect.cause_of:
            by_block.setdefault(suspect.block, set()).add(suspect.repair)
    keys = {repair for repairs in by_block.values() for repair in repairs}
    done: set[str] = set()
    for name in names:
        found = {name} if name in keys else by_block.get(name)
        if found is None:
            what = "Nothing of this name in the unit can be repaired."
            raise UnknownName(what=what, name=name, known=[*by_block, *sorted(keys)])
        done |= found
    return frozenset(done)


def hidden_behind(
    suspects: SuspectSet, done: frozenset[str], found: Iterable[str] = ()
) -> tuple[Hidden, ...]:
    """Everything that may hide behind the repairs `done`, likeliest first.

    found: ids of the suspects that were put right, where it is known which; else all that the
    repairs put right. The chances of all together are below 1; the rest is that all is well.
    """
    singles = [each for each in suspects if not each.cause_of and each.id != HEALTHY]
    named = frozenset(found)
    mended = [each for each in singles if each.repair in done]
    mended = [each for each in mended if not named or each.id in named] or mended
    chance: dict[str, tuple[Why, float]] = {}
    total = sum(each.weight for each in singles)
    for each in singles:
        chance[each.id] = ("beside", SECOND_FAULT * each.weight / total)
    opened = openers(suspects, _opened_parts(suspects.unit, mended), [it.id for it in mended])
    for name, share in _behind(suspects, singles, mended, done, opened).items():
        chance[name] = ("behind", share)
    whole = sum(each.weight for each in mended) or 1.0
    for each in mended:
        chance[each.id] = ("recurs", NOT_TAKEN * each.weight / whole)
    hidden = [Hidden(each, *chance[each.id], opens=each.id in opened) for each in singles]
    return tuple(sorted(hidden, key=lambda each: -each.chance))


def _behind(
    suspects: SuspectSet,
    singles: Sequence[Suspect],
    mended: Sequence[Suspect],
    done: frozenset[str],
    opened: Mapping[str, float],
) -> dict[str, float]:
    """Chance of each cause behind, by Bayes' rule from the weights, at most `MOST_BEHIND` in all.

    Of what could have brought the effect about, the part's own spontaneous failure included, each
    has its weight times the share of its particles that do bring it about.
    """
    shares: dict[str, float] = {}
    own = sum(each.weight for each in mended)
    causes = {
        each.id: each.weight * opened.get(each.id, 0.0)
        for each in singles
        if each.repair not in done
    }
    for name, weight in _partners(suspects, mended, done):
        causes[name] = causes.get(name, 0.0) + weight
    together = own + sum(causes.values())
    if together > 0.0:
        shares = {name: weight / together for name, weight in causes.items() if weight > 0.0}
    too_much = max(sum(shares.values()) / MOST_BEHIND, 1.0)
    return {name: share / too_much for name, share in shares.items()}


def _opened_parts(unit: Unit, mended: Iterable[Suspect]) -> set[str]:
    return {each.block for each in mended if _is_opened(unit, each)}


def _is_opened(unit: Unit, suspect: Suspect) -> bool:
    """Whether what was put right is something that amps or pressure open."""
    if suspect.block not in unit.part_by_name:
        return False
    states = {rule.state for rule in unit.kind_of(suspect.block).rules if rule.opens != "never"}
    opens = {"blown", "off", "tripped", "overload_open", "open"}
    return bool(states) and suspect.mode in opens


def _partners(
    suspects: SuspectSet, mended: Sequence[Suspect], done: frozenset[str]
) -> Iterator[tuple[str, float]]:
    """The other half of every pair of which one half was put right, with the pair's weight."""
    ids = {each.id for each in mended}
    by_id: Mapping[str, Suspect] = {each.id: each for each in suspects}
    for pair in (each for each in suspects if each.cause_of):
        cause, effect = pair.steps[0].id, pair.cause_of
        for one, other in ((cause, effect), (effect, cause)):
            if one in ids and by_id[other].repair not in done:
                yield other, pair.weight


def openers(
    suspects: SuspectSet, blocks: Iterable[str], mended: Iterable[str] = ()
) -> dict[str, float]:
    """Share of each suspect's particles under which one of `blocks` opens on a call.

    mended: ids of suspects to leave out. Read from the solved circuit: which fault blows the
    fuse, which one trips the overload or opens the pressure switch.
    """
    states = tuple(_opening_states(suspects.plan, frozenset(blocks)))
    if not states:
        return {}
    left_out = {HEALTHY, *mended}
    others = [each for each in suspects if not each.cause_of and each.id not in left_out]
    calling = bench_of(suspects, others, OPENING_PARTICLES).calling
    opened = np.any([calling.state(key) > 0.0 for key in states], axis=0)
    share = opened.reshape(len(others), OPENING_PARTICLES).mean(axis=1)
    return {each.id: float(it) for each, it in zip(others, share, strict=True) if it > 0.0}


def _opening_states(plan: Plan, blocks: frozenset[str]) -> Iterator[Key]:
    for block, rule in plan.rules:
        if block in blocks and rule.opens != "never":
            yield block, rule.state
