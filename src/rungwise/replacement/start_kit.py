"""Does a hard-start kit do its work: in at standstill, out once the rotor is up to speed?"""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.circuit.condition import STARTING
from rungwise.replacement.circuits import Specimen, Trial
from rungwise.replacement.reason import Reason, Weight
from rungwise.replacement.reference import Reference
from rungwise.replacement.strength import PRACTICE, AtLeast, shown
from rungwise.replacement.trials import CALL, HIGH_LEG_V, LOW_LEG_V, MIDDLE_LEG_V, stall, supply

__all__ = ["kit_reasons"]

CAPACITOR_SHARE = 0.20
"""Start capacitors are made -0/+20 %; within this of the old one counts as the same (EIA-463,
from memory)."""


def kit_reasons(reference: Reference, fitted: Specimen) -> Iterator[Reason]:
    """Every start relay with its capacitor; a relay or capacitor alone is judged with its mate."""
    for relay in fitted.unit.parts_of_kind("potential_relay"):
        for capacitor in fitted.unit.parts_of_kind("start_capacitor"):
            yield _stays_in(fitted, relay.name)
            yield _drops_out(fitted, relay.name, capacitor.name)
            yield _stays_out(fitted, relay.name)
            yield _capacitor_volts(fitted, capacitor.name)
            yield _torque(reference, fitted)
            yield from _other_capacitor(reference, fitted, capacitor.name)


def _stays_in(fitted: Specimen, relay: str) -> Reason:
    """At standstill the winding's volts must not open the contact yet."""
    trial = stall(fitted.unit, MIDDLE_LEG_V)
    volt = fitted.volt(trial, f"{relay}.2", f"{relay}.5")
    return AtLeast(
        rule="kit.pick_up_high_enough",
        figure="pick-up",
        has=fitted.number(relay, "pick_up_volt"),
        needs=volt,
        unit="V",
        why=f"what its coil sees {trial.name}",
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


def _capacitor_volts(fitted: Specimen, capacitor: str) -> Reason:
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
            Weight.BARS if stated else Weight.CAUTION,
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
