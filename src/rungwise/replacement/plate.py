"""`plate`: what the nameplate asks of the circuit that serves the unit, and whether it gets it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from rungwise.parts import Against, ElectronicMotor
from rungwise.replacement.label import ratings_of
from rungwise.replacement.nec.ampacity import (
    AIR_CONDITIONING,
    AMPACITY_SOURCE,
    COPPER_A,
    SMALL_CONDUCTOR_A,
    TERMINALS,
    LaidConductor,
    ampacity,
    smallest_awg,
)
from rungwise.replacement.nec.circuit_size import (
    DISCONNECT,
    MARKING,
    CircuitLoads,
    Device,
    disconnect_a,
    maximum_overcurrent,
    minimum_ampacity_a,
)
from rungwise.replacement.nec.unbalance import DEFINITION, derating, unbalance
from rungwise.replacement.nec.voltage_drop import (
    ADVISORY,
    BRANCH_SHARE,
    METRE_PER_KFT,
    TABLE_8,
    TABLE_9,
    drop_v,
    effective_ohm_per_kft,
)
from rungwise.replacement.plate_contradictions import contradictions_of
from rungwise.replacement.plate_figures import (
    OvercurrentLimits,
    PlateFinding,
    Standing,
    circuit_loads,
    marked_or_computed,
    supply_v,
)
from rungwise.replacement.supply_circuit import (
    as_in_the_arrangement,
    contactors,
    disconnects,
    guards,
    line_side,
    load_side,
    opens_at,
    outdoor_breakers,
    outdoor_run,
)
from rungwise.replacement.trials import CALL, MIDDLE_LEG_V, Specimen, specimens, stall, usual_trials
from rungwise.unit import Part, Unit, Wire
from rungwise.wording import joined, measured, say

POWER_FACTOR = 0.85
"""For which Table 9 prints its effective impedance."""

ADVICE_V = "a long run, a small conductor or a bad connection"


@dataclass(frozen=True)
class Surroundings:
    """What a unit file does not say of the run.

    insulation_c, terminal_c: degrees of the conductors' insulation and of the terminals' marking.
    count: current-carrying conductors together. line_volts: three line-to-line volts, measured on
    a three-phase supply; empty where there is none.
    """

    insulation_c: int = 75
    terminal_c: int = 60
    ambient_c: float = 30.0
    count: int = 3
    line_volts: tuple[float, ...] = ()


@dataclass(frozen=True)
class Plate:
    """The answer. mca_a, device: worked out from the loads. limits: as marked, where marked."""

    loads: CircuitLoads
    mca_a: float
    device: Device
    limits: OvercurrentLimits
    disconnect_a: float
    findings: tuple[PlateFinding, ...] = field(default_factory=tuple)

    @property
    def stands(self) -> bool:
        """Whether nothing is wrong."""
        return all(finding.level is not Standing.WRONG for finding in self.findings)


def plate_of(unit: Unit, around: Surroundings | None = None) -> Plate:
    """The circuit's sizes, and everything found about plate, device, conductors and volts."""
    where = around or Surroundings()
    loads = circuit_loads(unit)
    limits = marked_or_computed(unit, loads)
    return Plate(
        loads,
        minimum_ampacity_a(loads),
        maximum_overcurrent(loads),
        limits,
        disconnect_a(loads),
        tuple(_findings(unit, loads, limits, where)),
    )


def _findings(
    unit: Unit, loads: CircuitLoads, limits: OvercurrentLimits, around: Surroundings
) -> Iterator[PlateFinding]:
    yield from contradictions_of(unit)
    yield from _uncounted(unit)
    for part in outdoor_breakers(unit):
        yield _device(part.title, part, opens_at(unit, part.name), limits)
    opening = disconnects(unit)
    for part in (each for each in opening if guards(unit, each, "melts")):
        yield _device(
            say("fuses of the {title}", title=part.title), part, opens_at(unit, part.name), limits
        )
    for part in opening:
        yield _disconnect(part, ratings_of(unit, part.name).parameter(Against.CIRCUIT), loads)
    run = outdoor_run(unit)
    usual = as_in_the_arrangement(unit, run)
    for awg in sorted({wire.awg for wire in run}):
        told = all(wire.awg != awg or wire.name not in usual for wire in run)
        yield from _conductor(awg, limits, around, told=told)
    if run:
        yield from _drop(unit, run, loads)
    if around.line_volts:
        yield _unbalance(around.line_volts)


