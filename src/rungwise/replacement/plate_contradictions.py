"""A nameplate that contradicts itself: worn, misread, or from another unit."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from rungwise.circuit import FitCheck, fit_motor
from rungwise.parts import PRACTICE, Capacitor, Motor
from rungwise.replacement.nec.circuit_size import (
    DEVICE,
    MARKING,
    CircuitLoads,
    maximum_overcurrent,
    minimum_ampacity_a,
)
from rungwise.replacement.nec.tables import LETTER_SOURCE, SIZES_SOURCE, is_standard, letter
from rungwise.replacement.plate_figures import (
    PlateFinding,
    Standing,
    circuit_loads,
    misread_mca,
    numbers_of,
    volts_for,
)
from rungwise.unit import VOLT, Part, Unit, supply_range_v, volts_told
from rungwise.wording import mark, say

LOCKED_OVER_RATED = {1: (3.0, 8.0), 3: (4.5, 9.0)}
"""Locked-rotor over rated amps of a compressor, by its phases (common practice, no source; of
three phases labels have 5.1 to 8.4)."""

FIT_SHARE = 0.05
"""A machine that misses one of its own nameplate figures by more than this does not exist."""

LEAST_BREAKDOWN = 1.15
"""Largest over rated torque, under which a motor stalls on the first low volt (textbooks: 1.75 and
more; this limit is common practice, no source)."""

CAPACITOR_SHARE = (0.15, 2.5)
"""Volt-amperes of a run capacitor over those of its motor (common practice, no source)."""

VOLT_SHARE = 0.10

WATT_PER_HP = 745.7


def contradictions_of(unit: Unit) -> Iterator[PlateFinding]:
    """Everything on the plate and in the file that cannot be true together."""
    loads = circuit_loads(unit)
    yield from _marked_mca(unit, loads)
    yield from _marked_mocp(unit, loads)
    for part, motor in unit.having(Motor):
        if part.place == "outdoor":
            yield from _motor(unit, part, motor)
    yield from _microfarads(unit)


def _marked_mca(unit: Unit, loads: CircuitLoads) -> Iterator[PlateFinding]:
    marked = unit.nameplate.get("mca_a")
    if marked is None:
        return
    mca = minimum_ampacity_a(loads)
    low = misread_mca(unit, loads)
    yield PlateFinding(
        Standing.WRONG if low else Standing.FINE,
        "plate.mca",
        say(
            "The marked MCA of {float} A is {it} 1.25 × {largest_a} A and {motors_a} A "
            "of the rest, {mca} A{it2}.",
            float=f"{float(marked):g}",
            it=mark("below") if low else mark("at least"),
            largest_a=f"{loads.largest_a:g}",
            motors_a=f"{loads.motors_a + loads.counted_a:g}",
            mca=f"{mca:.1f}",
            it2=mark(": one of them is misread") if low else "",
        ),
        MARKING.text,
        float(marked),
        mca,
        "A",
    )


def _marked_mocp(unit: Unit, loads: CircuitLoads) -> Iterator[PlateFinding]:
    marked = unit.nameplate.get("mocp_a")
    if marked is None:
        return
    most = float(marked)
    mca = float(unit.nameplate.get("mca_a", minimum_ampacity_a(loads)))
    if most < mca:
        yield PlateFinding(
            Standing.WRONG,
            "plate.mocp_below_mca",
            say(
                "The marked maximum overcurrent device of {most} A is below the minimum "
                "circuit ampacity of {mca} A: no device satisfies both.",
                most=f"{most:g}",
                mca=f"{mca:.1f}",
            ),
            MARKING.text,
            most,
            mca,
            "A",
        )
    if not is_standard(most, fuse=True):
        yield PlateFinding(
            Standing.DOUBT,
            "plate.mocp_size",
            say("{most} A is no standard size of fuse or breaker.", most=f"{most:g}"),
            SIZES_SOURCE.text,
            most,
            unit="A",
        )
    computed = maximum_overcurrent(loads)
    if most > computed.size_a and most >= mca:
        yield PlateFinding(
            Standing.DOUBT,
            "plate.mocp_above",
            say(
                "The marked {most} A are more than 2.25 times the largest motor and the "
                "rest allow ({raw_a} A, so {size_a} A): RLA, FLA or the mark is misread.",
                most=f"{most:g}",
                raw_a=f"{computed.raw_a:.1f}",
                size_a=computed.size_a,
            ),
            f"{MARKING.text}; {DEVICE.text}",
            most,
            float(computed.size_a),
            "A",
        )


def _motor(unit: Unit, part: Part, motor: Motor) -> Iterator[PlateFinding]:
    numbers = numbers_of(part)
    if motor.drives == "compressor":
        yield _locked_ratio(part, motor, numbers)
    yield from _volts(unit, part, motor, numbers)
    check = fit_motor(motor, numbers, unit.hz).check
    yield from _machine(part, motor, numbers, check)
    if motor.phases == 1:
        yield _run_capacitor(part, motor, numbers, check, unit.hz)


def _locked_ratio(part: Part, motor: Motor, numbers: Mapping[str, float]) -> PlateFinding:
    low, high = LOCKED_OVER_RATED[motor.phases]
    ratio = numbers["locked_a"] / numbers["rated_a"]
    usual = low <= ratio <= high
    kva = 1e-3 * _apparent(motor) * numbers["rated_volt"] * numbers["locked_a"]
    code = letter(kva / (_output_w(motor, numbers) / WATT_PER_HP))
    return PlateFinding(
        Standing.FINE if usual else Standing.DOUBT,
        "plate.lra",
        say(
            "LRA {numbers} A is {ratio} times the RLA of {numbers2} A of the {title}, "
            "code letter {code}; {low} to {high} times is usual.",
            numbers=f"{numbers['locked_a']:g}",
            ratio=f"{ratio:.1f}",
            numbers2=f"{numbers['rated_a']:g}",
            title=part.title,
            code=code,
            low=f"{low:g}",
            high=f"{high:g}",
        ),
        f"{PRACTICE}; {LETTER_SOURCE.text}",
        ratio,
        high if ratio > high else low,
        drives=motor.drives,
    )


def _volts(
    unit: Unit, part: Part, motor: Motor, numbers: Mapping[str, float]
) -> Iterator[PlateFinding]:
    supply = volts_for(unit, part, motor)
    if supply is None:
        return
    rated = numbers["rated_volt"]
    low, high = _range_of(unit, rated)
    if not low <= supply <= high:
        told = volts_told(unit.nameplate) if _is_of_the_plate(unit, rated) else f"{rated:g} V"
        yield PlateFinding(
            Standing.WRONG,
            "plate.volts",
            say(
                "The {title} is rated {told} and the supply has {supply} V: it may have "
                "{low} to {high} V.",
                title=part.title,
                told=told,
                supply=f"{supply:.4g}",
                low=f"{low:.0f}",
                high=f"{high:.0f}",
            ),
            "NEMA MG 1-12.44; a nameplate of two voltages: ANSI C84.1 and AHRI 110",
            rated,
            supply,
            "V",
            motor.drives,
        )


def _range_of(unit: Unit, rated_volt: float) -> tuple[float, float]:
    """Between which volts a motor may run: the plate's where it is rated for those, else its own.

    A plate of two voltages is wider than its higher one alone.
    """
    plate = unit.nameplate if _is_of_the_plate(unit, rated_volt) else {VOLT: rated_volt}
    found = supply_range_v(plate)
    if found is None:
        raise ValueError("a motor without rated volts")
    return found


def _is_of_the_plate(unit: Unit, rated_volt: float) -> bool:
    return unit.nameplate.get(VOLT) == rated_volt


def _machine(
    part: Part, motor: Motor, numbers: Mapping[str, float], check: FitCheck
) -> Iterator[PlateFinding]:
    """Whether a motor with all these figures can exist."""
    missed = {
        "rated amps": check.rated_a / numbers["rated_a"],
        "locked-rotor amps": check.locked_a / numbers["locked_a"],
        "shaft watts": check.output_w / _output_w(motor, numbers),
    }
    worst = max(missed, key=lambda name: abs(missed[name] - 1))
    off = abs(missed[worst] - 1)
    # A plate without locked-rotor amps tells nothing of how far a motor can be loaded.
    weak = "locked_a" in part.values and check.breakdown_ratio < LEAST_BREAKDOWN
    if off > FIT_SHARE or weak:
        why = (
            say(
                "the nearest motor misses its {worst} by {off}%",
                worst=worst,
                off=f"{100 * off:.0f}",
            )
            if off > FIT_SHARE
            else say(
                "it would stall at {breakdown_ratio} times its rated torque",
                breakdown_ratio=f"{check.breakdown_ratio:.2f}",
            )
        )
        yield PlateFinding(
            Standing.WRONG,
            "plate.no_such_motor",
            say(
                "No {title} has {numbers} A running, {numbers2} A "
                "locked{and_microfarads} and these winding ohms together: {why}.",
                title=part.title,
                numbers=f"{numbers['rated_a']:g}",
                numbers2=f"{numbers['locked_a']:g}",
                and_microfarads=_and_microfarads(numbers),
                why=why,
            ),
            say(
                "{it} machine fitted to the nameplate",
                it=mark("two-winding") if motor.phases == 1 else mark("three-phase"),
            ),
            missed[worst],
            1.0,
            drives=motor.drives,
        )


def _and_microfarads(numbers: Mapping[str, float]) -> str:
    return f", {numbers['run_uf']:g} µF" if "run_uf" in numbers else ""


_USUAL_UF = mark("{numbers} µF are {share} times the {title}'s own volt-amperes.")
_ODD_UF = mark(
    "{numbers} µF are {share} times the {title}'s own volt-amperes; {low} to {high} times is "
    "usual: check both labels."
)


def _run_capacitor(
    part: Part, motor: Motor, numbers: Mapping[str, float], check: FitCheck, hz: float
) -> PlateFinding:
    """Whether the microfarads on its plate fit a motor of that size."""
    reactive = 2e-6 * math.pi * hz * numbers["run_uf"] * check.capacitor_volt**2
    share = reactive / (numbers["rated_volt"] * numbers["rated_a"])
    low, high = CAPACITOR_SHARE
    fits = low <= share <= high
    return PlateFinding(
        Standing.FINE if fits else Standing.DOUBT,
        "plate.microfarads",
        say(
            _USUAL_UF if fits else _ODD_UF,
            numbers=f"{numbers['run_uf']:g}",
            share=f"{share:.2f}",
            title=part.title,
            low=f"{low:g}",
            high=f"{high:g}",
        ),
        say("machine fitted to the nameplate; limits {PRACTICE}", PRACTICE=PRACTICE),
        share,
        high if share > high else low,
        drives=motor.drives,
    )


def _apparent(motor: Motor) -> float:
    """Volt-amperes over volts times amps of a lead."""
    return math.sqrt(motor.phases)


def _output_w(motor: Motor, numbers: Mapping[str, float]) -> float:
    """Shaft watts at the plate's figures."""
    rated_va = _apparent(motor) * numbers["rated_volt"] * numbers["rated_a"]
    return rated_va * numbers["power_factor"] * numbers["efficiency"]


def _microfarads(unit: Unit) -> Iterator[PlateFinding]:
    """A capacitor in the unit that is not what the plate asks for."""
    marked_for = (
        (drives, part, section.microfarads)
        for drives in ("compressor", "fan")
        for part, can in unit.having(Capacitor)
        for section in can.sections
        if section.marked_for == drives
    )
    for drives, part, key in marked_for:
        marked, has = unit.nameplate.get(key), numbers_of(part)[key]
        if marked is not None and abs(has / float(marked) - 1) > VOLT_SHARE:
            yield PlateFinding(
                Standing.WRONG,
                "plate.capacitor",
                say(
                    "The nameplate asks {float} µF for the {drives} and the capacitor in the "
                    "unit has {has} µF.",
                    float=f"{float(marked):g}",
                    drives=drives,
                    has=f"{has:g}",
                ),
                "from the unit file",
                has,
                float(marked),
                "µF",
                drives,
            )
