"""What opens a pressure switch while the circuit is whole: a dirty outdoor coil, the charge.

The circuit's own heat side works them out: amps that rise or fall, and the switch that opens.
They share the repair of the switch that they open, which is to find the cause first.  Weights are
common practice, from experience, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from rungwise.faults.suspect import Edit, Suspect
from rungwise.parts import Draw
from rungwise.unit import Unit
from rungwise.wording import joined, mark, named, say

RUN_S = (90.0, 3000.0)
"""How long it has run when it is looked at: the unit goes on and off by its switch, and one comes
as often while it still runs hard as after it has stopped (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class _Cause:
    """What opens a switch on `what`: the compressor's parameter, how far off, how often.

    of_boxes: whether only a box has it, whose ice is melted by a clock.
    """

    what: str
    mode: str
    title: str
    effect: str
    draw: Draw
    weight: float
    signs: Mapping[str, float] = field(default_factory=dict)
    of_boxes: bool = False


ICED = "iced"
"""The mode of a box's coil that no defrost has cleared."""

_CAUSES = (
    _Cause(
        mark("high pressure"),
        "dirty_coil",
        mark("outdoor coil matted with dirt"),
        mark("so the head pressure rises and the high-pressure switch opens"),
        Draw("fouling", 0.7, 0.93),
        16.0,
        {"coil_dirt": 0.9},
    ),
    _Cause(
        mark("high pressure"),
        "overcharge",
        mark("too much refrigerant, or air in it"),
        mark("so the head pressure rises and the high-pressure switch opens"),
        Draw("charge", 1.6, 2.0),
        3.0,
    ),
    _Cause(
        mark("low pressure"),
        "low_charge",
        mark("refrigerant low"),
        mark("so the suction pressure falls and the low-pressure switch opens"),
        Draw("charge", 0.12, 0.4),
        30.0,
        {"ice": 0.3},
    ),
    _Cause(
        mark("low pressure"),
        ICED,
        mark("coil of the box a block of ice"),
        mark("so hardly any air gets through, the suction falls and the control opens"),
        Draw("indoor_blocked", 0.7, 0.97),
        4.0,
        {"ice": 0.9},
        of_boxes=True,
    ),
)


def pressure_causes(unit: Unit, singles: Iterable[Suspect]) -> Iterator[Suspect]:
    """The causes behind each pressure switch of a unit with a compressor.

    `singles` are the unit's own suspects: each cause takes the repair and the direct readings
    of its switch's mode `open`.
    """
    by_id = {suspect.id: suspect for suspect in singles}
    a_box = any(mode.ices for part in unit.parts for mode in unit.kind_of(part.name).modes)
    causes = [cause for cause in _CAUSES if a_box or not cause.of_boxes]
    for cause in causes if unit.roles.compressors else ():
        for switch in unit.roles.opening_on(cause.what):
            opened = by_id.get(f"{switch}.open")
            if opened is not None:
                yield _suspect(cause, unit.roles.compressors_with(switch), opened, unit)


def _title(cause: _Cause, opened: Suspect, unit: Unit) -> str:
    """With the circuit, in a unit that has two."""
    circuit = unit.part(opened.block).circuit
    title = (
        say("{title} ({circuit} circuit)", title=cause.title, circuit=named(circuit))
        if circuit
        else cause.title
    )
    return joined(", ", (title, cause.effect))


def _suspect(cause: _Cause, compressors: Iterable[str], opened: Suspect, unit: Unit) -> Suspect:
    edits = tuple(
        edit
        for compressor in compressors
        for edit in (
            Edit((compressor, cause.draw.parameter), cause.draw),
            Edit((compressor, "run_s"), Draw("run_s", *RUN_S)),
        )
    )
    return Suspect(
        f"{opened.block}.{cause.mode}",
        _title(cause, opened, unit),
        opened.block,
        cause.mode,
        edits,
        cause.weight,
        opened.repair,
        opened.repair_text,
        effect=cause.effect,
        signs=cause.signs,
        repair_minutes=opened.repair_minutes,
        shown_by=opened.shown_by,
        wrong_minutes=opened.wrong_minutes,
        signal=opened.signal,
    )
