"""What the readings amount to: the culprit, its cause and effect, and the part that is cleared."""

from __future__ import annotations

import numpy as np
import pytest
from tests.diagnosis import control_circuit as circuit
from tests.diagnosis.small_tables import certain, suspect, yes_no

from rungwise.diagnosis import Belief, CheckCard, Doubts, FaultTable, next_check, verdict
from rungwise.diagnosis.advice import AGAIN
from rungwise.diagnosis.verdict_rules import MOST_OF_NONE
from rungwise.errors import UnknownName
from rungwise.faults import HEALTHY


def after(*readings: tuple[str, float | str]) -> Belief:
    belief = circuit.start()
    for check, value in readings:
        belief = belief.observe(check, value)
    return belief


def test_a_found_culprit_is_named_with_its_effect_and_its_repair() -> None:
    short = suspect(
        "short",
        20.0,
        title="Y wire rubbed through, so the low-voltage fuse blows",
        repair_text="re-route and mend the Y wire, then a new fuse",
        behind="a sharp edge where it rubbed",
    )
    belief = certain([short, suspect("b")], [yes_no("c")], [[1], [0]]).observe("c", "yes")
    told = verdict(belief)
    assert (told.kind, told.answer and told.answer.repair) == ("found", "repair short")
    assert told.lines()[:3] == [
        "Found: Y wire rubbed through, so the low-voltage fuse blows (over 99%).",
        "To do: Re-route and mend the Y wire, then a new fuse.",
        "Root cause: A sharp edge where it rubbed.",
    ]


def test_a_dear_part_that_nothing_can_be_read_on_is_not_named_by_what_is_around_it() -> None:
    dear = suspect("coil", 94.0, shown_by=("ohms",), wrong_minutes=120.0)
    own = yes_no("ohms", quantity="ohms", touches=("part coil",))
    belief = certain([dear, suspect("wire", 6.0)], [own, yes_no("c")], [[1, 1], [0, 1]])
    belief = belief.observe("c", "yes")
    repair, share = belief.best_repair()
    assert repair == "repair coil"
    assert share == pytest.approx(0.94)
    assert verdict(belief).kind == "suspected"  # its own reading is asked for first
    assert verdict(belief, allowed=["c"]).kind == "undecided"


def test_a_part_that_a_meter_on_it_shows_good_is_read_again_before_it_is_named() -> None:
    """25 Ω on a coil whose shorted turns leave 2 Ω, against all that was read around it."""
    suspects = [
        suspect("coil", 60.0, shown_by=("ohms",), wrong_minutes=120.0),
        suspect("wire", 1.0),
        suspect(HEALTHY, 1.0, repair="none", part="unit"),
    ]
    ohms = CheckCard("ohms", "ohms", "number", unit="Ω", quantity="ohms", touches=("part coil",))
    cards = [ohms, *(yes_no(name) for name in "abcd")]
    said = np.array([[1.0, 0.0], [0.0, 1.0], [0.0, 1.0]])
    reading = np.array([[2.0, *[0.0] * 4], [25.0, *[0.0] * 4], [25.0, *[0.0] * 4]])
    table = FaultTable(
        tuple(suspects), tuple(cards), np.arange(3), reading, np.full((3, 5), 0.2),
        dict.fromkeys(range(1, 5), said),
    )  # fmt: skip
    belief = Belief.start(table, doubts=Doubts(none_weight=0.0)).observe("ohms", 25.0)
    for name in "abcd":
        belief = belief.observe(name, "no")
    told = verdict(belief)
    assert told.answer is not None
    assert (told.answer.repair, told.answer.probability > 0.9) == ("repair coil", True)
    assert told.again is not None
    assert told.again.check.id == "ohms"
    again = next_check(belief)
    assert again.check is not None
    assert (again.check.id, again.why) == ("ohms", AGAIN)


def test_the_part_most_believed_at_first_is_cleared_by_the_readings_against_it() -> None:
    told = verdict(
        after(("plunger_in", "no"), ("volts_after_low_pressure", 0.0), ("volts_after_float", 26.5))
    )
    assert told.answer is not None
    assert told.answer.suspect.id == "low_pressure_open"
    assert told.wrong_part is not None
    assert told.wrong_part.part == "float"
    assert told.wrong_part.now < 0.05 < told.wrong_part.believed
    assert [taken.check.id for taken in told.wrong_part.cleared_by] == ["volts_after_float"]
    assert any("float" in line for line in told.lines())


