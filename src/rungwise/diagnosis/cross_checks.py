"""What two or three readings at one place say together, beyond what each says of the suspects."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from itertools import combinations

from rungwise.circuit import LOW_Z_VOLTS, VOLTS
from rungwise.diagnosis.call_file import Outcome
from rungwise.diagnosis.fault_table import CheckCard
from rungwise.diagnosis.reading_model import Reading, ReadingModel
from rungwise.diagnosis.wording import reading_text
from rungwise.parts import EARTH, LIVE_VOLT, Burner, Caution, Motor
from rungwise.unit import Unit
from rungwise.wording import mark, say

GHOST_VOLT = 2.0
"""Under this a meter's own floor may make the difference (common practice, no source)."""

GHOST_SHARE = 0.5
"""A source that feeds a coil loses far less than this in low-impedance mode."""

DEAD_PAIR_VOLT = 10.0

SIDE_SHARE, SIDE_OHM = 0.05, 0.3
"""By so much, of the two shorter ones and in ohms, three ohm readings may miss each other: the
meter's error and the rest of its leads (common practice, no source)."""

Place = tuple[str, str]
"""The nodes of the red and the black lead."""

Volts = Mapping[tuple[str, Place, str], Outcome]
"""Voltage outcomes by condition, place of the leads and instrument."""


def remarks(outcomes: Iterable[Outcome]) -> tuple[Caution, ...]:
    """Remarks on readings that belong together, each with its figures.

    A *ghost*: volts on a 10 MΩ meter that a low-impedance meter does not find at the same points.
    A *hidden leg*: next to no volts from leg to leg while a leg is live to ground.
    And of *no ghost* where one might have been: that it is missing tells nothing by itself.
    *Three ohms* between three terminals of one part, of which one is more than both others.
    """
    held = tuple(outcomes)
    volts = {
        (each.card.condition, (each.card.red, each.card.black), each.card.instrument): each
        for each in held
        if each.card.unit == "V" and isinstance(each.value, float)
    }
    return (*_ghosts(volts), *_no_ghosts(held), *_hidden_legs(volts), *_open_triangles(held))


def taken_again(outcomes: Iterable[Outcome], model: ReadingModel) -> Iterator[Caution]:
    """Of each check that was made again with another outcome: the last one counts, and that."""
    last: dict[str, Outcome] = {}
    for each in outcomes:
        before = last.get(each.card.id)
        if each.value is None:
            continue
        last[each.card.id] = each
        if before is not None and not model.agree(_as_read(before, model), _as_read(each, model)):
            yield Caution(
                "NOTICE",
                say(
                    "{check}: {first}, and then {second}. The later one counts. If nothing was "
                    "changed between them, take it once more.",
                    check=each.card.title,
                    first=_outcome_text(before),
                    second=_outcome_text(each),
                ),
            )


def crossed_windings(unit: Unit, outcomes: Iterable[Outcome]) -> Iterator[Caution]:
    """A single-phase compressor whose run winding reads more than its start winding."""
    ohms = {
        (each.card.condition, each.card.red, each.card.black): each
        for each in outcomes
        if each.card.quantity == "ohms" and isinstance(each.value, float)
    }
    for part, motor in unit.having(Motor):
        if motor.phases == 1 and motor.compresses:
            common, run, start = (
                f"{part.name}.{end}" for end in (motor.common, motor.run, motor.start)
            )
            for (condition, *ends), main in ohms.items():
                aux = ohms.get((condition, common, start))
                if ends == [common, run] and aux is not None:
                    yield from _crossed(main, aux)


def _crossed(main: Outcome, aux: Outcome) -> Iterator[Caution]:
    if not (1.0 + SIDE_SHARE) * _ohm(aux) + SIDE_OHM < _ohm(main) < math.inf:
        return
    yield Caution(
        "NOTICE",
        say(
            "{main}, and {aux}: the run winding of a single-phase compressor has fewer ohms than "
            "its start winding [rule of thumb]. R and S may be taken for each other: the two "
            "terminals with most ohms between them are R and S, the third is C. See which is "
            "which before anything is replaced.",
            main=_told(main),
            aux=_told(aux),
        ),
    )


def not_judged(unit: Unit, cards: Iterable[CheckCard]) -> tuple[str, ...]:
    """A line for each part that may fail and that nothing taken on it shows: never silence.

    A reading on it does, and a look that one of its own ways of failing is shown by. And one line
    of a burner, of which no reading of a meter tells more than that a flame stands.
    """
    cards = tuple(cards)
    read = {block for card in cards if card.form == "number" for block in card.touches}
    read |= {
        block
        for card in cards
        for block in card.touches
        if block in unit.part_by_name
        and any(card.quantity in mode.shown_by for mode in unit.kind_of(block).modes)
    }
    flames = tuple(
        say(
            "NOT JUDGED: gas pressure, draft, combustion and heat exchanger at "
            "the {part} ({part2}); licensed gas work where required.",
            part=part.title,
            part2=part.name,
        )
        for part, _ in unit.having(Burner)
    )
    return flames + tuple(
        say(
            "NOT JUDGED: the {part} ({part2}); no reading is known for this "
            "sort of part, so a fault of its own stays unseen.",
            part=part.title,
            part2=part.name,
        )
        for part in unit.parts
        if unit.kind_of(part.name).modes and part.name not in read
    )


