"""A unit as the text of a unit file: the arrangement that it starts from, and what differs."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from typing import Any

from rungwise.parts import KINDS
from rungwise.unit import Part, Unit, Wire, unit_of_parameter


def text_of_unit(unit: Unit, base: Unit | None, *, remark: str = "") -> str:
    """The text that reads back as `unit`.

    base: the shipped arrangement that it starts from; None for a file that says everything.
    remark: a comment on the first line. The nameplate of `unit` is not written.
    """
    lines = [f"# {remark}"] if remark else []
    if base is not None:
        lines.append(f"arrangement = {_toml(base.name)}")
    lines.append(f"title = {_toml(unit.title)}")
    if base is None or base.hz != unit.hz:
        lines.append(f"hz = {_toml(unit.hz)}")
    gone = list(_gone(unit, base)) if base is not None else []
    if gone:
        lines.append(f"without = {_toml(gone)}")
    for part in unit.parts:
        lines += _part_lines(part, base.part_by_name.get(part.name) if base else None)
    for wire in unit.wires:
        lines += _wire_lines(wire, base.wire_by_name.get(wire.name) if base else None)
    if base is None:
        for cable in unit.cables:
            told = {"name": cable.name, "wires": list(cable.wires), "length_m": cable.length_m}
            lines += _table("[[cables]]", told)
    return "\n".join([*lines, ""])


def _gone(unit: Unit, base: Unit) -> Iterator[str]:
    """Parts and wires of the base that are not in the unit."""
    yield from (each.name for each in base.parts if each.name not in unit.part_by_name)
    yield from (each.name for each in base.wires if each.name not in unit.wire_by_name)


def _part_lines(part: Part, held: Part | None) -> list[str]:
    same = held is not None and held.kind == part.kind
    told: dict[str, Any] = {} if same else {"kind": part.kind}
    if held is None or held.place != part.place:
        told["place"] = part.place
    if part.label and not (same and held is not None and held.label == part.label):
        told["label"] = part.label
    if part.circuit and (held is None or held.circuit != part.circuit):
        told["circuit"] = part.circuit
    values = dict(held.values) if same and held is not None else {}
    for name, number in part.values.items():
        if values.get(name) != number:
            told[name] = _value(part.kind, name, number)
    return _table(f"[parts.{part.name}]", told) if told else []


def _value(kind: str, name: str, number: float) -> object:
    unit = unit_of_parameter(KINDS[kind].parameter(name))
    return f"{number!r} {unit}" if unit else number


def _wire_lines(wire: Wire, held: Wire | None) -> list[str]:
    told = _wire_keys(wire)
    before = _wire_keys(held) if held is not None else {}
    differs = {key: value for key, value in told.items() if before.get(key) != value}
    return _table("[[wires]]", {"name": wire.name, **differs}) if differs else []


def _wire_keys(wire: Wire) -> dict[str, Any]:
    return {
        "from": wire.start,
        "to": wire.end,
        "colour": wire.colour,
        "awg": wire.awg,
        "length_m": wire.length_m,
        "joints": list(wire.joints),
        "carries": wire.carries,
    }


def _table(head: str, keys: dict[str, Any]) -> list[str]:
    return ["", head, *(f"{key} = {_toml(value)}" for key, value in keys.items())]


def _toml(value: object) -> str:
    """A text, number or list of texts; JSON writes all of these as TOML does."""
    if isinstance(value, Iterable) and not isinstance(value, str):
        return f"[{', '.join(_toml(each) for each in value)}]"
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return json.dumps(value, ensure_ascii=False)
