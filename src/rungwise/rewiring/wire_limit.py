"""The amps that a wire bears, by its gauge."""

from __future__ import annotations

from bisect import bisect_right

_LIMIT_AMP = {18: 7.0, 16: 10.0, 14: 15.0, 12: 20.0, 10: 30.0, 8: 40.0, 6: 55.0, 4: 70.0}
"""AWG 14 to 10: NEC 240.4(D); 8 to 4: NEC 310.16 (2023), 60 °C column; 18 and 16: 240.4(D) from
memory.  Air-conditioning circuits may go by Article 440 instead; the lower figures are kept here,
because a wire inside a cabinet lies in hot air."""

_SIZES = sorted(_LIMIT_AMP)


def limit_amp(awg: float) -> float:
    """Amps that a copper wire of gauge `awg` bears for hours; an odd size counts as thinner.

    Thinner than 18 AWG bears 3 A (order of magnitude, no source); 4 AWG and thicker bears 70 A.
    """
    if awg > _SIZES[-1]:
        return 3.0
    at = bisect_right(_SIZES, awg)
    thicker = _SIZES[at - 1] if at and _SIZES[at - 1] == awg else _SIZES[min(at, len(_SIZES) - 1)]
    return _LIMIT_AMP[_SIZES[0] if awg < _SIZES[0] else thicker]
