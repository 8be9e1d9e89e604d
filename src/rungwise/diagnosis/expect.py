"""What every check must read on this unit when it is good, or under a named suspect.

Besides the checks there are facts that no meter gives at once but that say what the circuit does:
watts of the crankcase heater in each condition, and the volts that remain after isolation.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from rungwise.circuit import FINE_VOLTS, Condition, Solution, call_for_heat, can_defrost, solve
from rungwise.diagnosis.bench import Bench, dead_condition
from rungwise.diagnosis.build import bench_of
from rungwise.diagnosis.check import Check
from rungwise.diagnosis.check_ids import coil_names
from rungwise.diagnosis.checks import checks_of
from rungwise.diagnosis.look_card import IN_DEFROST, ON_HEAT
from rungwise.faults import HEALTHY, Suspect, SuspectSet
from rungwise.parts import EARTH, Coil, FloatArray, Heater, end_mark
from rungwise.unit import Unit
from rungwise.wording import mark, measured, say

PARTICLES = 96
COLD_AMBIENT_C = 5.0

LOW_SHARE, HIGH_SHARE = 0.025, 0.975
"""The band holds 95 in 100 good specimens."""


@dataclass(frozen=True, slots=True)
class Expected:
    """What one check, or one fact, must come to.

    `low`, `typical` and `high` are in `unit` (infinite: OL), the band over tolerances,
    severity and supply volts without the meter's error.  For a look, `choice` is the likeliest
    and `chance` its share; the numbers are then not set.  `fine`: read on the millivolt range.
    """

    id: str
    title: str
    unit: str
    condition: str
    where: str = ""
    low: float | None = None
    typical: float | None = None
    high: float | None = None
    choice: str = ""
    chance: float | None = None
    fine: bool = False


def expected_readings(
    unit: Unit, suspect_id: str = HEALTHY, *, particles: int = PARTICLES, seed: int = 0
) -> tuple[Expected, ...]:
    """Every check's and fact's band on `unit` under one suspect (none by default).

    Raises UnknownName when the unit has no such suspect.
    """
    suspects = SuspectSet(unit)
    suspect = suspects.suspect(suspect_id)
    bench = bench_of(suspects, [suspect], particles, seed)
    checks = tuple(_of_check(bench, suspect, check) for check in checks_of(unit))
    return (*checks, *_facts(bench))


def _of_check(bench: Bench, suspect: Suspect, check: Check) -> Expected:
    card = check.card
    if check.reader is not None:
        reading, _ = check.reader(bench)
        band = _band(card.id, card.title, card.unit, card.condition, card.where, reading)
        # A drop held while a motor starts is told as coarsely as volts are.
        return replace(band, fine=card.instrument == FINE_VOLTS.name and card.setting == "calling")
    chances = np.zeros(len(card.choices))
    if check.look is not None:
        chances = check.look(bench, [suspect]).mean(axis=0)
    best = int(chances.argmax())
    return Expected(
        card.id,
        card.title,
        "",
        card.condition,
        card.where,
        choice=card.choices[best],
        chance=float(chances[best]),
    )


def _band(
    name: str, title: str, unit: str, condition: str, where: str, reading: FloatArray
) -> Expected:
    # A share of a sorted sample, not interpolated: OL (infinite) may be among the readings.
    low, typical, high = np.quantile(
        reading, (LOW_SHARE, 0.5, HIGH_SHARE), method="inverted_cdf"
    ).tolist()
    return Expected(name, title, unit, condition, where, low, typical, high)


def _facts(bench: Bench) -> Iterator[Expected]:
    unit = bench.plan.unit
    dead = solve(bench.plan, dead_condition(unit), bench.values, bench.size, earlier=bench.calling)
    after = "thermostat off, every isolating device open"
    for part, poles in unit.roles.made_as_contactors:
        lines, loads = ([end[side] for end in poles.ends] for side in (0, 1))
        coil = unit.kind_of(part.name).facet(Coil)
        grounded = ((leg, "") for leg in (*lines, *loads))
        coils = [coil.ends] if coil is not None else []
        for a, b in (*combinations(lines, 2), *grounded, *coils):
            node = f"{part.name}.{b}" if b else EARTH
            names: tuple[str, ...] = (part.name, a, b or "earth")
            names = coil_names(unit, part) if (a, b) in coils else names
            title = say(
                "volts left on {a} to {it} of the {title} after isolation",
                a=end_mark(a),
                it=end_mark(b) if b else mark("ground"),
                title=part.title,
            )
            reading = np.abs(dead.volt(f"{part.name}.{a}", node))
            where = f"{part.name}.{a} to {node}"
            yield _band("-".join(("dead-volts", *names)), title, "V", after, where, reading)
    yield from _heater_watts(bench)


def _heater_watts(bench: Bench) -> Iterator[Expected]:
    cold = Condition("cold standby", "off", ambient_c=COLD_AMBIENT_C)
    settings: Sequence[tuple[str, str, Solution]] = (
        ("idle", "thermostat off, supplies on", bench.standby),
        ("running", "thermostat calling for cooling", bench.calling),
        (
            "cold",
            say(
                "thermostat off, supplies on, {cold} outdoors",
                cold=measured(f"{COLD_AMBIENT_C:.0f}", "°C"),
            ),
            solve(bench.plan, cold, bench.values, bench.size, earlier=bench.calling),
        ),
    )
    heat = call_for_heat(bench.plan.unit.demands)
    for part, heater in bench.plan.unit.having(Heater):
        asked = settings
        if heater.warms == "air":
            called = [] if heat is None else [("heating", ON_HEAT, bench.heating)]
            asked = (*settings[:2], *called)
        elif heater.warms == "ice" and can_defrost(bench.plan.unit):
            asked = (*settings[:2], ("defrost", IN_DEFROST, bench.defrosting))
        for name, condition, solution in asked:
            watts = solution.element_watt((part.name, heater.element))
            title = say("watts of the {title}, {condition}", title=part.title, condition=condition)
            yield _band(f"watts-{part.name}-{name}", title, "W", condition, part.name, watts)
