"""The volts between dead, low and live, and the meter that the proof asks for."""

from __future__ import annotations

LOADED_DEAD_VOLT = 1.0
"""The same while everything is called for: a contactor that is pulled in lays motor windings of an
ohm or so on whatever feeds back, and leaves a few volts of what is line volts with it out (common
practice, no source; worked out on the solved circuit)."""

DEAD_VOLT = 5.0
"""A low-impedance meter must read below this on a dead point (common practice, no source)."""
