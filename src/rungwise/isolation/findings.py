"""Everything that the solved circuit says about making one work zone dead."""

from __future__ import annotations

from dataclasses import dataclass

from rungwise.circuit.plan import Plan
from rungwise.isolation.devices import IsolatingDevice, isolating_devices
from rungwise.isolation.lead_places import part_of, supply_legs
from rungwise.isolation.live_points import LiveMap, LivePoint, Opened
from rungwise.isolation.proving_set import Proof, proving_set
from rungwise.isolation.stored_energy import StoredCharge, stored_charges
from rungwise.isolation.supply_paths import SupplyPath, supply_paths
from rungwise.isolation.variants import NO_EDITS, Edits
from rungwise.isolation.work_zone import ZONES, zone_points
from rungwise.unit.unit import Unit


@dataclass(frozen=True)
class Findings:
    """What stands in the circuit, before it is put into steps and words.

    ``paths``: the devices that feed the zone, by supply path, from source to load.
    ``failed``: those of them that the known fault keeps from isolating; the order leaves them out.
    ``legs``: points of the zone that its supply comes in at.
    ``live_before``: live points of the zone with the thermostat off and nothing opened.
    ``low_voltage``: its points at 5 to 50 V while the thermostat calls, once it is rid of the
    higher volts.  ``live_after``: points of the zone still live when all of the order is open.
    ``still_live``: live points outside the zone, and on its devices, after each stage of the order.
    ``dead_sets``: the smallest sets of devices that, open, leave no live point in the zone.
    """

    unit: Unit
    zone: str
    known_fault: Edits
    paths: tuple[SupplyPath, ...]
    failed: tuple[IsolatingDevice, ...]
    proof: Proof
    legs: tuple[str, ...]
    live_before: tuple[LivePoint, ...]
    low_voltage: tuple[LivePoint, ...]
    live_after: tuple[LivePoint, ...]
    still_live: tuple[tuple[LivePoint, ...], ...]
    dead_sets: tuple[Opened, ...]
    stored: tuple[StoredCharge, ...]


def find(plan: Plan, zone: str, base: Edits, *, inside_devices: bool = False) -> Findings:
    """Solve all that the plan of work for ``zone`` rests on.

    ``base`` is the known fault.  Which devices feed the zone is asked of the unit as designed,
    since a fault that hides a supply now may go away.
    """
    unit = plan.unit
    points = zone_points(unit, zone, inside_devices=inside_devices)
    off, calling = _maps(plan, NO_EDITS)
    feeding = [
        device
        for device in isolating_devices(unit)
        if any(each.at_points(points).reached_by(device) for each in (off, calling))
    ]
    paths = supply_paths(off, feeding)
    from_load = [device for path in paths for device in reversed(path)]
    failed = tuple(device for device in from_load if _known_stuck(device, base))
    proof = proving_set(plan, base, [d for d in from_load if d not in failed], points)
    if base:
        off, calling = _maps(plan, base)
    opened = [device.name for device in proof.order]
    here = off.at_points(points)
    outside = off.at_points([t for t in unit.terminals() if t not in points or _on_device(unit, t)])
    dead_sets = here.dead_sets()
    return Findings(
        unit,
        zone,
        base,
        paths,
        failed,
        proof,
        supply_legs(unit, points, feeding),
        here.live(()),
        calling.at_points(points).low(dead_sets[0] if dead_sets else opened),
        here.live(opened),
        tuple(outside.live(opened[: n + 1]) for n in range(len(opened))),
        dead_sets,
        stored_charges(plan, base, ZONES[zone][1]),
    )


def _maps(plan: Plan, base: Edits) -> tuple[LiveMap, LiveMap]:
    """The whole unit with the thermostat off, and calling for cooling."""
    devices, everywhere = isolating_devices(plan.unit), plan.unit.terminals()
    off, calling = (LiveMap(plan, devices, everywhere, base, call) for call in ("off", "cool"))
    return off, calling


def _on_device(unit: Unit, terminal: str) -> bool:
    return bool(unit.kind_of(part_of(terminal)).isolates)


def _known_stuck(device: IsolatingDevice, base: Edits) -> bool:
    return any(base.get(pole.stuck, 0.0) > 0 for pole in device.poles)
