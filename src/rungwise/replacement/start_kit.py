"""Does a hard-start kit do its work: in at standstill, out once the rotor is up to speed?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rungwise.circuit import STARTING
from rungwise.parts import PRACTICE, Against, Capacitor, Coil, Motor, Section
from rungwise.replacement.candidate import Candidate
from rungwise.replacement.label import ratings_of, unjudged
from rungwise.replacement.reason import AtLeast, Reason, Weight, shown
from rungwise.replacement.reference import Reference
from rungwise.replacement.supply_circuit import poles_of, start_capacitors, start_relays
from rungwise.replacement.trials import (
    CALL,
    HIGH_LEG_V,
    LOW_LEG_V,
    MIDDLE_LEG_V,
    Specimen,
    Trial,
    leg_told,
    stall,
    supply,
)
from rungwise.unit import Part
from rungwise.wording import joined, mark, say

CAPACITOR_SHARE = 0.20
"""Start capacitors are made -0/+20%; within this of the old one counts as the same (EIA-463,
from memory)."""


def kit_reasons(reference: Reference, fitted: Specimen, candidate: Candidate) -> Iterator[Reason]:
    """Every start relay with its capacitor; a relay or capacitor alone is judged with its mate."""
    if candidate.kind.beside_motor:
        yield _size(fitted, candidate)
    relays, capacitors = start_relays(fitted.unit), start_capacitors(fitted.unit)
    if not (relays and capacitors):
        yield unjudged(candidate, mark("The mate that takes it out, and so the work"))
    for relay in relays:
        for capacitor in capacitors:
            yield from _Pair(reference, fitted, candidate, relay, capacitor).reasons()


STANDING_SHARE = 1.1
"""Margin over the solved volts at standstill, which rest on turns that no plate gives."""

_UNREAD_FARADS = mark("The unit file does not say the old µF; read them off it.")

PICK_UP_SHARE = 0.15
"""Pick-up volts that count as the same relay: its own range is as wide (common practice)."""


@dataclass(frozen=True)
class _Pair:
    """A start relay with the start capacitor that it takes out."""

    reference: Reference
    fitted: Specimen
    candidate: Candidate
    relay: Part
    capacitor: Part

    def reasons(self) -> Iterator[Reason]:
        """What the two must do together; what either's kind does not tell is not judged."""
        ratings = ratings_of(self.fitted.unit, self.relay.name)
        pick_up, let_go = (ratings.parameter(each) for each in (Against.PICK_UP, Against.DROP_OUT))
        if pick_up is None or let_go is None:
            yield unjudged(self.candidate, mark("Its relay's volts, and so the work"))
            return
        yield self.stays_in(pick_up)
        yield self.drops_out(pick_up)
        yield self.stays_out(let_go)
        yield self.capacitor_volts()
        yield from self.start_winding()
        yield from self.other_capacitor()
        yield from self.other_relay(pick_up)

    def coil_volt(self, trial: Trial) -> float:
        (coil,) = (e for part, e in self.fitted.unit.having(Coil) if part == self.relay)
        return self.fitted.volt(trial, *(f"{self.relay.name}.{end}" for end in coil.ends))

    @property
    def section(self) -> Section:
        told = self.fitted.unit.having(Capacitor)
        return next(each.sections[0] for part, each in told if part == self.capacitor)

    @property
    def volt_key(self) -> str:
        """The parameter of the capacitor's rated volts."""
        told = self.fitted.unit.having(Capacitor)
        return next(each.volt for part, each in told if part == self.capacitor)

    def was_there(self, part: Part) -> bool:
        return part.name in self.reference.found.unit.part_by_name

    def stays_in(self, pick_up: str) -> Reason:
        """At standstill the winding's volts must not open the contact yet."""
        trial = stall(self.fitted.unit, HIGH_LEG_V)
        volt = self.coil_volt(trial)
        return AtLeast(
            rule="kit.pick_up_high_enough",
            figure=mark("pick-up"),
            has=self.fitted.number(self.relay.name, pick_up),
            needs=STANDING_SHARE * volt,
            unit="V",
            why=say(
                "{STANDING_SHARE} times the {volt} V that its coil sees {name}",
                STANDING_SHARE=f"{STANDING_SHARE:g}",
                volt=f"{volt:.0f}",
                name=trial.name,
            ),
            otherwise=mark("It takes the start capacitor out before the rotor has moved."),
            situation=trial.name,
            source="from the solution",
        ).reason()

    def drops_out(self, pick_up: str) -> Reason:
        """Up to speed, on low supply too, the volts must open it, or the capacitor burns."""
        poles = poles_of(self.fitted.unit, self.relay.name).poles
        trial = Trial(
            say(
                "running with the start capacitor still in, {leg_told}",
                leg_told=leg_told(self.fitted.unit, LOW_LEG_V),
            ),
            STARTING,
            {
                **{(self.relay.name, pole.stuck_handle): 1.0 for pole in poles},
                **supply(self.fitted.unit, LOW_LEG_V),
            },
        )
        volt, needs = self.coil_volt(trial), self.fitted.number(self.relay.name, pick_up)
        amp = self.fitted.amp(trial, (self.capacitor.name, self.section.element))
        told = say(
            "Running, its coil gets {volt} V on low supply; it picks up at {needs} V",
            volt=f"{volt:.0f}",
            needs=f"{needs:.0f}",
        )
        return Reason(
            Weight.PASSES if volt >= needs else Weight.BARS,
            "kit.takes_itself_out",
            say("{told}, and the start capacitor is out.", told=told)
            if volt >= needs
            else say(
                "{told}: the start capacitor stays in at {amp} A and bursts, and the "
                "start winding overheats.",
                told=told,
                amp=f"{amp:.1f}",
            ),
            trial.name,
            volt,
            needs,
            "V",
            "from the solution",
        )

    def stays_out(self, let_go: str) -> Reason:
        """Once out, the volts without the start capacitor must hold the contact open."""
        (coil,) = (e for part, e in self.fitted.unit.having(Coil) if part == self.relay)
        volt, needs = self.coil_volt(CALL), self.fitted.number(self.relay.name, let_go)
        held = volt >= needs and not self.fitted.chatters(CALL, (self.relay.name, coil.state))
        told = say(
            "Running, {volt} V hold its coil, which lets go at {needs} V",
            volt=f"{volt:.0f}",
            needs=f"{needs:.0f}",
        )
        return Reason(
            Weight.PASSES if held else Weight.BARS,
            "kit.stays_out",
            say("{told}.", told=told)
            if held
            else say("{told}: it chatters, and its contact and capacitor burn.", told=told),
            CALL.name,
            volt,
            needs,
            "V",
            "from the solution",
        )

    def capacitor_volts(self) -> Reason:
        name, key = self.capacitor.name, self.volt_key
        if self.was_there(self.capacitor) and self.reference.stated(name, key):
            return AtLeast(
                rule="kit.capacitor_volts",
                figure=mark("start capacitor"),
                has=self.fitted.number(name, key),
                needs=self.reference.found.number(name, key),
                unit="V",
                why=mark("as marked on the one that comes out; the rule is equal or higher"),
                otherwise=mark("It fails after few starts."),
                source=PRACTICE,
            ).reason()
        trial = stall(self.fitted.unit, HIGH_LEG_V)
        return AtLeast(
            rule="kit.capacitor_volts",
            figure=mark("start capacitor"),
            has=self.fitted.number(name, key),
            needs=self.fitted.volt(trial, *(f"{name}.{end}" for end in self.section.ends)),
            unit="V",
            why=say("what stands across it {name}", name=trial.name),
            otherwise=mark("It fails after few starts."),
            situation=trial.name,
            source="from the solution",
        ).reason()

    def start_winding(self) -> Iterator[Reason]:
        """Amps of the start winding at standstill, of each compressor."""
        trial = stall(self.fitted.unit, MIDDLE_LEG_V)
        for part, motor in self.fitted.unit.having(Motor):
            if motor.drives != "compressor":
                continue
            before, after = (
                each.port(trial, (part.name, motor.element), 1)[1]
                for each in (self.reference.found, self.fitted)
            )
            yield Reason(
                Weight.PASSES,
                "kit.start_winding",
                say(
                    "At standstill the start winding takes {after} A; with what is there "
                    "now {before} A.",
                    after=f"{after:.1f}",
                    before=f"{before:.1f}",
                ),
                trial.name,
                after,
                before,
                "A",
                "from the solution",
            )

    def other_capacitor(self) -> Iterator[Reason]:
        name, key = self.capacitor.name, self.section.microfarads
        if not self.was_there(self.capacitor):
            return
        had, has = (each.number(name, key) for each in (self.reference.found, self.fitted))
        if abs(has / had - 1) > CAPACITOR_SHARE:
            stated = self.reference.stated(name, key)
            yield Reason(
                Weight.BARS if stated else Weight.UNJUDGED,
                "kit.capacitor_uf",
                joined(
                    " ",
                    (
                        say(
                            "{shown} in place of {shown2}: the start gets another torque than "
                            "the compressor was matched with.",
                            shown=shown(has, "µF"),
                            shown2=shown(had, "µF"),
                        ),
                        *([] if stated else [_UNREAD_FARADS]),
                    ),
                ),
                stall(self.fitted.unit, MIDDLE_LEG_V).name,
                has,
                had,
                "µF",
                PRACTICE,
            )

    def other_relay(self, pick_up: str) -> Iterator[Reason]:
        """A relay that picks up elsewhere than the one that was matched with the compressor."""
        name = self.relay.name
        if not self.was_there(self.relay):
            return
        had, has = (each.number(name, pick_up) for each in (self.reference.found, self.fitted))
        if abs(has / had - 1) > PICK_UP_SHARE:
            stated = self.reference.stated(name, pick_up)
            unread = mark("The unit file does not say the old one's volts: read them off it.")
            yield Reason(
                Weight.BARS if stated else Weight.UNJUDGED,
                "kit.other_relay",
                joined(
                    " ",
                    (
                        say(
                            "It picks up at {has} V, the one that comes out at {had} V: the "
                            "start capacitor leaves at another speed than the compressor was "
                            "matched with.",
                            has=f"{has:g}",
                            had=f"{had:g}",
                        ),
                        *([] if stated else [unread]),
                    ),
                ),
                stall(self.fitted.unit, MIDDLE_LEG_V).name,
                has,
                had,
                "V",
                PRACTICE,
            )


