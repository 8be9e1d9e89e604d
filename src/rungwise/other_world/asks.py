"""What a technician may ask of a house: where the meter goes or what he looks at, nothing more.

These are the only words between the program on trial and the other world.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Live = Literal["starting", "restart", "calling", "standby", "heating"]
"""`restart`: the start after all that heat or pressure had opened has closed again."""


@dataclass(frozen=True, slots=True)
class Volts:
    """Volts between two points of the live unit on a meter of so many ohms."""

    when: Live
    a: str
    b: str
    burden_ohm: float
    fine: bool = False


@dataclass(frozen=True, slots=True)
class Amps:
    """A clamp around one wire; `inrush`: the peak held as it starts."""

    when: Live
    wire: str
    fine: bool = False
    inrush: bool = False


@dataclass(frozen=True, slots=True)
class LoadMicrofarads:
    """Microfarads from the amps of a lead and the volts between two points, running."""

    wire: str
    a: str
    b: str


@dataclass(frozen=True, slots=True)
class Leads:
    """Ohms, megohms or microfarads between two points of the dead unit.

    off: terminals whose wires come off. wires: wires of which just the first end comes off.
    """

    what: Literal["ohms", "megohms", "microfarads"]
    a: str
    b: str
    off: tuple[str, ...] = ()
    cooled: bool = False
    chilled: bool = False
    wires: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Look:
    """Something to look at, listen to or feel: which thing, of which part or place, and answers.

    thing: "turns", "sound", "plunger", "idle", "device", "by_hand", "shell", "joints", or a mark
    such as "burnt", "bulged", "debris", "water", "door". choices: what may be answered, the
    unremarkable one first. when: the call in which it is looked at, where that is not its own.
    """

    thing: str
    subject: str
    choices: tuple[str, ...]
    when: Live = "calling"


Ask = Volts | Amps | LoadMicrofarads | Leads | Look
