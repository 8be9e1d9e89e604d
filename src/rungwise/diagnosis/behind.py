"""What stands behind an effect, and the readings owed before it is put back.

A tripped breaker, a blown fuse, an open overload or pressure switch and a burnt contact are what
another fault has brought about. The answer then comes with the causes that the belief still
allows, and no reset, new fuse or new transformer before dead readings have shown that there is no
short. A supply that is at fault is named only on volts at the unit and at the panel: idle, starting
and running.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from itertools import islice

import numpy as np

from rungwise.diagnosis.accused_compressor import (
    amps_of_other_leads,
    past_the_overload,
    rest_beside_sag,
    volts_beside_amps,
)
from rungwise.diagnosis.arrays import ranked
from rungwise.diagnosis.belief import Belief
from rungwise.diagnosis.check_ids import id_of, look_id
from rungwise.diagnosis.fault_table import CheckCard, FaultTable, SuspectCard
from rungwise.diagnosis.look_card import DEAD
from rungwise.diagnosis.shown import deciding_check
from rungwise.diagnosis.table_parts import (
    Place,
    Way,
    after_start,
    contactors_in,
    ids_of,
    joined_to,
    parts_with,
    usual_reading,
)
from rungwise.faults import HEALTHY
from rungwise.parts import (
    KINDS,
    Capacitor,
    Junction,
    Motor,
    OpensOn,
    Overcurrent,
    PartKind,
    Poles,
    Supply,
    Transformer,
)

WORTH_NAMING = 0.002
"""Probability from which a cause is told."""

WORTH_ASKING = 0.02
"""Probability from which a reading on the cause is owed before the effect is put back."""

WORTH_CLEARING = 0.05
"""Probability from which an effect is cleared before another answer on its part is acted on."""

MOST_CAUSES = 3

ALIKE = 0.5
"""A suspect brings the effect about when it makes a look at it come out so with this chance."""

LIVE_LATER = 1000.0
"""Minutes by which a live check on a cause stands behind the dead ones."""

WHENS: tuple[Way, ...] = tuple(("volts", each) for each in ("standby", "starting", "calling"))


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
    causes = [each for each in causes_of(belief.table, effect) if believed[each.id] >= WORTH_NAMING]
    likely = ranked([believed[each.id] for each in causes])[:MOST_CAUSES]
    return [(causes[at], believed[causes[at].id]) for at in likely]


def _wanted(belief: Belief, suspect: SuspectCard, allowed: Collection[str] | None) -> Iterator[str]:
    for each in (suspect, *_not_told_from(belief, suspect)):
        yield from always_wanted(belief.table, each)
        yield from _of_fans_behind(belief, each)
        yield from volts_beside_amps(belief, each)
        yield from rest_beside_sag(belief, each)
        if asks_for_causes(each):
            yield from _on_causes(belief, each, allowed)


def _not_told_from(belief: Belief, suspect: SuspectCard) -> list[SuspectCard]:
    """Effects of a part that stays in which its readings have left likely: off, or tripped."""
    if suspect.repair == f"{suspect.part}:replace":
        return []
    believed = belief.by_suspect()
    beside = (each for each in belief.table.suspects if each.part == suspect.part)
    effects = (each for each in beside if each.is_effect and each.id != suspect.id)
    return [each for each in effects if believed[each.id] >= WORTH_CLEARING]


def _on_causes(
    belief: Belief, suspect: SuspectCard, allowed: Collection[str] | None
) -> Iterator[str]:
    for cause, believed in causes_behind(belief, suspect):
        if believed >= WORTH_ASKING and cause.repair != suspect.repair:
            card = deciding_check(belief, cause.repair, _dead_first, allowed)
            if card is not None:
                yield card.id


def asks_for_causes(suspect: SuspectCard) -> bool:
    """Whether what stands behind a suspect has to be read before its repair."""
    return suspect.is_effect and suspect.kind in KINDS


def always_wanted(table: FaultTable, suspect: SuspectCard) -> Iterator[str]:
    """The checks wanted before a suspect's repair whatever is believed of its causes."""
    kind = KINDS.get(suspect.kind)
    if kind is None:
        return
    if kind.facet(Supply) and "volts" in suspect.shown_by:  # not an order of legs
        yield from ids_of(table, WHENS, [*_panel(table), *_line_side(table)])
    yield from _against_a_short(table, suspect, kind)
    yield from _of_what_opens(table, suspect, kind)
    yield from _across_its_pole(table, suspect, kind)
    yield from past_the_overload(table, suspect)
    yield from amps_of_other_leads(table, suspect)
    motor = kind.facet(Motor) if suspect.is_effect else None
    if motor is not None:
        outdoors = _has_inrush(table, suspect)
        sections = _sections_for(table, motor) if outdoors else _sections_at(table, suspect.part)
        yield from ids_of(table, (("uf", "apart"),), sections)


