"""What comes after the repair: trends, lives, weights of the faults, stock and visits."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rungwise.door import door

if TYPE_CHECKING:
    from rungwise.maintenance.contact_wear import ORDINARY_STARTS, pace
    from rungwise.maintenance.forecast import PartForecast, WayForecast
    from rungwise.maintenance.history import (
        ClosedCall,
        PartLife,
        Reading,
        ShopHistory,
        StockLine,
        UnitHistory,
        years,
    )
    from rungwise.maintenance.interval import Interval
    from rungwise.maintenance.measure import MEASURES, Measure
    from rungwise.maintenance.outlook import ShopOutlook, VisitPlan, shop_outlook
    from rungwise.maintenance.prices import ShopPrices
    from rungwise.maintenance.shop_file import ShopFile, read_shop, shop_schema
    from rungwise.maintenance.shop_weights import ShopWeights, learn_weights, start_weights
    from rungwise.maintenance.trend import Trend
    from rungwise.maintenance.van_stock import Carry
    from rungwise.maintenance.visit_list import UnitForecast
    from rungwise.maintenance.ways import family_of, way_of
else:
    __getattr__ = door(__name__)
