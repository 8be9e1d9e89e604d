"""What is bought as one and becomes two parts: a pair of run capacitors, and a hard-start kit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from rungwise.parts.capacitor import UNSEEN
from rungwise.parts.trade import Label, LabelFigure
from rungwise.wording import mark


@dataclass(frozen=True, slots=True)
class PackagePart:
    """One part of what is bought: its kind, and the file's key for each of its parameters.

    suffix: added to the name of the part that it replaces; "" for the part itself.
    title: what tells it from the other piece, where both are of one kind.
    """

    kind: str
    keys: Mapping[str, str]
    suffix: str = ""
    title: str = ""


@dataclass(frozen=True, slots=True)
class Package:
    """Two parts bought as one. also_for: kinds, beside its label's family, that it is bought for.

    beside_motor: whether it is also put beside a motor that has none yet.
    """

    name: str
    title: str
    pieces: tuple[PackagePart, ...]
    label: Label
    also_for: tuple[str, ...] = ()
    beside_motor: bool = False


_RELAY_KEYS = ("pick_up_volt", "drop_out_volt", "coil_ohm", "coil_henry", "contact_ohm")

PACKAGES: Final = (
    Package(
        "two_run_capacitors",
        mark("pair of single run capacitors"),
        (
            PackagePart(
                "run_capacitor",
                {"herm_uf": "run_uf", "herm_volt": "volt"},
                "_herm",
                mark("compressor run capacitor"),
            ),
            PackagePart(
                "run_capacitor",
                {"fan_uf": "run_uf", "fan_volt": "volt"},
                "_fan",
                mark("fan run capacitor"),
            ),
        ),
        Label(
            ("herm_uf", "herm_volt", "fan_uf", "fan_volt"),
            stands_in="run capacitor",
            unseen=UNSEEN,
        ),
    ),
    Package(
        "hard_start_kit",
        mark("hard-start kit"),
        (
            PackagePart("potential_relay", {key: key for key in _RELAY_KEYS}, "_relay"),
            PackagePart(
                "start_capacitor", {k: k for k in ("start_uf", "volt", "bleed_ohm")}, "_capacitor"
            ),
        ),
        Label(
            ("start_uf", "volt", "pick_up_volt"),
            (
                LabelFigure(
                    "least_hp", "", 0.1, 20, "least horsepower of the compressor that it is for"
                ),
                LabelFigure(
                    "most_hp", "", 0.1, 20, "most horsepower of the compressor that it is for"
                ),
            ),
            {"listed": ("yes", "no")},
            weighty=("drop_out_volt",),
            unseen=("duty", "cure for anything but a hard start"),
        ),
        ("compressor", "potential_relay", "start_capacitor"),
        beside_motor=True,
    ),
)
"""Every package; its parts are kinds of this room."""
