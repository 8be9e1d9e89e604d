"""Locked-rotor code letters: what a motor draws when it stands still, per horsepower."""

from __future__ import annotations

from collections.abc import Mapping

from rungwise.replacement.nec.code_table import CodeSource

__all__ = ["KVA_PER_HP", "SOURCE", "letter", "locked_amp"]

SOURCE = CodeSource("NEC Table 430.7(B)", "2023", "two engineering tables")

KVA_PER_HP: Mapping[str, tuple[float, float]] = {
    "A": (0, 3.14), "B": (3.15, 3.54), "C": (3.55, 3.99), "D": (4.0, 4.49), "E": (4.5, 4.99),
    "F": (5.0, 5.59), "G": (5.6, 6.29), "H": (6.3, 7.09), "J": (7.1, 7.99), "K": (8.0, 8.99),
    "L": (9.0, 9.99), "M": (10.0, 11.19), "N": (11.2, 12.49), "P": (12.5, 13.99),
    "R": (14.0, 15.99), "S": (16.0, 17.99), "T": (18.0, 19.99), "U": (20.0, 22.39),
    "V": (22.4, float("inf")),
}  # fmt: skip
"""Least and most kVA per horsepower of each letter; I, O and Q are not used."""


def letter(kva_per_hp: float) -> str:
    """The code letter of a motor; between two rows of the table the lower letter."""
    return next(each for each in reversed(list(KVA_PER_HP)) if kva_per_hp >= KVA_PER_HP[each][0])


def locked_amp(code: str, hp: float, volt: float) -> tuple[float, float]:
    """Least and most locked-rotor amps of a single-phase motor: 1000·kVA/hp·hp/V."""
    low, high = KVA_PER_HP[code]
    return 1000 * low * hp / volt, 1000 * high * hp / volt
