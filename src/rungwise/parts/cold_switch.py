"""Switches and sensors that follow the cold outdoors: on the outdoor coil, in the air, and NTC.

A switch on the coil closes at 30 to 32 °F there (read on suppliers' pages); a running coil lies
some 5 to 8 K below the air (common practice, no source), so that it is told by the air here.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rungwise.parts.element import Branch, FloatArray, Lookup, both, contact, either, negate, value
from rungwise.parts.facets import (
    JOINTS,
    LOADS,
    SWITCHING,
    Family,
    MixedUp,
    OpensOn,
    Pole,
    Poles,
    Terminals,
    families,
)
from rungwise.parts.kind import Draw, Parameter, PartKind, State, closed_contact, handle
from rungwise.parts.pictures import Piece, Symbol, in_line, series_switch
from rungwise.parts.seen import Looks, Probes
from rungwise.parts.trade import CONTACT_A, SWITCHES, Against, Label, Rating, Ratings, Wear
from rungwise.parts.ways import Repair
from rungwise.parts.words import FAILED, SOMETHING, Plain, Words, told

_READ = frozenset({"ohms", "volts", "drop"})
_MINUTES = 60.0


KELVIN = 273.15
DAY_SPREAD = 0.05
"""Two standard deviations of where it closes against the air, as a share of the absolute
temperature, 7 K for one: the weather of the day is not told, nor how much colder a coil runs, nor
its set point but by its print (common practice, no source)."""


def _cold(p: Lookup) -> FloatArray:
    closes_k = (p["close_below_c"] + KELVIN) * p["day_share"]
    return np.asarray(p["ambient_c"] + KELVIN < closes_k).astype(float)


@dataclass(frozen=True, slots=True)
class _Sort:
    """A switch that closes by cold. weights: of one that never closes, and never opens."""

    name: str
    title: str
    family: Family
    close_below_c: float
    what: str
    weights: tuple[float, float]
    purpose: str


def _switch(sort: _Sort) -> PartKind:
    repair = Repair(
        "replace",
        "read its ohms in ice and warm, one lead off; replace the {noun}, clipped as it was",
        _MINUTES,
        _READ,
    )
    return PartKind(
        name=sort.name,
        title=sort.title,
        terminals=("1", "2"),
        parameters=(
            Parameter("close_below_c", "°C", sort.close_below_c, -30, 30, sort.what),
            closed_contact(0.05, 1e-3, 1.0, 0.6),
            Parameter("day_share", "", 1.0, 0.8, 1.2, "where it closes on the day, over the told",
                      DAY_SPREAD, learned=False, hidden=True),
            handle("held_open", "never closes"),
            handle("stuck", "never opens"),
        ),
        elements=contact(
            "contact",
            "1",
            "2",
            ohm=value("contact_ohm"),
            closed=either(value("stuck"), both(_cold, negate(value("held_open")))),
        ),
        facets=(
            families(sort.family),
            in_line(),
            series_switch("thermal_switch"),
            Words(
                purpose=sort.purpose,
                modes={
                    **told(FAILED, ("never_closes", "never_opens")),
                    "another_contact": SOMETHING,
                },
            ),
            Probes(apart=(("1", "2"),), volts=(("1", "2"),)),
            Looks(),
            Poles(
                (Pole("1", "2", "contact", "held_open", stuck_handle="stuck"),),
                moved_by="itself",
                at_rest="open",
            ),
            OpensOn("cold", ("1", "2")),
            Label(figures=(CONTACT_A,)),
            Ratings((Rating("close_below_c", Against.SETTING),)),
            Wear(SWITCHES, one_of="cold switch", usual=False),
        ),
        lacks=LOADS | SWITCHING - {OpensOn, Poles} | JOINTS | {MixedUp, Terminals},
        states=(State("ambient_c", 27.0, "ambient", "outdoor temperature"),),
        modes=(
            repair.mode("never_closes", "{noun} never closes", sort.weights[0],
                        Draw("held_open", 1, 1)),
            repair.mode("never_opens", "{noun} never opens", sort.weights[1], Draw("stuck", 1, 1)),
            repair.another("contact", 0.3, Draw("contact_ohm", 2.0, 5e3)),
        ),
    )  # fmt: skip


TABLE_F = (0.0, 10.0, 20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 90.0, 100.0)
TABLE_OHM = (85300.0, 62700.0, 46300.0, 34400.0, 26200.0, 20000.0, 15400.0, 11800.0, 9280.0,
             7450.0, 5750.0)  # fmt: skip
"""Of a sensor of 10 kΩ at 77 °F: a supplier's table for heat pumps, ±5% between makes."""


