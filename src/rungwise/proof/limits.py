"""Limits and constants of the electrical figures, each with its source and how sure it is."""

from __future__ import annotations

from typing import Final

__all__ = [
    "BRANCH_DROP", "COIL_HOLDS", "CONTACT_LORENZ_V2_K2", "INSULATION",
    "JOINT_RISE_K", "JOINT_WATTS", "SUPPLY",
]  # fmt: skip

BRANCH_DROP: Final = (0.03, "NEC 210.19(A) informational note: 3 % on the branch circuit; advice")
"""Largest sag from idle to running that is not remarked on."""

COIL_HOLDS: Final = (0.85, 1.10, "IEC 60947-4-1 8.2.1.2: 85 to 110 % of rated coil volts")

SUPPLY: Final = (0.90, 1.10, "NEMA MG 1-12.44: motors run within 10 % of their rated volts")


JOINT_WATTS: Final = (2.0, "common practice, no source")
"""A joint or contact that turns more than this into heat is made again."""

JOINT_RISE_K: Final = (70.0, "IEC 60947-1 table 2: 65 to 70 K at terminals, from memory")

CONTACT_LORENZ_V2_K2: Final = 2.4e-8
"""Lorenz number in Holm's voltage-temperature relation, V²/K² (R. Holm, Electric Contacts)."""

INSULATION: Final = (
    "IEEE 43: kV + 1 MΩ at 40 °C and halving per 10 K, both from memory; hermetic compressors read "
    "far lower than air-filled motors and no published limit holds for them"
)
