"""Whether a drawing can carry a plan: what it lacks, in circuit words, and what to add."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rungwise.circuit import CALLING, loads_of, solve
from rungwise.errors import CircuitError
from rungwise.isolation.devices import IsolatingDevice, Pole
from rungwise.isolation.reach import Names, Reach
from rungwise.isolation.scopes import SCOPES, Grounds
from rungwise.isolation.shape import Refusal, RefusalKind, Scope
from rungwise.isolation.topology import Topology, Winding, out_of_phase
from rungwise.isolation.wording import list_words, point_words, points_words
from rungwise.parts import Capacitor, Coil, Does, ElectronicMotor, Heater, Motor, Transformer
from rungwise.unit import Part
from rungwise.wording import capital, mark, say


@dataclass(frozen=True)
class Description:
    """The checks of one unit's drawing, before any plan is made of it."""

    topology: Topology
    reach: Reach
    grounds: Grounds
    scope: Scope

    def refusals(self) -> tuple[Refusal, ...]:
        """Everything that keeps a plan from being made; none where the drawing can be followed."""
        if not self.topology.hot:
            what = mark("No source is described: nothing here feeds the unit.")
            add = mark("add the utility service and the wires from it to the breakers")
            return (Refusal("no source", (), what, add),)
        if not self.grounds.points(self.scope):
            what = say("No part is described there: {scope}.", scope=SCOPES[self.scope])
            return (
                Refusal("nothing there", (), what, mark("add its parts, or choose another scope")),
            )
        wrong = (*self._shorted(), *self._devices(), *self._unwired(), *self._windings())
        return wrong or tuple(self._silent())

    def _shorted(self) -> Iterator[Refusal]:
        """Legs and grounds on one piece of metal, at rest and with every contact closed."""
        topology = self.topology
        closed = [*topology.metal, *topology.contacts, *topology.demand, *topology.poles()]
        told: set[frozenset[str]] = set()
        for leg in topology.hot:
            joined = topology.joined([leg], closed)
            others = (joined & topology.ground) | self._other_legs(leg, joined)
            ends = [end for end in topology.unit.terminals() if end in others]
            if others and frozenset((leg, *ends)) not in told:
                told.add(frozenset((leg, *ends)))
                yield self._short("supply shorted", leg, ends)
        for winding in topology.windings:
            for a, b in (winding.first, winding.second):
                if b in topology.joined([a], closed):
                    yield self._short("control shorted", a, [b])
        for one, other in topology.opposed(closed):
            yield self._opposed(one, other)

    def _other_legs(self, leg: str, joined: Names) -> Names:
        """Legs of another phase; two sources may well feed one leg side by side."""
        hot = self.topology.hot
        return frozenset(e for e in hot if e in joined and out_of_phase(hot[e], hot[leg]))

    def _opposed(self, one: Winding, other: Winding) -> Refusal:
        unit = self.topology.unit
        ends = (*one.second, *other.second)
        first, second = (unit.part(winding.part).title for winding in (one, other))
        what = say(
            "The {first} and the {second} feed one control circuit in opposite phase: as "
            "drawn their volts cancel at {points}, and nothing runs on a demand.",
            first=first,
            second=second,
            points=points_words(unit, ends),
        )
        add = mark("compare how both are wired: one has two of its wires swapped, or the wrong leg")
        return Refusal("control shorted", ends, what, add)

    def _short(self, kind: RefusalKind, end: str, others: list[str]) -> Refusal:
        unit = self.topology.unit
        far = points_words(unit, others[:3]) or mark("another leg")
        what = say(
            "{point} is joined by plain wires and contacts to {far}: as drawn that is a "
            "dead short.",
            point=capital(point_words(unit, end)),
            far=far,
        )
        return Refusal(
            kind,
            (end, *others),
            what,
            mark("take that wire out of the description, or draw where it really goes"),
        )

    def _devices(self) -> Iterator[Refusal]:
        """Isolating devices with a side that no source feeds, or that feeds nothing."""
        live = self.reach.with_open(frozenset()).line
        for device in self.topology.devices:
            behind = self.reach.with_open(frozenset({device.name})).line
            for pole in device.poles:
                yield from self._pole(device, pole, live, behind)

    def _pole(
        self, device: IsolatingDevice, pole: Pole, live: Names, behind: Names
    ) -> Iterator[Refusal]:
        unit, ground = self.topology.unit, self.topology.ground
        words = say("Pole {number} of the {title}", number=pole.number, title=device.title)
        if {pole.line, pole.load} & ground:
            return
        if not {pole.line, pole.load} & live:
            ends = (pole.line, pole.load)
            what = say(
                "{words} is fed by nothing: no source reaches {points}.",
                words=words,
                points=points_words(unit, ends),
            )
            yield Refusal("fed by nothing", ends, what, mark("add the wire that feeds it"))
            return
        if not self.topology.wired(pole.line):
            what = say(
                "{words} is fed by nothing: no wire is on {point}.",
                words=words,
                point=point_words(unit, pole.line),
            )
            yield Refusal("fed by nothing", (pole.line,), what, mark("add the wire that feeds it"))
            return
        far = pole.load if pole.line in behind else pole.line
        if not self.topology.wired(far):
            what = say(
                "{words} feeds nothing: no wire is on {point}.",
                words=words,
                point=point_words(unit, far),
            )
            yield Refusal(
                "feeds nothing", (far,), what, mark("add the wire from there to what it feeds")
            )

    def _unwired(self) -> Iterator[Refusal]:
        """Loads and coils with an end that no wire is on."""
        for part in self.topology.unit.parts:
            kind = self.topology.unit.kind_of(part.name)
            ends = [f"{part.name}.{end}" for end in kind.terminals]
            loose = [end for end in ends if not self.topology.wired(end)]
            electronic = kind.facet(ElectronicMotor)
            if electronic is not None:  # what it is not told by, or its own plug, has no wire
                needed = {f"{part.name}.{end}" for end in electronic.line}
                loose = [end for end in loose if end in needed]
            coil, stores = kind.facet(Coil), kind.facet(Capacitor)
            fed = [f"{part.name}.{end}" for end in (coil.ends if coil else ())]
            load = kind.facet(Motor) or kind.facet(ElectronicMotor) or kind.facet(Heater)
            if (loose and load) or (
                stores and _no_way_through(f"{part.name}.{stores.common}", ends, loose)
            ):
                yield self._loose("load without wires", part, loose)
            elif not set(fed).isdisjoint(loose):
                bare = [end for end in fed if end in loose]
                yield self._loose("coil without wires", part, bare)

    def _loose(self, kind: RefusalKind, part: Part, loose: list[str]) -> Refusal:
        ends = points_words(self.topology.unit, loose)
        what = say(
            "No wire is on {ends}: as drawn the {title} does nothing.", ends=ends, title=part.title
        )
        return Refusal(kind, tuple(loose), what, say("add the wires of {ends}", ends=ends))

    def _windings(self) -> Iterator[Refusal]:
        for part, motor in self.topology.unit.having(Motor):
            if motor.drives != "compressor" or motor.phases != 1:
                continue
            run, start = (
                float(self.topology.plan.defaults[(part.name, key)])
                for key in ("main_ohm", "aux_ohm")
            )
            if start <= run:
                ends = (f"{part.name}.{motor.run}", f"{part.name}.{motor.start}")
                what = say(
                    "The {title} has {start} Ω in its start winding and {run} Ω in its "
                    "run winding; a start winding has more.",
                    title=part.title,
                    start=f"{start:g}",
                    run=f"{run:g}",
                )
                add = mark(
                    "read C to R and C to S again, and put the lower one down for the run winding"
                )
                yield Refusal("impossible windings", ends, what, add)

    def _silent(self) -> Iterator[Refusal]:
        """Motors of the scope that get nothing on a demand, by the solved healthy unit."""
        wanted = self._must_run()
        if not self.topology.unit.roles.compressors:
            what = mark("No compressor is described: nothing here cools on a demand.")
            yield Refusal("nothing runs", (), what, mark("add the compressor and its wires"))
            return
        try:
            states = {s.part: s for s in loads_of(solve(self.topology.plan, CALLING))}
        except CircuitError as error:
            what = say(
                "Solved on a demand, the unit as drawn comes to no answer: {error}", error=error
            )
            yield Refusal(
                "nothing runs", (), what, mark("compare every wire with the unit's own label")
            )
            return
        silent = [p for p in wanted if p in states and states[p].does == Does.OFF]
        outdoors = [p for p in self._motors() if p in self.grounds.outdoor_power and p in states]
        if all(states[p].does != Does.RUNS for p in outdoors):
            silent += [p for p in outdoors if p not in silent]  # what only hums does no work
        if silent or not wanted:
            titles = [self.topology.unit.part(part).title for part in silent]
            named = f"the {list_words(titles, 'and')}" if silent else "anything"
            what = say(
                "As drawn nothing brings {named} to run when the thermostat calls.", named=named
            )
            motors = {part.name: motor for part, motor in self.topology.unit.having(Motor)}
            ends = tuple(f"{part}.{end}" for part in silent for end in motors[part].in_line)
            yield Refusal("nothing runs", ends, what, self._hint())

    def _motors(self) -> list[str]:
        return [part.name for part, _ in self.topology.unit.having(Motor)]

    def _must_run(self) -> list[str]:
        if self.scope in ("everything", "indoor"):
            return self._motors()
        return [part for part in self._motors() if part in self.grounds.outdoor_power]

    def _hint(self) -> str:
        """The loose ends of control parts, or the parts that make the demand and are not there."""
        unit = self.topology.unit
        loose = [end for end in unit.terminals() if not self.topology.wired(end)]
        if not unit.having(Transformer):
            return mark(
                "add the air handler: its transformer, the thermostat, and the wires R, "
                "Y and C to the unit"
            )
        if loose:
            return say(
                "add what is missing; no wire is on {points}", points=points_words(unit, loose[:4])
            )
        return mark("compare every wire with the unit's own label, Y and C first")


def _no_way_through(common: str, ends: list[str], loose: list[str]) -> bool:
    """Whether a capacitor has no two wired ends with a section between."""
    wired = [end for end in ends if end not in loose]
    return len(wired) < 2 or common in loose