def _uncounted(unit: Unit) -> Iterator[PlateFinding]:
    """Loads outdoors whose amps no kind tells, so that the sizes here are without them."""
    for part, _ in unit.having(ElectronicMotor):
        if part.place == "outdoor":
            told = say(
                "The amps of the {title} are not judged: read its label and add them.",
                title=part.title,
            )
            yield PlateFinding(Standing.DOUBT, "circuit.uncounted", told, MARKING.text)


def _device(what: str, part: Part, key: str, limits: OvercurrentLimits) -> PlateFinding:
    room = f"{limits.least_a:.1f} A to {limits.most_a:g} A"
    if key not in part.values:
        text = say(
            "The unit file does not say the amps of the {what}: read them, {room} are right.",
            what=what,
            room=room,
        )
        return PlateFinding(
            Standing.DOUBT, "circuit.device", text, limits.source, limit=limits.most_a
        )
    amp, level = part.values[key], Standing.WRONG
    if amp > limits.most_a:
        text = say("too large to guard the unit, {words}", words=limits.words)
    elif amp < limits.least_a:
        text = say(
            "below the minimum circuit ampacity of {least_a} A, so that it will trip",
            least_a=f"{limits.least_a:.1f}",
        )
    else:
        level, text = Standing.FINE, f"within {room}"
    told = say("{amp} A for the {what}: {text}.", amp=f"{amp:g}", what=what, text=text)
    return PlateFinding(level, "circuit.device", told, limits.source, amp, limits.most_a, "A")


def _disconnect(part: Part, key: str | None, loads: CircuitLoads) -> PlateFinding:
    needs, has = disconnect_a(loads), part.values.get(key or "")
    told = say("115% of the loads are {needs} A", needs=f"{needs:.1f}")
    if has is None:
        level, text = (
            Standing.DOUBT,
            say("The unit file does not say the amps of the {title}", title=part.title),
        )
    else:
        level = Standing.FINE if has >= needs else Standing.WRONG
        text = say("The {title} is rated {has} A", title=part.title, has=f"{has:g}")
    source = DISCONNECT.text
    return PlateFinding(level, "circuit.disconnect", f"{text}; {told}.", source, has, needs, "A")


def _conductor(
    awg: float, limits: OvercurrentLimits, around: Surroundings, *, told: bool
) -> Iterator[PlateFinding]:
    size = int(awg)
    if size not in COPPER_A:
        yield PlateFinding(
            Standing.DOUBT,
            "circuit.conductor",
            say(
                "{awg} AWG is not in the table kept here ({join} AWG).",
                awg=f"{awg:g}",
                join=joined(", ", map(str, COPPER_A)),
            ),
            AMPACITY_SOURCE.text,
        )
        return
    conductor = _laid(size, around)
    may = ampacity(conductor)
    enough = may.amp >= limits.least_a
    better = smallest_awg(limits.least_a, conductor)
    other = (
        say("{better} AWG carries it", better=better)
        if better
        else "no size of the table carries it"
    )
    unsure = (
        ""
        if told
        else say(" {size} AWG is the arrangement's; read it off the conductors.", size=size)
    )
    yield PlateFinding(
        Standing.FINE if enough else Standing.WRONG if told else Standing.DOUBT,
        "circuit.conductor",
        say(
            "{size} AWG copper with {insulation_c} °C insulation on {terminal_c} °C "
            "terminals carries {amp} A at {ambient}, held by {held_by}; the minimum "
            "circuit ampacity is {least_a} A{it}.{unsure}",
            size=size,
            insulation_c=conductor.insulation_c,
            terminal_c=conductor.terminal_c,
            amp=f"{may.amp:.1f}",
            ambient=measured(f"{conductor.ambient_c:g}", "°C"),
            held_by=may.held_by,
            least_a=f"{limits.least_a:.1f}",
            it="" if enough else joined("", (": ", other)),
            unsure=unsure,
        ),
        f"{AMPACITY_SOURCE.text}; {TERMINALS.text}",
        may.amp,
        limits.least_a,
        "A",
    )
    cap = SMALL_CONDUCTOR_A.get(size)
    if cap is not None and cap < limits.most_a and enough:
        yield PlateFinding(
            Standing.FINE,
            "circuit.small_conductor",
            say(
                "{size} AWG behind a device of more than {cap} A is allowed on this "
                "circuit: its limit for small conductors gives way to the rules for air "
                "conditioning.",
                size=size,
                cap=cap,
            ),
            AIR_CONDITIONING.text,
        )


