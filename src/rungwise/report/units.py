"""Words with quantities in them, in the units that the reader is used to.

The engine tells temperatures and pressures as its rules have them, often in both systems. A paper
has one: °F, psi, ft and cfm, or °C, kPa, m and m³/h. Volts, amps and ohms are the same in both.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Literal

from rungwise.quantity import parse

System = Literal["us", "si"]
SYSTEMS: tuple[System, ...] = ("us", "si")

_NUMBER = r"[-−]?[0-9]+(?:\.[0-9]+)?"
_UNITS = ("°C", "°F", "K", "psi", "kPa", "ft", "m", "cfm", "m³/s", "m³/h")
_IN_BOTH = re.compile(
    rf"({_NUMBER} K) \(({_NUMBER} °F)\)"
    rf"|({_NUMBER} °C), ({_NUMBER} °F)"
    rf"|({_NUMBER} kW) \(({_NUMBER} Btu/h)\)"
)
_ONE = re.compile(rf"({_NUMBER})(?: to ({_NUMBER}))? ({'|'.join(_UNITS)})(?![\w/³-])")
_DEGREES = re.compile(rf"({_NUMBER}) ?°?([FC])\b")

_KPA = 1.0 / parse("1 kPa", "psi")
_METRE = parse("1 ft", "m")
_CUBIC_METRES = parse("1 cfm", "m³/s") * 3600.0

_Change = tuple[str, Callable[[float], float]]
_TO: dict[System, dict[str, _Change]] = {
    "us": {
        "°C": ("°F", lambda it: 1.8 * it + 32.0),
        "K": ("°F", lambda it: 1.8 * it),
        "kPa": ("psi", lambda it: it / _KPA),
        "m": ("ft", lambda it: it / _METRE),
        "m³/h": ("cfm", lambda it: it / _CUBIC_METRES),
        "m³/s": ("cfm", lambda it: 3600.0 * it / _CUBIC_METRES),
    },
    "si": {
        "°F": ("°C", lambda it: (it - 32.0) / 1.8),
        "psi": ("kPa", lambda it: it * _KPA),
        "ft": ("m", lambda it: it * _METRE),
        "cfm": ("m³/h", lambda it: it * _CUBIC_METRES),
        "m³/s": ("m³/h", lambda it: 3600.0 * it),
    },
}


class Words:
    """Tells texts in one system of units."""

    def __init__(self, system: System) -> None:
        self.system = system

    def __call__(self, text: str) -> str:
        """The text with every quantity in this system; what stands in both, in one.

        A temperature difference is taken for one only where it is in kelvin.
        """
        return _ONE.sub(self._one, _IN_BOTH.sub(self._of_both, text))

    def difference(self, text: str) -> str:
        """The same for a text whose degrees are a difference: "10 °F" is 5.6 K."""
        found = _DEGREES.fullmatch(text.strip())
        if found is None:
            return self(text)
        degrees, scale = float(found[1].replace("−", "-")), found[2]
        wanted = "F" if self.system == "us" else "C"
        factor = 1.0 if scale == wanted else 1.8 if wanted == "F" else 1.0 / 1.8
        unit = "°F" if wanted == "F" else "K"
        return f"{_rounded(degrees * factor, found[1])} {unit}"

    def _of_both(self, found: re.Match[str]) -> str:
        si, us = (each for each in found.groups() if each is not None)
        return us if self.system == "us" else si

    def _one(self, found: re.Match[str]) -> str:
        low, high, unit = found.groups()
        if unit not in _TO[self.system]:
            return found[0]
        name, change = _TO[self.system][unit]
        told = [_rounded(change(float(it.replace("−", "-"))), it) for it in (low, high) if it]
        return f"{' to '.join(told)} {name}"


def _rounded(value: float, like: str) -> str:
    """With three digits, and no more behind the point than `like` had, but one for small values."""
    behind = len(like.partition(".")[2])
    digits = 0 if abs(value) >= 100.0 else max(min(behind, 1), int(abs(value) < 10.0))
    figure = f"{value:.{digits}f}"
    return "0" if float(figure) == 0.0 else figure.removesuffix(".0")
