"""What a proof has to have seen before it says that the unit does its work, and what it did not.

A fixed list, made of what the unit has: the start and the stop, volts under load, amps of both
motors, microfarads of each section, the drop across the contacts, the heater, and the cooling.
Whatever was repaired, a second fault left in is found by these. A few more are asked for on the
way, where a minute finds what those cannot; without them the proof says that they were not
measured.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace
from itertools import combinations

from rungwise.diagnosis.fault_table import CheckCard
from rungwise.parts import KINDS
from rungwise.unit.unit import Part, Unit
from rungwise.verification.masked_faults import Hidden

__all__ = ["CHARGE", "COOLING", "RUNS_ON", "START_LOOKS", "Sight", "Unseen", "own_sights",
           "sights_of", "unseen_of"]  # fmt: skip

RUNS_ON = "look-idle"
START_LOOKS = ("look-compressor", "look-fan", "look-blower", RUNS_ON)
"""What anyone sees and hears at the start and at the stop; no proof without them."""

JOINTS_AT = {"outdoor": "outdoors", "disconnect": "at the disconnect", "indoor": "indoors"}

CONTACTORS = ("contactor_1p", "contactor_2p")
SECTIONS = {"dual_capacitor": (("HERM", "C"), ("FAN", "C")), "run_capacitor": (("2", "1"),),
            "start_capacitor": (("1", "2"),)}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Sight:
    """One thing to have seen.

    checks: ids, any of which shows it, or all of them together by `every`. needed: whether it
    belongs to the list. core: whether nothing at all is proved without it, even where it cannot
    be reached. asked: whether it is asked for, needed or not. apart: whether one of its checks
    says nothing about another.
    """

    name: str
    checks: tuple[str, ...] = ()
    needed: bool = True
    core: bool = False
    asked: bool = True
    every: bool = False
    apart: bool = False

    def seen_by(self, taken: Collection[str]) -> bool:
        """Whether these checks show it."""
        shown = [each in taken for each in self.checks]
        return all(shown) if self.every else any(shown)


@dataclass(frozen=True, slots=True)
class Unseen:
    """A sight that was not had. why: "" where it is still to come, else why it cannot be had."""

    sight: Sight
    why: str = ""

    @property
    def withholds(self) -> bool:
        """Whether the proof waits for it."""
        return self.sight.needed and (not self.why or self.sight.core)

    @property
    def text(self) -> str:
        """In words."""
        return f"{self.sight.name} ({self.why})" if self.why else self.sight.name


COOLING = Sight("air split or charge with the outdoor air")
CHARGE = Sight("refrigerant charge", needed=False, asked=False)


def sights_of(unit: Unit, known: Collection[str]) -> tuple[Sight, ...]:
    """What the circuit of a unit has to show. known: ids of the checks that there are."""
    found = (
        replace(each, checks=tuple(it for it in each.checks if it in known))
        for each in _sights(unit)
    )
    return tuple(each for each in found if each.checks)


def unseen_of(
    sights: Collection[Sight], taken: Collection[str], out_of_reach: Collection[str] = ()
) -> tuple[Unseen, ...]:
    """Those that the checks taken do not show. out_of_reach: ids of what cannot be made."""
    left = [each for each in sights if not each.seen_by(taken)]
    return tuple(
        Unseen(each, "could not be reached" if set(each.checks) <= set(out_of_reach) else "")
        for each in left
    )


def _sights(unit: Unit) -> Iterator[Sight]:
    titles = ("compressor's start", "fan's start", "blower's start", "stop")
    looks = zip(titles, START_LOOKS, strict=True)
    yield from (Sight(name, (look,), core=True) for name, look in looks)
    yield Sight("blower's stop", ("look-blower-idle",), needed=False)
    for place, where in JOINTS_AT.items():
        yield Sight(f"a look at the joints {where}", (f"look-joints-{place}",), needed=False)
    for part in unit.parts_of_kind(*CONTACTORS):
        yield from _contactor(part)
    for part in unit.parts:
        yield from _of_part(unit, part)
    yield from _told(unit)


def _told(unit: Unit) -> Iterator[Sight]:
    """What nobody asks for, and what the proof says was not measured."""
    pairs = [it for each in unit.cables for it in combinations(each.wires, 2)]
    found = {
        f"insulation of the {p.title} by megohms": [f"insulation-{p.name}"]
        for p in unit.parts
        if KINDS[p.kind].motor
    }
    found |= {
        "drop or ohms along each wire": [
            f"{way}-{wire.name}" for way in ("drop", "wire") for wire in unit.wires
        ],
        "ohms from wire to wire of the cables": [f"pair-{'-'.join(pair)}" for pair in pairs],
    }
    for name, checks in found.items():
        yield Sight(name, tuple(checks), needed=False, asked=False, every=True, apart=True)


def own_sights(
    unit: Unit, cards: Collection[CheckCard], hidden: Collection[Hidden]
) -> Iterator[Sight]:
    """What shows directly that each part or wire that was repaired now does its work.

    cards: of every check there is. hidden: what may hide behind the repair.
    """
    blocks: dict[str, frozenset[str]] = {}
    for each in hidden:
        if each.why == "recurs":
            told = blocks.get(each.suspect.block, frozenset())
            blocks[each.suspect.block] = told | each.suspect.shown_by
    titles = {part.name: part.title for part in unit.parts}
    titles |= {wire.name: wire.title for wire in unit.wires}
    for block, shown_by in blocks.items():
        shows = tuple(it.id for it in cards if block in it.touches and it.quantity in shown_by)
        if shows:
            name = f"own reading of the {titles.get(block, block)}, which was repaired"
            yield Sight(name, shows, core=True, apart=True)


def _contactor(part: Part) -> Iterator[Sight]:
    name, title = part.name, part.title
    ground = (f"ohms-{name}-T1-earth",)
    yield Sight(f"ground of all behind the {title}", ground, needed=False)
    ends = ("L1-L2", "T1-T2")
    yield Sight(f"volts under load at the {title}", tuple(f"volts-{name}-{it}" for it in ends))
    idle = (f"idle-volts-{name}-L1-L2",)
    yield Sight(f"volts at rest at the {title}", idle, needed=False)
    yield Sight("volts on the coil", ("volts-coil",), needed=False)
    poles = ("L1-T1", "L2-T2") if part.kind == "contactor_2p" else ("L1-T1",)
    for number, pole in enumerate(poles, start=1):
        yield Sight(f"drop across contact {number} of the {title}", (f"drop-{name}-{pole}",))


def _of_part(unit: Unit, part: Part) -> Iterator[Sight]:
    name = part.name
    if KINDS[part.kind].motor and part.place == "outdoor":
        leads = tuple(f"amps-{wire.name}" for wire, _ in unit.wires_at(f"{name}.C")[:1])
        yield Sight(f"amps of the {part.title}", leads)
    for terminal, common in SECTIONS.get(part.kind, ()):
        section = f" {terminal}" if part.kind == "dual_capacitor" else ""
        checks = (f"loaduf-{name}-{terminal}", f"uf-{name}-{terminal}-{common}")
        outdoors = part.place == "outdoor" and part.kind != "start_capacitor"
        yield Sight(f"microfarads of the {part.title}{section}", checks, needed=outdoors)
    if part.kind == "potential_relay":
        yield Sight(f"contact of the {part.title} at rest", (f"ohms-{name}-1-2",), needed=False)
    if part.kind == "crankcase_heater":
        yield from _heater(unit, part)


def _heater(unit: Unit, part: Part) -> Iterator[Sight]:
    """Its amps at rest; where a thermostat may hold it off, its ohms, and amps as the day allows.

    What leaks on the line side of an open contactor does not show behind it.
    """
    name, amps = part.name, tuple(f"idle-amps-{wire.name}" for wire, _ in unit.wires_at(
        f"{part.name}.1"))  # fmt: skip
    if unit.parts_of_kind("heater_thermostat"):
        yield Sight(f"ohms of the {part.title}", (f"ohms-{name}-1-2",))
        yield Sight(f"ground of the {part.title}", (f"insulation-{name}",), needed=False)
        yield Sight(f"the {part.title} at work on a cold day", amps, needed=False, asked=False)
    else:
        yield Sight(f"amps of the {part.title}, thermostat off", amps)