def _ghosts(volts: Volts) -> Iterator[Caution]:
    for (condition, place, instrument), outcome in volts.items():
        firm = volts.get((condition, place, LOW_Z_VOLTS.name))
        if instrument != VOLTS.name or firm is None:
            continue
        if _volt(outcome) > GHOST_VOLT and _volt(firm) < GHOST_SHARE * _volt(outcome):
            yield Caution(
                "NOTICE",
                say(
                    "{read} on the 10 MΩ meter is a ghost: in low-impedance mode "
                    "{where} reads {read2}. Nothing feeds that wire; it only lies "
                    "beside one that is fed.",
                    read=_read(outcome),
                    where=outcome.card.where,
                    read2=_read(firm),
                ),
            )


def _no_ghosts(outcomes: Iterable[Outcome]) -> Iterator[Caution]:
    for outcome in outcomes:
        read = isinstance(outcome.value, float) and outcome.value <= GHOST_VOLT
        if outcome.card.quantity == "ghost" and read:
            yield Caution(
                "NOTICE",
                say(
                    "{read} with the thermostat off tells nothing by itself: whether "
                    "{where} shows a ghost follows the cable and the meter.",
                    read=_read(outcome),
                    where=outcome.card.where,
                ),
            )


def _hidden_legs(volts: Volts) -> Iterator[Caution]:
    for (condition, legs, instrument), outcome in volts.items():
        if EARTH in legs or _volt(outcome) > DEAD_PAIR_VOLT:
            continue
        for (other, (leg, against), meter), to_ground in volts.items():
            same = (other, meter) == (condition, instrument) and against == EARTH and leg in legs
            if same and _volt(to_ground) > LIVE_VOLT:
                yield Caution(
                    "DANGER",
                    say(
                        "{where} reads {read}, yet a leg is live: {leg} reads {read2}. 0 V from "
                        "leg to leg is not dead.",
                        where=outcome.card.where,
                        read=_read(outcome),
                        leg=to_ground.card.where,
                        read2=_read(to_ground),
                    ),
                )


def _open_triangles(outcomes: Iterable[Outcome]) -> Iterator[Caution]:
    """Three ohms that no part can have: from end to end is never more than by way of a third.

    Read in one setting: an overload that was open while its shell was hot closes once it is cold.
    """
    ohms: dict[tuple[tuple[str, ...], str, str], dict[frozenset[str], Outcome]] = {}
    for each in outcomes:
        card = each.card
        if card.quantity == "ohms" and isinstance(each.value, float):
            key = (card.touches, card.setting, card.instrument)
            ohms.setdefault(key, {})[frozenset({card.red, card.black})] = each
    for pairs in ohms.values():
        for three in combinations(pairs.items(), 3):
            if len(frozenset().union(*(ends for ends, _ in three))) == 3:
                yield from _open_triangle(*sorted((each for _, each in three), key=_ohm))


def _open_triangle(short: Outcome, middle: Outcome, long: Outcome) -> Iterator[Caution]:
    around = _ohm(short) + _ohm(middle)
    if math.isinf(around) or _ohm(long) <= (1.0 + SIDE_SHARE) * around + SIDE_OHM:
        return
    yield Caution(
        "NOTICE",
        say(
            "These three cannot all be right: {long}, {middle} and {short}. From end to end is "
            "never more than by way of the third terminal. Take all three again, leads pressed on "
            "bare metal, and see which terminal is which.",
            long=_told(long),
            middle=_told(middle),
            short=_told(short),
        ),
    )


def _told(outcome: Outcome) -> str:
    return say("{where} {read}", where=outcome.card.where, read=_read(outcome))


def _as_read(outcome: Outcome, model: ReadingModel) -> Reading:
    assert outcome.value is not None  # noqa: S101  # a check that could not be made is no reading
    return model.reading(outcome.card.id, outcome.value)


def _outcome_text(outcome: Outcome) -> str:
    return mark(outcome.value) if isinstance(outcome.value, str) else _read(outcome)


def _ohm(outcome: Outcome) -> float:
    return outcome.value if isinstance(outcome.value, float) else 0.0


def _volt(outcome: Outcome) -> float:
    return outcome.value if isinstance(outcome.value, float) else 0.0


def _read(outcome: Outcome) -> str:
    return reading_text(outcome.card, _volt(outcome))
