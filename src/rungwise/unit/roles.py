"""What a part is in its unit: read off its facets, its place and the wires, never off its name.

A fan motor outdoors is the condenser's, indoors the blower; a capacitor's section serves the motor
whose start winding its wires reach; a contactor is known by the motors behind its poles. So any
part may be called anything.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from rungwise.parts import Capacitor, ElectronicMotor, Heater, Motor, OpensOn, Poles, Section

if TYPE_CHECKING:
    from rungwise.unit.unit import Part, Unit


@dataclass(frozen=True, slots=True)
class Served:
    """A section of a capacitor together with the motor that it serves."""

    capacitor: str
    section: Section
    motor: str


@dataclass(frozen=True)
class Roles:
    """The roles of the parts of `unit`; each property lists parts by name, in file order."""

    unit: Unit

    def _motors(self, *, compress: bool, place: str = "") -> tuple[str, ...]:
        return tuple(
            part.name
            for part, motor in self._turning()
            if motor.compresses == compress and place in ("", part.place)
        )

    def _turning(self) -> Iterator[tuple[Part, Motor | ElectronicMotor]]:
        """Motors of either sort, in file order."""
        for part in self.unit.parts:
            kind = self.unit.kind_of(part.name)
            motor = kind.facet(Motor) or kind.facet(ElectronicMotor)
            if motor is not None:
                yield part, motor

    @cached_property
    def compressors(self) -> tuple[str, ...]:
        """Every compressor."""
        return self._motors(compress=True)

    def on_circuit_of(self, compressor: str) -> tuple[str, ...]:
        """The parts on the refrigerant circuit of a compressor, it among them.

        A part that tells no circuit serves every one, as a fan does that blows over both coils.
        """
        mine = self.unit.part(compressor).circuit
        return tuple(p.name for p in self.unit.parts if not mine or p.circuit in ("", mine))

    def compressors_with(self, part: str) -> tuple[str, ...]:
        """The compressors on whose refrigerant circuit a part is."""
        return tuple(each for each in self.compressors if part in self.on_circuit_of(each))

    @cached_property
    def outdoor_fans(self) -> tuple[str, ...]:
        """The motors that move outdoor air over the condenser."""
        return self._motors(compress=False, place="outdoor")

    @cached_property
    def indoor_blowers(self) -> tuple[str, ...]:
        """The motors that move indoor air over the evaporator."""
        return self._motors(compress=False, place="indoor")

    @cached_property
    def heaters(self) -> tuple[str, ...]:
        """Every heater of a crankcase."""
        return self._warming("oil")

    @cached_property
    def elements(self) -> tuple[str, ...]:
        """Every element that heats the air of the house."""
        return self._warming("air")

    def _warming(self, what: str) -> tuple[str, ...]:
        return tuple(p.name for p, heater in self.unit.having(Heater) if heater.warms == what)

    def opening_on(self, what: str) -> tuple[str, ...]:
        """The switches that open, or close, on `what` (see `OpensOn`)."""
        return tuple(p.name for p, switch in self.unit.having(OpensOn) if switch.what == what)

    @cached_property
    def served(self) -> tuple[Served, ...]:
        """Every capacitor's section with the motor whose start winding its wires reach."""
        return tuple(self._served())

    def sections_serving(self, motor: str) -> tuple[Served, ...]:
        """The sections that serve one motor."""
        return tuple(each for each in self.served if each.motor == motor)

    def _served(self) -> Iterator[Served]:
        starts = {
            f"{part.name}.{motor.starting}": part.name for part, motor in self.unit.having(Motor)
        }
        for part, capacitor in self.unit.having(Capacitor):
            for section in capacitor.sections:
                ends = (self.unit.wired_together(f"{part.name}.{end}") for end in section.ends)
                reached = frozenset().union(*ends)
                for terminal in filter(reached.__contains__, starts):
                    yield Served(part.name, section, starts[terminal])

    @cached_property
    def contactors(self) -> tuple[str, ...]:
        """The parts with a pole, moved by a coil, in the line of a compressor or outdoor fan."""
        moved = {*self.compressors, *self.outdoor_fans}
        lines = {
            f"{part.name}.{end}"
            for part, motor in self.unit.having(Motor)
            if part.name in moved
            for end in motor.in_line
        }
        return tuple(
            part.name
            for part, poles in self.unit.having(Poles)
            if poles.moved_by == "coil" and lines & self._beside(part.name, poles)
        )

    @cached_property
    def made_as_contactors(self) -> tuple[tuple[Part, Poles], ...]:
        """The parts made for a compressor's line, wired there or not, each with its poles."""
        kind_of = self.unit.kind_of
        poles = self.unit.having(Poles)
        return tuple((part, each) for part, each in poles if kind_of(part.name).is_contactor)

    @cached_property
    def main_contactor(self) -> str:
        """What people call *the* contactor: the first in the line of a motor outdoors.

        Where none is wired there, the first that is made for it; "" where there is none.
        """
        made_for_it = [part.name for part, _ in self.made_as_contactors]
        in_line = [name for name in made_for_it if name in self.contactors]
        return next(iter(in_line or made_for_it), "")

    def _beside(self, part: str, poles: Poles) -> set[str]:
        """The terminals that wires alone join to any pole."""
        ends = {f"{part}.{end}" for pole in poles.poles for end in (pole.line, pole.load)}
        return {other for end in ends for other in self.unit.wired_together(end)}
