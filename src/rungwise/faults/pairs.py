"""A fault together with the second one that it brings about.

What the circuit itself brings about (a fuse behind a short, an overload behind a weak capacitor,
a high-pressure switch behind a fan that stands) is computed when the suspect is solved and needs
no pair.  Pairs stand here for three sorts:

- Wear makes the second fault: a loose joint burns the contact beside it.
- The circuit makes it too seldom: with a fan that stands the high-pressure switch opens first (on
  two units in three, the overload on one in twenty); where the switch comes back by itself again
  and again, the shell gets hot all the same.
- The second fault is what a technician finds when he comes: a breaker that an earthed winding has
  tripped an hour ago, which no meter can trip again.  There the answer is the cause, never the
  reset alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from rungwise.faults.suspect import Suspect
from rungwise.unit.unit import Unit


@dataclass(frozen=True, slots=True)
class PairRule:
    """Cause and effect suspects by id, the share of the cause's weight, and how it is put."""

    cause: str
    effect: str
    share: float
    effect_text: str
    both_repairs: bool = False
    then_text: str = ""


_HOT = "so the compressor overheats and its overload opens"
_BURNT = "so the contact beside it burns"

RULES = (
    PairRule("fan.seized", "compressor.overload_open", 0.15, _HOT),
    PairRule("fan.s_open", "compressor.overload_open", 0.15, _HOT),
    PairRule("capacitor.fan_open", "compressor.overload_open", 0.15, _HOT),
    PairRule("whip_l1.high_resistance", "contactor.pole1_pitted", 1.0, _BURNT, both_repairs=True),
    PairRule("comp_r.high_resistance", "contactor.pole1_pitted", 1.0, _BURNT, both_repairs=True),
)
"""Shares are common practice, from experience, no source."""


TRIPS = {
    ("compressor", "earthed"): (0.6, "R"),
    ("compressor", "turns_shorted"): (0.2, "R"),
    ("compressor", "seized"): (0.1, "R"),
    ("fan_motor", "earthed"): (0.6, "R"),
    ("dual_capacitor", "herm_shorted"): (0.4, "C"),
}
"""By part kind and mode, the share of it that has tripped the breaker, or blown the fuse, that
feeds the part when somebody comes (common practice, from experience, no source), and the terminal
from which that is sought."""

RUBBED_SHARE = 0.9
"""The same of a power wire that is rubbed through to the cabinet."""

BLOWS = {("contactor_1p", "coil_shorted"): 0.4, ("contactor_2p", "coil_shorted"): 0.4}
"""The same for the low-voltage fuse, of what is not short enough for the circuit to blow it."""

_POWER = ("L1", "L2", "power", "heater", "indoor")
_THROUGH = {
    **dict.fromkeys(("contactor_1p", "contactor_2p"), (("L1", "T1"), ("L2", "T2"))),
    **dict.fromkeys(
        ("disconnect_pullout", "disconnect_switch", "disconnect_fused"),
        (("line1", "load1"), ("line2", "load2")),
    ),
    "service_switch": (("line1", "load1"),),
    "door_switch": (("1", "2"),),
    "relay": (("common", "no"),),
}
"""By part kind, the terminals that its own contacts join."""


def pair_suspects(unit: Unit, singles: Iterable[Suspect]) -> Iterator[Suspect]:
    """The pairs among the suspects of a unit."""
    by_id = {suspect.id: suspect for suspect in singles}
    for rule in (*RULES, *_opened_by(unit, by_id.values())):
        if rule.cause in by_id and rule.effect in by_id:
            yield _pair(by_id[rule.cause], by_id[rule.effect], rule)


def _opened_by(unit: Unit, singles: Iterable[Suspect]) -> Iterator[PairRule]:
    """Breakers and fuses that a short behind them has opened, whatever the parts are called."""
    for cause in singles:
        if cause.block in unit.wire_by_name and cause.mode == "rubbed":
            yield from _opened(unit, cause.id, unit.wire_by_name[cause.block].start, RUBBED_SHARE)
        if cause.block in unit.part_by_name:
            key = (unit.part(cause.block).kind, cause.mode)
            if key in TRIPS:
                share, terminal = TRIPS[key]
                yield from _opened(unit, cause.id, f"{cause.block}.{terminal}", share)
            for fuse in unit.parts_of_kind("lv_fuse") if key in BLOWS else ():
                then = "replace the low-voltage fuse, same amps and type"
                text = "so the low-voltage fuse has blown"
                yield PairRule(cause.id, f"{fuse.name}.blown", BLOWS[key], text, then_text=then)


def _opened(unit: Unit, cause: str, terminal: str, share: float) -> Iterator[PairRule]:
    """What opens ahead of ``terminal``: a fuse where there is one, else the breaker."""
    ahead = {unit.part(name).kind: (name, pole) for name, pole in _ahead(unit, terminal)}
    if "disconnect_fused" in ahead:
        name, pole = ahead["disconnect_fused"]
        then = f"replace fuse {pole} of the {unit.part(name).title}, same amps and type"
        effect, text = f"{name}.pole{pole}_open", "so the fuse ahead of it has blown"
        yield PairRule(cause, effect, share, text, then_text=then)
        return
    for kind in ("breaker_2p", "breaker_1p"):
        if kind in ahead:
            name, _ = ahead[kind]
            then = f"reset the {unit.part(name).title} once"
            effect, text = f"{name}.tripped", "so the breaker has tripped"
            yield PairRule(cause, effect, share, text, then_text=then)


def _ahead(unit: Unit, terminal: str) -> Iterator[tuple[str, str]]:
    """Devices, each with its pole, met on the way from ``terminal`` back to the panel."""
    found, todo = {terminal}, [terminal]
    while todo:
        at = todo.pop()
        part, _, end = at.partition(".")
        if end.startswith("load"):
            yield part, end.removeprefix("load")
        new = set(_joined(unit, at)) - found
        found |= new
        todo += sorted(new)


def _joined(unit: Unit, terminal: str) -> Iterator[str]:
    """Terminals that a power wire or a contact joins to this one."""
    for wire, end in unit.wires_at(terminal):
        if wire.carries in _POWER:
            yield wire.end if end == "start" else wire.start
    part, _, own = terminal.partition(".")
    for pole in _THROUGH.get(unit.part(part).kind, ()):
        if own in pole:
            yield from (f"{part}.{other}" for other in pole if other != own)


def _pair(cause: Suspect, effect: Suspect, rule: PairRule) -> Suspect:
    repair, text = (
        cause.repair,
        f"{cause.repair_text}; then: {rule.then_text or effect.repair_text}",
    )
    if rule.both_repairs:
        repair = f"{cause.repair}+{effect.repair}"
    return replace(
        cause,
        id=f"{cause.id}>{effect.id}",
        title=f"{cause.title}, {rule.effect_text}",
        mode=f"{cause.mode}>{effect.mode}",
        edits=(*cause.edits, *effect.edits),
        weight=cause.weight * rule.share,
        repair=repair,
        repair_text=text,
        effect=rule.effect_text,
        signs={**effect.signs, **cause.signs},
        repair_minutes=cause.repair_minutes + effect.repair_minutes,
    )
