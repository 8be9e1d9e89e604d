"""What is read before a compressor is named: by its amps, by its ohms, or at low volts.

Whatever starves it of volts, and a lead that feeds no winding, lets it hum and trip as one that is
stuck; an overload that heat holds open reads as an open lead.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from itertools import combinations

import numpy as np

from rungwise.diagnosis.belief import Belief
from rungwise.diagnosis.fault_table import CheckCard, FaultTable, SuspectCard
from rungwise.diagnosis.prices import PriceList
from rungwise.diagnosis.shown import DEAR_MINUTES, most_likely_suspect, sure_enough
from rungwise.diagnosis.table_parts import (
    after_start,
    contactors_in,
    ids_of,
    joined_to,
    usual_reading,
    wires_in,
)
from rungwise.faults import HEALTHY
from rungwise.parts import KINDS, Caution, Motor, part_of, terminal_of
from rungwise.wording import say


def volts_beside_amps(belief: Belief, suspect: SuspectCard) -> Iterator[str]:
    """The volts at a compressor's own poles in the setting in which its amps were read last.

    Whatever starves it of volts (a burnt pole or joint anywhere ahead) lets it hum and trip as one
    that is stuck: none is condemned by its amps before its volts were held beside them.
    """
    by_setting = volts_at_poles(belief.table, suspect)
    cards = (belief.table.checks[reading.check] for reading in reversed(belief.readings))
    own = (card for card in cards if card.clamped and suspect.part in card.touches)
    last = next((card.setting for card in own if card.setting in by_setting), "")
    pairs = by_setting.get(last, ())
    made = {belief.table.checks[reading.check].id for reading in belief.readings}
    # Of three legs any two pairs tell whether one is low.
    open_ones = [each for each in pairs if each not in made]
    yield from open_ones[: max(len(open_ones) - len(pairs) // 3, 0)]


def rest_beside_sag(belief: Belief, suspect: SuspectCard) -> Iterator[str]:
    """The volts at rest, where those at a compressor's poles were low as it started."""
    low = volts_at_rest(belief.table, suspect)
    for card, volt in _read(belief):
        usual_volt, at_rest = low.get(card.id, (-np.inf, ()))
        if volt < LOW_SHARE * usual_volt:
            yield from at_rest


def past_the_overload(table: FaultTable, suspect: SuspectCard) -> Iterator[str]:
    """Ohms from run to start of a compressor whose lead is said to be open.

    Its overload parts the common lead alone and is no matter of them: open, it is a winding, and
    good, what is open is the common lead or an overload that is not cold yet.
    """
    motor = _compressor_accused_by(frozenset({"ohms"}), suspect)
    if motor is None or motor.phases != 1:
        return
    leads = (motor.common, motor.run, motor.start)
    if suspect.mode in {f"{end.lower()}_open" for end in leads}:
        yield from ids_of(
            table, (("ohms", "apart"),), [(suspect.part, f"{motor.run}-{motor.start}")]
        )


def amps_of_other_leads(table: FaultTable, suspect: SuspectCard) -> Iterator[str]:
    """What tells a compressor that is stuck from one of which a winding is not fed.

    Its capacitor may be good and a lead to it off, or one leg of three: it hums, and draws the
    amps of a stuck one in the others.
    """
    motor = _compressor_accused_by(frozenset({"held_amps"}), suspect)
    if motor is None:
        return
    ends = (motor.start,) if motor.phases == 1 else (motor.common, motor.run, motor.start)
    met = {f"{suspect.part}.{end}" for end in ends}
    leads = {card.touches[0] for card in wires_in(table) if met & {card.red, card.black}}
    yield from (card.id for card in after_start(table, suspect.part) if card.jaw in leads)


def _compressor_accused_by(quantities: frozenset[str], suspect: SuspectCard) -> Motor | None:
    """The motor of a compressor that such readings accuse; None for every other suspect."""
    kind = KINDS.get(suspect.kind)
    motor = kind.facet(Motor) if kind is not None else None
    dear = quantities.intersection(suspect.shown_by) and suspect.wrong_minutes >= DEAR_MINUTES
    if motor is None or motor.drives != "compressor" or suspect.is_effect or not dear:
        return None
    return motor


