"""The shop's prices: what parts, labour, trips and hot customers cost. In the shop's own money."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from rungwise.errors import BadQuantity
from rungwise.maintenance.ways import compressors, family_of
from rungwise.parts import FAMILIES, Way


@dataclass(frozen=True, slots=True)
class PartPrice:
    """A part and the minutes to put it in."""

    price: float
    minutes: float


def _parts() -> dict[str, PartPrice]:
    return {each.name: PartPrice(each.price, each.minutes) for each in FAMILIES}


def _harm() -> dict[str, float]:
    return {way.key: way.harm for family in FAMILIES for way in family.ways if way.harm}


@dataclass(frozen=True, slots=True)
class ShopPrices:
    """Every default is common practice, no source; a shop's file overrides them.

    labour_an_hour; visit: a planned visit, travel included; breakdown: what a call in the season
    costs beyond the repair (overtime, travel, a hot customer); second_trip: when the part is not
    on the van; holding_a_year: share of a part's cost that a year on the van costs (money, space,
    damage); parts: by family; harm: chance that a failure of this way takes the compressor with
    it; discount: share by which next year's money counts less.
    """

    labour_an_hour: float = 95.0
    visit: float = 90.0
    breakdown: float = 260.0
    second_trip: float = 130.0
    holding_a_year: float = 0.30
    discount: float = 0.05
    parts: Mapping[str, PartPrice] = field(default_factory=_parts)
    harm: Mapping[str, float] = field(default_factory=_harm)

    def __post_init__(self) -> None:
        amounts = {
            "labour_an_hour": self.labour_an_hour, "visit": self.visit,
            "breakdown": self.breakdown, "second_trip": self.second_trip,
            "holding_a_year": self.holding_a_year, "discount": self.discount,
        }  # fmt: skip
        for name, amount in amounts.items():
            if not amount >= 0.0:
                raise BadQuantity(what=f"The price {name} must be 0 or more.", value=amount)

    def planned(self, kind: str) -> float:
        """Part and labour for a part of this kind, while somebody is there anyway."""
        return self.put_in(family_of(kind))

    def failure(self, way: Way) -> float:
        """What it costs when a part ends this way in the season."""
        harm = self.harm.get(way.key, 0.0) * self.put_in(compressors().name)
        return self.put_in(way.family) + self.breakdown + harm

    def put_in(self, family: str) -> float:
        """Part and labour for a part of this family; raises KeyError for none of them."""
        part = self.parts[family]
        return part.price + part.minutes / 60.0 * self.labour_an_hour
