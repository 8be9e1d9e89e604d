"""What several tests here look at, solved once a process."""

from __future__ import annotations

from functools import cache

from rungwise.circuit.plan import Plan
from rungwise.isolation import IsolationPlan, isolate
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import ARRANGEMENTS, arrangement

NAMES = tuple(ARRANGEMENTS)


@cache
def unit(name: str) -> Unit:
    return arrangement(name)


@cache
def plan(name: str) -> Plan:
    return Plan(unit(name))


@cache
def isolation(name: str, zone: str = "outdoor") -> IsolationPlan:
    return isolate(unit(name), zone=zone)
