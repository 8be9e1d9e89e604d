"""What a unit's nameplate says, and which parts' parameters it sets."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import TYPE_CHECKING

from rungwise.files import Keys, Number, Table, Text, TwoNumbers, read_keys
from rungwise.parts import SUPPLY_SHARE, Heater, Motor, PartKind
from rungwise.wording import mark

if TYPE_CHECKING:
    from rungwise.unit.unit import Unit

VOLT, VOLT_LOW = "volt", "volt_low"
"""Keys of the highest and, on a plate of two such as 208/230, the lowest rated volts."""

PHASES, HZ = "phases", "hz"
"""Keys of how many phases the plate asks for, and of the hertz that it is made for."""

RATED_VOLT = "rated_volt"
"""A motor's parameter; its label may give two values too, of which it has the higher."""

LOWEST_OF_TWO = 197.0 / 208.0
"""A plate of 208/230 V may have 197 to 253 V at its terminals: ANSI C84.1 and AHRI 110, from
memory. The top is 10% over the higher value, the bottom this share of the lower. Three-phase
motors of 208/230 V are marked 187 to 253 V, a tenth below the lower one."""


class Of(Enum):
    """Of what part of the unit a nameplate speaks: the role that the part has there."""

    COMPRESSOR = "compressors"
    OUTDOOR_FAN = "outdoor_fans"
    HEATER = "heaters"
    BLOWER = "indoor_blowers"
    ELEMENT = "elements"

    def parts(self, unit: Unit) -> tuple[str, ...]:
        """The parts that have the role, by name."""
        found: tuple[str, ...] = getattr(unit.roles, self.value)
        return found

    def fits(self, kind: PartKind) -> bool:
        """Whether a part of this kind may have the role, wherever it stands."""
        motor = kind.facet(Motor)
        if self in (Of.HEATER, Of.ELEMENT):
            heater = kind.facet(Heater)
            return heater is not None and (heater.warms == "oil") == (self is Of.HEATER)
        return motor is not None and motor.compresses == (self is Of.COMPRESSOR)


@dataclass(frozen=True, slots=True)
class NameplateField:
    """One line of the nameplate: key, unit, allowed range, and what it gives of which parts.

    Attributes:
        of: whose line it is; None of a line of the whole unit.
        parameters: those of the part that it gives.
        microfarads: whether it is also what is marked on the part's run capacitor.
        circuit: of parts on two refrigerant circuits only of those on this one.
        shared_by: how many of the part's unit go into one of the line's, which the parts share
            between them; 0 where each has the whole.
    """

    key: str
    unit: str
    low: float
    high: float
    what: str
    of: tuple[Of, ...] | None = None
    parameters: tuple[str, ...] = ()
    microfarads: bool = False
    circuit: str = ""
    shared_by: float = 0.0

    def share(self, number: float, among: int) -> float:
        """What one of so many parts has of the line's number."""
        return self.shared_by * number / among if self.shared_by else number

    def targets(self, unit: Unit) -> Iterator[tuple[str, str]]:
        """The parts and parameters of a unit that it gives, whatever the parts are called."""
        for part in (name for of in self.of or () for name in of.parts(unit)):
            if self.circuit not in ("", unit.part(part).circuit):
                continue
            known = {each.name for each in unit.kind_of(part).parameters if not each.hidden}
            yield from ((part, name) for name in self.parameters if name in known)
            for served in unit.roles.sections_serving(part) if self.microfarads else ():
                if served.section.purpose == "run":
                    yield served.capacitor, served.section.microfarads

    @property
    def may_be_two(self) -> bool:
        """Whether a plate may give two values, lowest and highest."""
        return self.key == VOLT


