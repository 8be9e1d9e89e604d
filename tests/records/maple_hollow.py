"""A small shop of the invented town, to test with."""

from __future__ import annotations

import io
from dataclasses import dataclass
from pathlib import Path

from PIL import Image

from rungwise.records import Store

EXAMPLES = Path(__file__).parents[2] / "examples" / "maple-hollow"
UNIT_TEXT = (EXAMPLES / "unit-01-mill-street.toml").read_bytes().decode()


@dataclass(frozen=True)
class Shop:
    """A store, and the numbers of what is in it."""

    store: Store
    amari: int
    okoro: int
    unit: int
    call: int

    def version(self) -> int:
        """What a form that is opened now would show."""
        with self.store.reading() as book:
            return book.calls.get(self.call).version


def furnished(store: Store) -> Shop:
    """Two persons in two zones, a customer with a unit, and an open call."""
    with store.writing() as book:
        book.shop.name_it("Hollow Cooling", zone="America/Chicago")
        amari = book.persons.add("R. Amari", zone="America/Chicago").id
        okoro = book.persons.add("S. Okoro", zone="Asia/Kolkata", role="apprentice").id
    with store.writing(amari) as book:
        finch = book.customers.add("Mrs. Finch", phone="555 0117")
        site = book.sites.add(finch.id, "14 Mill Street", town="Maple Hollow")
        unit = book.units.add("14 Mill Street", toml=UNIT_TEXT, site_id=site.id).id
        call = book.calls.open(unit, title="No cooling", technician_id=amari).id
    return Shop(store, amari, okoro, unit, call)


def photo_bytes(
    size: tuple[int, int] = (60, 40), kind: str = "JPEG", colour: str = "teal", **more: object
) -> bytes:
    """A picture file of one colour."""
    written = io.BytesIO()
    Image.new("RGB", size, colour).save(written, kind, **more)
    return written.getvalue()
