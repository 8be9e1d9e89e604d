"""What is looked at first, before a tool is out: thermostat, switches, pan, filter, coils, lights.

Minutes and the usual chances of marks are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rungwise.circuit import call_for_heat
from rungwise.diagnosis.check import Check
from rungwise.diagnosis.checks_live import LINE_RISK, LIVE_PARTS
from rungwise.diagnosis.look_card import ON_CALL, look_check
from rungwise.diagnosis.mark_looks import Mark
from rungwise.diagnosis.visual_checks import (
    BOARD_DARK,
    SCREEN_DARK,
    BreakerHandle,
    DeviceOpen,
    PhaseLight,
    PhaseOrder,
    Powered,
)
from rungwise.parts import Control, Junction, Looks, PhaseRule, Poles, Supply, Transformer
from rungwise.unit import Part, Unit
from rungwise.wording import joined, mark, say


def eyes_first(unit: Unit) -> Iterator[Check]:
    """The looks with which a call begins, in the order of a walk from the room to the unit."""
    yield from _thermostat(unit)
    for part in unit.parts:
        yield from _device(unit, part)
    yield from _safety(unit)
    yield from _lights(unit)
    yield from _around(unit)


def _thermostat(unit: Unit) -> Iterator[Check]:
    for part, control in unit.having(Control):
        # Its own C, where it has one: a zone's thermostat lives on another transformer.
        own = f"{part.name}.C" if "C" in unit.kind_of(part.name).terminals else ""
        common = own if own and unit.wires_at(own) else _common(unit)
        if common:
            look = Powered(f"{part.name}.{control.feed}", common, SCREEN_DARK, "blank")
            title = say("is the screen of the {part} on?", part=part.title)
            yield look_check(
                "screen", title, ("on", "blank"), look,
                minutes=0.5, touches=(part.name,),
            )  # fmt: skip
        asked = mark("ask for cooling: mode COOL, set below the room")
        if call_for_heat(unit.demands) is not None:
            asked = mark("call: mode COOL and set below the room, or HEAT and above it")
        title = say("does the {part} {asked}, no delay sign?", part=part.title, asked=asked)
        yield look_check(
            "thermostat", title, ("calls", mark("does not call")),
            Mark("thermostat", frozenset({part.name})), minutes=0.5, touches=(part.name,),
        )  # fmt: skip


def _common(unit: Unit) -> str:
    """The C terminal that 24 V is measured against, "" where there is none."""
    boards = [p.name for p, junction in unit.having(Junction) if junction.carries == "control"]
    ends = [f"{board}.C" for board in boards]
    ends += [f"{part.name}.{it.secondary[1]}" for part, it in unit.having(Transformer)]
    return next(iter(ends), "")


def _device(unit: Unit, part: Part) -> Iterator[Check]:
    kind = unit.kind_of(part.name)
    looks, poles = kind.facet(Looks), kind.facet(Poles)
    stands = looks.stands if looks is not None else None
    if stands is None:
        return
    look: BreakerHandle | DeviceOpen = DeviceOpen(part.name, stands.handles)
    if poles is not None and poles.seen_open == "handle":
        look = _handle(unit, part)
    *others, last = stands.answers
    title = say(
        "{part}: {others} or {last}?",
        part=part.title, others=joined(", ", map(mark, others)), last=mark(last),
    )  # fmt: skip
    yield look_check(
        "device", title, stands.answers, look,
        minutes=stands.minutes, touches=(part.name,),
    )  # fmt: skip


def _handle(unit: Unit, part: Part) -> BreakerHandle:
    """How this breaker's handle shows what opened it.

    Where the kind has a fault handle of its own for a trip, `held_open` is a hand that opened
    it; where it has none, `held_open` may be either.
    """
    own = [p.name for p in unit.kind_of(part.name).parameters if p.hidden and "trip" in p.name]
    if own:
        return BreakerHandle(part.name, ("tripped", *own), off=("held_open",))
    return BreakerHandle(part.name, ("tripped",), unclear=("held_open",))


def _safety(unit: Unit) -> Iterator[Check]:
    """What opens a switch rightly, and is seen on the way."""
    for part, looks in unit.having(Looks):
        for seen in (each for each in looks.marks if each.first):
            yield look_check(
                seen.thing,
                say("{part}: {question}", part=part.title, question=mark(seen.question)),
                seen.answers, Mark(seen.sign, frozenset({part.name})),
                minutes=1.0 if part.place == "outdoor" else 2.0, touches=(part.name,),
                cautions=seen.warnings,
            )  # fmt: skip


def _lights(unit: Unit) -> Iterator[Check]:
    """A light that lives on R and C; a board without one is answered with "can't tell"."""
    for part, looks in unit.having(Looks):
        if not looks.light:
            continue
        look = Powered(f"{part.name}.R", f"{part.name}.C", BOARD_DARK, "board_dark")
        title = say("{part}: is its light on?", part=part.title)
        yield look_check(
            "board_light", title, ("on", "off"), look,
            minutes=2.0, touches=(part.name,),
        )  # fmt: skip
    for part in unit.parts:
        for rule in unit.kind_of(part.name).rules:
            if isinstance(rule, PhaseRule):
                yield look_check(
                    "phase_light",
                    say("{part}: what does its light show?", part=part.title),
                    ("good", mark("reversed"), mark("lost or uneven")),
                    PhaseLight(part.name, rule), minutes=1.0, touches=(part.name,),
                )  # fmt: skip
                yield look_check(
                    "rotation",
                    say("{part}: in what order do its legs come?", part=part.title),
                    (mark("in order"), mark("reversed"), mark("neither: a leg is missing")),
                    PhaseOrder(part.name, rule), minutes=3.0,
                    touches=(part.name, *(supply.name for supply, _ in unit.having(Supply))),
                    condition=ON_CALL, cautions=(LIVE_PARTS,), instrument=mark("rotation meter"),
                    risk=LINE_RISK,
                )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Around:
    """A look at what is no part of the circuit. usual: chance of the mark where no fault is."""

    thing: str
    title: str
    choices: tuple[str, str]
    minutes: float
    usual: float


_AROUND = (
    _Around(
        "filter",
        mark("is the air filter clogged?"),
        ("clean", "clogged"),
        1.0,
        0.15,
    ),
    _Around(
        "ice",
        mark("is there ice on the suction line or the indoor coil?"),
        ("no", "ice"),
        1.0,
        0.02,
    ),
    _Around(
        "coil_dirt",
        mark("is the outdoor coil dirty or matted?"),
        ("clean", "dirty"),
        0.5,
        0.2,
    ),
    _Around(
        "recent_work",
        mark("any sign of recent work: fresh screws, wires or new parts?"),
        ("no", "yes"),
        0.5,
        0.1,
    ),
)


def _around(unit: Unit) -> Iterator[Check]:
    """Looks at the whole unit, where it has a compressor that they can bear on."""
    for each in _AROUND if unit.roles.compressors else ():
        look = Mark(each.thing, None, each.usual)
        yield look_check(
            each.thing, each.title, each.choices, look,
            minutes=each.minutes, touches=("unit",),
        )  # fmt: skip
