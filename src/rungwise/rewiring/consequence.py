"""What a wrong wire does, in the trade's words and with the figures of the solution."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from rungwise.circuit import Hurt, Situation
from rungwise.parts import Does, ElectronicMotor, Overcurrent
from rungwise.rewiring.comparison import Comparison, Deviation
from rungwise.rewiring.observed import Surge
from rungwise.unit import Unit
from rungwise.wording import mark, say

RANKS = (
    mark("a breaker or a line fuse opens"),
    mark("a safety protects nothing"),
    mark("a coil, a capacitor or a heater gets too much"),
    mark("a motor hums, or its overload opens"),
    mark("a motor runs backwards"),
    mark("a motor runs where it should not"),
    mark("the low-voltage fuse blows"),
    mark("a motor does not run"),
    mark("a coil does not pull in, pulls in unasked or chatters"),
    mark("the heater is off or on where it should not be"),
    mark("a wire carries more than it bears"),
    mark("a load takes other watts or volts"),
)
"""Sorts of consequences, the worst first."""

TAKES = mark("the {name} takes {amount} W instead of {wanted} W")
COIL_GETS = mark("the {name}'s coil gets {amount} V instead of {wanted} V")

SHORT, DEFEATED, BURNS, STALLS, REVERSED, UNASKED = range(6)
FUSE, IDLE, COIL, HEATER, WIRE, FIGURE = range(6, 12)


@dataclass(frozen=True)
class Consequence:
    """One consequence. rank: lower is worse. situations: indices, plain ones first."""

    rank: int
    part: str
    text: str
    situations: tuple[int, ...]


def consequences(
    compared: Comparison, situations: tuple[Situation, ...], variant: int
) -> tuple[Consequence, ...]:
    """Everything that a variant does which the unit is not meant to do, worst first.

    What shows only while a leg of the supply is lost comes after all the rest.
    """
    teller = _Teller(compared, situations, variant)
    lost = {at for at, each in enumerate(situations) if each.lost}
    return tuple(
        sorted(teller.all(), key=lambda c: (lost.issuperset(c.situations), c.rank, c.situations))
    )


class _Teller:
    """Words for the deviations of one variant."""

    def __init__(
        self, compared: Comparison, situations: tuple[Situation, ...], variant: int
    ) -> None:
        self.seen = compared.seen
        self.situations = situations
        self.variant = variant
        self.deviations = compared.deviations(variant)
        self.unit: Unit = compared.seen.wirings.unit
        self.safeties = frozenset(_safety_open(self.unit, situations))

    def all(self) -> Iterator[Consequence]:
        tripped = {
            each.part: set(each.situations)
            for each in self.deviations
            if each.sort == "harm" and self.unit_kind_motor(each.part) and self.is_trip(each)
        }
        for part, places in tripped.items():
            yield self.stalled(part, places)
        for each in self.deviations:
            left = set(each.situations) - self.told_with_trip(each, tripped)
            if left and not self.told_otherwise(each, tripped):
                yield self.told(_only(each, left))

    def told_otherwise(self, each: Deviation, tripped: dict[str, set[int]]) -> bool:
        """Whether something that is told of the same part says it already."""
        if each.sort == "harm":
            return each.part in tripped
        others = [d for d in self.deviations if d.part == each.part and d is not each]
        burns = any(d.harm and d.harm.hurt is Hurt.HEATER for d in others)
        return bool(others) if each.sort == "amount" else burns and each.does == Does.HEATS

    def is_trip(self, deviation: Deviation) -> bool:
        return deviation.harm is not None and deviation.harm.hurt is Hurt.OPENED

    def unit_kind_motor(self, part: str) -> bool:
        return part in self.seen.wirings.plan.motors or self.has_electronics(part)

    def has_electronics(self, part: str) -> bool:
        kind = self.seen.wirings.plan.blocks[part].kind
        return kind.facet(ElectronicMotor) is not None

    def told_with_trip(self, each: Deviation, tripped: dict[str, set[int]]) -> set[int]:
        """Where a motor stands or hums because of what its overload is told to do."""
        if each.part not in tripped or each.sort != "does":
            return set()
        if each.does == Does.HUMS:
            return set(each.situations)
        return tripped[each.part] if each.does == Does.OFF else set()

    def told(self, each: Deviation) -> Consequence:
        match each.sort:
            case "does":
                return self.does(each)
            case "harm":
                return self.harm(each)
            case "wire":
                return self.wire(each)
            case "amount":
                return self.amount(each)

    # --- motors, heaters, coils --------------------------------------------------------------

    def title(self, part: str) -> str:
        return self.unit.part(part).title

    def stalled(self, part: str, places: set[int]) -> Consequence:
        """A motor whose overload opens: humming, or running on too many amps."""
        hums = [d.situations for d in self.deviations if d.part == part and d.does == Does.HUMS]
        everywhere = sorted(places.union(*hums))
        surge, code = self.surge(part, sorted(places))
        doing = {
            Does.BACKWARDS: mark("runs backwards"),
            Does.RUNS: mark("runs on too many amps"),
        }.get(code, mark("hums and does not come to speed"))
        figures = ""
        if surge is not None and np.isfinite(surge[1]):
            figures = say(
                " at {amps}; its overload opens after about {seconds}",
                amps=_amps(surge[0]),
                seconds=_seconds(surge[1]),
            )
        else:
            figures = mark("; its overload opens")
        return Consequence(
            STALLS,
            part,
            say(
                "the {title} {doing}{figures}", title=self.title(part), doing=doing, figures=figures
            ),
            tuple(everywhere),
        )

    def surge(self, part: str, places: Iterable[int]) -> tuple[tuple[float, float] | None, Does]:
        """Amps and seconds of the first of these situations that were worked out, and its code."""
        for at in places:
            if at in self.seen.surge_in and self.seen.held is not None:
                row = self.seen.surge_in.index(at)
                held: Surge | None = self.seen.surges[row].get(part)
                code = Does.HUMS
                if part in self.seen.held.loads:
                    load = self.seen.held.loads.index(part)
                    code = Does(self.seen.held.code[row, load, self.variant])
                if held is not None:
                    figures = float(held.amp[self.variant]), float(held.seconds[self.variant])
                    return figures, code
        return None, Does.HUMS

    def does(self, each: Deviation) -> Consequence:
        if self.unit_kind_motor(each.part):
            return self.motor(each)
        if Does.HEATS in (each.want, each.does) and not (each.amount[0] or each.want_amount[0]):
            flame = say("no flame is proved at the {title}", title=self.title(each.part))
            if each.does is Does.HEATS:
                flame = say("a flame burns at the {title}", title=self.title(each.part))
            return Consequence(HEATER, each.part, flame, each.situations)
        if Does.HEATS in (each.want, each.does):
            text = say(
                "the {title} gets {amount} W instead of {want_amount} W",
                title=self.title(each.part),
                amount=f"{each.amount[0]:.0f}",
                want_amount=f"{each.want_amount[0]:.0f}",
            )
            return Consequence(HEATER, each.part, text, each.situations)
        return self.coil(each)

    def motor(self, each: Deviation) -> Consequence:
        title = self.title(each.part)
        rank, words = {
            Does.RUNS: (UNASKED, mark("runs where it should not")),
            Does.HUMS: (
                STALLS,
                say("hums{amps} and does not come to speed", amps=self.at_amps(each)),
            ),
            Does.BACKWARDS: (REVERSED, mark("runs backwards")),
            Does.OFF: (IDLE, mark("does not run")),
        }[each.does]
        unasked = each.want == Does.OFF != each.does
        if unasked and set(each.situations) <= self.safeties:
            opened = self.opened(each.situations)
            goes_on = mark("goes on running") if each.does == Does.RUNS else words
            words = say("{goes_on} with the {opened} open", goes_on=goes_on, opened=opened)
            return Consequence(
                DEFEATED,
                each.part,
                say("the {title} {words}", title=title, words=words),
                each.situations,
            )
        return Consequence(
            rank, each.part, say("the {title} {words}", title=title, words=words), each.situations
        )

    def at_amps(self, each: Deviation) -> str:
        surge, _ = self.surge(each.part, each.situations)
        return say(" at {amps}", amps=_amps(surge[0])) if surge else ""

    def opened(self, places: Iterable[int]) -> str:
        """The safeties that are open in these situations."""
        parts = [part for at in places for part in self.situations[at].condition.positions]
        return mark(" or the ").join(self.title(part) for part in dict.fromkeys(parts))

    def coil(self, each: Deviation) -> Consequence:
        title = self.title(each.part)
        words = {
            Does.PULLED: mark("pulls in where it should not"),
            Does.OFF: say(
                "does not pull in: its coil gets {volts} V", volts=f"{each.amount[0]:.1f}"
            ),
            Does.CHATTERS: say(
                "chatters, with {volts} V on its coil", volts=f"{each.amount[0]:.1f}"
            ),
        }[each.does]
        return Consequence(
            COIL, each.part, say("the {title} {words}", title=title, words=words), each.situations
        )

    def amount(self, each: Deviation) -> Consequence:
        motor_or_heater = self.unit_kind_motor(each.part) or each.does == Does.HEATS
        digits = 0 if motor_or_heater else 1
        text = say(
            TAKES if motor_or_heater else COIL_GETS,
            name=self.title(each.part),
            amount=f"{each.amount[0]:.{digits}f}",
            wanted=f"{each.want_amount[0]:.{digits}f}",
        )
        return Consequence(FIGURE, each.part, text, each.situations)

    # --- what suffers ------------------------------------------------------------------------

    def harm(self, each: Deviation) -> Consequence:
        if each.harm is None:
            msg = say("{part} is told to suffer, but not from what", part=each.part)
            raise ValueError(msg)
        hurt, title = each.harm.hurt, self.title(each.part)
        view = self.seen.wirings.plan.defaults
        most = max(each.amount)
        if hurt is Hurt.COIL:
            rated = float(view[(each.part, "coil_volt")])
            text = say(
                "the {title}'s coil gets {most} V, made for {rated} V",
                title=title,
                most=f"{most:.0f}",
                rated=f"{rated:.0f}",
            )
        elif hurt is Hurt.SECTION:
            rated, section = float(view[(each.part, "volt")]), each.harm.which.upper()
            text = say(
                "the {section} section of the {title} gets {most} V, made for {rated} V",
                section=section,
                title=title,
                most=f"{most:.0f}",
                rated=f"{rated:.0f}",
            )
        elif hurt is Hurt.HEATER:
            rated = float(view[(each.part, "watt")])
            text = say(
                "the {title} takes {most} W, made for {rated} W, and burns out",
                title=title,
                most=f"{most:.0f}",
                rated=f"{rated:.0f}",
            )
        else:
            return self.opens(each, title)
        return Consequence(BURNS, each.part, text, each.situations)

    def opens(self, each: Deviation, title: str) -> Consequence:
        """A breaker or fuse opens."""
        kind = self.unit.kind_of(each.part)
        state = each.harm.which if each.harm else ""
        rules = [r for r in kind.rules if r.opens == "for good" and r.state == state]
        words = next((s.on for s in kind.states if rules and s.name == state), "opens")
        surge, _ = self.surge(each.part, each.situations)
        figures = ""
        if surge is not None and np.isfinite(surge[1]):
            quick = (
                mark("at once")
                if surge[1] == 0
                else say("after about {seconds}", seconds=_seconds(surge[1]))
            )
            figures = say(" {quick}, on {amps} A", quick=quick, amps=f"{surge[0]:.0f}")
        device = kind.facet(Overcurrent)
        control = device is not None and device.how == "melts" and not kind.isolates
        rank = FUSE if control else SHORT
        return Consequence(
            rank,
            each.part,
            say("the {title} {words}{figures}", title=title, words=words, figures=figures),
            each.situations,
        )

    def wire(self, each: Deviation) -> Consequence:
        wire = self.unit.wire_by_name[each.part]
        text = say(
            "the {wire} ({awg} AWG) carries {max} A, more than the {want_amount} A it bears",
            wire=self.unit.wire_title(wire),
            awg=f"{wire.awg:g}",
            max=f"{max(each.amount):.1f}",
            want_amount=f"{each.want_amount[0]:.0f}",
        )
        return Consequence(WIRE, each.part, text, each.situations)


def _safety_open(unit: Unit, situations: Iterable[Situation]) -> Iterator[int]:
    """Situations in which a switch that protects is open."""
    for at, situation in enumerate(situations):
        opened = [part for part, on in situation.condition.positions.items() if not on]
        if opened and not any(unit.kind_of(part).isolates for part in opened):
            yield at


def _only(each: Deviation, places: set[int]) -> Deviation:
    """The deviation in some of its situations only."""
    kept = [at for at, place in enumerate(each.situations) if place in places]
    return Deviation(
        each.sort,
        each.part,
        tuple(each.situations[at] for at in kept),
        tuple(each.want_amount[at] for at in kept),
        tuple(each.amount[at] for at in kept),
        each.want,
        each.does,
        each.harm,
    )


def _amps(amp: float) -> str:
    return f"{amp:.0f} A" if amp >= 10.0 else f"{amp:.1f} A"


def _seconds(seconds: float) -> str:
    if seconds < 90.0:
        return f"{max(seconds, 0.1):.2g} s"
    return say("{minutes} minutes", minutes=f"{seconds / 60.0:.0f}")
