"""Isolation: where the hands go, how that place is made dead, and the readings that prove it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rungwise.door import door

if TYPE_CHECKING:
    from rungwise.isolation.cautions import cautions_at
    from rungwise.isolation.devices import IsolatingDevice, isolating_devices
    from rungwise.isolation.discharge import EMPTY_VOLT, decay_s
    from rungwise.isolation.live_points import LiveMap, LivePoint
    from rungwise.isolation.plan_of_work import isolate, scope_touching
    from rungwise.isolation.scopes import SCOPES
    from rungwise.isolation.shape import (
        KNOWN_SOURCE,
        Failed,
        Opened,
        Reading,
        Refusal,
        Scope,
        StaysLive,
        Step,
        WorkPlan,
    )
    from rungwise.isolation.stored_energy import StoredCharge, stored_charges
    from rungwise.isolation.supplies import SupplyWay, devices_that_cut, gaps_of, supply_ways
    from rungwise.isolation.variants import NO_EDITS
    from rungwise.isolation.wording import (
        list_words,
        pair_words,
        point_words,
        points_words,
        volts_words,
    )
else:
    __getattr__ = door(__name__)
