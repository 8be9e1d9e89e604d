"""Wires with a joint at each end, and the pairs of conductors that share a cable."""

from __future__ import annotations

from dataclasses import replace

from rungwise.parts.element import EARTH, Branch, FloatArray, Lookup, both, fixed, negate, value
from rungwise.parts.facets import (
    LOADS,
    SWITCHING,
    Conductor,
    Junction,
    MixedUp,
    Terminals,
    families,
)
from rungwise.parts.kind import POWER_JOINT_OHM, Draw, Mode, Parameter, PartKind, handle
from rungwise.parts.pictures import Stand, Symbol
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import WIRING, Facet, Label, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import LeaveOff, Plain, Words, told

COPPER_OHM_MM2_PER_M = 1.0 / 58.0
"""Annealed copper at 20 °C, IEC 60028 (from memory)."""


def awg_area_mm2(awg: FloatArray) -> FloatArray:
    """Cross-section of a solid American-gauge conductor in mm².

    d = 0.005 in x 92^((36-n)/39), ASTM B258-02 (sizes 1/0 and up count 0, -1, -2 …).
    """
    diameter_mm: FloatArray = 0.127 * 92.0 ** ((36.0 - awg) / 39.0)
    area: FloatArray = 0.7853981633974483 * diameter_mm**2
    return area


def copper_ohm(p: Lookup) -> FloatArray:
    """Resistance in Ω of the wire's own copper at 20 °C."""
    return COPPER_OHM_MM2_PER_M * p["length_m"] / awg_area_mm2(p["awg"])


_PATH_CLOSED = both(
    negate(value("path_open")), negate(value("lifted_start")), negate(value("lifted_end"))
)


def _joint(name: str, what: str) -> Parameter:
    return Parameter(
        name,
        "Ω",
        0.002,
        1e-5,
        0.05,
        what,
        tolerance=1.0,
        spread_source="0.7 to 5 mΩ, tight and clean; rule of thumb",
        learned=False,
    )


_REMAKE = Repair(
    "remake",
    "remake the joints at both its ends, or replace the wire",
    25.0,
    frozenset({"ohms", "drop", "volts", "amps", "look:joints"}),
)
_BETWEEN = frozenset({"ohms", "megohms"})
_LEAKS = (
    "take both conductors off at both ends and read ohms between them; a pinched or wet cable leaks"
)

HIGH_RESISTANCE = "high_resistance"
"""The mode of a joint gone bad."""

RUBBED = "rubbed"
"""The mode of a wire rubbed through to the cabinet."""

_LACKS: frozenset[type[Facet]] = frozenset(
    LOADS | SWITCHING | {Junction, Label, Looks, MixedUp, Probes, Ratings, Stand, Symbol, Terminals}
)

_TOUCHED = Plain("Two wires in a cable touched each other.", "replace the cable")

