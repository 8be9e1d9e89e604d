"""The shop that the pages are tested on, and small ways to use a page as a person does."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from fastapi.testclient import TestClient
from jsonschema import Draft202012Validator

from rungwise.records import Store
from rungwise.services import DiagnosisService
from rungwise.unit.unit import Unit

EXAMPLES = Path(__file__).parent.parent.parent / "examples" / "maple-hollow"
UNIT_TOML = (EXAMPLES / "unit-01-mill-street.toml").read_text(encoding="utf-8")


@dataclass(frozen=True)
class Shop:
    """Numbers of what is in the records."""

    amari: int
    okafor: int
    unit: int
    call: int


class Solving(DiagnosisService):
    """A desk that is still solving, whatever it is asked."""

    def ready(self, unit: Unit) -> float | None:
        del unit
        return 0.4


def furnish(store: Store) -> Shop:
    """Two persons, a customer with a unit, and an open call."""
    with store.writing() as book:
        book.shop.name_it("Hollow Cooling", zone="America/Chicago")
        amari = book.persons.add("R. Amari", zone="America/Chicago")
        okafor = book.persons.add("J. Okafor", zone="America/Denver")
        finch = book.customers.add("Mrs. Finch", phone="555 0142")
        site = book.sites.add(finch.id, "14 Mill Street", town="Maple Hollow")
        unit = book.units.add("14 Mill Street, 3 tons", toml=UNIT_TOML, site_id=site.id)
    with store.writing(amari) as book:
        call = book.calls.open(unit.id, title="No cooling", technician_id=amari.id)
    return Shop(amari.id, okafor.id, unit.id, call.id)


def give(
    page: TestClient, call: int, check: str, typed: str, *, look: bool = False, **more: Any
) -> Any:
    """Answer a check as its form does; more: other fields of the form. look: at the page after."""
    form = {"check": check, "typed": typed, "back": "check", **more}
    return page.post(f"/calls/{call}/readings", data=form, follow_redirects=look)


def twin(page: TestClient, path: str) -> Any:
    """The JSON of a page."""
    answer = page.get(path.replace("?", ".json?") if "?" in path else f"{path}.json")
    assert answer.status_code == 200, answer.text
    told = answer.json()
    validator_of(page, answer.url.path).validate(told)
    return told


_SCHEMAS: dict[str, Any] = {}
"""What /openapi.json tells, asked of the first app of a run: the same of every one."""


def validator_of(page: TestClient, path: str) -> Draft202012Validator:
    """That of the answer at a path, so that whatever a test reads is held to the description."""
    if not _SCHEMAS:
        _SCHEMAS.update(page.get("/openapi.json").json())
    paths = _SCHEMAS["paths"]
    (found,) = [each for each in paths if re.fullmatch(re.sub(r"\{\w+\}", "[^/]+", each), path)]
    body = paths[found]["get"]["responses"]["200"]["content"]["application/json"]["schema"]
    return Draft202012Validator({**body, "components": _SCHEMAS["components"]})


def token_in(html: str) -> str:
    """The token that a page's form carries."""
    found = re.search(r'name="token" value="([^"]+)"', html)
    assert found
    return found[1]
