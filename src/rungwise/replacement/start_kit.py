"""Does a hard-start kit do its work: in at standstill, out once the rotor is up to speed?"""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.circuit.condition import STARTING
from rungwise.replacement.candidate import Candidate
from rungwise.replacement.circuits import Specimen, Trial
from rungwise.replacement.control_parts import unjudged
from rungwise.replacement.reason import Reason, Weight
from rungwise.replacement.reference import Reference
from rungwise.replacement.strength import PRACTICE, AtLeast, shown
from rungwise.replacement.trials import CALL, HIGH_LEG_V, LOW_LEG_V, MIDDLE_LEG_V, stall, supply

__all__ = ["kit_reasons"]

CAPACITOR_SHARE = 0.20
"""Start capacitors are made -0/+20 %; within this of the old one counts as the same (EIA-463,
from memory)."""


def kit_reasons(reference: Reference, fitted: Specimen, candidate: Candidate) -> Iterator[Reason]:
    """Every start relay with its capacitor; a relay or capacitor alone is judged with its mate."""
    if candidate.kind_name == "hard_start_kit":
        yield _size(fitted, candidate)
    relays = fitted.unit.parts_of_kind("potential_relay")
    capacitors = fitted.unit.parts_of_kind("start_capacitor")
    if not (relays and capacitors):
        yield unjudged(candidate, "The mate that takes it out, and so the work")
    for relay in relays:
        for capacitor in capacitors:
            yield _stays_in(fitted, relay.name)
            yield _drops_out(fitted, relay.name, capacitor.name)
            yield _stays_out(fitted, relay.name)
            yield _capacitor_volts(reference, fitted, capacitor.name)
            yield _torque(reference, fitted)
            yield from _other_capacitor(reference, fitted, capacitor.name)
            yield from _other_relay(reference, fitted, relay.name)


STANDING_SHARE = 1.1
"""Margin over the solved volts at standstill, which rest on turns that no plate gives."""


def _stays_in(fitted: Specimen, relay: str) -> Reason:
    """At standstill the winding's volts must not open the contact yet."""
    trial = stall(fitted.unit, HIGH_LEG_V)
    volt = fitted.volt(trial, f"{relay}.2", f"{relay}.5")
    return AtLeast(
        rule="kit.pick_up_high_enough",
        figure="pick-up",
        has=fitted.number(relay, "pick_up_volt"),
        needs=STANDING_SHARE * volt,
        unit="V",
        why=f"{STANDING_SHARE:g} times the {volt:.0f} V that its coil sees {trial.name}",
        otherwise="It takes the start capacitor out before the rotor has moved.",
        situation=trial.name,
        source="from the solution",
    ).reason()


def _drops_out(fitted: Specimen, relay: str, capacitor: str) -> Reason:
    """Up to speed, on low supply too, the volts must open it, or the capacitor burns."""
    trial = Trial(
        f"running with the start capacitor still in, {LOW_LEG_V:g} V a leg",
        STARTING,
        {(relay, "stuck"): 1.0, **supply(fitted.unit, LOW_LEG_V)},
    )
    volt = fitted.volt(trial, f"{relay}.2", f"{relay}.5")
    needs = fitted.number(relay, "pick_up_volt")
    amp = fitted.amp(trial, (capacitor, "start"))
    told = f"Running, its coil gets {volt:.0f} V on low supply; it picks up at {needs:.0f} V"
    return Reason(
        Weight.PASSES if volt >= needs else Weight.BARS,
        "kit.takes_itself_out",
        f"{told}, and the start capacitor is out."
        if volt >= needs
        else f"{told}: the start capacitor stays in at {amp:.1f} A and bursts, and the start "
        "winding overheats.",
        trial.name,
        volt,
        needs,
        "V",
        "from the solution",
    )


def _stays_out(fitted: Specimen, relay: str) -> Reason:
    """Once out, the volts without the start capacitor must hold the contact open."""
    volt = fitted.volt(CALL, f"{relay}.2", f"{relay}.5")
    needs = fitted.number(relay, "drop_out_volt")
    held = volt >= needs and not fitted.chatters(CALL, (relay, "pulled"))
    told = f"Running, {volt:.0f} V hold its coil, which lets go at {needs:.0f} V"
    return Reason(
        Weight.PASSES if held else Weight.BARS,
        "kit.stays_out",
        f"{told}." if held else f"{told}: it chatters, and its contact and capacitor burn.",
        CALL.name,
        volt,
        needs,
        "V",
        "from the solution",
    )