def _against_a_short(table: FaultTable, suspect: SuspectCard, kind: PartKind) -> Iterator[str]:
    """What excludes a short behind what is reset, refitted or changed, and too much load."""
    opens, replaced = kind.facet(OpensOn), suspect.repair == f"{suspect.part}:replace"
    refitted = replaced and kind.facet(Transformer)
    blows = suspect.is_effect and kind.facet(Overcurrent)
    fed = list(_windings_fed_by(table, suspect.part)) if blows else []
    if fed:
        yield from ids_of(table, (("ohms", "apart"),), fed)
    elif suspect.is_effect or refitted:
        yield from ids_of(table, (("ohms", "dead"),), _short_paths(table, kind))
    if replaced and opens and opens.what == "leaking refrigerant":
        # A short on what it feeds takes its volts, and it lets go as one that is dead.
        yield from ids_of(table, (("ohms", "dead"),), [(part, "Y-C") for part in _boards(table)])
    if refitted and _gives_volts(table, suspect):
        clamped = (card for card in table.checks if card.clamped)
        yield from (card.id for card in clamped if suspect.part in card.touches)


def _of_what_opens(table: FaultTable, suspect: SuspectCard, kind: PartKind) -> Iterator[str]:
    """What is read or seen before a switch that something else opens is the answer."""
    opens = kind.facet(OpensOn)
    if _opens_on_high_pressure(suspect):
        yield from _at_rest(table, suspect)
    if opens and suspect.repair == f"{suspect.part}:find_cause" and _on_little_air(kind):
        yield from (card.id for card in table.checks if card.thing == "filter")
    if opens and any(mode.ices for mode in kind.modes):
        yield from (card.id for card in table.checks if card.thing in ("ice", "dial"))


def _across_its_pole(table: FaultTable, suspect: SuspectCard, kind: PartKind) -> Iterator[str]:
    """Ohms across a pole that is said to be stuck: between two lines a motor's winding reads too.

    A lead of the motor on the line side makes it run as a welded contact does.
    """
    poles = kind.facet(Poles)
    stuck = {pole.stuck_handle for pole in poles.poles} - {""} if poles is not None else set()
    sets = {draw.parameter for m in kind.modes if m.name == suspect.mode for draw in m.edits}
    if poles is not None and stuck & sets:
        pole = poles.poles[0]
        places = [(suspect.part, f"{pole.line}-{pole.load}")]
        yield from ids_of(table, (("ohms", "dead"),), places)


def _gives_volts(table: FaultTable, transformer: SuspectCard) -> bool:
    """Whether it still gives some: too much load behind it pulls a good one down as far."""
    kind = KINDS[transformer.kind].facet(Transformer)
    volts = id_of("volts", transformer.part, *kind.secondary) if kind is not None else ""
    if all(card.id != volts for card in table.checks):
        return False
    return usual_reading(table, transformer.id, volts) > LIVE_VOLT


LIVE_VOLT = 2.0
"""Volts from which a secondary is not open, nor its primary or its supply."""


def _on_little_air(kind: PartKind) -> bool:
    """Whether a clogged filter opens it, which is looked at before such a switch is the answer."""
    return any("filter" in mode.signs for mode in kind.modes)


def _has_inrush(table: FaultTable, motor: SuspectCard) -> bool:
    """Whether the motor stands outdoors, where alone amps are read after the start."""
    return any(after_start(table, motor.part))


def _panel(table: FaultTable) -> Iterator[Place]:
    """Behind the breakers that part two legs."""
    for part, kind, poles in parts_with(table, Poles):
        if kind.facet(Overcurrent) and poles.seen_open == "handle" and len(poles.poles) > 1:
            one, other = poles.poles[:2]
            yield part, f"{one.load}-{other.load}"


def _line_side(table: FaultTable) -> Iterator[Place]:
    """Where one supply comes to the unit, be its contactors ever so many."""
    for part, poles in islice(contactors_in(table), 1):
        (one, _), (other, _) = poles.ends[:2]
        yield part, f"{one}-{other}"


def _short_paths(table: FaultTable, effect: PartKind) -> list[Place]:
    """Where ohms, nothing taken off, find a short behind an effect."""
    poles, device = effect.facet(Poles), effect.facet(Overcurrent)
    if device is not None and poles is not None and len(poles.poles) > 1:
        behind = [(part, poles.ends) for part, poles in contactors_in(table)]
        loads = [(part, f"{ends[0][1]}-earth") for part, ends in behind]
        lines = [(part, f"{ends[0][0]}-earth") for part, ends in behind]
        across = [(part, f"{ends[0][1]}-{ends[1][1]}") for part, ends in behind if len(ends) > 1]
        return [*loads, *lines, *across]
    control = device is not None and not effect.isolates
    if control or effect.facet(Transformer):
        return [(board, pair) for pair in ("R-C", "Y-C") for board in _boards(table)]
    return []


