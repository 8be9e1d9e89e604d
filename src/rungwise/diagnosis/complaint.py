"""What the customer said, as a dozen chips: each moves the odds of suspects before any reading.

A chip c has groups of suspects g with a ratio each, P(c is said | fault in g) over P(c is said |
fault in no group of c). By Bayes' rule the weight of a suspect is multiplied by its group's ratio;
that a chip is not told says nothing, for nobody tells all. All ratios and shares here are common
practice, no source; closed calls relearn them (`learned_ratio`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fnmatch import fnmatchcase

from rungwise.diagnosis.chips import ANY, CHIPS, NO_PART, Chip, Group
from rungwise.diagnosis.fault_table import CheckCard, SuspectCard
from rungwise.errors import UnknownName
from rungwise.faults import first_mode
from rungwise.parts import KINDS, Families, Family

CALLS_WORTH = 40.0
"""A stated ratio is held as firmly as if it had been counted on so many calls of its group, and as
many of none (common practice, no source)."""

MOST = 30.0
"""All chips together move a suspect's odds by no more than this, up or down: it is hearsay, and
two chips often tell one thing (common practice, no source)."""

Ratios = Mapping[tuple[str, str], float]
"""Learned ratios by the ids of chip and group, in place of the stated ones."""


@dataclass(frozen=True, slots=True)
class Moved:
    """What one chip did to one group of suspects. ratio: their odds were multiplied by it."""

    group: str
    what: str
    ratio: float


@dataclass(frozen=True, slots=True)
class ChipEffect:
    """A chip that was told, with the groups of this unit's suspects that it moved most first."""

    id: str
    title: str
    moved: tuple[Moved, ...]


def chip_named(name: str) -> Chip:
    """The chip of that id. Raises UnknownName with close matches and the whole list."""
    known = {chip.id: chip for chip in CHIPS}
    if name not in known:
        what = f"There is no complaint {name!r}."
        raise UnknownName(what=what, name=name, known=known, allowed=", ".join(known))
    return known[name]


def chips_named(names: Iterable[str]) -> tuple[Chip, ...]:
    """The chips of those ids, each once, in the order of the list. Raises UnknownName."""
    wanted = {chip_named(name.strip()).id for name in names}
    return tuple(chip for chip in CHIPS if chip.id in wanted)


def complaint_weights(
    cards: Sequence[SuspectCard],
    base_weights: Mapping[str, float] | None,
    chips: Iterable[str],
    ratios: Ratios | None = None,
) -> dict[str, float]:
    """Weight of every suspect by id after the complaint, as `Belief.start` takes them.

    base_weights: in place of the cards' weights, by suspect id; those not named keep their card's.
    chips: ids of what was said. ratios: learned ones. Without chips the weights stay as they are.
    Raises UnknownName for a chip that is not on the list.
    """
    told, base = chips_named(chips), base_weights or {}
    return {
        card.id: base.get(card.id, card.weight) * _factor(card, told, ratios or {})
        for card in cards
    }


def complaint_told(
    cards: Sequence[SuspectCard], chips: Iterable[str], ratios: Ratios | None = None
) -> tuple[ChipEffect, ...]:
    """What each chip does to the suspects of a unit, as values. Raises UnknownName."""
    return tuple(
        ChipEffect(chip.id, chip.title, tuple(_moved(chip, cards, ratios or {})))
        for chip in chips_named(chips)
    )


def group_of(
    chip: Chip, kind: str, mode: str, place: str = "", *, known: bool = True
) -> Group | None:
    """The first group of a chip that a suspect is in, None where it is in none.

    kind: of the part, the wire or the supply; "" for what is none. mode: of a cause with its
    effect, the cause counts.
    """
    cause = first_mode(mode)
    own = KINDS[kind].facet(Families) if kind in KINDS else None
    names = own.names if own is not None else NO_PART
    return next((g for g in chip.groups if _in_group(g, names, cause, place, known=known)), None)


