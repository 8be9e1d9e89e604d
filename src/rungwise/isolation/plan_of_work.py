"""The plan of work that makes a place of work dead and proves it, or why there is none."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby

from rungwise.circuit import Plan
from rungwise.errors import UnknownName
from rungwise.isolation.cautions import cautions
from rungwise.isolation.demand import Demand
from rungwise.isolation.description import Description
from rungwise.isolation.opening import Chooser, Opening
from rungwise.isolation.protection import Protection
from rungwise.isolation.reach import Names, Reach, Reached
from rungwise.isolation.readings import Readings
from rungwise.isolation.scopes import SCOPES, Grounds, scope_of
from rungwise.isolation.shape import Opened, Refusal, Scope, StaysLive, Step, WorkPlan
from rungwise.isolation.steps import STANDS_FOR_MINUTES, Work
from rungwise.isolation.stored_energy import StoredCharge, stored_charges
from rungwise.isolation.topology import Topology
from rungwise.isolation.wording import list_words, points_words
from rungwise.parts import Caution, part_of
from rungwise.unit import Unit
from rungwise.wording import mark, say


def isolate(
    unit: Unit,
    *,
    scope: str = "cabinet",
    keeps_running: bool = False,
    not_opening: Iterable[str] = (),
) -> WorkPlan:
    """The plan of work for making the place where the hands go dead.

    `keeps_running`: the unit runs on with the thermostat off, so the breaker comes before the
    disconnect.  `not_opening`: devices that were found not to open; they count for nothing.
    Raises UnknownName for a scope or a device that does not exist.
    """
    topology = Topology(Plan(unit))
    stuck = _known(topology, not_opening)
    reach = Reach(topology, stuck)
    grounds = Grounds(topology, reach)
    maker = _Maker(topology, reach, grounds, scope_of(scope), keeps_running=keeps_running)
    return maker.plan()


def scope_touching(unit: Unit, part: str) -> Scope:
    """The smallest place of work that holds a part's terminals, so the shortest sound plan for it.

    Raises UnknownName for a part that the unit does not have.
    """
    unit.part(part)
    topology = Topology(Plan(unit))
    grounds = Grounds(topology, Reach(topology, frozenset()))
    inside = {scope: grounds.points(scope) for scope in SCOPES}
    fitting = [
        scope for scope, points in inside.items() if any(part_of(point) == part for point in points)
    ]
    return min(fitting, key=lambda scope: len(inside[scope]), default="everything")


def _known(topology: Topology, names: Iterable[str]) -> Names:
    known = [device.name for device in topology.devices]
    for name in names:
        if name not in known:
            raise UnknownName(what="No such isolating device.", name=name, known=known)
    return frozenset(names)


class _Maker:
    """Makes the plan of one scope of one unit."""

    def __init__(
        self,
        topology: Topology,
        reach: Reach,
        grounds: Grounds,
        scope: Scope,
        *,
        keeps_running: bool,
    ) -> None:
        self.unit = topology.unit
        self.topology = topology
        self.reach = reach
        self.grounds = grounds
        self.scope: Scope = scope
        self.keeps_running = keeps_running

    def plan(self) -> WorkPlan:
        """The plan, or one that holds only refusals."""
        refusals = Description(self.topology, self.reach, self.grounds, self.scope).refusals()
        if refusals:
            return self._refused(refusals)
        demand = Demand(self.topology)
        self.keeps_running = self.keeps_running or demand.cannot_be_ended()
        running = self.keeps_running
        chooser = Chooser(self.reach, self.grounds, demand, self.scope, keeps_running=running)
        refusals = tuple(self._uncut(chooser))
        if refusals:
            return self._refused(refusals)
        opening = chooser.opening()
        refusals = (*self._under_load(chooser, opening), *self._unproved(chooser, opening))
        if refusals:
            return self._refused(refusals)
        return self._made(chooser, opening)

    def _uncut(self, chooser: Chooser) -> Iterator[Refusal]:
        """Ways from a source to the place of work with nothing on them, and no way to stop it."""
        uncut = chooser.uncut()
        bare = [end for end in self.unit.terminals() if end in uncut]
        if bare:
            what = say(
                "With every device of this drawing open these stay live: {points}. Keep out.",
                points=points_words(self.unit, bare[:6]),
            )
            add = mark(
                "add the disconnect or breaker that opens them; if there is none, "
                "stop and call a licensed electrician, or the utility for what is "
                "ahead of the panel"
            )
            yield Refusal("nothing opens it", tuple(bare), what, add, of_description=False)
        elif self.keeps_running and self.scope != "indoor" and chooser.breakers() is None:
            what = mark("It keeps running, and no breaker that stops it is described.")
            add = mark(
                "add its breaker, since a disconnect is not pulled under load; if "
                "there is none, stop and call the utility"
            )
            yield Refusal("cannot be stopped", (), what, add, of_description=False)

    def _under_load(self, chooser: Chooser, opening: Opening) -> Iterator[Refusal]:
        """Blades that every order pulls while a load flows in them."""
        for device in chooser.demand.pulled_under_load(opening.order):
            what = say(
                "As drawn the {device} still carries a load with the thermostat off"
                " when its turn comes, and no breaker that stops it is described.",
                device=device.title,
            )
            add = mark(
                "add the breaker ahead of it, since it is not pulled under load; if"
                " there is none, stop and call the utility"
            )
            yield Refusal("cannot be stopped", device.terminals, what, add, of_description=False)

    def _unproved(self, chooser: Chooser, opening: Opening) -> Iterator[Refusal]:
        """Where the devices that can be proved do not cut the place off alone."""
        if chooser.relied_enough(opening.proved):
            return
        titles = list_words([device.title for device in opening.unproved], "and")
        ends = tuple(end for device in opening.unproved for end in device.terminals)
        what = say("No reading in any order shows whether the {titles} opens.", titles=titles)
        add = mark(
            "look for a second source or a wire past it; without a proof of it "
            "keep out and call a licensed electrician"
        )
        yield Refusal("cannot be proved", ends, what, add, of_description=False)

    def _made(self, chooser: Chooser, opening: Opening) -> WorkPlan:
        points = self.grounds.points(self.scope)
        charges = stored_charges(self.topology.plan, {part_of(t) for t in points})
        protection = Protection(chooser, charges, str(self.unit.nameplate.get("refrigerant", "")))
        readings = Readings(chooser, opening)
        steps = Work(chooser, opening, readings, charges, protection).steps()
        return self._whole(
            devices=_opened(opening, steps),
            steps=steps,
            stays_live=tuple(self._stays_live(opening, frozenset(points))),
            charges=charges,
            leak=protection.leak(),
            standing=self._stands(opening, frozenset(points)),
        )

    def _refused(self, refusals: tuple[Refusal, ...]) -> WorkPlan:
        return self._whole(refusals=refusals)

    def _whole(
        self,
        *,
        devices: tuple[Opened, ...] = (),
        steps: tuple[Step, ...] = (),
        stays_live: tuple[StaysLive, ...] = (),
        charges: tuple[StoredCharge, ...] = (),
        refusals: tuple[Refusal, ...] = (),
        leak: tuple[Caution, ...] = (),
        standing: bool = False,
    ) -> WorkPlan:
        wrong = self.grounds.mislabeled
        running = self.keeps_running
        return WorkPlan(
            unit=self.unit.name,
            title=f"Lockout: {SCOPES[self.scope]}",
            scope=self.scope,
            keeps_running=running,
            points=self.grounds.points(self.scope),
            mislabeled=wrong,
            devices=devices,
            steps=steps,
            stays_live=stays_live,
            charges=charges,
            cautions=cautions(
                self.unit,
                stays_live,
                charges,
                wrong,
                keeps_running=running,
                leak=leak,
                standing=standing,
            ),
            refusals=refusals,
            stands_for_minutes=STANDS_FOR_MINUTES,
        )

    def _stays_live(self, opening: Opening, points: Names) -> Iterator[StaysLive]:
        """By place what line volts still reach with everything open, and the control volts here."""
        left = self.reach.with_open(opening.opened_at(len(opening.order)))
        every = self.unit.terminals()
        line = [end for end in every if end in left.line]
        volt = max(abs(leg) for leg in self.topology.hot.values())
        for place, ends in groupby(sorted(line, key=self._place), self._place):
            yield StaysLive("line", tuple(ends), place, volt, within=False)
        yield from self._control(left, points)

    def _control(self, left: Reached, points: Names) -> Iterator[StaysLive]:
        """Both sides of every control circuit whose transformer stays on, by place."""
        topology = self.topology
        edges = [*topology.metal, *topology.contacts, *topology.demand]
        fed = [winding for winding in topology.windings if winding.part in left.low]
        both = topology.joined([end for each in fed for end in each.second], edges)
        live = [end for end in self.unit.terminals() if end in both | left.control]
        low = max((self.reach.low_volt(part) for part in left.low), default=0.0)
        where = [(self._place(end), end in points) for end in live if end not in left.line]
        for place, within in sorted(set(where)):
            ends = [e for e in live if (self._place(e), e in points) == (place, within)]
            yield StaysLive("control", tuple(ends), place, low, within=within)

    def _stands(self, opening: Opening, points: Names) -> bool:
        """Whether both sides of a transformer that stays on reach the place without a demand."""
        edges = [*self.topology.metal, *self.topology.contacts]
        left = self.reach.with_open(opening.opened_at(len(opening.order)))
        on = [each for each in self.topology.windings if each.part in left.low]
        return any(
            all(self.topology.joined([end], edges) & points for end in each.second) for each in on
        )

    def _place(self, end: str) -> str:
        return self.grounds.place(part_of(end))


def _opened(opening: Opening, steps: tuple[Step, ...]) -> tuple[Opened, ...]:
    """The devices with the steps at which they are opened and proved."""
    proved: dict[str, int] = {}
    for step in steps:
        if step.kind == "measure":
            for reading in step.readings:
                for failed in reading.shows:
                    proved.setdefault(failed.device, step.number)
    at = {step.device: step.number for step in steps if step.kind == "open"}
    return tuple(
        Opened(
            device.name,
            device.title,
            device.place,
            len(device.poles),
            device.name in proved,
            at[device.name],
            proved.get(device.name, 0),
        )
        for device in opening.order
    )
