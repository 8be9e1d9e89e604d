"""Ways in which a description comes to be unusual or wrong, each drawn on a copy of it.

A damage that the description and the yard share makes an odd unit; the same damage of one of the
two alone makes a wrong description.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import numpy as np

from rungwise.other_world.wired import DEVICES, TERMINALS, Wired
from rungwise.unit import part_of

Damage = Callable[[Wired, np.random.Generator], None]
"""Changes a description in place by one drawn damage."""

_SUPPLY = ("panel_l1", "panel_l2", "panel_indoor", "run_l1", "run_l2", "whip_l1", "whip_l2",
           "indoor_run", "indoor_neutral")  # fmt: skip
_CABINET = ("contactor.L1", "contactor.L2", "contactor.T1", "contactor.T2")
_PLACES = ("panel", "disconnect", "outdoor", "indoor", "room")


def _pick(rng: np.random.Generator, names: Sequence[str]) -> str:
    return names[int(rng.integers(len(names)))]


def _some(rng: np.random.Generator, names: Sequence[str], most: int) -> list[str]:
    count = int(rng.integers(1, min(most, len(names)) + 1))
    return [names[at] for at in rng.choice(len(names), count, replace=False)]


def wires_forgotten(unit: Wired, rng: np.random.Generator) -> None:
    """One to four wires left out."""
    for name in _some(rng, list(unit.wires), 4):
        del unit.wires[name]


def supply_wires_forgotten(unit: Wired, rng: np.random.Generator) -> None:
    """One to four wires between the service and the two cabinets left out."""
    for name in _some(rng, [n for n in _SUPPLY if n in unit.wires], 4):
        del unit.wires[name]


def cabinet_wires_forgotten(unit: Wired, rng: np.random.Generator) -> None:
    """Most wires on one part of the outdoor unit left out."""
    part = _pick(rng, unit.at("outdoor"))
    for name in _some(rng, [w for t in unit.terminals([part]) for w in unit.on(t)], 6):
        unit.wires.pop(name, None)


def wire_moved(unit: Wired, rng: np.random.Generator) -> None:
    """An end of a wire on a terminal where it does not belong."""
    name, end = _pick(rng, list(unit.wires)), _pick(rng, ("from", "to"))
    here = part_of(unit.wires[name][end])
    near = rng.random() < 0.5 and len(unit.terminals([here])) > 2
    there = unit.terminals([here] if near else None)
    other = unit.wires[name]["to" if end == "from" else "from"]
    options = [t for t in there if t not in (unit.wires[name][end], other)]
    unit.wires[name][end] = _pick(rng, options)


def jumper(unit: Wired, rng: np.random.Generator) -> None:
    """A wire between two terminals of line volts."""
    points = [t for n in unit.devices() for t in unit.terminals([n])]
    points += unit.terminals(unit.of_kind("contactor_1p", "contactor_2p", "compressor"))
    a = _pick(rng, points)
    unit.add_wire("jumper", a, _pick(rng, [p for p in points if p != a]))


def device_jumpered(unit: Wired, rng: np.random.Generator) -> None:
    """A wire past one pole of a device, or past both."""
    device = _pick(rng, unit.devices())
    poles = range(1, DEVICES[unit.parts[device]["kind"]] + 1)
    for pole in _some(rng, [str(p) for p in poles], 2):
        unit.add_wire(f"past_{pole}", f"{device}.line{pole}", f"{device}.load{pole}")


def supply_shorted(unit: Wired, rng: np.random.Generator) -> None:
    """A wire from leg to leg or from a leg to the neutral."""
    pairs = (("contactor.L1", "contactor.L2"), ("disconnect.line1", "disconnect.line2"),
             ("disconnect.load1", "disconnect.load2"), ("service.L1", "service.L2"),
             ("outdoor_breaker.load1", "outdoor_breaker.load2"),
             ("service_switch.load1", "neutral.N"))  # fmt: skip
    a, b = pairs[int(rng.integers(len(pairs)))]
    unit.add_wire("short", a, b)


def no_loads(unit: Wired, rng: np.random.Generator) -> None:
    """No compressor and no fan, with their wires; at times no heater either."""
    gone = unit.of_kind("compressor") + [n for n in unit.of_kind("fan_motor") if n != "blower"]
    if rng.random() < 0.5:
        gone += unit.of_kind("crankcase_heater")
    for name in gone:
        unit.take_part(name)


def indoor_left_out(unit: Wired, rng: np.random.Generator) -> None:
    """No air handler, as somebody describes who writes down what stands in the yard."""
    for name in unit.at("indoor", "room"):
        unit.take_part(name)
    if rng.random() < 0.5:
        unit.take_part("indoor_breaker")


def _source(unit: Wired, feeds: Sequence[str], *, breaker: bool, kind: str = "breaker_1p") -> None:
    """Another source, with or without a breaker of its own in the panel."""
    unit.add_part("second_source", "service", "panel", label="second source")
    for pole, (leg, point) in enumerate(zip(("L1", "L2"), feeds, strict=False), start=1):
        start = f"second_source.{leg}"
        if breaker:
            if pole == 1:
                unit.add_part("second_breaker", kind, "panel", label="second breaker")
            unit.add_wire(f"second_{pole}", start, f"second_breaker.line{pole}")
            start = f"second_breaker.load{pole}"
        unit.add_wire(f"second_feed_{pole}", start, point)


def second_source(unit: Wired, rng: np.random.Generator) -> None:
    """A generator or inverter on one terminal, with its breaker or, seldom, without."""
    points = unit.terminals(unit.at("outdoor", "disconnect"))
    _source(unit, [_pick(rng, points)], breaker=rng.random() < 0.7)


def inverter_in_parallel(unit: Wired, rng: np.random.Generator) -> None:
    """An inverter on both legs of the outdoor circuit, with a breaker of its own."""
    part, first, second = [("contactor", "L1", "L2"), ("contactor", "T1", "T2"),
                           ("disconnect", "line1", "line2"), ("disconnect", "load1", "load2"),
                           ][int(rng.integers(4))]  # fmt: skip
    _source(unit, [f"{part}.{first}", f"{part}.{second}"], breaker=True, kind="breaker_2p")


def second_breaker_feeds(unit: Wired, rng: np.random.Generator) -> None:
    """A third breaker of the panel on a terminal of the outdoor unit or the air handler."""
    unit.add_part("breaker_3", "breaker_1p", "panel", label="breaker 3")
    leg = _pick(rng, ("service.L1", "service.L2"))
    unit.add_wire("breaker_3_line", leg, "breaker_3.line1", awg=4)
    points = unit.terminals(unit.at("outdoor", "disconnect", "indoor"))
    unit.add_wire("breaker_3_load", "breaker_3.load1", _pick(rng, points))


def parallel_transformer(unit: Wired, rng: np.random.Generator) -> None:
    """A second transformer beside the first on R or Y and C, on the outdoor or a new circuit."""
    outdoors = rng.random() < 0.6
    place = "outdoor" if outdoors else "indoor"
    volt = 240 if outdoors else 120
    unit.add_part("transformer_2", "transformer", place, primary_volt=volt, label="transformer 2")
    ends = ("contactor.L1", "contactor.L2") if outdoors else ("breaker_3.load1", "service.N")
    if not outdoors:
        unit.add_part("breaker_3", "breaker_1p", "panel", label="breaker 3")
        unit.add_wire("breaker_3_line", "service.L2", "breaker_3.line1", awg=4)
    hot = ("y_splice.1", "board.Y", "contactor.coil1") if outdoors else ("board.R", "lv_fuse.1")
    cold = "contactor.coil2" if outdoors else "board.C"
    if hot[0] not in unit.terminals() or cold not in unit.terminals():
        return
    unit.add_wire("transformer_2_a", ends[0], "transformer_2.pri1", awg=16)
    unit.add_wire("transformer_2_b", ends[1], "transformer_2.pri2", awg=16)
    unit.add_wire("transformer_2_hot", "transformer_2.R", _pick(rng, hot), awg=18)
    unit.add_wire("transformer_2_cold", "transformer_2.C", cold, awg=18)


def series_device(unit: Wired, rng: np.random.Generator) -> None:
    """A second device in the whip or the run, in one place with the first or apart."""
    kind = _pick(rng, ("disconnect_switch", "disconnect_pullout", "disconnect_fused", "breaker_2p"))
    place = _pick(rng, ("disconnect", "disconnect", "outdoor", "panel"))
    unit.add_part("second_disconnect", kind, place, label="second disconnect")
    stem = _pick(rng, ("whip", "run"))
    for pole in (1, 2):
        wire = unit.wires[f"{stem}_l{pole}"]
        unit.add_wire(f"series_{pole}", f"second_disconnect.load{pole}", wire["to"])
        wire["to"] = f"second_disconnect.line{pole}"


def device_missing(unit: Wired, rng: np.random.Generator) -> None:
    """A device that is not there: what came to it goes straight on."""
    name = _pick(rng, [n for n in unit.devices() if n != "outdoor_breaker"])
    ends = []
    for pole in range(1, DEVICES[unit.parts[name]["kind"]] + 1):
        before, after = unit.on(f"{name}.line{pole}"), unit.on(f"{name}.load{pole}")
        if before and after:
            ends.append((_far(unit, before[0], name), _far(unit, after[0], name)))
    unit.take_part(name)
    for pole, (a, b) in enumerate(ends, start=1):
        unit.add_wire(f"straight_{pole}", a, b)


def _far(unit: Wired, wire: str, part: str) -> str:
    ends = (unit.wires[wire]["from"], unit.wires[wire]["to"])
    return next(str(end) for end in ends if part_of(end) != part)


def line_side_crossed(unit: Wired, rng: np.random.Generator) -> None:
    """Feeds on the load side of a device, both poles on one leg, or a feed ahead of the breaker."""
    way = int(rng.integers(4))
    if way == 0:  # line and load of the disconnect turned about
        for pole in (1, 2):
            unit.wires[f"run_l{pole}"]["to"] = f"disconnect.load{pole}"
            unit.wires[f"whip_l{pole}"]["from"] = f"disconnect.line{pole}"
    elif way == 1:  # both poles on one leg
        unit.wires["panel_l2"]["from"] = "service.L1"
    elif way == 2:  # one leg taken ahead of the breaker
        pole = int(rng.integers(1, 3))
        unit.wires[f"run_l{pole}"]["from"] = f"service.L{pole}"
    else:  # one leg past the disconnect
        pole = int(rng.integers(1, 3))
        unit.wires[f"whip_l{pole}"]["from"] = f"outdoor_breaker.load{pole}"


def wrong_place(unit: Wired, rng: np.random.Generator) -> None:
    """One or two parts said to be in another place."""
    for name in _some(rng, list(unit.parts), 2):
        unit.parts[name]["place"] = _pick(rng, _PLACES)


def wrong_label(unit: Wired, rng: np.random.Generator) -> None:
    """A device with another's label, a label of signs, or one of several lines' length."""
    names = [*unit.devices(), "contactor"]
    name = _pick(rng, names)
    labels = ["outdoor breaker", "indoor breaker", "spare", "contactor L1 - dead", "0 V",
              "<b>x</b>", "main switch of the cottage behind the house, left of a dog"]  # fmt: skip
    unit.parts[name]["label"] = _pick(rng, labels)


def other_kind(unit: Wired, rng: np.random.Generator) -> None:
    """Another kind of device or contactor than the arrangement's."""
    swaps = {"disconnect": ("disconnect_switch", "disconnect_fused", "breaker_2p"),
             "contactor": ("contactor_1p", "contactor_2p"),
             "service_switch": ("breaker_1p",)}  # fmt: skip
    name = _pick(rng, [n for n in swaps if n in unit.parts])
    was = unit.parts[name]
    kind = _pick(rng, [k for k in swaps[name] if k != was["kind"]])
    unit.parts[name] = {"kind": kind, "place": was["place"]}


