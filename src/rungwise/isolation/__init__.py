"""Isolation: what is live, how to make it dead, and the fewest readings that prove it."""

from __future__ import annotations

from rungwise.isolation.cautions import Caution
from rungwise.isolation.devices import Failure, IsolatingDevice, isolating_devices
from rungwise.isolation.live_points import LiveMap, LivePoint
from rungwise.isolation.plan_of_work import IsolationPlan, isolate
from rungwise.isolation.proving_check import ProvingCheck
from rungwise.isolation.proving_set import Proof, proving_set
from rungwise.isolation.steps import Step
from rungwise.isolation.stored_energy import StoredCharge, stored_charges
from rungwise.isolation.work_zone import ZONES

__all__ = [
    "ZONES",
    "Caution",
    "Failure",
    "IsolatingDevice",
    "IsolationPlan",
    "LiveMap",
    "LivePoint",
    "Proof",
    "ProvingCheck",
    "Step",
    "StoredCharge",
    "isolate",
    "isolating_devices",
    "proving_set",
    "stored_charges",
]
