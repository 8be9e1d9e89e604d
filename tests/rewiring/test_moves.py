"""The move list: every wire once, one end in the hand, one side begun, joints that fit."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.rewiring.cabinet import WIRINGS, unit

from rungwise.parts.joint_work import PLACES_ON_A_TERMINAL, work_for
from rungwise.rewiring.moves import MoveList, move_list
from rungwise.rewiring.wires_record import NewPart
from rungwise.rewiring.wirings import rewired
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement

NEW = NewPart("contactor_1p")


def sides_begun_and_not_done(moves: MoveList) -> int:
    """The most sides that lie on both parts at once."""
    total = {
        side: sum(s.side == side for s in moves.steps) for side in {s.side for s in moves.steps}
    }
    done = dict.fromkeys(total, 0)
    most = 0
    for step in moves.steps:
        done[step.side] += 1
        most = max(most, sum(0 < done[side] < total[side] for side in total))
    return most


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
@pytest.mark.parametrize("part", ["contactor", "capacitor", "compressor", "fan"])
def test_every_end_on_the_part_goes_across_once(name: str, part: str) -> None:
    whole = arrangement(name)
    kind = whole.part(part).kind
    ends = sorted(
        (wire.name, terminal.partition(".")[2])
        for terminal in whole.terminals()
        if terminal.partition(".")[0] == part
        for wire, _ in whole.wires_at(terminal)
    )
    for beside, does in ((True, ["move"]), (False, ["take off", "put on"])):
        moves = move_list(whole, whole, part, NewPart(kind, beside=beside))
        for what in does:
            assert sorted((s.wire.name, s.old) for s in moves.steps if s.does == what) == ends


@pytest.mark.parametrize("part", ["contactor", "capacitor", "compressor"])
def test_beside_the_old_part_one_end_is_loose_and_one_side_is_open(part: str) -> None:
    moves = move_list(unit(), unit(), part, NewPart(unit().part(part).kind))
    assert moves.most_loose == 1
    assert {(step.loose, step.after) for step in moves.steps} == {(1, 0)}
    assert sides_begun_and_not_done(moves) <= 1


def test_the_line_side_goes_last_and_comes_back_first() -> None:
    sides = [step.side for step in move_list(unit(), unit(), "contactor", NEW).steps]
    assert list(dict.fromkeys(sides)) == ["load side", "coil", "line side"]
    apart = move_list(unit(), unit(), "contactor", NewPart("contactor_1p", beside=False))
    half = len(apart.steps) // 2
    assert [s.side for s in apart.steps[:half]] == sides
    assert [s.wire.name for s in apart.steps[half:]] == [s.wire.name for s in apart.steps[:half]][
        ::-1
    ]


def test_without_room_beside_it_loose_ends_rise_to_all_and_fall_to_none() -> None:
    moves = move_list(unit(), unit(), "contactor", NewPart("contactor_1p", beside=False))
    course = [step.after for step in moves.steps]
    half = len(course) // 2
    assert course == [*range(1, half + 1), *range(half - 1, -1, -1)]
    assert moves.most_loose == half


def test_a_ring_for_a_plate_is_cut_and_its_strands_gathered() -> None:
    new = NewPart("contactor_1p", places={"contactor.L1": ("plate", "tab")})
    ringed = rewired(unit(), {})
    wires = tuple(
        w if w.name != "whip_l1" else type(w)(
            w.name, w.start, w.end, w.colour, w.awg, w.length_m, ("screw", "ring"), w.carries
        )
        for w in ringed.wires
    )  # fmt: skip
    ringed = type(ringed)(
        ringed.name, ringed.title, ringed.arrangement, ringed.hz, ringed.parts, wires,
        ringed.cables, ringed.nameplate,
    )  # fmt: skip
    steps = {step.wire.name: step for step in move_list(ringed, ringed, "contactor", new).steps}
    step = steps["whip_l1"]
    assert step.place == "plate"
    assert step.tighten
    for word in ("cut off the ring", "strip", "strand"):
        assert word in step.work
    assert steps["heater_line"].work == ""
    assert "crimp on a new" in steps["heater_line"].care


def test_a_terminal_with_too_few_places_is_told() -> None:
    new = NewPart("contactor_1p", places={"contactor.T1": ("tab", "tab")}, labels={"T1": "2"})
    moves = move_list(unit(), unit(), "contactor", new)
    (crowded,) = moves.crowded
    assert crowded.startswith("2 has 2 places for 3 wires")
    assert {step.new for step in moves.steps if step.old == "T1"} == {"2"}


def test_a_wire_found_on_a_wrong_terminal_goes_to_the_right_one() -> None:
    found = rewired(unit(), WIRINGS["HERM and FAN"])
    moves = move_list(found, unit(), "capacitor", NewPart("dual_capacitor"))
    across = {step.wire.name: (step.old, step.new) for step in moves.steps}
    assert across["comp_s"] == ("FAN", "HERM")
    assert across["fan_s"] == ("HERM", "FAN")


@settings(max_examples=40, deadline=None)
@given(
    st.dictionaries(
        st.sampled_from(["L1", "T1", "L2", "T2", "coil1", "coil2"]),
        st.lists(st.sampled_from(PLACES_ON_A_TERMINAL), min_size=0, max_size=5).map(tuple),
    )
)
def test_no_place_is_used_twice_and_work_is_told_where_a_joint_does_not_fit(
    places: dict[str, tuple[str, ...]],
) -> None:
    new = NewPart("contactor_1p", places={f"contactor.{t}": p for t, p in places.items()})
    moves = move_list(unit(), unit(), "contactor", new)
    for terminal, offered in places.items():
        steps = [step for step in moves.steps if step.old == terminal]
        if len(steps) <= len(offered):
            used = sorted(step.place for step in steps)
            assert all(used.count(place) <= offered.count(place) for place in set(used))
        else:
            told = f"{terminal} has {len(offered)} places"
            assert any(line.startswith(told) for line in moves.crowded)
    assert all(step.work == work_for(step.joint, step.place) for step in moves.steps)