def _windings_fed_by(table: FaultTable, device: str) -> Iterator[Place]:
    """The windings of transformers that a wire joins to a fuse: what can be short behind it."""
    joined = set(joined_to(table, device))
    for part, _, winding in parts_with(table, Transformer):
        if joined & {f"{part}.{end}" for end in winding.primary}:
            yield part, "-".join(winding.primary)
            yield part, "-".join(winding.secondary)


def _boards(table: FaultTable) -> list[str]:
    """Where the wires of the 24 V circuit meet."""
    return [p for p, _, meets in parts_with(table, Junction) if meets.carries == "control"]


def _sections_for(table: FaultTable, motor: Motor) -> list[Place]:
    """What is read before an overload is let cool and left at that: the capacitor that it runs on.

    It opens more overloads than all else (common practice, no source). Only where the terminal
    itself is marked for the motor, and so told from the other.
    """
    return [
        (part, f"{section.ends[0]}-{section.ends[1]}")
        for part, _, capacitor in parts_with(table, Capacitor)
        for section in capacitor.sections
        if section.marked_for == motor.drives
    ]


def _sections_at(table: FaultTable, motor: str) -> Iterator[Place]:
    """The sections of a capacitor that a wire joins to a motor, as a blower's own is."""
    joined = set(joined_to(table, motor))
    for part, _, capacitor in parts_with(table, Capacitor):
        for section in capacitor.sections:
            if joined & {f"{part}.{end}" for end in section.ends}:
                yield part, f"{section.ends[0]}-{section.ends[1]}"


def _of_fans_behind(belief: Belief, suspect: SuspectCard) -> Iterator[str]:
    """What clears the fans, unless the switch is open with the pressure down, and so bad itself."""
    made = {belief.table.checks[reading.check].id for reading in belief.readings}
    if made.isdisjoint(bad_at_rest(belief.table, suspect)):
        yield from of_fans_outdoors(belief.table, suspect)


def bad_at_rest(table: FaultTable, suspect: SuspectCard) -> tuple[str, ...]:
    """The check of a pressure switch at rest, where it shows that this suspect is the fault."""
    ids = _at_rest(table, suspect) if _opens_on_high_pressure(suspect) else ()
    return tuple(name for name in ids if usual_reading(table, suspect.id, name) > OPEN_OHM)


OPEN_OHM = 1e5
"""Ohms from which a switch is open (common practice, no source)."""


def _at_rest(table: FaultTable, switch: SuspectCard) -> Iterator[str]:
    """A pressure switch read once the pressure is down."""
    cards = (card for card in table.checks if switch.part in card.touches)
    yield from (card.id for card in cards if card.setting == "cooled")


def _opens_on_high_pressure(suspect: SuspectCard) -> bool:
    kind = KINDS.get(suspect.kind)
    opens = kind.facet(OpensOn) if kind is not None else None
    high = opens is not None and opens.what == "high pressure"
    return high and suspect.repair == f"{suspect.part}:find_cause"


def of_fans_outdoors(table: FaultTable, suspect: SuspectCard) -> Iterator[str]:
    """What clears the fan behind an open high-pressure switch, which stands like a good one then.

    Only fans outdoors have amps read two seconds after the start. Nothing for other suspects.
    """
    if not _opens_on_high_pressure(suspect):
        return
    known = {card.id for card in table.checks}
    for part, _, motor in parts_with(table, Motor):
        if motor.drives == "fan" and any(after_start(table, part)):
            # Through both windings at once: either of them open is open there.
            names = (look_id(part, "by-hand"), id_of("ohms", part, f"{motor.run}-{motor.start}"))
            yield from (name for name in names if name in known)
            yield from ids_of(table, (("uf", "apart"),), _sections_for(table, motor))
            yield from (card.id for card in after_start(table, part, "restart"))


def _dead_first(card: CheckCard) -> float:
    return card.minutes + (0.0 if card.condition == DEAD else LIVE_LATER)


def causes_of(table: FaultTable, effect: SuspectCard) -> Iterator[SuspectCard]:
    """The suspects that bring the effect about: by their own word, or by what they make it show."""
    looks = _looks_at(table, effect)
    for suspect in table.suspects:
        if suspect.is_effect or suspect.id in (HEALTHY, effect.id) or suspect.part == effect.part:
            continue
        said = suspect.cause_of == effect.id
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