def test_a_part_that_was_named_wrongly_is_cleared_by_name() -> None:
    told = verdict(
        after(
            ("plunger_in", "no"),
            ("coil_ohms", 14.0),
            ("volts_after_y_wire", 0.0),
            ("volts_after_low_pressure", 26.5),
        ),
        suspected="contactor",
    )
    assert told.wrong_part is not None
    assert told.wrong_part.part == "contactor"
    assert {taken.check.id for taken in told.wrong_part.cleared_by} >= {"volts_after_y_wire"}


def test_the_right_part_cannot_be_the_wrong_one() -> None:
    belief = after(("coil_ohms", float("inf")), ("plunger_in", "no"), ("volts_after_y_wire", 26.0))
    told = verdict(belief, suspected="contactor")
    assert told.answer is not None
    assert told.answer.repair == "new_contactor"
    assert told.wrong_part is None


def test_an_unknown_suspected_part_is_refused() -> None:
    with pytest.raises(UnknownName) as refused:
        verdict(after(("plunger_in", "no")), suspected="contacter")
    assert refused.value.matches == ("contactor",)


def test_undecided_lists_the_repairs_in_the_order_of_least_work() -> None:
    """Equal odds, but one repair is done in a tenth of the time: try it first."""
    long = suspect("long", 51.0, repair_minutes=60.0)
    quick = suspect("quick", 49.0, repair_minutes=6.0)
    told = verdict(certain([long, quick], [yes_no("c")], [[0], [0]]))
    assert told.kind == "undecided"
    assert [answer.repair for answer in told.try_order] == ["repair quick", "repair long"]
    assert "1. Swap quick. (49%)" in told.lines()


def test_readings_that_fit_nothing_are_asked_for_again() -> None:
    told = verdict(
        after(("volts_after_supply", 12.0), ("capacitance", 150.0), ("winding_ohms", 60.0))
    )
    assert (told.kind, told.answer) == ("none_of_these", None)
    assert told.probability == MOST_OF_NONE  # that nothing fits is never claimed for sure
    assert {taken.check.id for taken in told.doubtful} == {
        "volts_after_supply",
        "capacitance",
        "winding_ohms",
    }
    assert told.lines()[0].startswith("None of the listed faults fits")
    assert any(line.endswith("Retake it.") for line in told.lines())


def test_a_reading_that_nothing_gives_is_named_though_the_culprit_is_clear() -> None:
    """12 V behind the float switch, where all of the 24 V or nothing can stand."""
    told = verdict(
        after(
            ("compressor", "humming"),
            ("volts_load", 238.0),
            ("capacitance", 0.0),
            ("volts_after_float", 12.0),
        )
    )
    assert told.answer is not None
    assert told.answer.suspect.id == "capacitor_open"
    assert [taken.check.id for taken in told.doubtful] == ["volts_after_float"]
    assert told.doubtful[0].text == "12 V"
    assert "volts after float: 12 V is not possible. Retake it." in told.lines()


def test_of_an_unlikely_reading_that_a_suspect_gives_nothing_is_said() -> None:
    """An open coil is one of many causes; read, it is nothing to doubt."""
    told = verdict(after(("plunger_in", "no"), ("coil_ohms", float("inf"))))
    assert told.doubtful == ()
    assert not any("Take" in line for line in told.lines())


def test_readings_that_cannot_both_be_right_are_named_as_a_pair() -> None:
    """No volts into the contactor and 238 V out of it: each can be, both cannot."""
    told = verdict(after(("volts_line", 0.0), ("volts_load", 238.0)))
    ((one, other),) = told.clashes
    assert {one.check.id, other.check.id} == {"volts_line", "volts_load"}
    assert told.doubtful == ()
    pair = "volts line: 0 V, and volts load: 238 V"
    assert f"These cannot both be right: {pair}. Retake one." in told.lines()


def test_a_fault_of_no_known_way_says_where_to_look() -> None:
    strange = suspect("strange", 20.0, title="another fault of the coil", known=False)
    told = verdict(certain([strange, suspect("b")], [yes_no("c")], [[1], [0]]).observe("c", "yes"))
    assert told.lines()[0] == (
        "Not one of the known ways, look here: another fault of the coil (over 99%)."
    )
