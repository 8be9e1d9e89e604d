"""Isolation: where the hands go, how that place is made dead, and the readings that prove it."""

from __future__ import annotations

from rungwise.isolation.devices import IsolatingDevice, isolating_devices
from rungwise.isolation.live_points import LiveMap, LivePoint
from rungwise.isolation.plan_of_work import isolate
from rungwise.isolation.scopes import SCOPES
from rungwise.isolation.shape import (
    KNOWN_SOURCE,
    Caution,
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

__all__ = [
    "KNOWN_SOURCE",
    "SCOPES",
    "Caution",
    "Failed",
    "IsolatingDevice",
    "LiveMap",
    "LivePoint",
    "Opened",
    "Reading",
    "Refusal",
    "Scope",
    "StaysLive",
    "Step",
    "StoredCharge",
    "WorkPlan",
    "isolate",
    "isolating_devices",
    "stored_charges",
]
