"""The conductors between the panel and the units, and which of their sizes somebody has read."""

from __future__ import annotations

from collections.abc import Iterable

from rungwise.replacement.nec.ampacity import COPPER_A, SMALL_CONDUCTOR_A
from rungwise.replacement.nec.standard_sizes import size_up
from rungwise.unit.unit import Unit, Wire
from rungwise.unit.unit_file import arrangement

__all__ = [
    "as_in_the_arrangement",
    "behind",
    "carries_at_most_a",
    "device_at_most_a",
    "outdoor_run",
]


def outdoor_run(unit: Unit) -> tuple[Wire, ...]:
    """The conductors of the outdoor circuit from its breaker to the contactor."""
    sources = {part.name for part in unit.parts_of_kind("breaker_2p")}
    ends = {part.name for part in unit.parts if part.kind.startswith(("disconnect", "contactor"))}
    return tuple(
        wire
        for wire in unit.wires
        if wire.carries in ("L1", "L2")
        and _parts_of(wire) & ends
        and _parts_of(wire) & (sources | ends)
    )


def behind(unit: Unit, breaker: str) -> tuple[Wire, ...]:
    """The conductors that leave a breaker on its load side, and where it has one pole, neutral."""
    neutrals = {f"{part.name}.N" for part in unit.parts_of_kind("service")}
    one_pole = unit.part(breaker).kind == "breaker_1p"
    return tuple(
        wire
        for wire in unit.wires
        if any(
            end.startswith(f"{breaker}.load") or (one_pole and end in neutrals)
            for end in (wire.start, wire.end)
        )
    )


def as_in_the_arrangement(unit: Unit, wires: Iterable[Wire]) -> set[str]:
    """The conductors whose size nobody has written down: the arrangement's own."""
    if not unit.arrangement:
        return set()
    usual = arrangement(unit.arrangement).wire_by_name
    return {w.name for w in wires if w.name in usual and usual[w.name].awg == w.awg}


def carries_at_most_a(awg: float) -> float | None:
    """Amps of the copper conductor at 75 °C, its best case here; None for a size not kept."""
    row = COPPER_A.get(int(awg))
    return float(row[1]) if row else None


def device_at_most_a(awg: float) -> float | None:
    """The largest overcurrent device for the conductor: NEC 240.4(B) and (D); None if not kept."""
    small = SMALL_CONDUCTOR_A.get(int(awg))
    if small is not None:
        return float(small)
    carries = carries_at_most_a(awg)
    return None if carries is None else float(size_up(carries) or carries)


def _parts_of(wire: Wire) -> set[str]:
    return {end.partition(".")[0] for end in (wire.start, wire.end)}
