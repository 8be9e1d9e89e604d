"""A fault is shown by a reading on its own part, and named as suspected until then."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from tests.diagnosis.small_tables import CERTAIN, certain, suspect, yes_no

from rungwise.circuit.meter import FINE_VOLTS
from rungwise.diagnosis import Belief, CheckCard, Doubts, FaultTable, SuspectCard, next_check
from rungwise.diagnosis.advice import AGAIN, SHOW_FIRST, SURE
from rungwise.diagnosis.look_card import ON_CALL
from rungwise.diagnosis.shown import bears_weight, showing
from rungwise.diagnosis.verdict_rules import verdict
from rungwise.faults.suspect_set import HEALTHY

GOOD = suspect(HEALTHY, 1.0, repair="nothing to do", part="unit")
FEW_SLIPS = Doubts(reading_slip=1e-3, choice_slip=1e-3, none_weight=1e-6)


def pump(**more: object) -> SuspectCard:
    """A pump that its own spin by hand shows, at 1000 minutes for a wrong one."""
    fields = {"part": "pump", "shown_by": ("look:by_hand",), "wrong_minutes": 1000.0}
    return suspect("pump stuck", 5.0, **(fields | more))


SOUND = yes_no("hums", quantity="look:sound", touches=("unit",))
BY_HAND = yes_no("stuck by hand", quantity="look:by_hand", touches=("pump",), minutes=20.0)


def heard(by_hand: CheckCard = BY_HAND, **of_pump: object) -> Belief:
    """Only a stuck pump hums; nobody has turned it by hand yet."""
    belief = certain([pump(**of_pump), GOOD], [SOUND, by_hand], [[1, 1], [0, 0]])
    return belief.observe("hums", "yes")


def test_a_sure_fault_is_only_suspected_until_its_part_is_read() -> None:
    told = verdict(heard())
    assert (told.kind, told.shown) == ("suspected", False)
    assert told.lines()[0] == "Suspected, not shown: pump stuck (over 99%)."
    assert told.confirm is not None
    assert told.confirm.check.id == "stuck by hand"
    assert (told.confirm.go, told.confirm.stop) == (((1.0, 1.0),), ((0.0, 0.0),))
    assert "Only then: Swap pump stuck." in told.lines()


def test_the_reading_on_the_part_is_asked_for_before_measuring_stops() -> None:
    advice = next_check(heard())
    assert advice.why == SHOW_FIRST
    assert advice.check is not None
    assert advice.check.id == "stuck by hand"


def test_a_reading_that_speaks_for_the_fault_shows_it() -> None:
    belief = heard(wrong_minutes=90.0).observe("stuck by hand", "yes")
    told = verdict(belief)
    assert (told.kind, told.shown, told.confirm) == ("found", True, None)
    assert next_check(belief).why == SURE


def test_a_dear_part_is_not_accused_by_one_look() -> None:
    """An eye slips once in fifty looks: what costs a motor is looked at twice."""
    once = heard().observe("stuck by hand", "yes")
    told, advice = verdict(once), next_check(once)
    assert (told.kind, told.shown) == ("suspected", True)
    assert told.again is not None
    assert told.again.check.id == "stuck by hand"
    assert advice.why == AGAIN
    assert advice.check is not None
    assert advice.check.id == "stuck by hand"
    twice = once.observe("stuck by hand", "yes")
    assert verdict(twice).kind == "found"
    assert next_check(twice).why == SURE


def test_the_look_that_spoke_against_the_only_rival_is_taken_once_more() -> None:
    """A thermostat that is said to be set, and does not call, may have been looked at badly."""
    bad = suspect("stat.dead", 1.2, part="stat", repair="stat:replace", wrong_minutes=60.0)
    unset = suspect("stat.setting", 18.0, part="stat", repair="stat:set",
                    shown_by=("look:setting",))  # fmt: skip
    screen = yes_no("set", quantity="look:setting", touches=("stat",))
    silent = yes_no("silent", quantity="volts")
    doubts = Doubts(reading_slip=1e-3, choice_slip=0.02, none_weight=1e-6)
    rows = [[1, 1], [0, 1], [1, 0]]
    belief = certain([bad, unset, GOOD], [screen, silent], rows, doubts)
    once = belief.observe("silent", "yes").observe("set", "yes")
    assert 0.8 < once.by_repair()["stat:replace"] < 0.9
    advice = next_check(once)
    assert advice.check is not None
    assert (advice.check.id, advice.why) == ("set", AGAIN)
    assert once.observe("set", "no").best_repair()[0] == "stat:set"


def test_a_meter_on_the_part_needs_no_second_look() -> None:
    """Stuck by hand, and its winding reads OL: two witnesses already."""
    winding = yes_no("winding open", quantity="look:winding", touches=("pump",))
    meter = replace(winding, form="number", unit="Ω", quantity="ohms", choices=())
    stuck = pump(shown_by=("look:by_hand", "ohms"))
    belief = of_looks_and_numbers([stuck, GOOD], [BY_HAND, meter], [[1, 200.0], [0, 5.0]])
    told = verdict(belief.observe("stuck by hand", "yes").observe("winding open", 200.0))
    assert (told.kind, told.again) == ("found", None)


def test_one_look_is_enough_where_amps_in_its_lead_had_accused_the_part() -> None:
    amps = replace(yes_no("amps"), form="number", unit="A", quantity="held_amps",
                   touches=("lead", "pump"), choices=())  # fmt: skip
    for stalled, again in ((30.0, False), (11.0, True)):  # locked amps, or such as a good one has
        seldom = replace(pump(), weight=0.2)
        belief = of_looks_and_numbers([seldom, GOOD], [BY_HAND, amps], [[1, stalled], [0, 10.0]])
        belief = belief.observe("amps", 10.0 if again else stalled).observe("stuck by hand", "yes")
        assert (verdict(belief).again is not None) == again


def of_looks_and_numbers(
    suspects: Sequence[SuspectCard], cards: Sequence[CheckCard], values: Sequence[Sequence[float]]
) -> Belief:
    """The same, the first check being a look that comes out as the number of its choice."""
    reading = np.array(values)
    looks = {0: np.eye(2)[reading[:, 0].astype(int)]}
    sd = 0.02 * np.maximum(np.abs(reading), 0.01)
    table = FaultTable(tuple(suspects), tuple(cards), np.arange(len(suspects)), reading, sd, looks)
    return Belief.start(table, doubts=FEW_SLIPS)


def test_a_reading_dearer_than_the_repair_is_left_to_the_repair() -> None:
    """An hour to read what is swapped in vain in an hour and a half: the repair begins with it."""
    belief = heard(replace(BY_HAND, minutes=60.0), wrong_minutes=90.0)
    assert next_check(belief).why == SURE
    told = verdict(belief)
    assert told.kind == "suspected"
    assert told.confirm is not None


def test_what_cannot_be_read_is_found_when_nothing_else_is_left() -> None:
    told = verdict(heard(wrong_minutes=90.0), allowed=["hums"])
    assert (told.kind, told.confirm) == ("found", None)
    assert verdict(heard(shown_by=())).kind == "found"


def test_a_dear_part_is_never_named_without_a_reading_on_it() -> None:
    """Nothing else is left, and nothing of it can be read: no fan motor is bought on that."""
    assert verdict(heard(wrong_minutes=300.0), allowed=["hums"]).kind == "undecided"


def test_no_amps_in_a_lead_without_power_show_nothing_of_its_motor() -> None:
    """A good motor draws, a dead one does not; but no motor draws behind an open breaker."""
    motor = suspect("motor open", 5.0, part="motor", shown_by=("look:amps",), wrong_minutes=900.0)
    breaker = suspect("breaker off", 5.0, part="breaker", shown_by=("look:device",))
    amps = yes_no("draws", quantity="look:amps", touches=("motor",))
    belief = certain([motor, breaker, GOOD], [amps], [[0], [0], [1]]).observe("draws", "no")
    assert not showing(belief, "repair motor open")


def of_numbers(
    suspects: Sequence[SuspectCard], cards: Sequence[CheckCard], values: Sequence[Sequence[float]]
) -> Belief:
    """Suspects that read these values, two hundredths of meter error."""
    reading = np.array(values)
    sd = np.full(reading.shape, 0.02) * np.maximum(np.abs(reading), 0.01)
    sd[~np.isfinite(reading)] = 1.0
    table = FaultTable(tuple(suspects), tuple(cards), np.arange(len(suspects)), reading, sd)
    return Belief.start(table, doubts=FEW_SLIPS)


def test_stop_and_go_numbers_are_those_of_a_good_and_of_a_bad_part() -> None:
    """45 µF good and 30 µF bad: halfway, by shares, is 37."""
    weak = suspect("weak", 9.0, part="can", shown_by=("microfarads",), wrong_minutes=60.0)
    cards = [
        CheckCard("hum", "hum", unit="A"),
        CheckCard("uf", "uf", unit="µF", quantity="microfarads", touches=("can",), minutes=10.0),
    ]
    belief = of_numbers([weak, GOOD], cards, [[80.0, 30.0], [10.0, 45.0]]).observe("hum", 80.0)
    confirm = verdict(belief).confirm
    assert confirm is not None
    ((below, threshold),) = confirm.go
    assert below == -math.inf
    assert 30.0 < threshold < 45.0
    assert threshold == pytest.approx(math.sqrt(30.0 * 45.0), rel=0.05)
    ((low, high),) = confirm.stop
    assert low <= 45.0 <= high
    assert confirm.lines()[1].startswith("Under 3")


def drop_and_amps() -> Belief:
    """A burnt contact drops 0.5 V at 15 A; a good one 0.02 V."""
    burnt = suspect("burnt", 5.0, part="contact", shown_by=("drop",), wrong_minutes=120.0)
    drop = CheckCard(
        "drop", "drop", unit="V", quantity="drop", touches=("contact",),
        instrument=FINE_VOLTS.name, condition=ON_CALL,
    )  # fmt: skip
    amps = CheckCard(
        "amps", "amps", unit="A", quantity="amps", touches=("lead", "motor"), condition=ON_CALL
    )
    return of_numbers([burnt, GOOD], [drop, amps], [[0.5, 15.0], [0.02, 15.0]])


def test_a_dear_part_is_read_though_no_reading_on_it_would_decide() -> None:
    """Half of the pumps that hum read like a good one: the other half would be named at once."""
    stuck = pump(shown_by=("ohms",))
    cards = (
        CheckCard("hum", "hum", unit="A"),
        CheckCard("winding", "winding", unit="Ω", quantity="ohms", touches=("pump",), minutes=5.0),
    )
    reading = np.array([[80.0, 5.0], [80.0, 1.0], [76.0, 5.0]])
    table = FaultTable((stuck, GOOD), cards, np.array([0, 0, 1]), reading, 0.02 * reading)
    belief = Belief.start(table, doubts=FEW_SLIPS).observe("hum", 80.0)
    assert verdict(belief).kind == "undecided"
    advice = next_check(belief)
    assert advice.why == SHOW_FIRST
    assert advice.check is not None
    assert advice.check.id == "winding"
    assert verdict(belief.observe("winding", 1.0)).kind == "found"


def test_a_small_drop_counts_only_beside_amps_in_the_lead() -> None:
    """Without current every contact reads next to nothing, and leads pick up the rest."""
    belief = drop_and_amps().observe("drop", 0.5)
    assert not bears_weight(belief, 0)
    assert not showing(belief, "repair burnt")
    loaded = belief.observe("amps", 15.0)
    assert bears_weight(loaded, 0)
    assert showing(loaded, "repair burnt")
    idle = belief.observe("amps", 0.1)
    assert not bears_weight(idle, 0)


def test_ghost_volts_are_not_asked_for_and_clear_nobody() -> None:
    """0 V with the thermostat off tells nothing by itself: it may follow the cable or the meter."""
    ghost = yes_no("ghost", quantity="ghost")
    belief = certain([suspect("a"), suspect("b"), GOOD], [ghost], [[0], [1], [1]])
    assert next_check(belief).candidates == ()
    read = belief.observe("ghost", "yes")
    assert not bears_weight(read, 0)
    wrong = verdict(read, suspected="part a").wrong_part
    assert wrong is None or wrong.cleared_by == ()


def test_a_certain_table_leaves_no_slips() -> None:
    """What the tests above lean on: with certain outcomes a reading decides alone."""
    assert CERTAIN.none_weight == 0.0
    assert heard().by_repair()["repair pump stuck"] == pytest.approx(1.0)
