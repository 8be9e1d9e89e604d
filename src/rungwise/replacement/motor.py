"""Is a motor right: volts, amps, speed, poles, work, rotation, and its own capacitor?"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from rungwise.circuit import fit_motor
from rungwise.parts import Motor
from rungwise.replacement.beside import parts_beside
from rungwise.replacement.candidate import LOWER_VOLT, Candidate
from rungwise.replacement.capacitor import TOLERANCE
from rungwise.replacement.plate_figures import numbers_of
from rungwise.replacement.reason import Reason, Weight, shown
from rungwise.replacement.reference import Reference, run_sections, with_part
from rungwise.replacement.trials import CALL, START, Specimen, running_amp
from rungwise.unit import Unit
from rungwise.wording import joined, mark, say

VOLT_SHARE = 0.10
"""A motor runs within ±10% of its rated volts: NEMA MG 1-12.44."""

SPEED_SHARE = 0.05
"""Rated speeds that count as the same (common practice, no source)."""


def same_load(unit: Unit, meant: Unit, name: str) -> Unit:
    """`unit` with the load of its new motor `name` set to what the old one drove.

    A blade keeps its torque, which goes as the square of the speed; in the model the load is told
    as a share of a motor's own torque, so it is told anew for another motor. What a blade asks
    standing is little and not known: any motor that turns it starts it, and it keeps its share.
    """
    (motor,) = (each for part, each in unit.having(Motor) if part.name == name)
    old, new = (_constants(each, name) for each in (meant, unit))
    speed = (new["rated_rpm"] / old["rated_rpm"]) ** 2
    load = old["load_ratio"] * old["rated_torque_nm"] * speed / new["rated_torque_nm"]
    stronger = old["start_torque_nm"] / new["start_torque_nm"] if motor.drives != "fan" else 1.0
    start = old["start_load_ratio"] * stronger
    part = unit.part(name)
    values = {**part.values, "load_ratio": load, "start_load_ratio": start}
    return with_part(unit, replace(part, values=values))


def _constants(unit: Unit, name: str) -> Mapping[str, float]:
    """Everything about one motor, its fitted machine too."""
    numbers = numbers_of(unit.part(name))
    (motor,) = (each for part, each in unit.having(Motor) if part.name == name)
    return {**numbers, **fit_motor(motor, numbers, unit.hz).constants}


def motor_reasons(reference: Reference, fitted: Specimen, candidate: Candidate) -> Iterator[Reason]:
    """Everything of a motor that must agree with the one that comes out, or be strong enough."""
    name = candidate.parts[0]
    yield _volts(reference, fitted, name, candidate.figures)
    yield _speed(reference, fitted, name)
    yield _work(reference, fitted, name)
    yield from parts_beside(reference, fitted, name)
    yield from _rotation(reference, candidate)
    if any(each.drives == "compressor" for each in candidate.kind.facets(Motor)):
        yield Reason(
            Weight.CAUTION,
            "motor.compressor",
            mark(
                "Only its electrical side is judged: capacity, refrigerant, oil and fittings "
                "are not."
            ),
        )


def with_own_capacitor(unit: Unit, motor: str) -> Unit:
    """`unit` with the section that feeds `motor` as that motor wants it.

    `unit` itself where the section is within tolerance, or where the motor has none.
    """
    wanted = unit.part(motor).values.get("run_uf")
    if wanted is None:
        return unit
    for each in run_sections(unit):
        part, key = unit.part(each.capacitor), each.section.microfarads
        if each.motor != motor:
            continue
        has = part.number(key)
        if abs(has / wanted - 1) > TOLERANCE:
            return with_part(unit, replace(part, values={**part.values, key: wanted}))
    return unit


def own_capacitor_reasons(plain: Specimen, fitted: Specimen, name: str) -> Iterator[Reason]:
    """The change of capacitor that a motor asks for; `plain` is the unit without it."""
    if plain.unit == fitted.unit:
        return
    wanted = fitted.number(name, "run_uf")
    before, after = (running_amp(each, name) for each in (plain, fitted))
    yield Reason(
        Weight.CHANGE,
        "motor.capacitor",
        say(
            "It wants {shown} of its own: fit that with it, in the dual or as a single "
            "beside it. On a call it then takes {after} A; on what is there now it would "
            "take {before} A, rated {number} A.",
            shown=shown(wanted, "µF"),
            after=f"{after:.2f}",
            before=f"{before:.2f}",
            number=f"{fitted.number(name, 'rated_a'):g}",
        ),
        CALL.name,
        after,
        fitted.number(name, "rated_a"),
        "A",
        "from the solution",
    )


def _winding_volt(specimen: Specimen, name: str) -> float:
    """Volts of its run winding on a call; a motor that trips then had them as it started."""
    (element,) = (each.element for part, each in specimen.unit.having(Motor) if part.name == name)
    return max(specimen.port(trial, (name, element), 0)[0] for trial in (CALL, START))


def _volts(
    reference: Reference, fitted: Specimen, name: str, figures: Mapping[str, float]
) -> Reason:
    rated = fitted.number(name, "rated_volt")
    lower = figures.get(LOWER_VOLT, rated)
    volt, before = (_winding_volt(each, name) for each in (fitted, reference.found))
    if volt < (1 - VOLT_SHARE) * before:  # its own amps have opened a fuse before it
        volt = before
    low, high = (1 - VOLT_SHARE) * lower, (1 + VOLT_SHARE) * rated
    near = low <= volt <= high
    marked = f"{rated:g}" if lower == rated else f"{lower:g}/{rated:g}"
    told = say(
        "Rated {marked} V; on a call its run winding gets {volt} V",
        marked=marked,
        volt=f"{volt:.0f}",
    )
    return Reason(
        Weight.PASSES if near else Weight.BARS,
        "motor.volts",
        say("{told}.", told=told)
        if near
        else say(
            "{told}: it {it}.", told=told, it=mark("burns out") if volt > rated else mark("stalls")
        ),
        CALL.name,
        rated,
        volt,
        "V",
        "±10%: NEMA MG 1-12.44",
    )


def _speed(reference: Reference, fitted: Specimen, name: str) -> Reason:
    had, has = (each.number(name, "rated_rpm") for each in (reference.found, fitted))
    same, stated = abs(has / had - 1) <= SPEED_SHARE, reference.stated(name, "rated_rpm")
    change = (has / had) ** 3
    told = (
        say("Rated {has} rpm, as {had} rpm before.", has=f"{has:g}", had=f"{had:g}")
        if same
        else say(
            "Rated {has} rpm instead of {had} rpm: the same blade then asks for {change} "
            "times the power and moves {has2} times the air.",
            has=f"{has:g}",
            had=f"{had:g}",
            change=f"{change:.2f}",
            has2=f"{has / had:.2f}",
        )
    )
    unsure = mark("The unit file does not say the speed; read it off the old motor.")
    # Another speed than the usual one: which of them the blade was made for decides.
    alike, unlike = (Weight.PASSES, Weight.BARS) if stated else (Weight.CAUTION, Weight.UNJUDGED)
    weight = alike if same else unlike
    return Reason(
        weight,
        "motor.rpm",
        told if stated else joined(" ", (told, unsure)),
        CALL.name,
        has,
        had,
        "",
        "fan laws: power as the cube of the speed",
    )


def _work(reference: Reference, fitted: Specimen, name: str) -> Reason:
    """Shaft watts that it can give against what the old one's load asks of it."""
    has = _output_w(fitted, name)
    needs = fitted.number(name, "load_ratio") * has
    amp, rated = running_amp(fitted, name), fitted.number(name, "rated_a")
    told = say(
        "It gives {has} W at the shaft and this load asks for {needs} W; on a call it "
        "takes {amp} A, rated {rated} A",
        has=f"{has:.0f}",
        needs=f"{needs:.0f}",
        amp=f"{amp:.2f}",
        rated=f"{rated:g}",
    )
    limit = reference.meant.number(name, "load_ratio") * (1 + TOLERANCE)
    speed = fitted.number(name, "rated_rpm") / reference.meant.number(name, "rated_rpm")
    if 1 < speed <= 1 + SPEED_SHARE:
        # Of as many poles both turn the blade at nearly one speed, whichever is on the label.
        limit *= speed**3
    load = fitted.number(name, "load_ratio")
    if load <= limit:
        weight, text = Weight.PASSES, say("{told}.", told=told)
    elif load <= limit * speed**3 and not reference.stated(name, "rated_rpm"):
        weight = Weight.UNJUDGED
        text = say("{told}: whether it is too weak hangs on the old one's speed.", told=told)
    else:
        weight = Weight.BARS
        text = say("{told}: it is too weak and trips on its overload.", told=told)
    return Reason(
        weight,
        "motor.work",
        text,
        CALL.name,
        has,
        needs,
        "W",
        "from the solution",
    )


def _output_w(fitted: Specimen, name: str) -> float:
    factors = ("rated_volt", "rated_a", "power_factor", "efficiency")
    watts = 1.0
    for factor in factors:
        watts *= fitted.number(name, factor)
    return watts


def _rotation(reference: Reference, candidate: Candidate) -> Iterator[Reason]:
    """The blade decides which way it must turn; a unit file may say so in words."""
    told = candidate.texts.get("rotation", "")
    turns_a_blade = any(each.drives == "fan" for each in candidate.kind.facets(Motor))
    if not turns_a_blade or told == "reversible":
        return
    wanted = str(reference.found.unit.nameplate.get("fan_rotation", ""))
    if told and wanted and told != wanted:
        yield Reason(
            Weight.BARS,
            "motor.rotation",
            say(
                "It turns {told} and the blade is made for {wanted}: it would blow the "
                "air back through the coil.",
                told=told,
                wanted=wanted,
            ),
            CALL.name,
        )
    elif not (told and wanted):
        yield Reason(
            Weight.CAUTION,
            "motor.rotation",
            mark(
                "Nothing says whether it turns the way the blade is made for: compare the arrows."
            ),
        )
