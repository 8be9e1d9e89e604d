"""What no answer about a candidate has looked at, told with each so that nobody takes it for said.

All of it is common practice, no source.
"""

from __future__ import annotations

__all__ = ["not_judged"]

_ALWAYS = ("footprint", "approval by the unit's maker")
_BY_KIND = {
    "contactor": ("cover", "short-circuit rating", "auxiliary contacts"),
    "capacitor": ("can size and strap", "temperature class"),
    "compressor": ("capacity", "refrigerant", "oil", "fittings", "speed control"),
    "fan_motor": ("shaft and mount", "bearings", "blade and direction of the air", "speed control"),
    "transformer": ("mount", "inherent limit or breaker of its own"),
    "breaker": ("make for this panel", "interrupting rating", "GFCI or HACR marking"),
    "disconnect": ("short-circuit rating", "enclosure", "lock"),
    "switch": ("pressures", "fitting"),
    "kit": ("duty", "cure for anything but a hard start"),
}
"""By the end or a part of a kind's name."""


def not_judged(kind: str) -> tuple[str, ...]:
    """What an answer about a candidate of this kind has not looked at, in words."""
    own = (words for part, words in _BY_KIND.items() if part in kind)
    return (*next(own, ()), *_ALWAYS)
