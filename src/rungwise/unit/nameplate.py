"""What a unit's nameplate says, and which parts' parameters it sets."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from rungwise.unit.table import Table


@dataclass(frozen=True, slots=True)
class NameplateField:
    """One line of the nameplate: key, unit, allowed range, and the parameters that it gives."""

    key: str
    unit: str
    low: float
    high: float
    what: str
    sets: tuple[tuple[str, str], ...] = ()


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
            number = table.number(
                line.key,
                unit=line.unit,
                low=line.low,
                high=line.high,
                what=line.what,
                default=None,
            )
            if number is not None:
                numbers[line.key] = number
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
