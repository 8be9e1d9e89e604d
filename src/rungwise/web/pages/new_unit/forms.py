"""A nameplate as a form: its fields, and what can be said of each as it is left."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Literal

from rungwise.errors import BadInput
from rungwise.files import Document, KeyPath, key_text
from rungwise.parts import KINDS
from rungwise.quantity import in_range, parse, parse_rating, quantity_told, range_text
from rungwise.replacement import PlateFinding, contradictions_of
from rungwise.services import RESULTS, unit_from_text
from rungwise.unit import FIELDS, TEXTS, VOLT, arrangement, volts_told
from rungwise.web.pages.new_unit.estimates import FILE, plain, with_estimates
from rungwise.web.reasons import reason_of
from rungwise.wording import capital, mark

_plates = RESULTS.shelf("nameplates")

Level = Literal["wrong", "doubt", "fine", ""]


@dataclass(frozen=True)
class PlateField:
    """One line of the form. path: where it stands in the unit file. unit: "" for a text."""

    key: str
    path: KeyPath
    label: str
    unit: str = ""
    low: float | None = None
    high: float | None = None
    measured: bool = False

    @property
    def is_text(self) -> bool:
        """Whether it takes any words, and no figure."""
        return not self.unit and self.low is None

    @property
    def hint(self) -> str:
        """The allowed range."""
        return "" if self.is_text else range_text(self.low, self.high, self.unit)


@dataclass(frozen=True)
class FieldVerdict:
    """What can be said of a field. "" as level: nothing but that it is kept.

    refused: whether it cannot be read at all, so that the unit goes without it.
    """

    level: Level
    text: str
    refused: bool = False


LABELS = {
    "volt": mark("Volts"),
    "phases": mark("Phases"),
    "hz": "Hz",
    "rla_a": mark("RLA, compressor rated-load amps"),
    "lra_a": mark("LRA, compressor locked-rotor amps"),
    "fan_fla_a": mark("FLA, outdoor fan full-load amps"),
    "herm_uf": mark("Capacitor HERM"),
    "fan_uf": mark("Capacitor FAN"),
    "heater_w": mark("Crankcase heater"),
    "mca_a": mark("MCA, minimum circuit ampacity"),
    "mocp_a": mark("MOCP, maximum fuse or breaker"),
    "maker": mark("Maker"),
    "model": mark("Model"),
    "serial": mark("Serial number"),
    "refrigerant": mark("Refrigerant"),
    "made": mark("Made in"),
}

HERM, FAN = "herm_uf", "fan_uf"
"""The fields of a dual capacitor's two sections."""

_TWO_SECTIONS = re.compile(
    r"\s*([0-9]+(?:[.,][0-9]+)?)\s*[A-Za-zµ]*\s*[/+]\s*([0-9]+(?:[.,][0-9]+)?)\s*([A-Za-zµ]*)\s*"
)

_OF_PARTS = (
    ("capacitor_v", "capacitor", "volt", mark("Capacitor volts"), False),
    ("main_ohm", "compressor", "main_ohm", mark("Compressor C to R"), True),
    ("aux_ohm", "compressor", "aux_ohm", mark("Compressor C to S"), True),
)
"""Fields that are a part's own: key, part, parameter, label, whether a meter tells it."""

_RULES = {
    "plate.mca": ("mca_a",),
    "plate.mocp_below_mca": ("mocp_a", "mca_a"),
    "plate.mocp_size": ("mocp_a",),
    "plate.mocp_above": ("mocp_a",),
    "plate.lra": ("lra_a", "rla_a"),
    "plate.volts": ("volt",),
}
"""Fields that a finding is about, by its rule."""

_MOTOR_FIELDS = {
    "compressor": ("rla_a", "lra_a", "herm_uf", "main_ohm", "aux_ohm"),
    "fan": ("fan_fla_a", "fan_uf"),
}
"""The same by what a motor drives."""


@_plates.memo
def fields_of(text: str) -> tuple[PlateField, ...]:
    """The lines of the form for the unit file `text`: those its parts have a use for."""
    return tuple(_fields(_parts(text)))


def _parts(text: str) -> dict[str, str]:
    """Kind of each part by name, read without the nameplate, which may be half typed."""
    data = Document(plain(text), file=FILE).data
    named = data.get("arrangement")
    kinds = dict(_kinds_of(str(named))) if named else {}
    for name, table in data.get("parts", {}).items():
        kinds[name] = str(table.get("kind", kinds.get(name, "")))
    return {name: kind for name, kind in kinds.items() if name not in data.get("without", [])}


@cache
def _kinds_of(name: str) -> tuple[tuple[str, str], ...]:
    """Name and kind of each part of an arrangement."""
    return tuple((part.name, part.kind) for part in arrangement(name).parts)


