"""Where the hands go, and the terminals that lie there: from the wires, not from labels alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property

from rungwise.errors import UnknownName
from rungwise.isolation.reach import Names, Reach
from rungwise.isolation.shape import Scope
from rungwise.isolation.topology import Topology
from rungwise.parts import (
    Capacitor,
    Coil,
    Control,
    Heater,
    Junction,
    Motor,
    OpensOn,
    PartKind,
    Supply,
    Timer,
    part_of,
)
from rungwise.wording import mark

SCOPES: dict[Scope, str] = {
    "cabinet": mark("outdoor cabinet, load side of the disconnect"),
    "disconnect": mark("disconnect or its line side, and the outdoor cabinet"),
    "indoor": mark("indoor unit"),
    "everything": mark("outdoor unit, disconnect and indoor unit"),
}
"""Each scope with its title."""

STATIONS = {"outdoor": "unit", "disconnect": "unit", "indoor": "indoor", "panel": "panel"}
"""Places that one stands at without walking: the disconnect is within sight of its unit."""

WORK_STATIONS: dict[Scope, tuple[str, ...]] = {
    "cabinet": ("unit",),
    "disconnect": ("unit",),
    "indoor": ("indoor",),
    "everything": ("indoor", "unit"),
}
"""Where each scope is measured dead, the outdoor unit last because its readings end the plan."""


def scope_of(name: str) -> Scope:
    """The scope of this name. Raises UnknownName."""
    for scope in SCOPES:
        if scope == name:
            return scope
    raise UnknownName(what="Hands do not go there.", name=name, known=SCOPES)


def station_of(place: str) -> str:
    """The station that a place belongs to."""
    return STATIONS.get(place, place)


@dataclass(frozen=True)
class Grounds:
    """Which parts lie outdoors and indoors by the wires, and which labels the wires contradict."""

    topology: Topology
    reach: Reach

    @cached_property
    def outdoor(self) -> Names:
        """Parts of the outdoor unit: those said to be, and what its compressor hangs together with.

        So a contactor that is said to stand indoors by a slip stays in the plan.
        """
        return self._labeled("outdoor") | self.outdoor_power

    @cached_property
    def outdoor_power(self) -> Names:
        """Parts that the compressor's terminals lead to without any device between."""
        motors = [*self.topology.unit.roles.compressors]
        if not motors:
            motors = [p for p in self._labeled("outdoor") if self._motor(p)]
        return self._kept(self._joined_to(motors), _of_power)

    @cached_property
    def indoor(self) -> Names:
        """Parts of the indoor unit, likewise, by its blower."""
        said = self._labeled("indoor") - self.outdoor_power
        motors = [p.name for p in self.topology.unit.parts if self._motor(p.name)]
        here = [p for p in motors if p not in self.outdoor_power and p not in self.outdoor]
        joined = self._joined_to(here) - self.outdoor_power
        return said | (joined - self._kept(joined, _of_control))

    def _kept(self, parts: Names, wanted: Callable[[PartKind], bool]) -> Names:
        """Those of the parts whose kind is wanted."""
        return frozenset(p for p in parts if wanted(self.topology.unit.kind_of(p)))

    @property
    def packaged(self) -> bool:
        """Whether one cabinet holds both: its blower hangs on the compressor's own power."""
        blowers = self.topology.unit.roles.indoor_blowers
        return bool(blowers) and self.outdoor_power.issuperset(blowers)

    @cached_property
    def mislabeled(self) -> tuple[str, ...]:
        """Parts whose place the wires contradict, in file order."""
        cabinet = ("outdoor", "indoor") if self.packaged else ("outdoor",)
        wrong = {p for p in self.outdoor_power if self.topology.unit.part(p).place not in cabinet}
        wrong |= {p for p in self.indoor if self.topology.unit.part(p).place != "indoor"}
        return tuple(p.name for p in self.topology.unit.parts if p.name in wrong)

    def place(self, part: str) -> str:
        """Where a part is, by the wires where they say so."""
        if part in self.outdoor_power:
            return "outdoor"
        if part in self.indoor:
            return "indoor"
        return self.topology.unit.part(part).place

    @cached_property
    def disconnects(self) -> Names:
        """Isolating devices beside the outdoor unit: those at its edge that are not in the panel.

        A second one in series with it counts when it is said to stand there too.
        """
        edge = self.reach.flood(self._terminals(self.outdoor_power), self._every_device)
        beside = {
            device.name
            for device in self.topology.devices
            if device.place != "panel" and not edge.isdisjoint(device.terminals)
        }
        named = {d.name for d in self.topology.devices if station_of(d.place) == "unit"}
        return frozenset(beside | named)

    @cached_property
    def _built_in(self) -> Names:
        """Devices in the cabinet itself: hands go there, so what feeds them has to be open too."""
        return frozenset(d.name for d in self.topology.devices if d.place == "outdoor")

    def points(self, scope: Scope) -> tuple[str, ...]:
        """The terminals within a scope, in file order."""
        inside = frozenset(self._parts(scope))
        kinds = self.topology.unit.kind_of
        return tuple(
            f"{part.name}.{terminal}"
            for part in self.topology.unit.parts
            if part.name in inside
            for terminal in kinds(part.name).terminals
        )

    def _parts(self, scope: Scope) -> Names:
        if scope == "cabinet":
            return self.outdoor | self._built_in
        if scope == "indoor":
            return self.indoor
        if scope == "disconnect":
            return self.outdoor | self.disconnects | self._built_in
        devices = {d.name for d in self.topology.devices if d.place != "panel"}
        rooms = self._labeled(None) - {d.name for d in self.topology.devices}
        return self.outdoor | self.indoor | self.disconnects | devices | rooms

    def _labeled(self, place: str | None) -> Names:
        """Parts that are said to stand at a place, or for None at any but the panel."""
        unit = self.topology.unit
        return frozenset(
            part.name
            for part in unit.parts
            if (part.place == place if place else part.place != "panel")
            and unit.kind_of(part.name).facet(Supply) is None
            and not unit.kind_of(part.name).isolates
        )

    @cached_property
    def _every_device(self) -> Names:
        return frozenset(device.name for device in self.topology.devices)

    def _joined_to(self, parts: Iterable[str]) -> Names:
        found = self.reach.flood(self._terminals(parts), self._every_device)
        unit = self.topology.unit
        names = {part_of(point) for point in found}
        return frozenset(
            name
            for name in names
            if not _of_no_cabinet(unit.kind_of(name)) and not unit.kind_of(name).isolates
        )

    def _terminals(self, parts: Iterable[str]) -> list[str]:
        kind_of = self.topology.unit.kind_of
        return [f"{part}.{end}" for part in parts for end in kind_of(part).terminals]

    def _motor(self, part: str) -> bool:
        return self.topology.unit.kind_of(part).facet(Motor) is not None


def _of_power(kind: PartKind) -> bool:
    """Whether it stands beside the motor that its wires lead to."""
    coil, opens = kind.facet(Coil), kind.facet(OpensOn)
    switches = coil is not None and coil.duty != "general purpose"
    guards = opens is not None and opens.what == "warmth"
    return switches or guards or any(kind.facet(sort) for sort in (Motor, Capacitor, Heater))


def _of_control(kind: PartKind) -> bool:
    """Whether it is of a control circuit that runs from one unit to the other.

    Its place is then as labeled.
    """
    opens, junction = kind.facet(OpensOn), kind.facet(Junction)
    guards = opens is not None and opens.what in (
        mark("high pressure"),
        mark("low pressure"),
        "water",
        "cold",
    )
    joins = junction is not None and junction.one_point and junction.is_splice
    return guards or joins or kind.facet(Timer) is not None


def _of_no_cabinet(kind: PartKind) -> bool:
    """Whether wires lead to it and it belongs to no cabinet."""
    return kind.facet(Control) is not None or kind.facet(Supply) is not None
