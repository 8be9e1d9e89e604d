"""What the tests of papers share: one unit solved with few particles, a call file on it, a shop."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from tests.report.full import photo_bytes
from tests.tables import solved

from rungwise.records import Store
from rungwise.records.intake import bring_call
from rungwise.report import Worked, worked_file
from rungwise.services import DiagnosisService, unit_from_text
from rungwise.services.runtime.table_store import SUFFIX, digest_of

PARTICLES = 2
"""Enough to tell open from closed; the numbers of a verdict are tested where they are made."""

EXAMPLES = Path(__file__).parents[2] / "examples" / "maple-hollow"
UNIT = (EXAMPLES / "unit-01-mill-street.toml").read_text(encoding="utf-8")
WIRES = (EXAMPLES / "wires-02-contactor-left.toml").read_text(encoding="utf-8")
CALL = """\
# The gate sticks; push it.
unit = "unit.toml"
title = "No cooling; a new contactor was quoted"
customer = "Mrs. Finch"
technician = "R. Amari"
date = 2026-07-03
suspected = "contactor"
wires = "wires.toml"

[symptoms]
compressor = "silent"
plunger = "no"

[[readings]]
check = "volts-coil"
value = "0 V"

[[readings]]
check = "ohms-float_switch-1-2"
value = "OL"
note = "twice"

[[readings]]
check = "ohms-low_pressure-1-2"
value = "can't reach"

[proof]
repaired = ["float_switch"]

[[proof.readings]]
check = "amps-comp_c"
value = "15.8 A"

[proof.refrigerant]
name = "R-410A"
metering = "expansion valve"
suction_pressure = "124 psi"
suction_line = "54 °F"
target_superheat = "10 °F"
"""


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A call's file with unit and wires, and the unit's table beside it, made once."""
    made = tmp_path_factory.mktemp("call")
    for name, text in {"unit": UNIT, "wires": WIRES, "call": CALL}.items():
        (made / f"{name}.toml").write_text(text, encoding="utf-8")
    unit = unit_from_text(UNIT)
    digest = digest_of(unit)
    table = replace(solved(unit, particles=PARTICLES), digest=digest)
    table.save(made / f"unit{SUFFIX}")
    table.save(made / f"{digest}{SUFFIX}")
    return made


@pytest.fixture(scope="session")
def worked(folder: Path) -> Worked:
    return worked_file(str(folder / "call.toml"))


@pytest.fixture(scope="session")
def desk(folder: Path) -> Iterator[DiagnosisService]:
    made = DiagnosisService(folder)
    yield made
    made.close()


@pytest.fixture(scope="session")
def database(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> str:
    """The same call in the records."""
    url = f"sqlite:///{tmp_path_factory.mktemp('store') / 'shop.sqlite'}"
    store = Store.open(url)
    with store.writing() as book:
        book.shop.name_it("Hollow Cooling", zone="America/Chicago")
        amari = book.persons.add("R. Amari", zone="America/Chicago")
    with store.writing(amari) as book:
        bring_call(book, folder / "call.toml")
    store.close()
    return url


@pytest.fixture(scope="session")
def told_more(database: str) -> str:
    """The same records with what no file holds: a tick, a photo, a price, a signature."""
    store = Store.open(database)
    with store.writing() as book:
        amari = book.persons.named("R. Amari")
    with store.writing(amari) as book:
        book.steps.tick(1, "outdoor", 2, "Open the service switch.")
        book.photos.add(photo_bytes(1), call_id=1, shows="float switch", caption="as found")
        book.sign_offs.sign(1, "It cools again.", received_by="Mrs. Finch")
    store.close()
    return database
