"""A unit that works is said to work, after a short proof, and nothing is measured twice for it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.diagnosis.small_tables import certain, suspect, yes_no
from tests.tables import solved

from rungwise.diagnosis import (
    ON_CALL,
    ON_HEAT,
    Belief,
    CheckCard,
    Doubts,
    FaultTable,
    SuspectCard,
    next_check,
)
from rungwise.diagnosis.advice import AGAIN, ENOUGH_MEASURED, MOST_READINGS, PROOF, PROVED
from rungwise.diagnosis.healthy_proof import (
    ACQUITTED,
    ENOUGH_OF_PROOF,
    proof_batch,
    proof_left,
    seems_healthy,
    stands,
    unseen,
)
from rungwise.diagnosis.verdict_rules import verdict
from rungwise.faults.suspect_set import HEALTHY
from rungwise.unit.unit_file import arrangement

GOOD = suspect(HEALTHY, 1.0, repair="nothing to do", part="unit")
HIDDEN = suspect("leak", 9.0, part="compressor", kind="compressor")
OPEN = suspect("coil open", 9.0, part="contactor", kind="contactor_1p")
SEEN = [yes_no(name) for name in ("runs", "turns", "stops")]
BATCH = [
    yes_no(name)
    for name in ("volts-contactor-T1-T2", "idle-volts-contactor-L1-L2", "drop-contactor-L1-T1")
]


def test_where_all_runs_the_unit_seems_healthy_however_seldom_a_call_finds_nothing() -> None:
    """What the readings said counts, not what was believed before them."""
    belief = certain([GOOD, HIDDEN, OPEN, suspect("other", 8.0)], [*SEEN, *BATCH],
                     [[1] * 6, [1] * 6, [0] * 6, [1] * 6])  # fmt: skip
    for card in SEEN:
        belief = belief.observe(card.id, "yes")
    assert belief.by_repair()["nothing to do"] < 0.1
    assert seems_healthy(belief)


def test_a_sign_that_no_good_unit_gives_ends_that() -> None:
    outcomes = [[1] * 6, [1] * 6, [0, *[1] * 5]]
    belief = certain([GOOD, HIDDEN, OPEN], [*SEEN, *BATCH], outcomes).observe("runs", "no")
    assert not seems_healthy(belief.observe("turns", "yes").observe("stops", "yes"))


def only_good() -> Belief:
    belief = certain([GOOD, OPEN], [*SEEN, *BATCH], [[1] * 6, [0] * 6])
    for card in SEEN:
        belief = belief.observe(card.id, "yes")
    return belief


def test_each_reading_of_the_proof_is_made_once_and_then_the_call_ends() -> None:
    belief, made = only_good(), []
    while (advice := next_check(belief)).check is not None:
        assert advice.why == PROOF
        assert verdict(belief).kind == "undecided"
        made.append(advice.check.id)
        belief = belief.observe(advice.check.id, "yes")
    assert sorted(made) == sorted(card.id for card in proof_batch(belief.table))
    assert next_check(belief).why == PROVED
    assert verdict(belief).kind == "nothing_wrong_now"


HEAT = yes_no("warm air", condition=ON_HEAT)
STOPS = yes_no("stops at rest", quantity="look:idle")
COLD = yes_no("amps", condition=ON_CALL, quantity="amps", touches=("comp_c", "compressor"))
COIL = yes_no("coil amps", condition=ON_CALL, quantity="amps", touches=("contactor",))
DEAD_COIL = yes_no("coil ohms", quantity="ohms", touches=("contactor",))
BURNS = yes_no("burns", condition=ON_HEAT)


def on_a_cold_day(*suspects: SuspectCard) -> Belief:
    cards = [HEAT, STOPS, COLD, COIL, DEAD_COIL, BURNS, *BATCH]
    outcomes = [[1, 0, 1, 1, 1, 1, *[1] * 3], *[[1, 0, 0, 0, 0, 1, *[1] * 3] for _ in suspects]]
    return certain([GOOD, *suspects], cards, outcomes, Doubts(none_weight=0.0))


def asked(belief: Belief) -> set[str]:
    return {each.check.id for each in next_check(belief).candidates}


def test_a_call_for_heat_is_judged_by_the_heat_and_asks_for_no_amps_of_cooling() -> None:
    valve = suspect("valve.stuck_over", part="valve", kind="reversing_valve_cooling")
    begun = on_a_cold_day(OPEN, valve)
    belief = begun.observe("warm air", "yes")
    assert [card.id for card in proof_left(belief)] == ["burns"]
    assert {"coil amps", "coil ohms"} <= asked(belief)
    assert "amps" not in asked(belief)
    assert "amps" in asked(begun.observe(BATCH[0].id, "yes"))  # begun in summer


def test_what_only_cools_rests_on_a_call_for_heat_unless_it_was_seen_to_run() -> None:
    outdoors = replace(OPEN, place="outdoor")
    belief = on_a_cold_day(outdoors).observe("warm air", "yes")
    assert not asked(belief) & {"amps", "coil amps", "coil ohms"}
    seen = asked(belief.observe("stops at rest", "yes"))
    assert {"coil amps", "coil ohms"} <= seen
    assert "amps" not in seen
    assert {"coil amps", "coil ohms"} <= asked(on_a_cold_day(outdoors).observe(BATCH[0].id, "yes"))


def test_an_acquittal_tells_what_it_did_not_read() -> None:
    reach = [card.id for card in (*SEEN, *BATCH[:2])]
    belief = only_good().observe(BATCH[0].id, "yes").observe(BATCH[1].id, "yes")
    told = verdict(belief, allowed=reach)
    assert proof_left(belief, reach) == []
    assert told.kind == "nothing_wrong_now"
    assert "drop-contactor-L1-T1" in told.not_read
    assert any("air split" in line for line in told.not_read)
    assert told.lines()[0].startswith("Nothing wrong now")


def test_no_call_runs_beyond_25_readings() -> None:
    many = [yes_no(f"look {n}") for n in range(MOST_READINGS + 5)]
    belief = certain([suspect("a"), suspect("b")], many, [[0] * len(many)] * 2)
    for card in many[:MOST_READINGS]:
        belief = belief.observe(card.id, "no")
    assert (next_check(belief).stop, next_check(belief).why) == (True, ENOUGH_MEASURED)


def test_a_sign_that_a_good_unit_hardly_gives_is_looked_at_again_before_it_is_let_go() -> None:
    """The customer says that it does not stop; all else is as on a good unit."""
    welded, cards = suspect("welded", 0.005), [*SEEN, *BATCH]
    doubts = Doubts(none_weight=0.0)
    belief = certain([GOOD, welded], cards, [[1] * 6, [1, 1, 0, 1, 1, 1]], doubts)
    belief = belief.observe("stops", "no")
    for card in (*SEEN[:2], *BATCH):
        belief = belief.observe(card.id, "yes")
    assert seems_healthy(belief)
    again = next_check(belief)
    assert again.why == AGAIN
    assert again.check is not None
    assert again.check.id == "stops"
    assert next_check(belief.observe("stops", "yes")).why == PROVED
    assert not seems_healthy(belief.observe("stops", "no"))
    reach = [card.id for card in (*SEEN[:2], *BATCH)]
    assert next_check(belief, allowed=reach).why == PROVED
    assert verdict(belief, allowed=reach).kind == "undecided"  # what was seen still stands
    assert verdict(belief.observe("stops", "yes")).kind == "nothing_wrong_now"


def test_a_number_that_no_good_unit_gives_is_read_again_and_stands_until_then() -> None:
    """Eight volts lost in a wire, and its joint looks good: one of the two was a slip."""
    joint = suspect("joint", 1e-4)
    drop = CheckCard("drop", "drop", unit="V", quantity="drop", condition=ON_CALL)
    cards = (*SEEN, *BATCH, drop)
    good = np.array([0.05, 8.0, 0.05])
    reading = np.column_stack([np.zeros((3, 6)), good])
    looks = [[[0.02, 0.98]] * 3, [[0.02, 0.98]] * 3, [[0.02, 0.98], [0.5, 0.5], [0.02, 0.98]]]
    chances = {at: np.array(looks[min(at, 2)]) for at in range(6)}
    seldom = replace(OPEN, weight=1e-4)
    table = FaultTable((GOOD, joint, seldom), cards, np.arange(3), reading,
                       np.full((3, 7), 0.01), chances)  # fmt: skip
    belief = Belief.start(table).observe("drop", 8.0)
    for card in (*SEEN, *BATCH):
        belief = belief.observe(card.id, "yes")
    assert seems_healthy(belief)
    again = next_check(belief)
    assert again.why == AGAIN
    assert again.check is not None
    assert again.check.id == "drop"
    assert verdict(belief).kind == "undecided"
    assert verdict(belief.observe("drop", 8.1)).kind == "undecided"
    assert next_check(belief.observe("drop", 0.05)).why == PROVED


def test_what_the_customer_smelled_is_looked_for_before_a_unit_is_let_go() -> None:
    """However well all reads: looks come after the readings, and only for what was said."""
    burnt = yes_no("look-breaker-smell", quantity="look:smell")
    belief = certain([GOOD, OPEN], [*SEEN, *BATCH, burnt], [[1] * 7, [0] * 6 + [1]])
    smelled = replace(belief, said=("smell",))
    for card in (*SEEN, *BATCH):
        belief = belief.observe(card.id, "yes")
        assert burnt not in proof_left(smelled)
        smelled = smelled.observe(card.id, "yes")
    assert proof_left(belief) == []
    assert proof_left(smelled) == [burnt]
    assert next_check(smelled).why == PROOF
    assert verdict(smelled).kind == "undecided"


def test_many_seldom_faults_that_one_drop_speaks_for_are_not_let_go_together() -> None:
    """None of a dozen joints stands out; that one of them burns is likelier than that none does."""
    joints = [suspect(f"joint {at}", 0.8) for at in range(12)]
    lost = yes_no("lost on the way")
    each = [yes_no(f"hot {at}") for at in range(12)]
    cards = [*SEEN, *BATCH, lost, *each]
    rows = [[1] * 6 + [0] * 13]
    rows += [[1] * 6 + [1] + [int(at == own) for at in range(12)] for own in range(12)]
    belief = certain([GOOD, *joints], cards, rows)
    for card in (*SEEN, *BATCH):
        belief = belief.observe(card.id, "yes")
    assert unseen(belief) >= ACQUITTED
    assert unseen(belief.observe("lost on the way", "yes")) < ACQUITTED
    assert not next_check(belief.observe("lost on the way", "yes")).stop


def test_a_large_unit_is_let_go_before_its_last_pole_and_told_so() -> None:
    """Of a cabinet of four contactors no technician reads every pole."""
    poles = [yes_no(f"drop-contactor-L{at}-T{at}") for at in range(1, 4)]
    looks = [yes_no(f"look {at}") for at in range(ENOUGH_OF_PROOF)]
    cards = [*looks, *BATCH[:2], *poles]
    belief = certain([GOOD, OPEN], cards, [[1] * len(cards), [0] * len(cards)])
    for card in looks[:-1]:
        belief = belief.observe(card.id, "yes")
    assert len(proof_left(belief)) == len(proof_batch(belief.table))
    belief = belief.observe(looks[-1].id, "yes")
    assert proof_left(belief) == []
    assert {card.title for card in proof_batch(belief.table)} <= set(verdict(belief).not_read)


def test_a_compressor_that_draws_amps_runs_whatever_was_told_of_it() -> None:
    sound = yes_no("look-compressor", quantity="look:sound", touches=("compressor",))
    amps = CheckCard("amps-comp_c", "amps", unit="A", quantity="amps", condition=ON_CALL,
                     touches=("comp_c", "compressor"))  # fmt: skip
    table = FaultTable(
        (GOOD, OPEN), (sound, amps), np.array([0, 1]), np.array([[0.0, 12.0], [0.0, 0.0]]),
        np.full((2, 2), 0.3), {0: np.array([[0.5, 0.5], [0.5, 0.5]])},
    )  # fmt: skip
    belief = Belief.start(table).observe("look-compressor", "no")
    assert stands(belief)
    assert stands(belief.observe("amps-comp_c", 0.0))
    assert not stands(belief.observe("amps-comp_c", 12.0))


def test_a_contactor_that_was_heard_is_looked_at_before_a_unit_is_let_go() -> None:
    """Somebody heard a hum: all that is metered reads well, and the plunger is looked at."""
    hums = suspect("hums", 0.1, part="contactor", kind="contactor_1p")
    plunger = yes_no("plunger", quantity="look:plunger", touches=("contactor",), minutes=60.0)
    cards = [*SEEN, *BATCH, plunger]
    belief = certain([GOOD, hums], cards, [[1] * 7, [1] * 6 + [0]], Doubts(none_weight=0.0))
    for card in (*SEEN, *BATCH):
        belief = belief.observe(card.id, "yes")
    assert next_check(belief).check == plunger
    assert next_check(belief.observe("plunger", "yes")).why == PROVED


@pytest.mark.parametrize(("volt", "left"), [(238.0, False), (221.0, True)])
def test_the_volts_at_rest_are_read_where_less_than_usual_comes_while_all_runs(
    volt: float, *, left: bool
) -> None:
    belief = Belief.start(solved(arrangement("two_pole_plain")))
    belief = belief.observe("volts-contactor-T1-T2", volt)
    assert ("idle-volts-contactor-L1-L2" in {card.id for card in proof_left(belief)}) == left
