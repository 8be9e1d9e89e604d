"""The type of a shop's outlook: `rungwise upkeep --json`, the twin of its page, /openapi.json."""

from __future__ import annotations

from typing import Literal, NotRequired

from typing_extensions import TypedDict

from rungwise.services.results import Figure


class IntervalResult(TypedDict):
    """Between which values something lies, with the chance `level`."""

    low: Figure
    middle: Figure
    high: Figure
    level: float


class MeasuredResult(TypedDict):
    """What is measured of wear, in `unit`; now: by its trend. limit: where its end is."""

    quantity: str
    unit: str
    readings: int
    now: IntervalResult
    limit: Figure


class WayResult(TypedDict):
    """A way in which a part ends, and the years that are left. measured: where readings tell it."""

    way: str
    title: str
    chance: float
    years_left: IntervalResult
    measured: NotRequired[MeasuredResult]


class PartAheadResult(TypedDict):
    """A part that may fail: its chance until the next visit, and what replacing it would save."""

    part: str
    kind: str
    age_years: float
    chance: float
    advice: Literal["replace", "leave"]
    basis: str
    readings: int
    replacing_saves: float
    replace_cost: float
    leave_cost: float
    break_even_chance: Figure
    ways: list[WayResult]


class UnitAheadResult(TypedDict):
    """A unit with the chance of a call, what a visit saves, and the parts that make it so."""

    unit: str
    chance: float
    visit_saves: float
    last_seen: str
    parts: list[PartAheadResult]


class CarryResult(TypedDict):
    """How many of a part to have on the van, and how often that is too few."""

    part: str
    carry: int
    cost: float
    service_level: float
    expected_use: float
    chance_short: float


class LifeResult(TypedDict):
    """The life of a part by one way: shape and scale, years, and the failures seen."""

    shape: IntervalResult
    scale_years: IntervalResult
    failures: int


class WeightResult(TypedDict):
    """A weight that closed calls moved: from its start to what it is now."""

    kind: str
    mode: str
    start: float
    mean: float
    interval: IntervalResult
    calls: int


class OutlookResult(TypedDict):
    """What is coming for a shop. visits: units, the first to be seen first. calls: closed ones."""

    title: str
    today: str
    ahead_years: float
    visits: list[str]
    units: list[UnitAheadResult]
    stock: list[CarryResult]
    lives: dict[str, LifeResult]
    weights: list[WeightResult]
    calls: int


class NoticeResult(TypedDict):
    """A unit of the records, and why it was left out or taken roughly."""

    unit: int
    title: str
    why: str


class ShopAheadResult(OutlookResult):
    """The outlook by a shop's records, with what of them could not be used."""

    left_out: list[NoticeResult]
    taken_roughly: list[NoticeResult]
    van_lists: list[str]