def part_missing(unit: Wired, rng: np.random.Generator) -> None:
    """A part left out with its wires."""
    unit.take_part(_pick(rng, [n for n in unit.parts if TERMINALS[unit.parts[n]["kind"]]]))


def light_in_cabinet(unit: Wired, rng: np.random.Generator) -> None:
    """A circuit from elsewhere that comes out on a terminal of the cabinet."""
    _source(unit, [_pick(rng, _CABINET)], breaker=False)


def other_numbers(unit: Wired, rng: np.random.Generator) -> None:
    """A can of other rated volts, legs low or high, a transformer for another primary."""
    ways = (("capacitor", "volt", (165, 250, 370, 660)), ("service", "leg_volt", (95, 104, 139)),
            ("transformer", "primary_volt", (100, 208, 240, 480)),
            ("heater", "watt", (10, 400)), ("contactor", "coil_volt", (120, 240)))  # fmt: skip
    name, key, values = ways[int(rng.integers(len(ways)))]
    unit.parts[name][key] = values[int(rng.integers(len(values)))]


def held_calling(unit: Wired, _: np.random.Generator) -> None:
    """R joined to Y: the unit is called for whatever the thermostat says."""
    unit.add_wire("r_to_y", "board.R", "board.Y", awg=18)


def nothing(_: Wired, __: np.random.Generator) -> None:
    """The arrangement as it ships."""


DAMAGES: Mapping[str, Damage] = {
    "nothing": nothing,
    "wires forgotten": wires_forgotten,
    "supply wires forgotten": supply_wires_forgotten,
    "wires of one part forgotten": cabinet_wires_forgotten,
    "wire on another terminal": wire_moved,
    "jumper": jumper,
    "device jumpered": device_jumpered,
    "supply shorted": supply_shorted,
    "no loads": no_loads,
    "indoor unit left out": indoor_left_out,
    "second source": second_source,
    "inverter in parallel": inverter_in_parallel,
    "third breaker": second_breaker_feeds,
    "parallel transformer": parallel_transformer,
    "series device": series_device,
    "device missing": device_missing,
    "line side crossed": line_side_crossed,
    "wrong place": wrong_place,
    "wrong label": wrong_label,
    "other kind": other_kind,
    "part missing": part_missing,
    "other numbers": other_numbers,
    "held calling": held_calling,
    "circuit from elsewhere": light_in_cabinet,
}
"""Every damage by what it is called."""
