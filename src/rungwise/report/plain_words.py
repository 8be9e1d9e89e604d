"""What parts and readings are to somebody who has never opened a unit."""

from __future__ import annotations

from collections.abc import Mapping

__all__ = ["GROUPS"]

GROUPS: Mapping[str, tuple[str, ...]] = {
    "supply volts": ("volts-contactor-L1-L2", "idle-volts-"),
    "motor currents": ("amps-",),
    "capacitors at work": ("loaduf-", "uf-"),
    "contacts and joints under load": ("drop-",),
    "insulation": ("insulation-",),
    "refrigerant": ("superheat", "subcooling", "charge"),
    "air through the indoor coil": ("air split", "split", "total capacity"),
}
"""What a proof may measure, by how the ids of its readings and figures begin."""
