"""The few cautions at the head of a plan, with the signal words of ANSI Z535, worst first.

DANGER: will kill or injure badly; WARNING: could; CAUTION: could injure lightly; NOTICE: no
injury (ANSI Z535.4-2007, 4.14).  Each knows at which kind of step it is needed, so that a screen of
one step says it there; the rest stands at its step anyway.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import ClassVar

from rungwise.isolation.shape import StaysLive, StepKind, WorkPlan
from rungwise.isolation.stored_energy import StoredCharge
from rungwise.isolation.wording import list_words, points_words, volts_words
from rungwise.parts import Caution, ElectronicMotor, Feeds, Supply, part_of, worst_first
from rungwise.unit import Unit, place_words
from rungwise.wording import joined, mark, say


@dataclass(frozen=True, slots=True)
class HeadCaution(Caution):
    """A caution of a whole plan. belongs: the kinds of step that need it, best first."""

    belongs: ClassVar[tuple[StepKind, ...]] = ("stop",)


@dataclass(frozen=True, slots=True)
class _AtOpening(HeadCaution):
    belongs: ClassVar[tuple[StepKind, ...]] = ("open",)


@dataclass(frozen=True, slots=True)
class _AtLock(HeadCaution):
    belongs: ClassVar[tuple[StepKind, ...]] = ("lock",)


@dataclass(frozen=True, slots=True)
class _AtReadings(HeadCaution):
    belongs: ClassVar[tuple[StepKind, ...]] = ("measure",)


@dataclass(frozen=True, slots=True)
class _OnControl(HeadCaution):
    belongs: ClassVar[tuple[StepKind, ...]] = ("try", "measure")


@dataclass(frozen=True, slots=True)
class _OnCharges(HeadCaution):
    belongs: ClassVar[tuple[StepKind, ...]] = ("charge", "result")


@dataclass(frozen=True, slots=True)
class _AtResult(HeadCaution):
    belongs: ClassVar[tuple[StepKind, ...]] = ("result",)


def cautions_at(plan: WorkPlan) -> dict[int, tuple[Caution, ...]]:
    """The cautions of a whole plan by the number of the step where each is needed; none is lost."""
    found: dict[int, tuple[Caution, ...]] = {}
    for caution in plan.cautions if plan.steps else ():
        number = _step_for(plan, caution)
        found[number] = (*found.get(number, ()), caution)
    return found


def _step_for(plan: WorkPlan, caution: Caution) -> int:
    wanted = caution.belongs if isinstance(caution, HeadCaution) else ()
    for kind in wanted:
        for step in plan.steps:
            if step.kind == kind:
                return step.number
    return plan.steps[0].number


def cautions(
    unit: Unit,
    stays_live: Sequence[StaysLive],
    charges: Sequence[StoredCharge],
    mislabeled: Sequence[str],
    *,
    keeps_running: bool,
    leak: Sequence[Caution] = (),
    standing: bool = False,
) -> tuple[Caution, ...]:
    """What to know before the first step.

    leak: of a refrigerant that burns.  standing: whether the control volts are there without a
    demand too.
    """
    told = [
        *leak,
        *_running(keeps_running=keeps_running),
        *_starts_by_itself(unit),
        *_live(unit, stays_live),
        *_grounded_leg(unit),
        *_stored(charges),
        *_held_inside(unit),
    ]
    told += [
        *_control(stays_live, standing=standing),
        *_labels(unit, mislabeled),
        _drawing(),
        _codes(),
    ]
    return worst_first(told)


def _running(*, keeps_running: bool) -> Iterator[Caution]:
    if keeps_running:
        yield HeadCaution(
            "DANGER",
            mark(
                "It keeps running with the thermostat off. Do not pull the "
                "disconnect under load: the breaker first. It starts again the "
                "moment power comes back: stand clear, covers on."
            ),
        )


def _starts_by_itself(unit: Unit) -> Iterator[Caution]:
    """A unit that a pressure starts: what calls for it holds nothing off."""
    valves = [part.title for part, _ in unit.having(Feeds)]
    if valves:
        controls = [unit.part(name).title for name in unit.roles.opening_on("low pressure")]
        yield Caution(
            "WARNING",
            say(
                "It starts by itself on any rise of pressure: with the {valve} shut, the "
                "box off or "
                "the {control} open it is not isolated. Only its own breaker and disconnect hold "
                "it off.",
                valve=valves[0],
                control=list_words(controls, "and") if controls else mark("control"),
            ),
        )


def _live(unit: Unit, stays_live: Sequence[StaysLive]) -> Iterator[Caution]:
    lines = [each for each in stays_live if each.kind == "line"]
    if lines:
        told = joined("; ", (_where(unit, each) for each in lines))
        yield _AtOpening("DANGER", say("Stays live to the end: {told}.", told=told))


def _grounded_leg(unit: Unit) -> Iterator[Caution]:
    """Of a delta with a grounded corner: nothing to ground is no proof."""
    for part, supply in unit.having(Supply):
        volts = {leg.terminal: leg.phasor(part.number("leg_volt")) for leg in supply.legs}
        for leg in (name for name, volt in volts.items() if abs(volt) < 1.0):
            most = max(abs(volt) for volt in volts.values())
            yield _AtReadings(
                "DANGER",
                say(
                    "Leg {leg} of the supply ({part}) is grounded: it reads 0 V to ground and "
                    "{most} V to each other leg. 0 V to ground is not dead here: every leg is "
                    "read to the others too. With its ground lost it is as live as they are.",
                    leg=leg,
                    part=part.title,
                    most=f"{most:.0f}",
                ),
            )


def _where(unit: Unit, live: StaysLive) -> str:
    """A place with its devices by name and the rest by number."""
    devices = [t for t in live.terminals if _is_supply(unit, t)]
    many = len(live.terminals) - len(devices)
    told = [points_words(unit, devices)] if devices else []
    if many:
        told.append(say(_MORE[bool(devices), many > 1], many=many))
    return joined(": ", (place_words(live.place), list_words(told, "and")))


_MORE = {
    (False, False): mark("{many} terminal"),
    (False, True): mark("{many} terminals"),
    (True, False): mark("{many} other terminal"),
    (True, True): mark("{many} other terminals"),
}


def _is_supply(unit: Unit, terminal: str) -> bool:
    part = part_of(terminal)
    kind = unit.kind_of(part)
    return kind.facet(Supply) is not None or bool(kind.isolates)


def _stored(charges: Sequence[StoredCharge]) -> Iterator[Caution]:
    if charges:
        most_v = max(charge.peak_v for charge in charges)
        most_j = max(charge.stored_j for charge in charges)
        untold = [charge.rated_v for charge in charges if not charge.told]
        why = (
            say(" Cans of untold volts are taken as {max} V.", max=f"{max(untold):.0f}")
            if untold
            else ""
        )
        yield _OnCharges(
            "WARNING",
            say(
                "Capacitors may hold up to {most_v} V DC and {most_j} J with the power off.{why}",
                most_v=f"{most_v:.0f}",
                most_j=f"{most_j:.1f}",
                why=why,
            ),
        )


def _held_inside(unit: Unit) -> Iterator[Caution]:
    """Charge behind electronics, which no lead reaches: only time lets it go."""
    for part, motor in unit.having(ElectronicMotor):
        rated = part.number(motor.rated_volt)
        yield _AtResult(
            "WARNING",
            say(
                "The electronics of the {part} hold up to {held_volt} V DC, and no "
                "lead reaches it: with the power off wait {empties_s} minutes "
                "before its plugs are pulled, and leave its housing closed.",
                part=part.title,
                held_volt=f"{motor.held_volt * rated:.0f}",
                empties_s=f"{motor.empties_s / 60.0:.0f}",
            ),
        )


def _control(stays_live: Sequence[StaysLive], *, standing: bool) -> Iterator[Caution]:
    here = [each.volt for each in stays_live if each.kind == "control" and each.within]
    most = max(here, default=0.0)
    if most:
        yield _OnControl(
            "CAUTION",
            say(
                "Control wires from indoors stay on: up to {volts} {standing}. They"
                " are measured, not isolated; do not let them touch.",
                volts=volts_words(most),
                standing=mark("with or without a call")
                if standing
                else mark("whenever the thermostat calls"),
            ),
        )


def _labels(unit: Unit, mislabeled: Sequence[str]) -> Iterator[Caution]:
    if mislabeled:
        titles = list_words([unit.part(part).title for part in mislabeled], "and")
        yield HeadCaution(
            "NOTICE",
            say(
                "The unit's file puts the {titles} where the wires contradict it; "
                "the plan goes by the wires. Look where it is, and fix the file.",
                titles=titles,
            ),
        )


def _drawing() -> Caution:
    return _AtReadings(
        "WARNING",
        mark(
            "The drawing may be wrong: a wire or a source that it does not know"
            " makes any terminal live. Only readings count, each with the meter"
            " proved before and after; a non-contact tester proves nothing."
        ),
    )


def _codes() -> Caution:
    return _AtLock(
        "NOTICE",
        mark(
            "Follow local codes, your employer's lockout rules and your own "
            "copy of the standard; licensed practice where required."
        ),
    )
