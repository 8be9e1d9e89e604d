"""Three springs of the Maple Hollow shop before its year of calls: visits that only measure.

Ages of the units are invented; what is measured is simulated by `shop_trial`, whose
parts wear as they happen to, each unit's own, and none of them is worn out by today. The parts
that the year's calls find at fault are other specimens: a trend may end in a fault that it did not
foretell.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from zoneinfo import ZoneInfo

import numpy as np

from rungwise import records
from rungwise.quantity import format_quantity, parse
from rungwise.records import Store, UnitOfWork
from rungwise.services import unit_from_text
from rungwise.unit.unit import Unit
from shop_trial.truth import (
    SLOTS,
    ShopTruth,
    TruePart,
    TrueWear,
    shop_truth,
    true_part,
)

__all__ = ["bring_springs", "date_units"]

SEED = 51
INSTALLED = ("2013-05-20", "2017-06-02", "2009", "2015-04-28", "2019-05-11", "2012-06-15", "2016",
             "2014-07-03", "2011-05-30", "2018-06-21", "2020-05-06", "")  # fmt: skip
"""When each unit was installed, in their order: of two only the year is known, of the last nothing.
"""

BACK_Y = (3, 2, 1)
SHOWN = {"capacitance": "µF", "contact_drop": "V", "insulation": "MΩ", "amps": "A"}


@dataclass(frozen=True)
class Followed:
    """What every spring visit to a unit measures: a check, and how the part behind it wears."""

    kind: str
    check: str
    rated: float
    wear: TrueWear
    part: TruePart

    def typed(self, age_y: float, rng: np.random.Generator) -> str:
        """What the meter shows at an age."""
        value = self.wear.shown(self.part.wear_at(0, self.wear, age_y), self.rated, rng)
        return format_quantity(value, SHOWN[self.wear.quantity])


def date_units(book: UnitOfWork) -> None:
    """Enter when the units were installed."""
    for unit, typed in zip(book.units.all(), INSTALLED, strict=True):
        if typed:
            book.units.leave(unit.id, "installed", typed)


def bring_springs(store: Store, people: list[int], today: dt.date, zone: ZoneInfo) -> int:
    """A visit to each unit of known age in each of the springs; how many there were."""
    with store.reading() as book:
        units = [(each, each.installed) for each in book.units.all() if each.installed]
    rng = np.random.default_rng(SEED)
    truth, made = shop_truth(rng), 0
    for number, (row, installed) in enumerate(units):
        age_y = (today - installed).days / 365.25
        held = list(_followed(unit_from_text(row.toml), truth, age_y, rng))
        for back in BACK_Y:
            when = dt.datetime(today.year - back, 4, 6 + number, 9, 0, tzinfo=zone)
            if when.date() >= installed and (today - when.date()).days > 370:
                then_y = (when.date() - installed).days / 365.25
                _visit(store, people[made % len(people)], row, then_y, when, held, rng)
                made += 1
    return made


def _followed(
    unit: Unit, truth: ShopTruth, age_y: float, rng: np.random.Generator
) -> Iterator[Followed]:
    """The checks of a spring visit, each on a part that has not worn out by now."""
    capacitor, fan = unit.part("capacitor").values, unit.part("fan").values
    lead = unit.wires_at("fan.C")[0][0].name
    for kind, check, slot, rated in (
        ("reading", "uf-capacitor-HERM-C", "capacitor", capacitor["herm_uf"]),
        ("reading", "uf-capacitor-FAN-C", "capacitor", capacitor["fan_uf"]),
        ("reading", "insulation-compressor", "compressor", 1.0),
        ("proof", "drop-contactor-L1-T1", "contactor", 1.0),
        ("proof", f"amps-{lead}", "fan", fan["rated_a"]),
    ):
        part = true_part(truth, slot, 0, 0.0, rng)
        while part.ends_y[0] < age_y:
            part = true_part(truth, slot, 0, 0.0, rng)
        wear = SLOTS[slot][2][0].wear
        if wear is not None:
            yield Followed(kind, check, rated, wear, part)


def _visit(  # who, where, when, and what is measured
    store: Store,
    person: int,
    unit: records.Unit,
    age_y: float,
    when: dt.datetime,
    held: list[Followed],
    rng: np.random.Generator,
) -> None:
    with store.writing(person, at=when) as book:
        call = book.calls.open(unit.id, title="Spring visit", technician_id=person, day=when.date())
        visit = book.visits.arrive(call.id)
        for each in held:
            typed, symbol = each.typed(age_y, rng), SHOWN[each.wear.quantity]
            noun = book.proofs if each.kind == "proof" else book.readings
            noun.take(call.id, each.check, typed, value=parse(typed, symbol), unit=symbol)
    with store.writing(person, at=when + dt.timedelta(minutes=50)) as book:
        book.visits.depart(visit.id)
        book.calls.close(call.id)
