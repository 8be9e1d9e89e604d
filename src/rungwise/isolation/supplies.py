"""What the supplies of a drawing alone say, also where its loads are not well described."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from rungwise.circuit import Plan
from rungwise.isolation.description import Description
from rungwise.isolation.reach import Names, Reach
from rungwise.isolation.scopes import Grounds
from rungwise.isolation.shape import Refusal
from rungwise.isolation.topology import Topology
from rungwise.isolation.wording import points_words
from rungwise.parts import Coil, part_of
from rungwise.unit import Unit


def devices_that_cut(plan: Plan, parts: Iterable[str]) -> tuple[str, ...]:
    """The isolating devices, each of which alone takes line volts off all of these parts."""
    topology = Topology(plan)
    reach = Reach(topology)
    wanted = {end for end in plan.unit.terminals() if part_of(end) in set(parts)}
    fed = wanted & reach.with_open(frozenset()).line
    return tuple(
        device.name
        for device in topology.devices
        if fed and fed.isdisjoint(reach.with_open(frozenset({device.name})).line)
    )


def gaps_of(unit: Unit) -> tuple[Refusal, ...]:
    """What a drawing lacks, or has shorted, before any plan of work can be made of it.

    Whether it runs on a demand is left out: that is for whoever asks what it does.
    """
    topology = Topology(Plan(unit))
    reach = Reach(topology)
    whole = Description(topology, reach, Grounds(topology, reach), "everything")
    told = [each for each in whole.refusals() if each.kind != "nothing runs"]
    return (*told, *_one_way(topology))


def _one_way(topology: Topology) -> Iterator[Refusal]:
    """Coils with wires on both ends, one of which leads back to no source."""
    unit = topology.unit
    sources = {*topology.hot, *topology.ground}
    sources |= {end for each in topology.windings for ends in each.ends() for end in ends}
    for part, coil in unit.having(Coil):
        ends = [f"{part.name}.{end}" for end in coil.ends]
        if not all(topology.wired(end) for end in ends):
            continue
        edges = [e for e in (*topology.conducts, *topology.poles()) if set(e) != set(ends)]
        lost = [end for end in ends if sources.isdisjoint(topology.joined([end], edges))]
        if lost:
            points = points_words(unit, lost)
            what = f"The coil of the {part.title} has no way back: {points} leads to no source."
            add = f"add the wire from {points} to the other side of what feeds the coil"
            yield Refusal("coil without wires", tuple(lost), what, add)


@dataclass(frozen=True, slots=True)
class SupplyWay:
    """One isolating device of a drawing, and what it cuts off alone.

    Attributes:
        parts: titles of the parts that are without volts once it alone is open.
        more: titles of those that it feeds and something else feeds too.
    """

    device: str
    title: str
    place: str
    poles: int
    parts: tuple[str, ...]
    more: tuple[str, ...]


def supply_ways(unit: Unit) -> tuple[SupplyWay, ...]:
    """What each isolating device cuts off, by the wires from the supplies alone.

    Nothing is asked of the loads: it serves where a drawing is not good enough for a plan.
    """
    topology = Topology(Plan(unit))
    reach = Reach(topology)
    live = reach.with_open(frozenset())
    return tuple(_way(topology, reach, each.name, live.line | live.control)
                 for each in topology.devices)  # fmt: skip


def _way(topology: Topology, reach: Reach, name: str, live: Names) -> SupplyWay:
    unit = topology.unit
    device = next(each for each in topology.devices if each.name == name)
    left = reach.with_open(frozenset({name}))
    still = left.line | left.control
    dead: list[str] = []
    half: list[str] = []
    for part in unit.parts:
        ends = {e for e in unit.terminals() if part_of(e) == part.name} & live
        if part.name != name and ends - still:
            (half if ends & still else dead).append(part.title)
    return SupplyWay(name, device.title, device.place, len(device.poles), tuple(dead), tuple(half))
