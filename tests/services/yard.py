"""Closed calls on a unit of the Maple Hollow shop, written down as a technician would."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from rungwise.quantity import parse
from rungwise.records import UnitOfWork

UNIT = (
    Path(__file__).parents[2] / "examples" / "maple-hollow" / "unit-01-mill-street.toml"
).read_text(encoding="utf-8")
TODAY = dt.date(2026, 7, 6)
NOW = dt.datetime(2026, 7, 6, 18, 0, tzinfo=dt.UTC)
CAPACITOR: Mapping[str, Any] = {
    "name": "dual 50+5", "for": "capacitor", "kind": "dual_capacitor",
    "herm_uf": "50 µF", "fan_uf": "5 µF", "volt": "440 V", "price": 12.4,
}  # fmt: skip
START_KIT: Mapping[str, Any] = {
    "name": "kit", "for": "compressor", "kind": "hard_start_kit", "start_uf": "150 µF",
    "volt": "330 V", "pick_up_volt": "260 V", "drop_out_volt": "90 V",
}  # fmt: skip


def unit(book: UnitOfWork, installed: str = "2014-05-20", title: str = "Mill Street") -> int:
    """A unit, installed as typed."""
    made = book.units.add(title, toml=UNIT)
    if installed:
        book.units.leave(made.id, "installed", installed)
    return made.id


def visit(  # what a call may tell, by name
    book: UnitOfWork,
    unit_id: int,
    day: str,
    *,
    readings: Mapping[str, str] | None = None,
    proofs: Mapping[str, str] | None = None,
    fitted: Mapping[str, Any] | None = None,
    fault: str = "",
    kind: str = "service",
    closed: bool = True,
) -> int:
    """A call of a day: readings to find the cause, proofs after the repair, what was fitted."""
    call = book.calls.open(unit_id, day=dt.date.fromisoformat(day), kind=kind).id
    for noun, told in ((book.readings, readings), (book.proofs, proofs)):
        for check, typed in (told or {}).items():
            symbol = typed.split()[-1].replace("mV", "V")
            noun.take(call, check, typed, value=parse(typed, symbol), unit=symbol)
    if fitted:
        book.fitted.fit(call, str(fitted["for"]), fitted)
    if fault:
        book.truths.tell(call, fault.partition(".")[0], suspect=fault)
    if closed:
        book.calls.close(call)
    return call