def volts_at_poles(table: FaultTable, suspect: SuspectCard) -> dict[str, tuple[str, ...]]:
    """The checks of the volts that come to a compressor accused by its amps, by their setting.

    Empty for every other suspect.
    """
    if _compressor_accused_by(_AMPS, suspect) is None:
        return {}
    ends = dict.fromkeys(_fed_from(table, suspect.part))
    pairs = [(part_of(one), f"{terminal_of(one)}-{terminal_of(other)}")
             for one, other in combinations(ends, 2)]  # fmt: skip
    settings = ("starting", "restart", "calling")
    return {each: tuple(ids_of(table, (("volts", each),), pairs)) for each in settings}


def volts_at_rest(
    table: FaultTable, suspect: SuspectCard
) -> dict[str, tuple[float, tuple[str, ...]]]:
    """By each check of those volts: what a good unit gives there, and where it is read at rest.

    A stuck compressor pulls the volts down, and so does a bad joint ahead of one that is good: how
    far they fall from what stands there at rest tells one from the other.
    """
    line_of = {
        f"{part}.{load}": line for part, poles in contactors_in(table) for line, load in poles.ends
    }
    found = {}
    for names in volts_at_poles(table, suspect).values():
        for name in names:
            at = table.check_index(name)
            ends = table.checks[at].red, table.checks[at].black
            lines = [(part_of(ends[0]), "-".join(line_of[end] for end in ends))]
            at_rest = tuple(ids_of(table, (("volts", "standby"),), lines))
            found[name] = usual_reading(table, HEALTHY, name), at_rest
    return {name: each for name, each in found.items() if each[1]}


def may_be_named(
    belief: Belief, repair: str, prices: PriceList, allowed: Collection[str] | None = None
) -> bool:
    """Whether a repair is sure enough, and no compressor that stood for want of volts alone."""
    sure = sure_enough(belief, repair, prices, allowed)
    return sure and _starved(belief, most_likely_suspect(belief, repair)) is None


def _starved(belief: Belief, suspect: SuspectCard) -> CheckCard | None:
    """The check of the volts to an accused compressor at which a good one may not start either."""
    low = volts_at_rest(belief.table, suspect)
    usual = {name: usual_volt for name, (usual_volt, _) in low.items()}
    read = _read(belief)
    starved = (c for c, volt in read if volt < STARVED_SHARE * usual.get(c.id, -np.inf))
    return next(starved, None)


def _read(belief: Belief) -> Iterator[tuple[CheckCard, float]]:
    """The checks that were made, each with what it read."""
    yield from ((belief.table.checks[each.check], each.value) for each in belief.readings)


def starved_remarks(belief: Belief) -> Iterator[Caution]:
    """Why a compressor is not named though its amps accuse it."""
    card = _starved(belief, most_likely_suspect(belief, belief.best_repair()[0]))
    if card is not None:
        text = say(
            "{check}: so few that a good compressor may not start either. None is judged by its "
            "amps at these: see to the volts first.", check=card.title,
        )  # fmt: skip
        yield Caution("NOTICE", text)


STARVED_SHARE = 0.79
"""Of the volts that a good unit reads as it starts: under 187 V of 237 neither a stuck compressor
nor a weak one is named (nine tenths of 208 V, the least that a 208/230 V plate allows)."""

LOW_SHARE = 0.88
"""Of what a good unit reads: what stands under it as a compressor starts is held beside the volts
at rest (common practice, no source)."""

_AMPS = frozenset({"amps", "held_amps", "inrush"})


def _fed_from(table: FaultTable, motor: str) -> Iterator[str]:
    """The load terminals of contactors that a wire joins to a motor."""
    loads = {f"{part}.{load}" for part, poles in contactors_in(table) for _, load in poles.ends}
    return (end for end in joined_to(table, motor) if end in loads)
