"""The `[proof]` of a call file, from what stands in the records and back again.

A reading is kept under its check's id, a field of the proof under its table and key with a dot
between: `air.return_dry`; those of `[proof]` itself under `proof.repaired` and so on.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from rungwise.diagnosis import CheckCard, value_of
from rungwise.errors import BadReading
from rungwise.quantity import in_range, parse
from rungwise.verification import microfarads_under_load
from rungwise.wording import mark

TOP = "proof"
REPAIRED, FOUND = "proof.repaired", "proof.found"
LISTS = (REPAIRED, FOUND, "proof.line_volts")
FLAGS: Mapping[str, bool] = {"yes": True, "no": False}
WET = "conditions.outdoor_coil_wet"
COOLING = ("refrigerant", "air")
"""Tables of what proves that the unit cools."""

TABLES = ("conditions", *COOLING)
NEEDED: Mapping[str, str] = {"refrigerant": "metering", "air": "return_dry"}
"""Without these a table says nothing, and the engine refuses it."""

_AMPS_VOLTS = re.compile(r"(.*\dm?\s*m?A)\s*[,;]\s*(.*\d\s*V)")
_BETWEEN = re.compile(r"\s*;\s*|,\s+|\s+/\s+")


class ProofLine(NamedTuple):
    """One thing that was told of a proof, as typed. check: the check's id, or a field's."""

    check: str
    typed: str
    note: str = ""


def is_field(check: str) -> bool:
    """Whether it is a field of the proof, and no check of a unit."""
    return bool(table_of(check))


def table_of(name: str) -> str:
    """The table that a field of the proof is in; "" for what is no field of it."""
    return _place(name)[0]


def _place(name: str) -> tuple[str, str]:
    """The table and the key of a field: this is where its name is taken apart."""
    for table in (TOP, *TABLES):
        if name.startswith(f"{table}."):
            return table, name.removeprefix(f"{table}.")
    return "", name


def as_list(typed: str) -> list[str]:
    """The pieces of a field that holds several: "230 V, 232 V, 228 V"."""
    return [each.strip() for each in _BETWEEN.split(typed) if each.strip()]


def proof_values(told: Sequence[ProofLine]) -> dict[str, Any]:
    """The values of `[proof]`; none where it is not told what was repaired.

    A table that lacks what it needs is left out: it does not speak.
    """
    fields = {each.check: each.typed for each in told if is_field(each.check)}
    if not fields.get(REPAIRED, "").strip():
        return {}
    tables = {table: _fields(table, fields) for table in TABLES}
    readings = [_reading(each) for each in told if not is_field(each.check)]
    return {
        **_fields(TOP, fields),
        **({"readings": readings} if readings else {}),
        **{table: each for table, each in tables.items() if each and not _lacks(table, each)},
    }


def proof_lines_in(data: Mapping[str, Any]) -> Iterator[ProofLine]:
    """What a `[proof]` tells, in the order in which it is written again; `data`: its table."""
    for key, value in data.items():
        if key == "readings":
            yield from (_line_of(row) for row in value)
        elif isinstance(value, Mapping):
            yield from (ProofLine(f"{key}.{name}", _typed(it)) for name, it in value.items())
        else:
            yield ProofLine(f"{TOP}.{key}", _typed(value))


def value_in(card: CheckCard, typed: str, hz: float) -> float | str | None:
    """What was typed as an outcome of a check; µF under load also as "6.3 A, 371 V".

    hz: of the supply. Raises BadReading, BadQuantity for what the check cannot have.
    """
    pair = _AMPS_VOLTS.fullmatch(typed.strip()) if card.unit == "µF" else None
    if pair is None:
        return value_of(card, typed)
    amp = in_range(parse(pair[1], "A", what=mark("amps")), 0.0, 100.0, "A", "amps", typed=pair[1])
    volt = in_range(
        parse(pair[2], "V", what=mark("volts")), 20.0, 1000.0, "V", "volts", typed=pair[2]
    )
    if not amp > 0.0:
        raise BadReading(
            what=mark("No amps: the start winding's lead carries none."), value=pair[1],
            allowed="above 0 A", next_step=mark("clamp around the one wire from the capacitor"),
        )  # fmt: skip
    return microfarads_under_load(amp, volt, hz)


def _reading(line: ProofLine) -> dict[str, str]:
    pair = _AMPS_VOLTS.fullmatch(line.typed.strip())
    told = {"amps": pair[1], "volts": pair[2]} if pair else {"value": line.typed}
    return {"check": line.check, **told} | ({"note": line.note} if line.note.strip() else {})


def _line_of(row: Mapping[str, Any]) -> ProofLine:
    typed = f"{row['amps']}, {row['volts']}" if "value" not in row else str(row["value"])
    return ProofLine(str(row["check"]), typed, str(row.get("note", "")))


def _lacks(table: str, values: Mapping[str, Any]) -> bool:
    return table in NEEDED and NEEDED[table] not in values


def _fields(table: str, fields: Mapping[str, str]) -> dict[str, Any]:
    """What stands in a table, by its key there; what is blank is left out."""
    found: dict[str, Any] = {}
    for name, typed in fields.items():
        first, key = _place(name)
        if first == table and typed.strip():
            found[key] = as_list(typed) if name in LISTS else _flag(name, typed)
    return found


def _flag(name: str, typed: str) -> str | bool:
    return FLAGS.get(typed, typed) if name == WET else typed


def _typed(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Iterable) and not isinstance(value, str):
        return ", ".join(str(each) for each in value)
    return str(value)
