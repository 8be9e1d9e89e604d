"""Which isolating devices stand in series, from the source to the load."""

from __future__ import annotations

from collections.abc import Sequence

from rungwise.isolation.devices import IsolatingDevice
from rungwise.isolation.live_points import LiveMap

SupplyPath = tuple[IsolatingDevice, ...]


def supply_paths(standby: LiveMap, devices: Sequence[IsolatingDevice]) -> tuple[SupplyPath, ...]:
    """The devices grouped by supply path, each path from its source to its load.

    Asked of the circuit, solved with the thermostat off: A stands before B when opening A alone
    takes the volts to earth off a line terminal of B.
    """
    before = {device.name: _feeders(standby, device, devices) for device in devices}
    paths: list[list[IsolatingDevice]] = []
    for device in sorted(devices, key=lambda d: len(before[d.name])):
        joined = [path for path in paths if any(d.name in before[device.name] for d in path)]
        paths = [path for path in paths if path not in joined]
        paths.append([d for path in joined for d in path] + [device])
    return tuple(tuple(path) for path in paths)


def _feeders(
    standby: LiveMap, device: IsolatingDevice, devices: Sequence[IsolatingDevice]
) -> frozenset[str]:
    """Names of the devices between this one and its source."""
    lines = standby.at_points([pole.line for pole in device.poles])
    fed = {point.terminal for point in lines.live(())}
    others = [other.name for other in devices if other is not device]
    return frozenset(n for n in others if fed - {point.terminal for point in lines.live((n,))})
