"""A fault together with the second one that it brings about.

What the circuit itself brings about (a fuse behind a short, an overload behind a weak capacitor)
is computed when the suspect is solved and needs no pair.  Pairs stand here where heat, pressure
or wear makes the second fault: a fan that does not turn opens the high-pressure switch or the
compressor's overload; a loose joint burns the contact beside it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from rungwise.suspects.suspect import Suspect


@dataclass(frozen=True, slots=True)
class PairRule:
    """Cause and effect suspects by id, the share of the cause's weight, and how it is put."""

    cause: str
    effect: str
    share: float
    effect_text: str
    both_repairs: bool = False


_HOT = "so the compressor overheats and its overload opens"
_PRESSURE = "so the head pressure rises and the high-pressure switch opens"
_BURNT = "so the contact beside it burns"

RULES = (
    PairRule("fan.seized", "high_pressure.open", 0.15, _PRESSURE),
    PairRule("fan.seized", "compressor.overload_open", 0.15, _HOT),
    PairRule("fan.s_open", "compressor.overload_open", 0.15, _HOT),
    PairRule("capacitor.fan_open", "high_pressure.open", 0.15, _PRESSURE),
    PairRule("capacitor.fan_open", "compressor.overload_open", 0.15, _HOT),
    PairRule("capacitor.fan_weak", "high_pressure.open", 0.1, _PRESSURE),
    PairRule("capacitor.herm_weak", "compressor.overload_open", 0.1, _HOT),
    PairRule("whip_l1.high_resistance", "contactor.pole1_pitted", 1.0, _BURNT, both_repairs=True),
    PairRule("comp_r.high_resistance", "contactor.pole1_pitted", 1.0, _BURNT, both_repairs=True),
)
"""Shares are common practice, from experience, no source."""


def pair_suspects(singles: Iterable[Suspect]) -> Iterator[Suspect]:
    """The pairs among the suspects of a unit."""
    by_id = {suspect.id: suspect for suspect in singles}
    for rule in RULES:
        if rule.cause in by_id and rule.effect in by_id:
            yield _pair(by_id[rule.cause], by_id[rule.effect], rule)


def _pair(cause: Suspect, effect: Suspect, rule: PairRule) -> Suspect:
    repair, text = cause.repair, f"{cause.repair_text}; then: {effect.repair_text}"
    if rule.both_repairs:
        repair = f"{cause.repair}+{effect.repair}"
    return replace(
        cause,
        id=f"{cause.id}>{effect.id}",
        title=f"{cause.title}, {rule.effect_text}",
        mode=f"{cause.mode}>{effect.mode}",
        edits=(*cause.edits, *effect.edits),
        weight=cause.weight * rule.share,
        repair=repair,
        repair_text=text,
        effect=rule.effect_text,
        signs={**effect.signs, **cause.signs},
        repair_minutes=cause.repair_minutes + effect.repair_minutes,
    )