FIELDS: tuple[NameplateField, ...] = (
    NameplateField("volt", "V", 200, 600, mark("rated volts"), (Of.COMPRESSOR, Of.OUTDOOR_FAN),
                   (RATED_VOLT,)),
    NameplateField("rla_a", "A", 3, 70, mark("compressor rated-load amps"), (Of.COMPRESSOR,),
                   ("rated_a",)),
    NameplateField("lra_a", "A", 10, 350, mark("compressor locked-rotor amps"), (Of.COMPRESSOR,),
                   ("locked_a",)),
    NameplateField("rla_2_a", "A", 3, 70,
                   mark("rated-load amps of the second circuit's compressor"),
                   (Of.COMPRESSOR,), ("rated_a",), circuit="second"),
    NameplateField("lra_2_a", "A", 10, 350,
                   mark("locked-rotor amps of the second circuit's compressor"),
                   (Of.COMPRESSOR,), ("locked_a",), circuit="second"),
    NameplateField("fan_fla_a", "A", 0.2, 8, mark("fan full-load amps"), (Of.OUTDOOR_FAN,),
                   ("rated_a",)),
    NameplateField("blower_fla_a", "A", 0.2, 30, mark("blower full-load amps"), (Of.BLOWER,),
                   ("rated_a",)),
    NameplateField("heat_kw", "kW", 2, 60, mark("electric heat"), (Of.ELEMENT,), ("watt",),
                   shared_by=1000.0),
    NameplateField("herm_uf", "µF", 10, 100, mark("compressor run capacitor"), (Of.COMPRESSOR,),
                   ("run_uf",), microfarads=True),
    NameplateField("fan_uf", "µF", 2, 20, mark("fan run capacitor"), (Of.OUTDOOR_FAN,), ("run_uf",),
                   microfarads=True),
    NameplateField("heater_w", "W", 20, 200, mark("crankcase heater"), (Of.HEATER,), ("watt",)),
    NameplateField("phases", "", 1, 3, mark("phases of the supply")),
    NameplateField("hz", "Hz", 50, 60, mark("frequency of the supply")),
    NameplateField("mca_a", "A", 5, 200, mark("minimum circuit ampacity")),
    NameplateField("mocp_a", "A", 10, 225, mark("maximum overcurrent device")),
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
        """The nameplate in a file's `[nameplate]`; raises the document's error."""
        found = read_keys(table, nameplate_keys())
        numbers: dict[str, float] = {}
        for line in FIELDS:
            numbers |= _numbers(line, found[line.key])
        return cls(numbers, {key: found[key] for key in TEXTS if found[key]})

    @property
    def lines(self) -> dict[str, float | str]:
        """Numbers and texts together, by key."""
        return {**self.numbers, **self.texts}

    def sets(self) -> Iterator[tuple[NameplateField, float]]:
        """The lines that give numbers, each with its number."""
        for line in FIELDS:
            if line.key in self.numbers:
                yield line, self.numbers[line.key]


def nameplate_keys() -> Keys:
    """What may stand under each key of a `[nameplate]`."""
    numbers = {
        line.key: (TwoNumbers if line.may_be_two else Number)(
            line.what, unit=line.unit, low=line.low, high=line.high, subject=line.what
        )
        for line in FIELDS
    }
    return numbers | {key: Text(key) for key in TEXTS}


def _numbers(line: NameplateField, told: float | tuple[float, float] | None) -> dict[str, float]:
    """What one line gives, by key: nothing, one number, or two where a plate may have two."""
    if told is None:
        return {}
    if isinstance(told, tuple):
        low, high = told
        return {VOLT: high} | ({VOLT_LOW: low} if low < high else {})
    return {line.key: told}


def supply_range_v(plate: Mapping[str, float | str]) -> tuple[float, float] | None:
    """Between which volts the unit may run, at its terminals; None where the plate has none."""
    highest, lowest = plate.get(VOLT), plate.get(VOLT_LOW)
    if not isinstance(highest, float | int):
        return None
    low, high = SUPPLY_SHARE
    if isinstance(lowest, float | int):
        return (low if plate.get(PHASES) == 3 else LOWEST_OF_TWO) * lowest, high * highest
    return low * highest, high * highest


def volts_told(plate: Mapping[str, float | str]) -> str:
    """The rated volts as the plate gives them: "208/230 V"; "" where it gives none."""
    if not isinstance(plate.get(VOLT), float | int):
        return ""
    both = [plate[key] for key in (VOLT_LOW, VOLT) if key in plate]
    return f"{'/'.join(f'{each:g}' for each in both)} V"
