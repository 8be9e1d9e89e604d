"""What opens a pressure switch while the circuit is whole: a dirty outdoor coil, the charge.

The circuit's own heat side works them out: amps that rise or fall, and the switch that opens.
They share the repair of the switch that they open, which is to find the cause first.  Weights are
common practice, from experience, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

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

    of_boxes: whether only a box has it, whose ice is melted by a clock, or only rooms. whole:
    whether it is always of the whole unit, whose circuits share their air. shared: mode and title
    where circuits that may have it each by itself have it at once, None where they do not.
    """

    what: str
    mode: str
    title: str
    effect: str
    draw: Draw
    weight: float
    signs: Mapping[str, float] = field(default_factory=dict)
    of_boxes: bool | None = None
    whole: bool = False
    shared: tuple[str, str] | None = None


ICED = "iced"
"""The mode of a box's coil that no defrost has cleared."""

ONE_BY_ITSELF = 0.25
"""Of what circuits that share their air have by themselves, beside what all have at once (common
practice, no source)."""

_CAUSES = (
    _Cause(
        mark("high pressure"),
        "dirty_coil",
        mark("outdoor coil matted with dirt"),
        mark("so the head pressure rises and the high-pressure switch opens"),
        Draw("fouling", 0.7, 0.93),
        16.0,
        {"coil_dirt": 0.9},
        shared=("dirty_coils", mark("outdoor coils of all circuits matted with dirt")),
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
        Draw("charge", 0.15, 0.75),
        30.0,
        {"ice": 0.3, "warm_line": 0.75},
    ),
    _Cause(
        mark("low pressure"),
        "starved",
        mark("little air over the indoor coil (filter, ice, vents)"),
        mark("so the suction pressure falls and the low-pressure switch opens"),
        Draw("indoor_blocked", 0.7, 0.97),
        4.0,
        {"filter": 0.8, "ice": 0.6},
        of_boxes=False,
        whole=True,
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
    causes = [cause for cause in _CAUSES if cause.of_boxes in (None, a_box)]
    for cause in causes if unit.roles.compressors else ():
        switches = [each for each in unit.roles.opening_on(cause.what) if f"{each}.open" in by_id]
        for each in _by_circuits(cause, several=len(switches) > 1):
            for switch in switches[:1] if each.whole else switches:
                hit = unit.roles.compressors if each.whole else unit.roles.compressors_with(switch)
                yield _suspect(each, hit, by_id[f"{switch}.open"], unit)


def _by_circuits(cause: _Cause, *, several: bool) -> Iterator[_Cause]:
    """The cause as each circuit has it by itself, and as all have it at once."""
    if cause.shared is None or not several:
        yield cause
        return
    mode, title = cause.shared
    yield replace(cause, weight=ONE_BY_ITSELF * cause.weight)
    yield replace(cause, mode=mode, title=title, whole=True)


def _title(cause: _Cause, opened: Suspect, unit: Unit) -> str:
    """With the circuit, in a unit that has two and where only one has it."""
    circuit = "" if cause.whole else unit.part(opened.block).circuit
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
