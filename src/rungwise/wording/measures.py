"""Quantities in the units that the reader is used to: °F, psi and cfm, or °C, kPa and m³/h.

The engine tells temperatures and pressures as its rules have them, often in both systems; a page
or a paper has one. What is marked so on a part, such as its 75 °C terminals, is no such quantity.
Volts, amps and ohms are the same in both.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Literal, Self

from rungwise.wording.said import Said

System = Literal["us", "si"]
SYSTEMS: tuple[System, ...] = ("us", "si")

_NOW: ContextVar[System | None] = ContextVar("measures", default=None)

_FT_M = 0.3048
_PSI_KPA = 4.4482216152605 / 0.0254**2 / 1e3
_CFM_M3_H = _FT_M**3 * 60.0
# Foot, inch and pound-force: exact by definition.

_Change = tuple[str, Callable[[float], float]]
_TO: Mapping[System, Mapping[str, _Change]] = {
    "us": {
        "°C": ("°F", lambda it: 1.8 * it + 32.0),
        "K": ("°F", lambda it: 1.8 * it),
        "kPa": ("psi", lambda it: it / _PSI_KPA),
        "m": ("ft", lambda it: it / _FT_M),
        "m³/h": ("cfm", lambda it: it / _CFM_M3_H),
        "m³/s": ("cfm", lambda it: 3600.0 * it / _CFM_M3_H),
    },
    "si": {
        "°F": ("°C", lambda it: (it - 32.0) / 1.8),
        "psi": ("kPa", lambda it: it * _PSI_KPA),
        "ft": ("m", lambda it: it * _FT_M),
        "cfm": ("m³/h", lambda it: it * _CFM_M3_H),
        "m³/s": ("m³/h", lambda it: 3600.0 * it),
    },
}

_TYPED = re.compile(r"([-−]?[0-9]+(?:\.[0-9]+)?) ?(°?[FCK]|psi|kPa|ft|m|cfm|m³/[sh])")
"""A quantity as somebody typed it."""


@contextmanager
def measuring(system: System) -> Iterator[None]:
    """Tell quantities in one system for as long as this lasts."""
    before = _NOW.set(system)
    try:
        yield
    finally:
        _NOW.reset(before)


def system_now() -> System | None:
    """The system that is told just now; None tells each as the engine has it."""
    return _NOW.get()


class Quantity(Said):
    """A quantity, as the engine tells it and in each of the two systems."""

    __slots__ = ("by_system",)

    by_system: Mapping[System, str]

    def __new__(cls, written: str, us: str, si: str) -> Self:
        """The quantity as it is written, and in the two systems."""
        made = super().__new__(cls, written, is_name=True)
        made.by_system = {"us": us, "si": si}
        return made

    def __reduce__(self) -> tuple[object, ...]:
        return Quantity, tuple(self.as_plain().values())

    def as_plain(self) -> dict[str, str]:
        """The texts that it is made of, by the names that it takes them by."""
        us, si = self.by_system["us"], self.by_system["si"]
        return {"written": str.__str__(self), "us": us, "si": si}

    def in_system(self) -> str:
        """As the one reads it who reads it just now."""
        system = _NOW.get()
        return str.__str__(self) if system is None else self.by_system[system]


def measured(number: str, unit: str) -> str:
    """A quantity in one unit, its number as it is to be read."""
    return Quantity(f"{number} {unit}".rstrip(), *_in_each(number, unit))


def in_both(si: str, us: str, form: str = "{si} ({us})") -> str:
    """A quantity that the engine tells in both systems at once."""
    return Quantity(form.format(si=si, us=us), us, si)


def typed_told(typed: str, *, difference: bool = False) -> str:
    """What somebody typed, in the units of who reads it; what is no such quantity as it stands.

    difference: whether degrees are a difference: "10 °F" is 5.6 K.
    """
    found = _TYPED.fullmatch(typed.strip())
    if found is None:
        return typed
    number, unit = found[1], f"°{found[2]}" if found[2] in ("F", "C") else found[2]
    if not difference or unit not in ("°F", "°C"):
        return Quantity(typed, *_in_each(number, unit))
    value = float(number.replace("−", "-"))
    kelvin = value / 1.8 if unit == "°F" else value
    us, si = _rounded(1.8 * kelvin, number), _rounded(kelvin, number)
    return Quantity(typed, f"{us} °F", f"{si} K")


def _in_each(number: str, unit: str) -> Iterator[str]:
    """The quantity in one system after the other."""
    for system in SYSTEMS:
        if unit in _TO[system]:
            name, change = _TO[system][unit]
            yield f"{_rounded(change(float(number.replace('−', '-'))), number)} {name}"
        else:
            yield f"{number} {unit}".rstrip()


def _rounded(value: float, like: str) -> str:
    """With three digits, and no more behind the point than `like` had, but one for small values."""
    behind = len(like.partition(".")[2])
    digits = 0 if abs(value) >= 100.0 else max(min(behind, 1), int(abs(value) < 10.0))
    figure = f"{value:.{digits}f}"
    return "0" if float(figure) == 0.0 else figure.removesuffix(".0")
