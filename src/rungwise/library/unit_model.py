"""A unit to work with: opened by file or by name, looked into, and changed value by value."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from rungwise.drawing import ladder
from rungwise.errors import UnknownName
from rungwise.faults import SuspectSet
from rungwise.parts import Parameter
from rungwise.quantity import in_range, parse
from rungwise.services import UnitSource, open_unit
from rungwise.unit import Unit, unit_of_parameter


@dataclass(frozen=True)
class UnitModel:
    """A unit, immutable: what changes it gives another one.

    whole: the unit as the engine has it. path: its file; None of a shipped arrangement and of a
    unit that was changed here.
    """

    whole: Unit
    path: Path | None = None

    @property
    def name(self) -> str:
        """What the unit is called in answers: its file's stem, or the arrangement."""
        return self.whole.name

    @property
    def title(self) -> str:
        """What a person calls it."""
        return self.whole.title

    @property
    def parts(self) -> tuple[str, ...]:
        """The names of its parts, in file order."""
        return tuple(self.whole.part_by_name)

    @property
    def wires(self) -> dict[str, tuple[str, str]]:
        """Its wires by name, each with the two terminals (`part.terminal`) that it joins."""
        return {wire.name: (wire.start, wire.end) for wire in self.whole.wires}

    @property
    def terminals(self) -> tuple[str, ...]:
        """Every terminal as `part.terminal`, in file order."""
        return self.whole.terminals()

    @property
    def suspects(self) -> dict[str, str]:
        """What can be wrong with it: the id of each fault and what it is."""
        return {each.id: each.title for each in SuspectSet(self.whole)}

    def values(self, part: str) -> dict[str, float]:
        """The parameters of a part and their values, each in the unit that ends its name.

        Raises UnknownName, with close matches, where the unit has no such part.
        """
        held = self.whole.part(part).values
        return {name: held.get(name, each.default) for name, each in self._known(part).items()}

    def with_value(self, part: str, parameter: str, value: float | str) -> UnitModel:
        """The same unit with one value changed.

        value: a number in the parameter's own unit (`coil_ohm` in Ω), or a text such as "45 µF".
        Raises UnknownName, with close matches, for a part or a parameter that does not exist;
        BadQuantity for a value that cannot be read or that no such part has.
        """
        told = known_name(parameter, self._known(part), f"The part {part} has no such parameter.")
        about = self._known(part)[told]
        unit = unit_of_parameter(about)
        number = parse(value, unit, what=about.what)
        number = in_range(number, about.low, about.high, unit, about.what, typed=value)
        parts = tuple(
            replace(each, values={**each.values, told: number}) if each.name == part else each
            for each in self.whole.parts
        )
        return UnitModel(replace(self.whole, parts=parts))

    def __str__(self) -> str:
        lines = [self.title or self.name]
        lines += [f"  {each.name}: {each.title} ({each.place})" for each in self.whole.parts]
        return "\n".join(lines)

    def _known(self, part: str) -> Mapping[str, Parameter]:
        self.whole.part(part)
        kind = self.whole.kind_of(part)
        return {each.name: each for each in kind.parameters if not each.hidden}

    def _repr_svg_(self) -> str:
        """The ladder diagram, which a notebook shows in place of the text."""
        return ladder(self.whole).svg


GivenUnit = UnitModel | str | os.PathLike[str]
"""A unit that was loaded, its file, or the name of a shipped arrangement."""


def load(unit: str | os.PathLike[str]) -> UnitModel:
    """The unit in a file, or the shipped arrangement of that name.

    Raises BadUnitFile with file, line, key, value, what is allowed and the next step.
    """
    found: UnitSource = open_unit(os.fspath(unit))
    return UnitModel(found.unit, found.path)


def model_of(given: GivenUnit) -> UnitModel:
    """The unit that was given, loaded where it is a name. Raises BadUnitFile."""
    return given if isinstance(given, UnitModel) else load(given)


def known_name(name: str, known: Iterable[str], what: str) -> str:
    """`name` itself where it is known.

    what: the sentence of the refusal. Raises UnknownName with close matches.
    """
    names = tuple(known)
    if name not in names:
        raise UnknownName(what=what, name=name, known=names)
    return name
