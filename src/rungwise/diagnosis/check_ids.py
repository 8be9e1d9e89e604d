"""The ids of checks: one place makes them of what is read, when and on what, and reads them.

An id is printed, typed into call files and kept in records, so that what it looks like stays.
`idle-` is in front of what is read with the thermostat off and `start-` of what is caught in the
first seconds of a call (of amps the peak; `held-` are those that stay two seconds later).
"""

from __future__ import annotations

from collections.abc import Container, Mapping
from typing import Literal

from rungwise.parts import Coil
from rungwise.unit import Part, Unit

LOOK = "look-"

Word = Literal[
    "volts", "lowz", "drop", "across", "direct", "amps", "ohms", "alone-ohms", "insulation", "uf",
    "loaduf", "wire", "earth", "pair", "leg",
]  # fmt: skip
"""What is read: of a wire by itself its own ohms, those to the cabinet, and those to another."""

_BEFORE: Mapping[str, str] = {
    "inrush": "start-", "starting": "start-", "restart": "cooled-start-", "standby": "idle-",
    "heating": "heat-", "defrosting": "defrost-", "cooled": "cooled-", "chilled": "chilled-",
}  # fmt: skip
WARMS_ON: Mapping[str, str] = {"oil": "standby", "air": "heating", "ice": "defrosting"}
"""In which setting a heater's amps are read, by what it warms."""

_HELD: Mapping[str, str] = {"starting": "held-", "restart": "cooled-held-"}
"""Of amps two seconds after a start, told from the peak."""


def id_of(word: Word, *on: str, setting: str = "calling") -> str:
    """The id of a reading. on: what the leads or the jaw are on. setting: as a card has it."""
    before = _HELD.get(setting, "") if word == "amps" else ""
    return f"{before or _BEFORE.get(setting, '')}{'-'.join((word, *on))}"


def coil_names(unit: Unit, part: Part) -> tuple[str, ...]:
    """*The* coil is the main contactor's; every other one has its part's name with it."""
    return ("coil",) if part.name == unit.roles.main_contactor else ("coil", part.name)


def coil_volts_id(unit: Unit, part: Part) -> str:
    """The check of the volts on a contactor's coil on a call; "" of what has no coil."""
    coil = unit.kind_of(part.name).facet(Coil)
    if coil is None:
        return ""
    main = part.name == unit.roles.main_contactor
    return id_of("volts", *(("coil",) if main else (part.name, *coil.ends)))


def look_id(*names: str) -> str:
    """The id of a look, by what it is told as in a symptom: a part, and what is looked at."""
    return f"{LOOK}{'-'.join(names)}"


def short_id(check: str) -> str:
    """What a look is told as; any other check has its id alone."""
    return check.removeprefix(LOOK)


def full_id(check: str, known: Container[str]) -> str:
    """The id among those `known` that was meant, by itself or as a symptom; else as it stands."""
    return check if check in known or look_id(check) not in known else look_id(check)
