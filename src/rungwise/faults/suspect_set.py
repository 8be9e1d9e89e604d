"""All suspects of a unit, and the plan and particles that they are solved on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from copy import copy
from dataclasses import replace
from functools import cached_property

import numpy as np

from rungwise.circuit import Key, Plan
from rungwise.errors import UnknownName
from rungwise.faults.misplaced import misplaced_suspects, with_alternates
from rungwise.faults.not_electrical import WHOLE, not_electrical
from rungwise.faults.pairs import with_pairs
from rungwise.faults.pressures import pressure_causes
from rungwise.faults.spreads import Layout, Spread, spreads_of
from rungwise.faults.suspect import Edit, FaultStep, RepairStep, Suspect
from rungwise.faults.thin_runs import thin_runs
from rungwise.faults.weights import (
    CONTROL_JOINT_OHM,
    NOTHING,
    is_field_wire,
    pair_weight,
    part_factor,
    wire_weight,
)
from rungwise.parts import (
    CONTROL_SIGNALS,
    HIGH_RESISTANCE,
    PAIR,
    WIRE,
    Draw,
    FloatArray,
    Mode,
    PartKind,
    pair_name,
)
from rungwise.unit import Part, Unit, Wire
from rungwise.wording import Said, mark, named, say

HEALTHY = "nothing.found"
"""Id of the suspect that stands for no electrical fault at all."""


class SuspectSet:
    """The suspects of `unit` and the plan they share.

    `weights` overrides start weights by suspect id (a shop's own experience).
    """

    def __init__(self, unit: Unit, weights: Mapping[str, float] | None = None) -> None:
        self.unit = unit
        self.plan = Plan(with_alternates(unit))
        singles = tuple(_singles(unit))
        singles = (*singles, *pressure_causes(unit, singles))
        found = (*with_pairs(unit, singles), *not_electrical(unit), _nothing())
        self.suspects = tuple(_weighted(found, weights or {}))
        self._by_id = {suspect.id: suspect for suspect in self.suspects}

    def weighted(self, weights: Mapping[str, float]) -> SuspectSet:
        """The same suspects on the same plan, with other weights by id."""
        made = copy(self)
        made.suspects = tuple(_weighted(self.suspects, weights))
        made._by_id = {each.id: each for each in made.suspects}  # noqa: SLF001  # its own kind
        return made

    def __len__(self) -> int:
        return len(self.suspects)

    def __iter__(self) -> Iterator[Suspect]:
        return iter(self.suspects)

    def suspect(self, name: str) -> Suspect:
        """The suspect called `name`; raises UnknownName with close matches."""
        if name not in self._by_id:
            what = mark("There is no such suspect in this unit.")
            raise UnknownName(what=what, name=name, known=self._by_id)
        return self._by_id[name]

    @cached_property
    def spreads(self) -> tuple[Spread, ...]:
        """In what good specimens differ, what a call learns first."""
        return spreads_of(self.plan)

    @cached_property
    def learned(self) -> tuple[Spread, ...]:
        """The spreads that a call's readings narrow."""
        return tuple(each for each in self.spreads if each.learned)

    def good(self, z: FloatArray) -> dict[Key, FloatArray]:
        """Good specimens that stand at `z` (float [n, spreads], standard deviations)."""
        drawn = {}
        for at, spread in enumerate(self.spreads):
            for key, sd in spread.keys:
                usual = self.plan.defaults[key] * np.exp(sd * z[:, at])
                drawn[key] = np.where(z[:, at] < spread.other_below, spread.other, usual)
        return drawn

    def typical(self, suspect: Suspect, severity: float = 0.5) -> dict[Key, FloatArray]:
        """The suspect's edits on a specimen without spread, at one severity (0 to 1)."""
        at = np.asarray(float(severity))
        return {edit.key: edit.apply(self.plan.defaults[edit.key], at) for edit in suspect.edits}

    def typical_of(self, suspects: Sequence[Suspect]) -> dict[Key, FloatArray]:
        """As `typical`, of several suspects: one array a parameter, one variant a suspect."""
        values: dict[Key, FloatArray] = {}
        for at, suspect in enumerate(suspects):
            for key, number in self.typical(suspect).items():
                if key not in values:
                    values[key] = np.full(len(suspects), float(self.plan.defaults[key]))
                values[key][at] = number
        return values

    def particles(
        self, suspects: Iterable[Suspect], count: int, seed: int = 0
    ) -> dict[Key, FloatArray]:
        """Values for `count` particles of every suspect as they come, suspect after suspect."""
        return self.specimens(suspects, Layout.drawn(count, len(self.spreads), seed))

    def specimens(self, suspects: Iterable[Suspect], layout: Layout) -> dict[Key, FloatArray]:
        """Values for the specimens of a layout, for every suspect, suspect after suspect."""
        chosen = tuple(suspects)
        count, good = len(layout), self.good(layout.z)
        values = {key: np.tile(drawn, len(chosen)) for key, drawn in good.items()}
        for at, suspect in enumerate(chosen):
            here = slice(at * count, (at + 1) * count)
            for edit in suspect.edits:
                self._edit(values, edit, here, layout.rank, len(chosen) * count)
        return values

    def _edit(
        self,
        values: dict[Key, FloatArray],
        edit: Edit,
        here: slice,
        rank: FloatArray,
        size: int,
    ) -> None:
        if edit.key not in values:
            values[edit.key] = np.full(size, float(self.plan.defaults[edit.key]))
        column = values[edit.key]
        column[here] = edit.apply(column[here], rank)


def _singles(unit: Unit) -> Iterator[Suspect]:
    for part in unit.parts:
        for mode in unit.kind_of(part.name).modes:
            yield _of_part(unit, part.name, mode)
    for wire in unit.wires:
        if is_field_wire(wire):
            for mode in WIRE.modes:
                weight = wire_weight(unit, wire, mode.name)
                shown = _for_wire(wire, mode)
                title = say("{part}: {fault}", part=unit.wire_title(wire), fault=mode.title)
                yield _of_block(wire.name, title, unit.wire_title(wire), shown, weight)
    for cable in unit.cables:
        for i, first in enumerate(cable.wires):
            for second in cable.wires[i + 1 :]:
                yield from _of_pair(unit, first, second, cable.name)
    yield from misplaced_suspects(unit)
    yield from thin_runs(unit)


def _for_wire(wire: Wire, mode: Mode) -> Mode:
    """The mode with the severity that matters in this wire's circuit."""
    if mode.name != HIGH_RESISTANCE or wire.carries not in CONTROL_SIGNALS:
        return mode
    return replace(mode, edits=(Draw("fault_ohm", *CONTROL_JOINT_OHM),))


def _of_part(unit: Unit, name: str, mode: Mode) -> Suspect:
    part, kind = unit.part(name), unit.kind_of(name)
    title = _called(mode.title, part)
    if title is None:
        label = named(part.label)
        title = say("{part}: {fault}", part=label, fault=mode.title) if label else mode.title
    text = _called(mode.repair_text, part) or mode.repair_text
    return Suspect(
        FaultStep(name, mode.name).id,
        title,
        name,
        mode.name,
        _edits(name, mode, part),
        part_factor(unit, name, mode.weight),
        RepairStep(name, mode.repair).key,
        text,
        behind=mode.behind,
        signs=mode.signs,
        repair_minutes=_minutes(part, kind) if mode.repair == "replace" else 15.0,
        known=mode.known,
        shown_by=mode.shown_by,
        is_effect=mode.is_effect,
        wrong_minutes=mode.wrong_minutes,
        signal=mode.signal,
    )


def _minutes(part: Part, kind: PartKind) -> float:
    """To replace the part where it stands."""
    outdoors, indoors = kind.change_minutes
    return indoors if part.place == "indoor" else outdoors


def _called(text: str, part: Part) -> str | None:
    """The kind's words with the part's own name: of two breakers, which one tripped.

    None where the words do not name the part.
    """
    if not isinstance(text, Said) or "name" not in text.values:
        return None
    return say(text.message, name=named(part.label or text.values["name"]))


def _of_block(name: str, title: str, where: str, mode: Mode, weight: float) -> Suspect:
    """A suspect of a wire or a pair. where: what tells its repair from others of the kind."""
    return Suspect(
        FaultStep(name, mode.name).id,
        title,
        name,
        mode.name,
        _edits(name, mode),
        weight,
        RepairStep(name, mode.repair).key,
        say("{what} ({where})", what=mode.repair_text, where=where),
        behind=mode.behind,
        signs=mode.signs,
        repair_minutes=20,
        known=mode.known,
        shown_by=mode.shown_by,
        is_effect=mode.is_effect,
        wrong_minutes=mode.wrong_minutes,
        signal=mode.signal,
    )


def _of_pair(unit: Unit, first: str, second: str, cable: str) -> Iterator[Suspect]:
    """The ways of two conductors, weighted by how often such two touch."""
    signals = say(
        "{one} and {other}",
        one=unit.wire_by_name[first].carries, other=unit.wire_by_name[second].carries,
    )  # fmt: skip
    usual = pair_weight(unit, first, second)
    for mode in PAIR.modes:
        title = say(
            "{signals} {mode} in the {cable}", signals=signals, mode=mode.title, cable=named(cable)
        )
        if not mode.known:
            title = say(
                "{signals} leak into each other in the {cable}", signals=signals, cable=named(cable)
            )
        weight = usual * mode.weight / PAIR.modes[0].weight
        yield _of_block(pair_name(first, second), title, title, mode, weight)


def _edits(block: str, mode: Mode, part: Part | None = None) -> tuple[Edit, ...]:
    own = mode.edits if part is None or mode.edits_of is None else mode.edits_of(part.number)
    return tuple(Edit((block, draw.parameter), draw) for draw in own)


def _nothing() -> Suspect:
    return Suspect(
        HEALTHY,
        mark("nothing wrong in the electrical circuit"),
        WHOLE,
        "none",
        (),
        NOTHING,
        "unit:look_elsewhere",
        mark("look at the refrigerant, the air flow and the settings: the circuit does its work"),
        repair_minutes=60,
    )


def _weighted(suspects: Iterable[Suspect], weights: Mapping[str, float]) -> Iterator[Suspect]:
    for suspect in suspects:
        weight = weights.get(suspect.id, suspect.weight)
        if weight > 0:
            yield replace(suspect, weight=weight)