_OF_SIZE = mark(
    "It is for {least} to {most} horsepower, the compressor has about {low} to {high} horsepower "
    "by its nameplate."
)
_NOT_OF_SIZE = mark(
    "It is for {least} to {most} horsepower, the compressor has about {low} to {high} horsepower "
    "by its nameplate: too small, or far too large."
)


def _size(fitted: Specimen, candidate: Candidate) -> Reason:
    """For what compressor it is: the compressor maker's list, or the horsepower on its label."""
    if candidate.texts.get("listed") == "yes":
        told = mark("The compressor's maker lists it for this compressor.")
        return Reason(Weight.PASSES, "kit.size", told, source="from the candidate's file")
    if not {"least_hp", "most_hp"} <= set(candidate.figures):
        return Reason(
            Weight.UNJUDGED,
            "kit.size",
            mark(
                "Only what the compressor maker lists, or a kit rated for its horsepower: neither "
                "is given of this one. It cures no weak capacitor and no low volts."
            ),
        )
    compressors = fitted.unit.roles.compressors
    if len(compressors) != 1:
        return unjudged(
            candidate, mark("The compressor, which is not the only one here, and so the size")
        )
    low, high = (share * _horsepower(fitted, compressors[0]) for share in HORSEPOWER_SHARES)
    least, most = candidate.figures["least_hp"], candidate.figures["most_hp"]
    fits = least <= high and most >= low
    return Reason(
        Weight.PASSES if fits else Weight.BARS,
        "kit.size",
        say(
            _OF_SIZE if fits else _NOT_OF_SIZE,
            least=f"{least:g}",
            most=f"{most:g}",
            low=f"{low:.1f}",
            high=f"{high:.1f}",
        ),
        has=most if most < low else least,
        needs=low if most < low else high,
    )


HORSEPOWER_SHARES = (0.67, 1.0)
"""RLA is a ceiling: a compressor's own horsepower is this share of RLA's (as its usual load)."""

WATT_PER_HP = 745.7


def _horsepower(fitted: Specimen, compressor: str) -> float:
    """Shaft horsepower at the plate's amps."""
    watt = 1.0
    for factor in ("rated_volt", "rated_a", "power_factor", "efficiency"):
        watt *= fitted.number(compressor, factor)
    return watt / WATT_PER_HP