WIRE = PartKind(
    name="wire",
    title="wire",
    facets=(
        families("wire"),
        Conductor(1),
        Wear(WIRING),
        Words(
            "wiring",
            modes={
                "open": Plain("A wire was broken or had come off.", "repair the wire"),
                "high_resistance": Plain(
                    "The connection of a wire was loose or burnt.",
                    "make the connection again",
                    LeaveOff.BREAKER,
                ),
                "rubbed": Plain(
                    "A wire had rubbed through its covering.", "repair the wire", LeaveOff.BREAKER
                ),
                **told(
                    Plain("A wire or its connection was bad.", "repair the wire"),
                    ("another_power", "another_control"),
                ),
            },
        ),
    ),
    lacks=_LACKS,
    terminals=("start", "end"),
    parameters=(
        Parameter(
            "length_m",
            "m",
            0.4,
            0.01,
            200.0,
            "length",
            tolerance=0.4,
            spread_source="runs are guessed, not measured; rule of thumb",
            learned=False,
        ),
        Parameter("awg", "AWG", 14.0, -3.0, 24.0, "American gauge"),
        _joint("start_joint_ohm", "joint at its start"),
        _joint("end_joint_ohm", "joint at its end"),
        Parameter("fault_ohm", "Ω", 0.0, 0.0, 1e6, "extra resistance of a bad joint", hidden=True),
        Parameter("rub_ohm", "Ω", 0.01, 0.0, 1e6, "resistance of a rub-through", hidden=True),
        handle("path_open", "wire or one of its joints open"),
        handle("lifted_start", "taken off at its start"),
        handle("lifted_end", "taken off at its end"),
        handle("rubbed", "rubbed through to the cabinet"),
    ),
    elements=(
        Branch(
            "path",
            "start",
            "end",
            lambda p: p["start_joint_ohm"] + copper_ohm(p) + p["end_joint_ohm"] + p["fault_ohm"],
            closed=_PATH_CLOSED,
        ),
        Branch("gap", "start", "end", fixed(1e3), farad=fixed(2e-12)),
        # It hangs on its end: taken off there, it grounds nothing but itself.
        Branch(
            "rub",
            "end",
            EARTH,
            value("rub_ohm"),
            closed=both(value("rubbed"), negate(value("lifted_end"))),
        ),
    ),
    modes=(
        _REMAKE.mode(
            "open",
            "open, at a connection or broken",
            25.0,
            Draw("path_open", 1, 1),
            behind="a loose quick-connect or screw that heated until it burnt away",
            signs={"browned": 0.5},
        ),
        _REMAKE.mode(
            HIGH_RESISTANCE,
            "high-resistance connection",
            60.0,
            Draw("fault_ohm", *POWER_JOINT_OHM),
            behind="a loose quick-connect or screw that heats",
            signs={"browned": 0.7},
        ),
        Mode(
            RUBBED,
            "rubbed through to the cabinet",
            15.0,
            (Draw("rubbed", 1, 1), Draw("rub_ohm", 0.03, 1.0)),
            "insulate",
            "repair the rubbed insulation and keep the wire off the metal",
            signs={"rubbed": 0.6},
            shown_by=frozenset({"ohms", "megohms", "look:rubbed"}),
            wrong_minutes=40.0,
        ),
        _REMAKE.another("power", 0.2, Draw("fault_ohm", 20.0, 2e3), noun="wire or its joints"),
        _REMAKE.another("control", 0.2, Draw("fault_ohm", 60.0, 5e4), noun="wire or its joints"),
    ),
)

ALTERNATE = replace(WIRE, elements=tuple(each for each in WIRE.elements if each.name == "path"))
"""A wire in a place where it may be, open until it is used: then it leaves no trace at all."""

PAIR = PartKind(
    name="cable_pair",
    title="conductor pair",
    facets=(
        families("cable"),
        Conductor(2),
        Wear(WIRING),
        Words(
            "wiring",
            modes={
                "shorted": _TOUCHED.staying_off(LeaveOff.BREAKER),
                "another_leak": _TOUCHED,
            },
        ),
    ),
    lacks=_LACKS,
    terminals=("start1", "end1", "start2", "end2"),
    parameters=(
        Parameter("length_m", "m", 15.0, 0.1, 200.0, "length of the cable", tolerance=0.4,
                  spread_source="runs are guessed, not measured", learned=False),
        Parameter(
            "farad_per_m", "F/m", 8e-11, 1e-12, 1e-9, "capacitance between two conductors",
            tolerance=0.8, source="order of magnitude; rule of thumb",
            spread_source="by cable and what it lies on; rule of thumb",
            learned=False,
        ),
        Parameter("short_ohm", "Ω", 0.01, 0.0, 1e6, "resistance of a short", hidden=True),
        handle("shorted", "the two conductors touch"),
    ),
    elements=(
        Branch("near", "start1", "start2", fixed(1e3),
               farad=lambda p: 0.5 * p["length_m"] * p["farad_per_m"]),
        Branch("far", "end1", "end2", fixed(1e3),
               farad=lambda p: 0.5 * p["length_m"] * p["farad_per_m"]),
        Branch("short", "end1", "end2", value("short_ohm"), closed=value("shorted")),
    ),
    modes=(
        Repair(
            "separate",
            "take both conductors off at both ends and read ohms between them; find where the "
            "cable is cut or pinched and repair it", 90.0, _BETWEEN,
        ).mode("shorted", "shorted together", 15.0,
               Draw("shorted", 1, 1), Draw("short_ohm", 0.03, 1.8)),
        Repair("separate", _LEAKS, 90.0, _BETWEEN).another(
            "leak", 1.5, Draw("shorted", 1, 1), Draw("short_ohm", 1.0, 100.0), noun="cable"
        ),
    ),
)  # fmt: skip

KINDS = (WIRE, PAIR)
