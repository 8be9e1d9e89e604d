"""What a unit's nameplate says, and which parts' parameters it sets."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from rungwise.files.table import Table
from rungwise.parts.limits import SUPPLY_SHARE

__all__ = [
    "FIELDS", "RATED_VOLT", "TEXTS", "VOLT", "VOLT_LOW", "Nameplate", "NameplateField",
    "supply_range_v", "volts_told",
]  # fmt: skip

VOLT, VOLT_LOW = "volt", "volt_low"
"""Keys of the highest and, on a plate of two such as 208/230, the lowest rated volts."""

RATED_VOLT = "rated_volt"
"""A motor's parameter; its label may give two values too, of which it has the higher."""

LOWEST_OF_TWO = 197.0 / 208.0
"""A plate of 208/230 V may have 197 to 253 V at its terminals: ANSI C84.1 and AHRI 110, from
memory. The top is 10 % over the higher value, the bottom this share of the lower."""


@dataclass(frozen=True, slots=True)
class NameplateField:
    """One line of the nameplate: key, unit, allowed range, and the parameters that it gives."""

    key: str
    unit: str
    low: float
    high: float
    what: str
    sets: tuple[tuple[str, str], ...] = ()

    @property
    def may_be_two(self) -> bool:
        """Whether a plate may give two values, lowest and highest."""
        return self.key == VOLT


FIELDS: tuple[NameplateField, ...] = (
    NameplateField("volt", "V", 200, 250, "rated volts", (("compressor", "rated_volt"),
                                                        ("fan", "rated_volt"))),
    NameplateField("rla_a", "A", 3, 70, "compressor rated-load amps",
                   (("compressor", "rated_a"),)),
    NameplateField("lra_a", "A", 10, 350, "compressor locked-rotor amps",
                   (("compressor", "locked_a"),)),
    NameplateField("fan_fla_a", "A", 0.2, 8, "fan full-load amps", (("fan", "rated_a"),)),
    NameplateField("herm_uf", "µF", 10, 100, "compressor run capacitor",
                   (("compressor", "run_uf"), ("capacitor", "herm_uf"))),
    NameplateField("fan_uf", "µF", 2, 20, "fan run capacitor",
                   (("fan", "run_uf"), ("capacitor", "fan_uf"))),
    NameplateField("heater_w", "W", 20, 200, "crankcase heater", (("heater", "watt"),)),
    NameplateField("mca_a", "A", 5, 100, "minimum circuit ampacity"),
    NameplateField("mocp_a", "A", 10, 125, "maximum overcurrent device"),
)  # fmt: skip
"""Every line of the nameplate that Rungwise reads as a number."""

TEXTS = (
    "maker",
    "model",
    "serial",
    "refrigerant",
    "made",
    "owner",
    "address",
    "fan_rotation",
)
"""Lines of the nameplate kept as text."""


@dataclass(frozen=True)
class Nameplate:
    """The lines of one unit's nameplate that are filled in, by key."""

    numbers: Mapping[str, float] = field(default_factory=dict)
    texts: Mapping[str, str] = field(default_factory=dict)

    @classmethod
    def read(cls, table: Table) -> Nameplate:
        """The nameplate in a file's ``[nameplate]``; raises the document's error."""
        numbers: dict[str, float] = {}
        for line in FIELDS:
            numbers |= _numbers(table, line)
        texts = {key: text for key in TEXTS if (text := table.text(key, default=""))}
        table.done()
        return cls(numbers, texts)

    @property
    def lines(self) -> dict[str, float | str]:
        """Numbers and texts together, by key."""
        return {**self.numbers, **self.texts}

    def sets(self) -> Iterator[tuple[NameplateField, float]]:
        """The lines that give numbers, each with its number."""
        for line in FIELDS:
            if line.key in self.numbers:
                yield line, self.numbers[line.key]


def _numbers(table: Table, line: NameplateField) -> dict[str, float]:
    """What one line gives, by key: nothing, one number, or two where a plate may have two."""
    unit, low, high, what = line.unit, line.low, line.high, line.what
    if line.may_be_two:
        both = table.rating(line.key, unit=unit, low=low, high=high, what=what)
        if both is None:
            return {}
        return {VOLT: both[1]} | ({VOLT_LOW: both[0]} if both[0] < both[1] else {})
    number = table.number(line.key, unit=unit, low=low, high=high, what=what, default=None)
    return {} if number is None else {line.key: number}


def supply_range_v(plate: Mapping[str, float | str]) -> tuple[float, float] | None:
    """Between which volts the unit may run, at its terminals; None where the plate has none."""
    highest, lowest = plate.get(VOLT), plate.get(VOLT_LOW)
    if not isinstance(highest, float | int):
        return None
    low, high = SUPPLY_SHARE
    if isinstance(lowest, float | int):
        return LOWEST_OF_TWO * lowest, high * highest
    return low * highest, high * highest


def volts_told(plate: Mapping[str, float | str]) -> str:
    """The rated volts as the plate gives them: "208/230 V"; "" where it gives none."""
    if not isinstance(plate.get(VOLT), float | int):
        return ""
    both = [plate[key] for key in (VOLT_LOW, VOLT) if key in plate]
    return f"{'/'.join(f'{each:g}' for each in both)} V"