def _size(fitted: Specimen, candidate: Candidate) -> Reason:
    """For what compressor it is: the compressor maker's list, or the horsepower on its label."""
    if candidate.texts.get("listed") == "yes":
        told = "The compressor's maker lists it for this compressor."
        return Reason(Weight.PASSES, "kit.size", told, source="from the candidate's file")
    if not {"least_hp", "most_hp"} <= set(candidate.figures):
        return Reason(
            Weight.UNJUDGED,
            "kit.size",
            "Only what the compressor maker lists, or a kit rated for its horsepower: neither is "
            "given of this one. It cures no weak capacitor and no low volts.",
        )
    (compressor,) = fitted.unit.parts_of_kind("compressor")
    low, high = (share * _horsepower(fitted, compressor.name) for share in HORSEPOWER_SHARES)
    least, most = candidate.figures["least_hp"], candidate.figures["most_hp"]
    fits = least <= high and most >= low
    return Reason(
        Weight.PASSES if fits else Weight.BARS,
        "kit.size",
        f"It is for {least:g} to {most:g} horsepower, the compressor has about {low:.1f} to "
        f"{high:.1f} horsepower by its plate{'.' if fits else ': too small, or far too large.'}",
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


def _capacitor_volts(reference: Reference, fitted: Specimen, capacitor: str) -> Reason:
    if capacitor in reference.found.unit.part_by_name and reference.stated(capacitor, "volt"):
        return AtLeast(
            rule="kit.capacitor_volts",
            figure="start capacitor",
            has=fitted.number(capacitor, "volt"),
            needs=reference.found.number(capacitor, "volt"),
            unit="V",
            why="as marked on the one that comes out; the rule is equal or higher",
            otherwise="It fails after few starts.",
            source=PRACTICE,
        ).reason()
    trial = stall(fitted.unit, HIGH_LEG_V)
    solved = fitted.volt(trial, f"{capacitor}.1", f"{capacitor}.2")
    return AtLeast(
        rule="kit.capacitor_volts",
        figure="start capacitor",
        has=fitted.number(capacitor, "volt"),
        needs=solved,
        unit="V",
        why=f"what stands across it {trial.name}",
        otherwise="It fails after few starts.",
        situation=trial.name,
        source="from the solution",
    ).reason()


def _torque(reference: Reference, fitted: Specimen) -> Reason:
    trial = stall(fitted.unit, MIDDLE_LEG_V)
    (compressor,) = fitted.unit.parts_of_kind("compressor")
    before, after = (
        each.port(trial, (compressor.name, "windings"), 1)[1] for each in (reference.found, fitted)
    )
    return Reason(
        Weight.PASSES,
        "kit.start_winding",
        f"At standstill the start winding takes {after:.1f} A; with what is there now "
        f"{before:.1f} A.",
        trial.name,
        after,
        before,
        "A",
        "from the solution",
    )


def _other_capacitor(reference: Reference, fitted: Specimen, capacitor: str) -> Iterator[Reason]:
    if capacitor not in reference.found.unit.part_by_name:
        return
    had, has = (each.number(capacitor, "start_uf") for each in (reference.found, fitted))
    if abs(has / had - 1) > CAPACITOR_SHARE:
        stated = reference.stated(capacitor, "start_uf")
        yield Reason(
            Weight.BARS if stated else Weight.UNJUDGED,
            "kit.capacitor_uf",
            f"{shown(has, 'µF')} in place of {shown(had, 'µF')}: the start gets another torque "
            "than the compressor was matched with."
            + ("" if stated else " The unit file does not say the old µF; read them off it."),
            stall(fitted.unit, MIDDLE_LEG_V).name,
            has,
            had,
            "µF",
            PRACTICE,
        )


PICK_UP_SHARE = 0.15
"""Pick-up volts that count as the same relay: its own range is as wide (common practice)."""


def _other_relay(reference: Reference, fitted: Specimen, relay: str) -> Iterator[Reason]:
    """A relay that picks up elsewhere than the one that was matched with the compressor."""
    if relay not in reference.found.unit.part_by_name:
        return
    had, has = (each.number(relay, "pick_up_volt") for each in (reference.found, fitted))
    if abs(has / had - 1) > PICK_UP_SHARE and reference.stated(relay, "pick_up_volt"):
        yield Reason(
            Weight.BARS,
            "kit.other_relay",
            f"It picks up at {has:g} V, the one that comes out at {had:g} V: the start capacitor "
            "leaves at another speed than the compressor was matched with.",
            stall(fitted.unit, MIDDLE_LEG_V).name,
            has,
            had,
            "V",
            PRACTICE,
        )
