"""Which terminals are one point because wires join them."""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.parts import KINDS
from rungwise.unit.unit import Part, Unit

__all__ = ["Nets"]


class Nets:
    """The terminals of `unit`, grouped by the wires between them; no part is passed through."""

    def __init__(self, unit: Unit) -> None:
        self.unit = unit
        self._over: dict[str, str] = {terminal: terminal for terminal in unit.terminals()}
        for wire in unit.wires:
            self._over[self._top(wire.start)] = self._top(wire.end)

    def same(self, a: str, b: str) -> bool:
        """Whether wires join the two terminals."""
        return self._top(a) == self._top(b)

    def terminals_of(self, terminal: str) -> Iterator[str]:
        """All terminals on the same point, itself too."""
        return (each for each in self._over if self.same(each, terminal))

    def motor_started_from(self, terminal: str) -> Part | None:
        """The motor whose start winding lies on this point, None where there is none."""
        for each in self.terminals_of(terminal):
            name, _, end = each.partition(".")
            part = self.unit.part_by_name[name]
            if end == "S" and KINDS[part.kind].motor:
                return part
        return None

    def _top(self, terminal: str) -> str:
        while self._over[terminal] != terminal:
            terminal = self._over[terminal]
        return terminal