def _fields(kinds: dict[str, str]) -> Iterator[PlateField]:
    there = [KINDS[kind] for kind in kinds.values() if kind in KINDS]
    for line in FIELDS:
        if line.of is None or any(of.fits(kind) for of in line.of for kind in there):
            path: KeyPath = ("nameplate", line.key)
            label = LABELS.get(line.key) or capital(line.what)
            yield PlateField(line.key, path, label, line.unit, line.low, line.high)
    for key, part, parameter, label, measured in _OF_PARTS:
        known = KINDS[kinds[part]].parameters if kinds.get(part) in KINDS else ()
        for each in known:
            if each.name == parameter:
                path = ("parts", part, parameter)
                yield PlateField(key, path, label, each.unit, each.low, each.high, measured)
    for key in TEXTS:
        if key in LABELS:
            yield PlateField(key, ("nameplate", key), LABELS[key])


def two_sections(typed: str) -> tuple[str, str] | None:
    """Compressor's and fan's µF of a dual capacitor's label, "45+5" or "45/5 MFD"; else None.

    The compressor's is the larger, whichever stands first.
    """
    found = _TWO_SECTIONS.fullmatch(typed)
    if found is None:
        return None
    first, second, unit = found.groups()
    large, small = sorted((first, second), key=lambda each: -float(each.replace(",", ".")))
    return f"{large} {unit or 'µF'}", f"{small} {unit or 'µF'}"


@_plates.memo
def left(text: str, field: PlateField, typed: str) -> str:
    """The unit file with what was typed into a field, whether or not it can be used.

    What the plate does not say is estimated again from what it says now.
    """
    return with_estimates(Document(plain(text), file=FILE).with_value(field.path, typed.strip()))


@_plates.memo
def said_of(text: str, field: PlateField, typed: str, *, alone: bool = False) -> FieldVerdict:
    """What can be said of what was typed into one field.

    text: the unit file as it stands. alone: only whether the field itself can be read.
    """
    if not typed.strip():
        return FieldVerdict("", "")
    if field.is_text:
        return FieldVerdict("", mark("Saved."))
    try:
        number = _number(field, typed)
    except BadInput as error:
        return FieldVerdict("wrong", reason_of(error), refused=True)
    return FieldVerdict("", "") if alone else _beside(text, field, number)


def _number(field: PlateField, typed: str) -> float:
    """What was typed; of two ratings, such as 208/230 V, the higher. Raises BadQuantity."""
    told = parse_rating if field.key == VOLT else _once
    both = told(typed, field.unit, what=field.label)
    for each in both:
        in_range(each, field.low, field.high, field.unit, field.label, typed=typed)
    return both[1]


def _once(typed: str, unit: str, *, what: str) -> tuple[float, float]:
    number = parse(typed, unit, what=what)
    return number, number


def _beside(text: str, field: PlateField, number: float) -> FieldVerdict:
    """What a figure says beside the others of the plate."""
    try:
        unit = unit_from_text(text)
    except BadInput as error:
        ours = error.key == key_text(field.path)
        return FieldVerdict("wrong", reason_of(error)) if ours else FieldVerdict("", mark("Saved."))
    found = [each for each in contradictions_of(unit) if field.key in _about(each)]
    worst = min(found, key=lambda each: _ORDER.index(each.level.value), default=None)
    if worst is None or worst.level.value == "fine":
        volts = volts_told(unit.nameplate) if field.key == VOLT else ""
        return FieldVerdict("fine", f"{volts or quantity_told(number, field.unit, 4)}. OK")
    return FieldVerdict(_LEVELS[worst.level.value], worst.text)


def said_of_all(text: str) -> tuple[FieldVerdict, ...]:
    """What the plate's figures say together; what is wrong first."""
    try:
        found = contradictions_of(unit_from_text(text))
        ordered = sorted(found, key=lambda each: _ORDER.index(each.level.value))
    except BadInput as error:
        return (FieldVerdict("wrong", reason_of(error)),)
    return tuple(FieldVerdict(_LEVELS[each.level.value], each.text) for each in ordered)


_ORDER = ("wrong", "doubt", "fine")
_LEVELS: dict[str, Level] = {"wrong": "wrong", "doubt": "doubt", "fine": "fine"}


@_plates.memo
def typed_in(text: str, field: PlateField) -> str:
    """What the unit file has in a field, without what was estimated."""
    node: object = Document(plain(text), file=FILE).data
    for step in field.path:
        node = node.get(step, "") if isinstance(node, dict) else ""
    return str(node)


def _about(finding: PlateFinding) -> tuple[str, ...]:
    """The fields that a finding is about."""
    if finding.rule in _RULES:
        return _RULES[finding.rule]
    return _MOTOR_FIELDS.get(finding.drives, ())
