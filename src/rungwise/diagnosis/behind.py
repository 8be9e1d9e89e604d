"""What stands behind an effect, and the readings owed before it is put back.

A tripped breaker, a blown fuse, an open overload or pressure switch and a burnt contact are what
another fault has brought about. The answer then comes with the causes that the belief still
allows, and no reset, new fuse or new transformer before dead readings have shown that there is no
short. A supply that is at fault is named only on volts at the unit and at the panel: idle, starting
and running.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

import numpy as np

from rungwise.diagnosis.belief import Belief
from rungwise.diagnosis.checks_look import DEAD
from rungwise.diagnosis.fault_table import CheckCard, FaultTable, SuspectCard
from rungwise.diagnosis.shown import deciding_check
from rungwise.faults.suspect_set import HEALTHY

__all__ = ["causes_behind", "owed_checks"]

WORTH_NAMING = 0.002
"""Probability from which a cause is told."""

WORTH_ASKING = 0.02
"""Probability from which a reading on the cause is owed before the effect is put back."""

MOST_CAUSES = 3

ALIKE = 0.5
"""A suspect brings the effect about when it makes a look at it come out so with this chance."""

LIVE_LATER = 1000.0
"""Minutes by which a live check on a cause stands behind the dead ones."""

SHORT_PATHS: dict[str, tuple[tuple[str, str], ...]] = {
    "breaker_2p": (("contactor", "T1-earth"), ("contactor", "L1-earth"), ("contactor", "T1-T2")),
    "disconnect_fused": (
        ("contactor", "T1-earth"),
        ("contactor", "L1-earth"),
        ("contactor", "T1-T2"),
    ),
    "lv_fuse": (("terminal_board", "R-C"), ("terminal_board", "Y-C")),
    "transformer": (("terminal_board", "R-C"), ("terminal_board", "Y-C")),
}
"""Where ohms, nothing taken off, find a short behind an effect of a kind: kind of part and pair."""

SECTIONS = {
    "compressor": ("uf", "dual_capacitor", "HERM-C"),
    "fan_motor": ("uf", "dual_capacitor", "FAN-C"),
}
"""What is read before an overload is let cool and left at that: the capacitor that the motor runs
on, which opens more overloads than all else (common practice, no source)."""

PANEL_AND_UNIT = (("breaker_2p", "load1-load2"), ("contactor", "L1-L2"))
WHENS = ("idle-volts", "start-volts", "volts")


def owed_checks(
    belief: Belief, suspect: SuspectCard, allowed: Collection[str] | None = None
) -> list[CheckCard]:
    """The checks still to be made before a repair may be advised, first to be made first.

    Only those in reach: a check that cannot be made is not asked for again.
    """
    table = belief.table
    made = {table.checks[reading.check].id for reading in belief.readings}
    wanted = dict.fromkeys(_wanted(belief, suspect, allowed))
    open_ones = (name for name in wanted if name not in made)
    return [table.check(name) for name in open_ones if allowed is None or name in allowed]


def causes_behind(belief: Belief, effect: SuspectCard) -> list[tuple[SuspectCard, float]]:
    """What may have brought an effect about, with its probability, likeliest first."""
    believed = belief.by_suspect()
    causes = [each for each in _causes(belief.table, effect) if believed[each.id] >= WORTH_NAMING]
    ranked = sorted(causes, key=lambda each: -believed[each.id])[:MOST_CAUSES]
    return [(each, believed[each.id]) for each in ranked]


def _wanted(belief: Belief, suspect: SuspectCard, allowed: Collection[str] | None) -> Iterator[str]:
    table = belief.table
    if suspect.kind == "service":
        yield from _ids(table, WHENS, PANEL_AND_UNIT)
    refitted = suspect.kind == "transformer" and suspect.repair == f"{suspect.part}:replace"
    if suspect.is_effect or refitted:
        yield from _ids(table, ("ohms",), SHORT_PATHS.get(suspect.kind, ()))
    if suspect.kind == "high_pressure_switch" and suspect.repair.endswith(":find_cause"):
        yield from _of_fans_outdoors(table)
    if not suspect.is_effect:
        return
    if suspect.kind in SECTIONS and _on_dual_capacitor(table, suspect):
        word, kind, pair = SECTIONS[suspect.kind]
        yield from _ids(table, (word,), ((kind, pair),))
    for cause, believed in causes_behind(belief, suspect):
        if believed >= WORTH_ASKING and cause.repair != suspect.repair:
            card = deciding_check(belief, cause.repair, _dead_first, allowed)
            if card is not None:
                yield card.id


def _on_dual_capacitor(table: FaultTable, motor: SuspectCard) -> bool:
    """Whether the motor stands outdoors, where alone amps are read after the start."""
    own = (card.id for card in table.checks if motor.part in card.touches)
    return any(name.startswith("held-") for name in own)


def _of_fans_outdoors(table: FaultTable) -> Iterator[str]:
    """What clears the fan behind an open high-pressure switch, which stands like a good one then.

    Only fans outdoors have amps read two seconds after the start.
    """
    known = {card.id for card in table.checks}
    for part in dict.fromkeys(each.part for each in table.suspects if each.kind == "fan_motor"):
        if any(card.id.startswith("held-") and part in card.touches for card in table.checks):
            names = (f"look-{part}-by-hand", f"ohms-{part}-C-R", f"ohms-{part}-C-S")
            yield from (name for name in names if name in known)
            yield from _ids(table, ("uf",), (("dual_capacitor", "FAN-C"),))
            again = (card for card in table.checks if card.id.startswith("cooled-held-"))
            yield from (card.id for card in again if part in card.touches)


def _dead_first(card: CheckCard) -> float:
    return card.minutes + (0.0 if card.condition == DEAD else LIVE_LATER)


def _ids(
    table: FaultTable, words: tuple[str, ...], places: tuple[tuple[str, str], ...]
) -> Iterator[str]:
    known = {card.id for card in table.checks}
    for kind, pair in places:
        parts = dict.fromkeys(each.part for each in table.suspects if each.kind.startswith(kind))
        names = (f"{word}-{part}-{pair}" for part in parts for word in words)
        yield from (name for name in names if name in known)


def _causes(table: FaultTable, effect: SuspectCard) -> Iterator[SuspectCard]:
    """The suspects that bring the effect about: by their own word, or by what they make it show."""
    looks = _looks_at(table, effect)
    for suspect in table.suspects:
        if suspect.is_effect or suspect.id in (HEALTHY, effect.id) or suspect.part == effect.part:
            continue
        said = suspect.id.endswith(f">{effect.id}")
        if said or any(_chance(table, at, suspect)[choice] >= ALIKE for at, choice in looks):
            yield suspect


def _looks_at(table: FaultTable, effect: SuspectCard) -> list[tuple[int, int]]:
    """The looks at the effect's own part, each with the choice that only the effect gives."""
    found = []
    for at, card in enumerate(table.checks):
        if card.form == "choice" and effect.part in card.touches:
            chance = _chance(table, at, effect)
            choice = int(np.argmax(chance))
            usual = np.median(table.choice_probability[at][:, choice])
            if chance[choice] >= ALIKE > usual:
                found.append((at, choice))
    return found


def _chance(table: FaultTable, check: int, suspect: SuspectCard) -> np.ndarray:
    rows = table.suspect_of == table.suspect_index(suspect.id)
    return np.asarray(table.choice_probability[check][rows].mean(axis=0))