def sensor_ohm(celsius: FloatArray) -> FloatArray:
    """Ohms of the sensor at a temperature, by its table in logarithms; flat beyond its ends."""
    fahrenheit = celsius * 9.0 / 5.0 + 32.0
    return np.asarray(np.exp(np.interp(fahrenheit, TABLE_F, np.log(TABLE_OHM))))


def _ohm_of_the_day(p: Lookup) -> FloatArray:
    """By its table, where nobody has put it into ice as warm or cold as the day is."""
    day = np.where(p["ambient_c"] > 0.0, p["day_ratio"], 1.0)
    return np.asarray(day * sensor_ohm(p["ambient_c"]))


_SENSOR = Repair(
    "replace",
    "unplug it and read its ohms beside a thermometer, against its table; replace the sensor, "
    "clipped and pasted as it was",
    _MINUTES,
    frozenset({"ohms"}),
)

_NTC = PartKind(
    name="sensor_10k",
    title="temperature sensor",
    terminals=("1", "2"),
    parameters=(
        Parameter("ratio", "", 1.0, 0.1, 10.0, "its ohms over those of its table", 0.1),
        Parameter("day_ratio", "", 1.0, 0.1, 10.0,
                  "its ohms on the day over those on a usual one: 50 to 100 °F", 0.9,
                  learned=False, hidden=True, common=True),
        handle("open", "broken"),
        handle("shorted", "shorted"),
    ),
    elements=(
        Branch("element", "1", "2", lambda p: p["ratio"] * _ohm_of_the_day(p),
               closed=negate(value("open"))),
        Branch("short", "1", "2", lambda p: 5.0 + 0.0 * p["ratio"], closed=value("shorted")),
    ),
    facets=(
        families("sensor"),
        in_line(),
        Symbol((Piece("element", ("1", "2"), ("box",), ("element",)),)),
        Words(
            "sensor",
            "The sensor tells the defrost board how cold it is.",
            {
                **told(FAILED, ("open", "shorted")),
                "drifted": Plain("The {noun} told a wrong temperature."),
                "another_sensor": SOMETHING,
            },
        ),
        Probes(apart=(("1", "2"),)),
        Looks(),
        Label(),
        Wear(SWITCHES, one_of="cold switch", usual=False),
    ),
    lacks=LOADS | SWITCHING | JOINTS | {MixedUp, Ratings, Terminals},
    states=(State("ambient_c", 27.0, "ambient", "outdoor temperature"),),
    modes=(
        _SENSOR.mode("open", "sensor broken", 8.0),
        _SENSOR.mode("shorted", "sensor shorted", 4.0),
        _SENSOR.mode("drifted", "sensor drifted", 13.0, Draw("ratio", 0.2, 0.5)),
        _SENSOR.another("sensor", 0.4, Draw("ratio", 2.0, 8.0), noun="sensor"),
    ),
)  # fmt: skip

KINDS = (
    _switch(
        _Sort(
            "defrost_thermostat", "defrost thermostat", "defrost thermostat", 3.0,
            "air outdoors below which the running coil closes it", (25.0, 10.0),
            "The defrost thermostat tells the board that the outdoor coil is cold.",
        )
    ),
    _switch(
        _Sort(
            "outdoor_thermostat", "outdoor thermostat", "outdoor thermostat", -1.0,
            "air outdoors below which it lets the second bank of heat come", (5.0, 3.0),
            "The outdoor thermostat holds back part of the extra heat in mild weather.",
        )
    ),
    _NTC,
)  # fmt: skip
