"""Where a unit with a candidate in it does not do what it is meant to do, and what is then live.

Loads may all do the same and a point still be live that was dead: a one-pole contactor holds its
T2 on a leg through the bar. Whoever works on the unit next has to know.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rungwise.circuit import FIRST_SECONDS, Harm, Hurt, Situation
from rungwise.parts import EARTH, KINDS, LIVE_VOLT, Capacitor, Does, Heater, Motor, part_of
from rungwise.replacement.reason import Reason, Weight
from rungwise.replacement.reference import Reference, is_run_capacitor
from rungwise.replacement.trials import OFF as STANDING
from rungwise.replacement.trials import Specimen
from rungwise.wording import capital, joined, mark, say

_LIKEWISE = mark(", and likewise in {more} more situations")
_ONCE_MORE = mark(", and likewise in {more} more situation")
_BEHIND = mark("{told}, and {more} points behind,")
_ONE_BEHIND = mark("{told}, and {more} point behind,")


@dataclass(frozen=True)
class Difference:
    """One load that does something else, in one or more situations.

    meant, does: indexes into `circuit.load_states.WORDS`. meant_amount, amount: watts (volts for a
    coil) in the first of the situations.
    """

    part: str
    title: str
    meant: int
    does: int
    meant_amount: float
    amount: float
    situations: tuple[Situation, ...]


def differences(meant: Specimen, fitted: Specimen, reference: Reference) -> Iterator[Difference]:
    """Motors and heaters that do something else, and coils that chatter where none did."""
    before = meant.load_states(reference.situations)
    after = fitted.load_states(reference.situations)
    for name in before.loads:
        if name not in after.loads:
            continue
        b, a = before.loads.index(name), after.loads.index(name)
        found: dict[tuple[int, int], list[int]] = {}
        for at in range(len(reference.situations)):
            pair = int(before.code[at, b, 0]), int(after.code[at, a, 0])
            if _counts(fitted, name, *pair):
                found.setdefault(pair, []).append(at)
        for (was, now), places in found.items():
            first = _plainest(reference, places)
            yield Difference(
                name,
                fitted.unit.part(name).title,
                was,
                now,
                float(before.amount[first, b, 0]),
                float(after.amount[first, a, 0]),
                tuple(reference.situations[at]
                      for at in (first, *(p for p in places if p != first))),
            )  # fmt: skip


def behaviour_reasons(reference: Reference, fitted: Specimen) -> Iterator[Reason]:
    """A reason for each difference, and for each thing that is harmed and was not before."""
    for each in differences(reference.meant, fitted, reference):
        only_lost = all(situation.lost for situation in each.situations)
        coil = each.does == Does.CHATTERS
        weight = Weight.CAUTION if coil and only_lost else Weight.BARS
        heats = each.meant == Does.OFF and each.does == Does.HEATS
        revived = heats and _never_meant(reference, each.part)
        yield Reason(
            Weight.NOTE if revived else weight,
            f"behaviour.{each.part}",
            _sentence(each),
            each.situations[0].name,
            each.amount,
            each.meant_amount,
            "V" if coil else "W",
            "from the solution",
        )
    yield from _harms(reference, fitted)


def in_words(situation: Situation) -> str:
    """A situation as the start of a sentence: "With the thermostat off"."""
    return capital(situation.clause)


def _counts(fitted: Specimen, name: str, was: int, now: int) -> bool:
    kind = KINDS[fitted.unit.part(name).kind]
    if kind.facet(Motor) or kind.facet(Heater):
        return was != now
    return now == Does.CHATTERS and was != Does.CHATTERS


def _plainest(reference: Reference, places: list[int]) -> int:
    """The first situation, but a settled call before the first seconds of one."""
    settled = [at for at in places if reference.situations[at].asking is not FIRST_SECONDS]
    return (settled or places)[0]


def _never_meant(reference: Reference, part: str) -> bool:
    told = reference.meant.load_states(reference.situations)
    return bool((told.code[:, told.loads.index(part), 0] == Does.OFF).all())


def _sentence(each: Difference) -> str:
    where = in_words(each.situations[0])
    if Does.HEATS in (each.meant, each.does) and not (each.amount or each.meant_amount):
        told = say("{where} no flame is proved at the {title}", where=where, title=each.title)
    elif Does.HEATS in (each.meant, each.does):
        told = say(
            "{where} the {title} gets {amount} W instead of {meant_amount} W",
            where=where,
            title=each.title,
            amount=f"{each.amount:.0f}",
            meant_amount=f"{each.meant_amount:.0f}",
        )
    elif each.does == Does.CHATTERS:
        told = say(
            "{where} the {title} chatters, with {amount} V on its coil",
            where=where,
            title=each.title,
            amount=f"{each.amount:.1f}",
        )
    elif each.does in (Does.HUMS, Does.BACKWARDS):
        told = say(
            "{where} the {title} {does}, {amount} W, {meant}",
            where=where,
            title=each.title,
            does=mark(Does(each.does).words),
            amount=f"{each.amount:.0f}",
            meant=_meant(each),
        )
    else:
        told = say(
            "{where} the {title} {does} {meant}",
            where=where,
            title=each.title,
            does=mark(Does(each.does).words),
            meant=_meant(each),
        )
    more = len(each.situations) - 1
    also = say(_LIKEWISE if more > 1 else _ONCE_MORE, more=more) if more else ""
    return joined("", (told, also, "."))


def _meant(each: Difference) -> str:
    watt = f", {each.meant_amount:.0f} W" if each.meant == Does.RUNS else ""
    return say(
        "where it {words}{watt}, as it is meant to", words=mark(Does(each.meant).words), watt=watt
    )


def _harms(reference: Reference, fitted: Specimen) -> Iterator[Reason]:
    before = reference.meant.load_states(reference.situations)
    after = fitted.load_states(reference.situations)
    known = {harm: at for at, harm in enumerate(before.harms)}
    for at, harm in enumerate(after.harms):
        old = known.get(harm)
        hurt = after.harmed[:, at, 0]
        if old is not None:
            hurt = hurt & ~before.harmed[:, old, 0]
        places = [int(place) for place in hurt.nonzero()[0]]
        if places and not _judged_by_its_label(reference, fitted, harm):
            first = _plainest(reference, places)
            situation = reference.situations[first]
            amount = float(after.harm_amount[first, at, 0])
            what = _suffering(fitted, harm, amount)
            text = say("{in_words} {what}.", in_words=in_words(situation), what=what)
            yield Reason(
                Weight.BARS, f"harm.{harm.part}", text, situation.name, source="the solution"
            )


def _judged_by_its_label(reference: Reference, fitted: Specimen, harm: Harm) -> bool:
    """Whether it is a run capacitor for other volts than the meant one has.

    Its label beside the old one's decides then (`capacitor.volts`): solved volts are not exact.
    """
    if harm.part not in reference.meant.unit.part_by_name:
        return False
    both = [each.unit.part(harm.part).kind for each in (reference.meant, fitted)]
    cans = [KINDS[kind].facet(Capacitor) for kind in both if is_run_capacitor(kind)]
    if len(cans) < len(both):
        return False
    before, after = (
        each.number(harm.part, can.volt)
        for each, can in zip((reference.meant, fitted), cans, strict=True)
        if can is not None
    )
    return before != after


def _suffering(fitted: Specimen, harm: Harm, amount: float) -> str:
    """What happens to the part: its overload opens, it trips, it bears too many volts."""
    title = fitted.unit.part(harm.part).title
    for state in KINDS[fitted.unit.part(harm.part).kind].states:
        if harm.hurt is Hurt.OPENED and state.name == harm.which:
            noun, _, verb = state.on.rpartition(" ")
            return (
                say("the {noun} of the {title} {verb}", noun=noun, title=title, verb=verb)
                if noun
                else say("the {title} {verb}", title=title, verb=verb)
            )
    unit = "W" if harm.hurt is Hurt.HEATER else "V"
    return say(
        "the {title} is overloaded: {what}, {amount} {unit}",
        title=title,
        what=harm.what,
        amount=f"{amount:.0f}",
        unit=unit,
    )


def live_reasons(found: Specimen, fitted: Specimen, pieces: tuple[str, ...]) -> Iterator[Reason]:
    """A caution for points that become live, a note for those that go dead."""
    before, after = _volts(found), _volts(fitted)
    both = [point for point in after if point in before]
    live = [p for p in both if after[p] > LIVE_VOLT >= before[p]]
    dead = [p for p in both if before[p] > LIVE_VOLT >= after[p]]
    if live:
        own = _own(live, pieces)
        yield Reason(
            Weight.CAUTION,
            "live.more",
            say(
                "With the thermostat off {named} at {after} V to ground; with the part "
                "that comes out {before} V. Open the disconnect and prove it dead before "
                "work on it.",
                named=_named(live, own),
                after=f"{after[own[0]]:.0f}",
                before=f"{before[own[0]]:.0f}",
            ),
            STANDING.name,
            after[own[0]],
            LIVE_VOLT,
            "V",
            "NFPA 70E 110.4; check your own copy",
        )
    if dead:
        own = _own(dead, pieces)
        yield Reason(
            Weight.NOTE,
            "live.fewer",
            say(
                "With the thermostat off {named} at {after} V to ground instead of "
                "{before} V. The line side stays live.",
                named=_named(dead, own),
                after=f"{after[own[0]]:.0f}",
                before=f"{before[own[0]]:.0f}",
            ),
            STANDING.name,
            after[own[0]],
            LIVE_VOLT,
            "V",
            "from the solution",
        )


def _volts(specimen: Specimen) -> dict[str, float]:
    return {t: specimen.volt(STANDING, t, EARTH) for t in specimen.unit.terminals()}


def _own(points: list[str], pieces: tuple[str, ...]) -> list[str]:
    """The candidate's own terminals among the points, or else the first of them."""
    own = [point for point in points if part_of(point) in pieces]
    return own or points[:1]


def _named(points: list[str], own: list[str]) -> str:
    more = len(points) - len(own)
    told = " and ".join(own)
    if more:
        told = say(_BEHIND if more > 1 else _ONE_BEHIND, told=told, more=more)
    return say("{told} is", told=told) if len(points) == 1 else say("{told} are", told=told)
