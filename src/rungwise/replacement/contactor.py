"""Is a contactor strong enough for this unit: contacts, coil, transformer?"""

from __future__ import annotations

from collections.abc import Iterator

from rungwise.parts import KINDS
from rungwise.parts.load import Does
from rungwise.replacement.candidate import Candidate
from rungwise.replacement.circuits import Specimen, Trial
from rungwise.replacement.coil_volts import coil_reasons, coil_va
from rungwise.replacement.reason import Reason, Weight
from rungwise.replacement.reference import Reference
from rungwise.replacement.strength import PRACTICE, AtLeast
from rungwise.replacement.transformer import load_reasons
from rungwise.replacement.trials import CALL, MIDDLE_LEG_V, held_out, stall
from rungwise.unit.unit import Part

__all__ = ["contactor_reasons", "full_load", "locked_rotor", "motors_on"]

OLD_AMPS = {"fla_a": "FLA", "lra_a": "LRA", "resistive_a": "Resistive"}
"""Lines of the old label that the new one must reach."""

WELD = "The contacts overheat, pit and weld."


def contactor_reasons(
    reference: Reference, fitted: Specimen, candidate: Candidate
) -> Iterator[Reason]:
    """Every strength of a contactor against what its circuit asks."""
    name = candidate.parts[0]
    motors = motors_on(reference.meant, name)
    yield full_load(reference.meant, fitted, name, motors)
    yield locked_rotor(reference.meant, fitted, name, motors)
    yield from _resistive(fitted, name)
    yield from _beside_the_old(reference, fitted, name)
    coil_hz = {"50": 50.0, "60": 60.0}.get(candidate.texts.get("coil_hz", ""))
    yield from coil_reasons(fitted, name, coil_hz=coil_hz)
    yield _coil_loads(fitted, name)
    yield from load_reasons(fitted)
    yield from _welcome(reference, fitted, name)
    yield from _dead_heaters(reference)


def motors_on(meant: Specimen, name: str) -> tuple[Part, ...]:
    """The motors that run on a call and stand still when this contactor's plunger is held out."""
    held = held_out(name)
    return tuple(
        part
        for part in meant.unit.parts
        if KINDS[part.kind].motor
        and meant.port(CALL, (part.name, "windings"), 0)[1]
        > 2 * meant.port(held, (part.name, "windings"), 0)[1]
    )


def _pole_amp(meant: Specimen, name: str, trial: Trial) -> float:
    """Amps through its pole, on the contactor that the unit was made with."""
    return meant.amp(trial, (name, "pole1"))


def full_load(meant: Specimen, fitted: Specimen, name: str, motors: tuple[Part, ...]) -> Reason:
    """Rated amps of its motors together against its FLA."""
    rated = {part.title: fitted.number(part.name, "rated_a") for part in motors}
    listed = " + ".join(f"{title} {amp:g} A" for title, amp in rated.items())
    return AtLeast(
        rule="contactor.fla",
        figure="FLA",
        has=fitted.number(name, "fla_a"),
        needs=sum(rated.values()),
        unit="A",
        why=f"{listed}; on a call {_pole_amp(meant, name, CALL):.1f} A flow through a pole",
        otherwise=WELD,
        situation=CALL.name,
    ).reason()


def locked_rotor(meant: Specimen, fitted: Specimen, name: str, motors: tuple[Part, ...]) -> Reason:
    """Locked amps of its motors together against its LRA."""
    locked = {part.title: fitted.number(part.name, "locked_a") for part in motors}
    listed = " + ".join(f"{title} {amp:g} A" for title, amp in locked.items())
    trial = stall(meant.unit, MIDDLE_LEG_V)
    return AtLeast(
        rule="contactor.lra",
        figure="LRA",
        has=fitted.number(name, "lra_a"),
        needs=sum(locked.values()),
        unit="A",
        why=f"{listed} locked; at the first instant of a start "
        f"{_pole_amp(meant, name, trial):.0f} A flow through a pole",
        otherwise="The contacts weld on a start, or break one that they cannot.",
        situation=trial.name,
    ).reason()


def _resistive(fitted: Specimen, name: str) -> Iterator[Reason]:
    heaters = fitted.unit.parts_of_kind("crankcase_heater")
    if heaters:
        amp = sum(fitted.number(h.name, "watt") / fitted.number(h.name, "volt") for h in heaters)
        yield AtLeast(
            rule="contactor.resistive",
            figure="resistive",
            has=fitted.number(name, "resistive_a"),
            needs=amp,
            unit="A",
            why="what the crankcase heater takes through it",
            otherwise=WELD,
        ).reason()


def _beside_the_old(reference: Reference, fitted: Specimen, name: str) -> Iterator[Reason]:
    """Amps equal or more than on the one that comes out, line by line of its label."""
    stated = [each for each in OLD_AMPS if reference.stated(name, each)]
    for key in stated:
        had, has = (each.number(name, key) for each in (reference.found, fitted))
        yield AtLeast(
            rule=f"contactor.old_{key}",
            figure=OLD_AMPS[key],
            has=has,
            needs=had,
            unit="A",
            why="as marked on the one that comes out; the rule is equal or more",
            otherwise="The maker chose that for this unit.",
            source=PRACTICE,
        ).reason()
    if "fla_a" not in stated:
        yield Reason(
            Weight.CAUTION,
            "contactor.read_old",
            "Read the old one: amps equal or more. The unit file does not say them.",
            source=PRACTICE,
        )


def _coil_loads(fitted: Specimen, name: str) -> Reason:
    sealed, out = (coil_va(fitted, name, plunger_in=way) for way in (True, False))
    return Reason(
        Weight.PASSES,
        "contactor.coil_va",
        f"Its coil takes {out:.0f} VA when it pulls in and {sealed:.1f} VA sealed.",
        CALL.name,
        sealed,
        unit="VA",
        source="from the solution",
    )


def _welcome(reference: Reference, fitted: Specimen, name: str) -> Iterator[Reason]:
    """Two poles in place of one, where nothing needs the bar."""
    if fitted.unit.part(name).kind == "contactor_2p" != reference.meant.unit.part(name).kind:
        amp = reference.meant.amp(held_out(name), (name, "bar2"))
        if amp < IDLE_AMP:
            yield Reason(
                Weight.NOTE,
                "contactor.two_poles",
                "Two poles in place of one are welcome here: nothing needs the bar (with the "
                f"plunger out it carries {1000 * amp:.1g} mA), both legs open, and it takes two "
                "welds instead of one to keep the compressor running.",
                "thermostat off",
                amp,
                unit="A",
            )


def _dead_heaters(reference: Reference) -> Iterator[Reason]:
    """A heater that nothing ever feeds, whichever contactor the unit was meant to have."""
    told = reference.meant.load_states(reference.situations)
    for heater in reference.meant.unit.parts_of_kind("crankcase_heater"):
        if not (told.code[:, told.loads.index(heater.name), 0] == Does.HEATS).any():
            ends = " and ".join(
                f"{wire.name} on {wire.start if wire.end.startswith(heater.name) else wire.end}"
                for terminal in KINDS[heater.kind].terminals
                for wire, _ in reference.meant.unit.wires_at(f"{heater.name}.{terminal}")
            )
            yield Reason(
                Weight.CHANGE,
                "contactor.dead_heater",
                f"The {heater.title} gets nothing in any situation, with this part as with the old "
                f"one: it is wired where it never heats ({ends}). Move an end with this work.",
                source="from the solution",
            )


IDLE_AMP = 0.005
"""A bar that carries less than this with the plunger out feeds nothing, only leakage."""
