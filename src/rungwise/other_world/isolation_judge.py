"""Follows a told plan, step by step, in the unit as it truly is, and says what it does not show."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations

from rungwise.other_world.isolation_case import IsolationCase
from rungwise.other_world.live_truth import GROUND, LiveTruth, Stance
from rungwise.other_world.soundness import doubts, motors_fed, unsound
from rungwise.other_world.wired import DEVICES, Wired
from rungwise.other_world.written_plan import Act, Refusal, ToldPlan

KNOWN_SOURCE = "@known source"

LIVE_VOLT = 30.0
"""What counts as live, AC, through a meter in low-impedance volts (common practice, no source)."""

LOW_VOLT = 50.0
"""Below this a point told to have control volts may have them (70E and OSHA, from memory)."""

LOAD_AMP = 5.0
"""More than a heater draws: a blade is not pulled under this (common practice, no source)."""

DANGERS = (
    "live and nothing read shows it",
    "live on a call or a pushed plunger, unread",
    "no AC volts measured",
    "failed device hidden, scope live",
    "charge told too low",
    "charge not measured",
    "blade pulled under load",
    "line terminal not read dead",
)
"""Findings that can hurt somebody; the others are plans that do not serve."""

SCOPE_PLACES = {
    "cabinet": ("outdoor",),
    "disconnect": ("disconnect", "outdoor"),
    "indoor": ("indoor",),
    "everything": ("disconnect", "outdoor", "indoor"),
}
YARD = {"outdoor": "yard", "disconnect": "yard"}
"""The disconnect stands within reach of the cabinet: one station."""

SECTIONS = {
    "dual_capacitor": (("HERM", "C"), ("FAN", "C")),
    "run_capacitor": (("1", "2"),),
    "start_capacitor": (("1", "2"),),
}
RATED_VOLT = {"dual_capacitor": 440.0, "run_capacitor": 440.0, "start_capacitor": 330.0}


@dataclass(frozen=True, slots=True)
class Finding:
    """Something wrong with a plan: its sort, and where."""

    sort: str
    where: str


@dataclass(frozen=True, slots=True)
class Judged:
    """What became of a case.

    ended: "plan", "refused" or "stopped": a plan one of whose readings shows, in the unit as it
    is, that something is live, so that nobody goes on.
    """

    ended: str
    findings: tuple[Finding, ...]
    steps: int = 0
    stations: int = 0
    readings: int = 0

    @property
    def dangerous(self) -> bool:
        """Whether any finding can hurt somebody."""
        return any(each.sort in DANGERS for each in self.findings)


def judge(case: IsolationCase, told: ToldPlan | Refusal) -> Judged:
    """Everything that is wrong with what was told of a case."""
    if isinstance(told, Refusal):
        return Judged("refused", tuple(_refused(case, told)))
    walk = _Walk(case, told)
    stopped = walk.stopped(frozenset())
    return Judged(
        "stopped" if stopped else "plan",
        tuple(dict.fromkeys(_wrong(case, walk, stopped))),
        steps=len(told.acts),
        stations=_stations(told),
        readings=sum(max(len(act.pairs), act.sort == "prove meter") for act in told.acts),
    )


def scope_points(unit: Wired, scope: str) -> list[str]:
    """Terminals that lie bare where the hands will be; a device keeps its own cover on."""
    parts = unit.at(*SCOPE_PLACES[scope])
    if scope in ("cabinet", "indoor"):
        parts = [name for name in parts if name not in unit.devices()]
    return unit.terminals(parts)


def _wrong(case: IsolationCase, walk: _Walk, stopped: str) -> Iterator[Finding]:
    odd = case.family != "wrong description"
    yield from _left_live(walk, stopped)
    yield from _unread(case, walk)
    yield from _live_dead_live(walk.told)
    yield from _out_of_order(walk.told)
    if odd:
        yield from _under_load(walk)
        yield from _charges(case, walk.told)
        yield from (Finding(f"should be refused: {why}", where)
                    for why, where in unsound(case.described))  # fmt: skip
        yield from _nothing_to_prove_on(walk)
        yield from _live_elsewhere(walk)
        if stopped:
            yield Finding("runs into a live reading of its own", stopped)
    if not stopped:
        yield from _hidden_failures(walk, strict=odd)


class _Walk:
    """The plan gone through in the true unit, with all devices good or some poles stuck."""

    def __init__(self, case: IsolationCase, told: ToldPlan) -> None:
        self.told = told
        self.truth = LiveTruth(case.true)
        self.places = SCOPE_PLACES[case.scope]
        self.points = scope_points(case.true, case.scope)
        self.welded = frozenset(case.true.of_kind("contactor_1p", "contactor_2p")
                                if case.welded else ())  # fmt: skip
        self.devices = set(case.true.devices())
        self.opened = frozenset(set(told.opened()) & self.devices)

    def stands(self, stuck: frozenset[tuple[str, int]]) -> Iterator[tuple[Act, Stance]]:
        """Each step with how everything stands when it begins; trying calls for everything."""
        stance = Stance(stuck=stuck, calls=True)
        for act in self.told.acts:
            tried = replace(stance, calls=True) if act.sort == "try" else stance
            yield act, self._settled(tried)
            opened = stance.opened
            if act.sort == "open":
                opened |= set(act.devices) & self.devices
            calls = stance.calls and act.sort != "stop call"
            stance = replace(stance, opened=opened, calls=calls)

    def _settled(self, stance: Stance) -> Stance:
        settled = self.truth.settled(stance)
        return replace(settled, pulled=settled.pulled | self.welded)

    def stopped(self, stuck: frozenset[tuple[str, int]]) -> str:
        """The first reading that shows live where the plan says that it must read dead."""
        for act, stance in self.stands(stuck):
            if act.sort == "try" and self._moves(stance):
                return "a motor moves on a call"
            if act.sort in ("try", "read dead"):
                volts = self.truth.at(stance)
                for pair, below in act.limits():
                    if volts.read(*pair) >= below:
                        return " to ".join(pair)
        return ""

    def _moves(self, stance: Stance) -> bool:
        """Whether a motor where the hands go has its volts."""
        return bool(motors_fed(self.truth.unit, self.truth.at(stance), self.places))

    def exposed(self, stuck: frozenset[tuple[str, int]], *, worst: bool) -> dict[str, float]:
        """Points of the scope that are live at the end, to ground or to one another, with volts.

        worst: with the call on or off and the plungers in or out, not only as they are left.
        """
        return self._exposed(self.opened, stuck, worst=worst)

    def matters(self, device: str, stuck: frozenset[tuple[str, int]]) -> bool:
        """Whether a failure brings volts to the scope with some of the other devices closed."""
        others = sorted(self.opened - {device})
        for count in range(len(others) + 1):
            for some in combinations(others, count):
                opened = frozenset({device, *some})
                with_it = self._exposed(opened, stuck, worst=True).keys()
                if with_it - self._exposed(opened, frozenset(), worst=True).keys():
                    return True
        return False

    def _exposed(
        self, opened: frozenset[str], stuck: frozenset[tuple[str, int]], *, worst: bool
    ) -> dict[str, float]:
        found: dict[str, float] = {}
        for stance in self._stances(opened, stuck, worst=worst):
            volts = self.truth.at(stance)
            for point, volt in volts.highest(set(self.points) - self.told.live).items():
                found[point] = max(found.get(point, 0.0), volt)
        return {p: found[p] for p in sorted(found) if found[p] >= self._limit(p)}

    def elsewhere(self) -> dict[str, float]:
        """Terminals outside the scope, live to ground at the end, of which nothing is said."""
        others = set(self.truth.unit.terminals()) - set(self.points) - self.told.live
        found: dict[str, float] = {}
        for stance in self._stances(self.opened, frozenset(), worst=True):
            volts = self.truth.at(stance)
            for point in others:
                found[point] = max(found.get(point, 0.0), volts.read(point))
        return {p: found[p] for p in sorted(found) if found[p] >= self._limit(p)}

    def _limit(self, point: str) -> float:
        return LOW_VOLT if point in self.told.low else LIVE_VOLT

    def _stances(
        self, opened: frozenset[str], stuck: frozenset[tuple[str, int]], *, worst: bool
    ) -> list[Stance]:
        left = self._settled(Stance(opened, stuck, calls=False))
        if not worst:
            return [left]
        every = frozenset(self.truth.coils())
        return [
            replace(left, calls=calls, pulled=pulled | self.welded)
            for calls in (False, True)
            for pulled in (frozenset[str](), every)
        ]


def _left_live(walk: _Walk, stopped: str) -> Iterator[Finding]:
    if not any(act.sort == "read dead" for act in walk.told.acts):
        yield Finding("no AC volts measured", "")
    if stopped:
        return
    now = walk.exposed(frozenset(), worst=False)
    for point, volt in now.items():
        yield Finding("live and nothing read shows it", f"{point} {volt:.0f} V")
    for point, volt in walk.exposed(frozenset(), worst=True).items():
        if point not in now:
            yield Finding("live on a call or a pushed plunger, unread", f"{point} {volt:.0f} V")
    dead = _dead_with_all_open(walk)
    for point in sorted(walk.told.live & set(walk.points)):
        if point in dead:
            yield Finding("said to stay live, and a device would cut it", point)


def _dead_with_all_open(walk: _Walk) -> set[str]:
    """Points of the scope that are dead when every device of the unit is open."""
    volts = walk.truth.at(Stance(frozenset(walk.devices), pulled=frozenset(walk.truth.coils())))
    return {point for point, volt in volts.highest(walk.points).items() if volt < LIVE_VOLT}


def _unread(case: IsolationCase, walk: _Walk) -> Iterator[Finding]:
    """Line terminals and what hands touch, to ground and line to line, after the last blade."""
    told = walk.told
    last = _last(told, "open")
    read = {frozenset(pair) for act in told.acts[last + 1 :] if act.sort in ("try", "read dead")
            for pair in act.pairs}  # fmt: skip
    points = set(walk.points) & set(case.described.terminals()) - told.live
    for name in case.true.of_kind("contactor_1p", "contactor_2p"):
        legs = [f"{name}.{leg}" for leg in ("L1", "L2") if f"{name}.{leg}" in points]
        wanted = [(leg, GROUND) for leg in legs] + ([(legs[0], legs[1])] if len(legs) == 2 else [])
        for pair in wanted:
            if frozenset(pair) not in read:
                yield Finding("line terminal not read dead", " to ".join(pair))
        for leg in ("T1", "T2", "coil1", "coil2"):
            point = f"{name}.{leg}"
            if point in points and frozenset((point, GROUND)) not in read:
                yield Finding("touched terminal not read dead", point)
    yield from _conductors_unread(case, walk, points, read)


def _conductors_unread(
    case: IsolationCase, walk: _Walk, points: set[str], read: set[frozenset[str]]
) -> Iterator[Finding]:
    """Conductors with line volts before the work, as described, of which no terminal is read."""
    described = LiveTruth(case.described)
    grounded = {t for pair in read if GROUND in pair for t in pair - {GROUND}}
    seen = {described.place[t] for t in grounded if t in described.place}
    before = [walk.truth.at(walk.truth.settled(Stance(calls=calls))) for calls in (False, True)]
    for point in sorted(points):
        if described.place[point] in seen:
            continue
        if max(volts.read(point) for volts in before) >= LIVE_VOLT:
            seen.add(described.place[point])
            yield Finding("conductor with line volts not read dead", point)


def _live_dead_live(told: ToldPlan) -> Iterator[Finding]:
    """At each station the meter is proved before the first dead reading and after the last."""
    proved, reading = "", ""
    for act in told.acts:
        place = YARD.get(act.place, act.place)
        if reading and reading != place and act.sort != "prove meter":
            yield Finding("meter not proved after reading", reading)
            reading = ""
        if act.sort == "prove meter":
            proved, reading = place, "" if reading == place else reading
        elif act.sort == "read dead":
            if proved != place:
                yield Finding("meter not proved before reading", place)
            proved = reading = place
    if reading:
        yield Finding("meter not proved after reading", reading)


def _live_elsewhere(walk: _Walk) -> Iterator[Finding]:
    told = [f"{point} {volt:.0f} V" for point, volt in walk.elsewhere().items()]
    if told:
        yield Finding("stays live outside the scope, not told", ", ".join(told[:4]))


def _nothing_to_prove_on(walk: _Walk) -> Iterator[Finding]:
    """The meter is to show a live point as live, and that point is dead."""
    for act, stance in walk.stands(frozenset()):
        if act.sort == "prove meter":
            volts = walk.truth.at(stance)
            for pair in act.pairs:
                if KNOWN_SOURCE not in pair and volts.read(*pair) < LIVE_VOLT:
                    yield Finding("meter to be proved where nothing is live", " to ".join(pair))


def _out_of_order(told: ToldPlan) -> Iterator[Finding]:
    """The order that NFPA 70E 120.5 and 29 CFR 1910.147(d) ask for (both from memory).

    Load off, every source opened, each locked, tried to start, then tested for absence of volts;
    a stored charge is measured, let go, and measured.
    """
    sort = "out of the standards' order"
    sorts = [act.sort for act in told.acts]
    if "open" in sorts and "stop call" not in sorts[: sorts.index("open")]:
        yield Finding(sort, "a device is opened before the load is off")
    final = [at for at in range(_last(told, "open") + 1, len(sorts)) if sorts[at] == "read dead"]
    if not final:
        yield Finding(sort, "nothing is read after the last device is open")
        return
    locked = {d for act in told.acts[: final[0]] if act.sort == "lock" for d in act.devices}
    for device in told.opened():
        if device not in locked:
            yield Finding(sort, f"{device} is not locked before the last readings")
    if "try" not in sorts[_last(told, "lock") + 1 : final[-1]]:
        yield Finding(sort, "no trying to start between the last lock and the last readings")
    charges = [each for each in sorts if each in ("read charge", "discharge")]
    if "discharge" in charges and charges[0] == "discharge":
        yield Finding(sort, "a charge is let go before it is measured")
    if "discharge" in charges and charges[-1] == "discharge":
        yield Finding(sort, "a charge is not measured after it was let go")


def _last(told: ToldPlan, sort: str) -> int:
    return max((at for at, act in enumerate(told.acts) if act.sort == sort), default=-1)


def _under_load(walk: _Walk) -> Iterator[Finding]:
    for act, stance in walk.stands(frozenset()):
        volts = walk.truth.at(stance)
        for device in set(act.devices) & walk.devices if act.sort == "open" else ():
            kind = walk.truth.unit.parts[device]["kind"]
            if not kind.startswith("breaker") and volts.amp(device) > LOAD_AMP:
                yield Finding("blade pulled under load", f"{device}, {volts.amp(device):.0f} A")


def _charges(case: IsolationCase, told: ToldPlan) -> Iterator[Finding]:
    unit = case.true
    read = {frozenset(pair) for act in told.acts if act.sort == "read charge" for pair in act.pairs}
    for name in unit.at(*SCOPE_PLACES[case.scope]):
        part = unit.parts[name]
        for a, b in SECTIONS.get(part["kind"], ()):
            ends = frozenset((f"{name}.{a}", f"{name}.{b}"))
            worst = math.sqrt(2.0) * float(part.get("volt", RATED_VOLT[part["kind"]]))
            volt = told.charges.get(ends, 0.0)
            if volt < 0.997 * worst:
                where = f"{name} {a} to {b}: {volt:.0f} V told, {worst:.0f} V possible"
                yield Finding("charge told too low", where)
            if ends not in read:
                yield Finding("charge not measured", f"{name} {a} to {b}")


def _hidden_failures(walk: _Walk, *, strict: bool) -> Iterator[Finding]:
    """Devices of the plan that fail whole or with one pole, and no reading that shows it."""
    good = walk.exposed(frozenset(), worst=True).keys()
    for device in dict.fromkeys(walk.told.opened()):
        if device not in walk.devices:
            continue
        for stuck in _failures(walk.truth.unit, device):
            if walk.stopped(stuck) or not walk.matters(device, stuck):
                continue
            where = f"{device} poles {', '.join(str(pole) for _, pole in sorted(stuck))}"
            if walk.exposed(stuck, worst=True).keys() - good:
                yield Finding("failed device hidden, scope live", where)
            elif strict and device not in walk.told.unshown:
                yield Finding("failed device hidden, another cuts it off", where)


def _failures(unit: Wired, device: str) -> list[frozenset[tuple[str, int]]]:
    poles = DEVICES[unit.parts[device]["kind"]]
    alone = [frozenset({(device, pole)}) for pole in range(1, poles + 1)]
    return alone if poles == 1 else [frozenset().union(*alone), *alone]


def _refused(case: IsolationCase, told: Refusal) -> Iterator[Finding]:
    if not told.sort or not _names_circuit(case.described, told.words):
        yield Finding("refusal without circuit words", told.words[:80])
    wrong = unsound(case.described) or doubts(case.described)
    if not wrong and not _cannot_be_made_dead(case):
        yield Finding("needless refusal", f"{told.sort}: {told.words[:80]}")


def _names_circuit(unit: Wired, words: str) -> bool:
    """Whether a part or wire of the unit is named, by its name, label or kind."""
    known = {*unit.parts, *unit.wires}
    known |= {str(part.get("label", part["kind"])) for part in unit.parts.values()}
    known |= {name.replace("_", " ") for name in known}
    known |= {"contactor", "compressor", "disconnect", "breaker", "transformer", "wire", "service"}
    known |= {"indoor unit", "outdoor unit"}
    return any(name.lower() in words.lower() for name in known)


def _cannot_be_made_dead(case: IsolationCase) -> bool:
    truth = LiveTruth(case.described)
    opened = frozenset(case.described.devices())
    points = scope_points(case.described, case.scope)
    coils = frozenset(truth.coils())
    return not points or any(
        max(truth.at(Stance(opened, calls=calls, pulled=pulled)).highest(points).values())
        >= LIVE_VOLT
        for calls in (False, True)
        for pulled in (frozenset(), coils)
    )


def _stations(told: ToldPlan) -> int:
    """How often somebody goes to another place."""
    places = [YARD.get(act.place, act.place) for act in told.acts]
    return sum(1 for at, place in enumerate(places) if at == 0 or place != places[at - 1])
