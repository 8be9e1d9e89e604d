"""The rooftop unit with two compressors: two circuits, each on its own, under one pair of fans.

What each part does on a call is common practice, no source, where no figure stands beside it.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import numpy as np
import pytest
from tests.wide import WIDE

from rungwise.circuit import (
    CALLING,
    Condition,
    Key,
    Plan,
    Solution,
    asked_for,
    loads_of,
    sequence,
    solve,
)
from rungwise.circuit.ngspice import run_many
from rungwise.circuit.spice import netlists
from rungwise.circuit.spice_names import names_of
from rungwise.diagnosis import checks_of
from rungwise.drawing import ladder, panel
from rungwise.drawing.picture import overlaps
from rungwise.errors import BadUnitFile
from rungwise.faults import SuspectSet
from rungwise.files import Document
from rungwise.isolation import isolate
from rungwise.replacement.plate import plate_of
from rungwise.unit import Unit, arrangement, unit_from

NAME = "rooftop_two_compressors"


@cache
def plan() -> Plan:
    return Plan(arrangement(NAME))


def settled(condition: Condition = CALLING, values: Mapping[Key, float] | None = None) -> Solution:
    drawn = {key: np.atleast_1d(number) for key, number in (values or {}).items()}
    return solve(plan(), condition, drawn)


def turning(solution: Solution) -> set[str]:
    return {each.part for each in loads_of(solution) if each.does.words == "runs"}


EVERY = {"compressor", "compressor_2", "fan", "fan_2", "blower"}


@pytest.mark.parametrize(
    ("demand", "runs"),
    [
        ("cool", EVERY),
        ("cool1", EVERY - {"compressor_2"}),
        ("fan", {"blower"}),
        ("off", set()),
    ],
)
def test_each_stage_runs_its_own_circuit_and_the_fans(demand: str, runs: set[str]) -> None:
    assert turning(settled(asked_for(demand))) == runs


@pytest.mark.parametrize(
    ("part", "stops"),
    [
        ("high_pressure", {"compressor"}),
        ("low_pressure", {"compressor"}),
        ("high_pressure_2", {"compressor_2"}),
        ("low_pressure_2", {"compressor_2"}),
    ],
)
def test_a_safety_stops_its_own_circuit_and_leaves_the_other(part: str, stops: set[str]) -> None:
    assert turning(settled(values={(part, "held_open"): 1.0})) == EVERY - stops


def test_a_dirty_coil_of_one_circuit_locks_that_one_out_and_not_the_other() -> None:
    dirty = {("compressor_2", "fouling"): np.array([0.8])}
    story = sequence(plan(), CALLING, dirty, horizon_s=1800.0)
    told = [moment.what for moment in story]
    assert "high-pressure switch 2 opens" in told
    assert "lockout relay 2 locks out" in told
    assert not any(each.startswith(("high-pressure switch 1", "lockout relay 1")) for each in told)
    last = story.at(1800.0)
    assert last.state("compressor", "slip") < 0.3 < last.state("compressor_2", "slip")


def test_temperatures_of_a_circuit_are_those_of_a_unit_that_has_it_alone() -> None:
    """The one-compressor unit is the oracle: same motor, plate and air, so the same coils."""
    alone = solve(Plan(arrangement("rooftop_208")), CALLING)
    both = settled(asked_for("cool1"))
    for state in ("condensing_c", "evaporating_c"):
        one = float(alone.state(("compressor", state))[0])
        assert float(both.state(("compressor", state))[0]) == pytest.approx(one, abs=0.05)


def test_a_standing_fan_heats_both_circuits_and_a_dirty_coil_one() -> None:
    hot = settled(values={("fan", "seized"): 1.0})
    dirty = settled(values={("compressor_2", "fouling"): 0.6})
    good = settled()

    def condensing(solution: Solution, part: str) -> float:
        return float(solution.state((part, "condensing_c"))[0])

    for part in ("compressor", "compressor_2"):
        assert condensing(hot, part) > condensing(good, part) + 3.0
    assert condensing(dirty, "compressor_2") > condensing(good, "compressor_2") + 3.0
    assert condensing(dirty, "compressor") == pytest.approx(condensing(good, "compressor"), abs=0.1)


def test_a_burnt_auxiliary_contact_of_one_contactor_leaves_the_fans_to_the_other() -> None:
    one = {("contactor", "closes_burnt"): 1.0}
    assert turning(settled(values=one)) == EVERY
    assert not turning(settled(asked_for("cool1"), one)) & {"fan", "fan_2"}


def test_pressure_causes_load_the_compressor_of_their_own_switch() -> None:
    suspects = SuspectSet(arrangement(NAME))
    for switch, compressor in (("high_pressure", "compressor"),
                               ("high_pressure_2", "compressor_2")):  # fmt: skip
        edits = suspects.suspect(f"{switch}.dirty_coil").edits
        assert {edit.key[0] for edit in edits} == {compressor}


def test_every_coil_and_compressor_has_checks_of_its_own() -> None:
    ids = [check.card.id for check in checks_of(arrangement(NAME))]
    assert len(ids) == len(set(ids))
    assert {"volts-coil", "volts-contactor_2-coil1-coil2", "look-compressor", "look-compressor_2",
            "look-contactor_2-plunger"} <= set(ids)  # fmt: skip


def test_one_disconnect_makes_it_dead() -> None:
    work = isolate(arrangement(NAME))
    assert not work.refusals
    assert [each.device for each in work.devices] == ["disconnect"]


@pytest.mark.skipif(not WIDE, reason="draws for a minute: with RUNGWISE_WIDE=1")
def test_both_pictures_are_free_of_overlaps() -> None:
    pictures = (ladder(arrangement(NAME)), panel(arrangement(NAME)))
    assert [overlaps(each.labels) for each in pictures] == [(), ()]


# Labels of supplier pages with two compressors: RLA, RLA, fans, blower; MCA and device printed.
LABELS = [
    ((39.1, 25.6, 10.6, 16.7), 101.8, 125),
    ((39.1, 39.1, 10.6, 24.2), 122.8, 150),
]


@pytest.mark.parametrize(("loads", "mca", "device"), LABELS)
def test_plate_of_two_compressors_agrees_with_printed_labels(
    loads: tuple[float, float, float, float], mca: float, device: int
) -> None:
    one, two, fans, blower = loads
    plate = plate_of(
        unit(
            f"rla_a = {one}\nlra_a = {6 * one}\nrla_2_a = {two}\nlra_2_a = {6 * two}\n"
            f"fan_fla_a = {fans / 2}\nblower_fla_a = {blower}\n"
        )
    )
    assert plate.mca_a == pytest.approx(mca, abs=0.05)
    assert plate.device.size_a == device


def unit(lines: str) -> Unit:
    """Without its crankcase heaters, which those labels do not count."""
    gone = [f"{each}{n}" for each in ("heater", "heater_stat") for n in ("", "_2")]
    gone += [f"heater{n}_{end}" for n in ("", "2") for end in ("line", "feed", "return")]
    text = f'arrangement = "{NAME}"\nwithout = {gone}\n[nameplate]\n{lines}'
    return unit_from(Document(text, file="trial"), name="trial")


def test_a_second_compressor_on_the_plate_of_a_unit_with_one_is_refused() -> None:
    text = 'arrangement = "rooftop_208"\n[nameplate]\nrla_2_a = 12\n'
    with pytest.raises(BadUnitFile, match="has no part for it"):
        unit_from(Document(text, file="trial"), name="trial")


def test_heat_of_the_plate_is_shared_by_the_elements_and_refused_beyond_them() -> None:
    text = 'arrangement = "air_handler_heat_10kw"\n[nameplate]\nheat_kw = {}\n'
    eight = unit_from(Document(text.format(8), file="trial"), name="trial")
    assert [eight.part(f"element_{n}").values["watt"] for n in (1, 2)] == [4000.0, 4000.0]
    with pytest.raises(BadUnitFile, match="would give the heating element 1"):
        unit_from(Document(text.format(50), file="trial"), name="trial")


@pytest.mark.parametrize("demand", ["cool", "cool1"])
def test_node_volts_agree_with_ngspice(demand: str) -> None:
    solution = settled(asked_for(demand))
    (found,) = run_many(netlists(solution))
    for node, ours in zip(names_of(plan()).node, solution.volts[:-1], strict=True):
        assert np.allclose(ours[0], found.volts[node], rtol=1e-3, atol=1e-3), node


def test_what_one_maker_set_and_one_day_gives_is_one_unknown_for_both_circuits() -> None:
    spreads = {each.name: each for each in SuspectSet(arrangement(NAME)).spreads}
    for part, parameter in (("low_pressure", "opens_psi"), ("compressor", "outdoor_c"),
                            ("compressor", "run_s")):  # fmt: skip
        both = {key for key, _ in spreads[f"{part}.{parameter}"].keys}
        assert {(part, parameter), (f"{part}_2", parameter)} <= both
        assert f"{part}_2.{parameter}" not in spreads
    assert "compressor_2.charge" in spreads  # each circuit has its own


def test_dirt_and_little_air_meet_both_circuits_at_once() -> None:
    suspects = SuspectSet(arrangement(NAME))
    for cause, parameter in (("high_pressure.dirty_coils", "fouling"),
                             ("low_pressure.starved", "indoor_blocked")):  # fmt: skip
        edits = [each.key for each in suspects.suspect(cause).edits]
        assert {("compressor", parameter), ("compressor_2", parameter)} <= set(edits)
    one = suspects.suspect("high_pressure.dirty_coil")
    assert one.weight < suspects.suspect("high_pressure.dirty_coils").weight


def test_a_thermostat_that_is_not_set_asks_for_neither_stage() -> None:
    suspects = SuspectSet(arrangement(NAME))
    for mode in ("setting", "not_calling"):
        edits = suspects.suspect(f"thermostat.{mode}").edits
        settled_so = settled(values={each.key: each.draw.high for each in edits})
        assert turning(settled_so) == {"blower"}
