"""The unit made dead: what stands across each capacitor section."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from rungwise.circuit import STANDBY, Leads, Link, Plan, solve
from rungwise.isolation.devices import isolating_devices, openings
from rungwise.isolation.variants import NO_EDITS, batch_values
from rungwise.parts import METAL_OHM, end_mark, terminal_of
from rungwise.unit import Part
from rungwise.wording import joined


@dataclass(frozen=True, slots=True)
class Section:
    """One capacitor element and where it stands."""

    part: Part
    link: Link
    terminals: tuple[str, str]

    @property
    def title(self) -> str:
        """What a person calls it: its part and its two terminals."""
        return joined(
            " ", (self.part.title, joined("–", (end_mark(terminal_of(t)) for t in self.terminals)))
        )


def capacitor_sections(plan: Plan) -> tuple[Section, ...]:
    """Every capacitor section: an element whose farads are a part's parameter `…_uf`."""
    links = (x for x in plan.links if (x.block, f"{x.element.name}_uf") in plan.defaults)
    return tuple(_section(plan, link) for link in links)


def _section(plan: Plan, link: Link) -> Section:
    terminals = (f"{link.block}.{link.element.a}", f"{link.block}.{link.element.b}")
    return Section(plan.unit.part(link.block), link, terminals)


class AtRest:
    """Everything beside the capacitors, solved with all isolating devices open and no call.

    `sections` are those of `capacitor_sections`.
    """

    def __init__(self, plan: Plan, sections: Sequence[Section]) -> None:
        self.sections = tuple(sections)
        self._plan = plan
        opened = openings(isolating_devices(plan.unit))
        self._batch = solve(plan, STANDBY, batch_values(plan, NO_EDITS, [opened])).batch
        self._leads = Leads(self._batch, "dc")
        self._metal = self._joined_nodes()
        self.capacitance_uf = tuple(self._microfarads(section) for section in sections)

    def _microfarads(self, section: Section) -> float:
        """The rated capacitance."""
        key = (section.part.name, f"{section.link.element.name}_uf")
        return float(np.max(self._batch.number(key)))

    def rated_v(self, section: Section) -> float:
        """Volts that the capacitor is made for."""
        return float(self._plan.defaults[(section.part.name, "volt")])

    def path_ohm(self, section: Section) -> float:
        """Resistance that everything beside the section puts across it."""
        return float(self._leads.impedance_ohm(*section.terminals)[0].real)

    def own_bleed_ohm(self, section: Section) -> float | None:
        """The resistor fixed across the section inside its part, or None."""
        ends = {section.link.a, section.link.b}
        for link in self._plan.links:
            element = link.element
            plain = element.farad is None and element.closed is None
            if link.block == section.part.name and plain and {link.a, link.b} == ends:
                return float(np.max(element.ohm(self._batch.view(link.block))))
        return None

    def beside(self, at: int) -> tuple[int, ...]:
        """Sections that metal puts in parallel to section `at` at rest, itself among them."""
        ends = [{self._metal[s.link.a], self._metal[s.link.b]} for s in self.sections]
        return tuple(k for k, pair in enumerate(ends) if pair == ends[at])

    def _joined_nodes(self) -> list[int]:
        """For each node, one name for all nodes that metal and closed contacts join to it."""
        name = list(range(len(self._plan.nodes) + 1))  # the last is earth
        for link in self._plan.links:
            if self._is_metal(link):
                kept, gone = name[link.a], name[link.b]
                name = [kept if n == gone else n for n in name]
        return name

    def _is_metal(self, link: Link) -> bool:
        element, view = link.element, self._batch.view(link.block)
        if element.farad is not None or element.henry is not None or element.emf_volt is not None:
            return False
        closed = 1.0 if element.closed is None else np.ravel(element.closed(view))[0]
        return bool(closed and np.ravel(element.ohm(view))[0] < METAL_OHM)