def _laid(awg: int, around: Surroundings) -> LaidConductor:
    return LaidConductor(
        awg,
        around.insulation_c,  # type: ignore[arg-type]  # the command lets through 60, 75, 90
        around.terminal_c,  # type: ignore[arg-type]
        around.ambient_c,
        around.count,
    )


def _drop(unit: Unit, run: Sequence[Wire], loads: CircuitLoads) -> Iterator[PlateFinding]:
    """Volts lost in the run: by the code's table, and by the solved circuit, joints and all."""
    (specimen,), supply = specimens([unit], usual_trials(unit)), supply_v(unit)
    if supply is None or not (outdoor_breakers(unit) and contactors(unit)):
        told = "Volts lost in the run: not judged without breaker, contactor and supply."
        yield PlateFinding(Standing.DOUBT, "circuit.drop", told, ADVISORY.text)
        return
    table, with_reactance = _by_table(run, loads.running_a)
    solved = _lost_v(specimen, unit, starting=False)
    over = max(table, solved) > BRANCH_SHARE * supply
    yield PlateFinding(
        Standing.DOUBT if over else Standing.FINE,
        "circuit.drop",
        say(
            "The run loses {table} V ({table2}%) at {running_a} A by resistance, "
            "{with_reactance} V in PVC conduit with its reactance, {solved} V on a call "
            "as solved; {BRANCH_SHARE}% is advised{it}.",
            table=f"{table:.1f}",
            table2=f"{100 * table / supply:.1f}",
            running_a=f"{loads.running_a:.1f}",
            with_reactance=f"{with_reactance:.1f}",
            solved=f"{solved:.1f}",
            BRANCH_SHARE=f"{100 * BRANCH_SHARE:.0f}",
            it=joined("", (": ", ADVICE_V)) if over else "",
        ),
        f"{ADVISORY.text}; {TABLE_8.text}; {TABLE_9.text}",
        table,
        BRANCH_SHARE * supply,
        "V",
    )
    start = _lost_v(specimen, unit, starting=True)
    yield PlateFinding(
        Standing.FINE,
        "circuit.drop_start",
        say(
            "At the first instant of a start it loses {start} V ({start2}%).",
            start=f"{start:.1f}",
            start2=f"{100 * start / supply:.1f}",
        ),
        "from the solution",
        start,
        unit="V",
    )


def _by_table(run: Sequence[Wire], amp: float) -> tuple[float, float]:
    """Volts lost by Table 8, and by Table 9 at a motor's usual power factor.

    Each conductor of the run is one of the two ways, so half of a there-and-back drop; of three
    whose amps stand a third of a turn apart each two lose √3 times what one does.
    """
    known = [wire for wire in run if int(wire.awg) in COPPER_A]
    each = 0.5 if len({wire.carries for wire in run}) < 3 else 0.5 / math.sqrt(3)
    plain = sum(each * drop_v(int(wire.awg), wire.length_m, amp) for wire in known)
    effective = (effective_ohm_per_kft(int(wire.awg), POWER_FACTOR) for wire in known)
    lengths = (wire.length_m / METRE_PER_KFT for wire in known)
    drops = (2 * each * ohm * kft * amp for ohm, kft in zip(effective, lengths, strict=True))
    return plain, sum(drops)


def _lost_v(specimen: Specimen, unit: Unit, *, starting: bool) -> float:
    """Volts between the legs at the breaker less those at the contactor's line side."""
    trial = stall(unit, MIDDLE_LEG_V) if starting else CALL
    at_breaker = load_side(unit, outdoor_breakers(unit)[0].name)[:2]
    at_contactor = line_side(unit, contactors(unit)[0].name)[:2]
    return specimen.volt(trial, *at_breaker) - specimen.volt(trial, *at_contactor)


def _unbalance(line_volts: tuple[float, ...]) -> PlateFinding:
    share = unbalance(line_volts)
    factor = derating(share)
    told = say("The supply is unbalanced by {share}%", share=f"{100 * share:.2f}")
    text = (
        say(
            "{told}: a motor may then give {factor}% of its rated power.",
            told=told,
            factor=f"{100 * factor:.0f}",
        )
        if factor is not None
        else say("{told}: no motor should run on more than 5%.", told=told)
    )
    level = Standing.WRONG if factor is None else Standing.DOUBT if share > 0.01 else Standing.FINE
    return PlateFinding(level, "supply.unbalance", text, DEFINITION.text, share, 0.05)