def looks_owed(cards: Iterable[CheckCard], chip: str) -> tuple[str, ...]:
    """Ids of the looks that what was said asks for before a unit is let go as a working one.

    Raises UnknownName for a chip that is not on the list.
    """
    owed = chip_named(chip).looks
    return tuple(card.id for card in cards if {card.thing, card.id} & owed)


def learned_ratio(
    ratio: float, usual: float, in_group: tuple[int, int], in_none: tuple[int, int]
) -> float:
    """The ratio after closed calls: P(chip | group) over P(chip | no group).

    ratio, usual: as stated, the second being P(chip | no group). in_group, in_none: on how many
    calls the chip was told, of how many. P(chip | no group) has a beta belief of `CALLS_WORTH`
    calls with `usual`; its mean p after k of n is (N·usual + k) / (N + n). P(chip | group) has
    one of as many calls with ratio·p, so that a shop whose customers say little keeps its ratios;
    its mean is (N·ratio·p + k) / (N + n). (Beta and binomial are conjugate: NIST/SEMATECH
    e-Handbook of Statistical Methods, 8.1.10.) Where the group was not met it is the stated ratio.
    """
    otherwise = _mean(usual, *in_none)
    return _mean(min(ratio * otherwise, LIKELIEST), *in_group) / otherwise


LIKELIEST = 0.95
"""Nothing is said on more calls than this, whatever the fault."""


def _mean(chance: float, told: int, calls: int) -> float:
    """Mean of a beta belief worth `CALLS_WORTH` calls of a chance, after `told` of `calls`."""
    return (CALLS_WORTH * chance + told) / (CALLS_WORTH + calls)


def learned_ratios(calls: Iterable[tuple[str, str, Sequence[str]]]) -> dict[tuple[str, str], float]:
    """Ratios by the ids of chip and group, from closed calls: part kind, fault mode, chips told.

    Calls without any chip do not count: nobody was asked. A group by the place of its part keeps
    its ratio, because a closed call tells the kind alone. Raises UnknownName for a chip that is
    not on the list.
    """
    counted = [
        (kind, mode, {c.id for c in chips_named(told)}) for kind, mode, told in calls if told
    ]
    found = {}
    for chip in CHIPS if counted else ():
        places = [(group_of(chip, kind, mode), chip.id in told) for kind, mode, told in counted]
        none = _count(told for group, told in places if group is None)
        for each in (group for group in chip.groups if not group.place):
            mine = _count(told for group, told in places if group is each)
            found[chip.id, each.id] = learned_ratio(each.ratio, chip.usual, mine, none)
    return found


def _count(told: Iterable[bool]) -> tuple[int, int]:
    listed = list(told)
    return sum(listed), len(listed)


def _factor(card: SuspectCard, chips: Sequence[Chip], ratios: Ratios) -> float:
    product = 1.0
    for chip in chips:
        group = _group(chip, card)
        product *= _ratio(chip, group, ratios) if group else 1.0
    return min(max(product, 1.0 / MOST), MOST)


def _moved(chip: Chip, cards: Sequence[SuspectCard], ratios: Ratios) -> Iterator[Moved]:
    met = {id(group): group for group in (_group(chip, card) for card in cards) if group}
    listed = [Moved(group.id, group.what, _ratio(chip, group, ratios)) for group in met.values()]
    yield from sorted(listed, key=lambda each: -max(each.ratio, 1.0 / each.ratio))


def _group(chip: Chip, card: SuspectCard) -> Group | None:
    return group_of(chip, card.kind, card.mode, card.place, known=card.known)


def _ratio(chip: Chip, group: Group, ratios: Ratios) -> float:
    return ratios.get((chip.id, group.id), group.ratio)


def _in_group(
    group: Group, names: frozenset[Family], mode: str, place: str, *, known: bool
) -> bool:
    fits = group.families == ANY or bool(group.families & names)
    no_part = not group.families and not names
    return (
        (fits or no_part)
        and any(fnmatchcase(mode, each) for each in group.modes)
        and group.place in ("", place)
        and (group.known is None or group.known == known)
    )
