"""No call ends at an effect: shorts are excluded, causes named, a utility is called last."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from tests.diagnosis.small_tables import certain, suspect, yes_no
from tests.tables import solved

from rungwise.diagnosis import Belief, id_of, next_check
from rungwise.diagnosis.accused_compressor import may_be_named, starved_remarks, volts_at_poles
from rungwise.diagnosis.advice import OWED_FIRST, SURE
from rungwise.diagnosis.behind import WHENS, owed_checks
from rungwise.diagnosis.prices import PriceList
from rungwise.diagnosis.verdict_rules import verdict
from rungwise.faults.suspect_set import HEALTHY
from rungwise.unit.unit_file import arrangement

GOOD = suspect(HEALTHY, 5.0, repair="nothing to do", part="unit")
TRIPPED = suspect(
    "breaker.tripped", 20.0, part="breaker", kind="breaker_2p", is_effect=True,
    shown_by=("look:device",), repair="breaker:reset", repair_text="reset it once",
)  # fmt: skip
GROUNDED = suspect(
    "pump.grounded>breaker.tripped", 3.0, part="pump", kind="compressor",
    shown_by=("megohms",), repair="pump:replace", cause_of="breaker.tripped",
)  # fmt: skip
CONTACTS = suspect("contactor.pitted", 4.0, part="contactor", kind="contactor_1p")
HANDLE = yes_no("handle", quantity="look:device", touches=("breaker",))
DEAD_OHMS = [
    yes_no(f"ohms-contactor-{pair}", quantity="look:ohms", touches=("contactor",), minutes=2.0)
    for pair in ("T1-earth", "L1-earth", "T1-T2")
]
CHECKS = [HANDLE, *DEAD_OHMS]


def tripped() -> Belief:
    """The handle is seen tripped; yes in ohms is a short."""
    outcomes = [[1, 0, 0, 0], [1, 1, 0, 0], [0, 0, 0, 0], [0, 0, 0, 0]]
    return certain([TRIPPED, GROUNDED, CONTACTS, GOOD], CHECKS, outcomes).observe("handle", "yes")


def test_no_breaker_is_reset_before_dead_readings_exclude_a_short() -> None:
    told = verdict(tripped())
    assert told.kind != "found"
    assert [card.id for card in told.first] == [card.id for card in DEAD_OHMS]
    assert any(line.startswith("Only then: Reset it once") for line in told.lines())
    advice = next_check(tripped())
    assert (advice.why, advice.check) == (OWED_FIRST, DEAD_OHMS[0])


def test_a_breaker_that_may_have_tripped_is_not_switched_on_before_a_short_is_excluded() -> None:
    """Its handle could not be seen: off is likelier, and tripped is not told from it."""
    off = suspect("breaker.off", 200.0, part="breaker", kind="breaker_2p",
                  repair="breaker:switch_on")  # fmt: skip
    dark = yes_no("dark", quantity="volts")
    outcomes = [[1, 1, 0, 0, 0], [1, 1, 1, 0, 0], [1, 0, 0, 0, 0], *[[0] * 5] * 2]
    belief = certain([TRIPPED, GROUNDED, off, CONTACTS, GOOD], [dark, *CHECKS], outcomes)
    unseen = belief.observe("dark", "yes")
    assert unseen.best_repair()[0] == "breaker:switch_on"
    ohms = [card.id for card in DEAD_OHMS]
    assert [card.id for card in owed_checks(unseen, off)] == ohms
    seen = unseen.observe("handle", "no")
    assert owed_checks(seen, off) == []


def test_an_overload_is_not_the_answer_before_the_capacitor_of_its_motor_was_read() -> None:
    """A blower has a capacitor of its own, which only its wires tell from another."""
    hot = suspect("blower.overload_open", 9.0, part="blower", kind="fan_motor",
                  is_effect=True, repair="blower:let_cool")  # fmt: skip
    own = suspect("run.weak", part="run", kind="run_capacitor")
    other = suspect("other.weak", part="other", kind="run_capacitor")
    lead = yes_no("lead", link="path", red="run.1", black="blower.S", touches=("lead",))
    read = [yes_no(f"uf-{part}-2-1", quantity="microfarads") for part in ("run", "other")]
    checks = [HANDLE, lead, *read]
    rows = [[1, 0, 0, 0], *[[0] * 4] * 3]
    belief = certain([hot, own, other, GOOD], checks, rows).observe("handle", "yes")
    assert owed_checks(belief, hot) == [read[0]]


def test_no_compressor_is_stuck_before_the_amps_of_its_start_lead_were_read() -> None:
    """A lead to a good capacitor may be off: it hums and draws the amps of a stuck one."""
    stuck = suspect("pump.seized", 9.0, part="pump", kind="compressor", wrong_minutes=600.0,
                    shown_by=("held_amps",), repair="pump:replace")  # fmt: skip
    leads = [yes_no(f"wire-{end}", link="path", red=f"pump.{end}", black=f"box.{end}",
                    touches=(f"lead_{end}",)) for end in ("C", "S")]  # fmt: skip
    held = [
        yes_no(f"held-amps-lead_{end}", quantity="held_amps", setting="starting",
               jaw=f"lead_{end}", touches=(f"lead_{end}", "pump"))
        for end in ("C", "S")
    ]  # fmt: skip
    checks = [HANDLE, *leads, *held]
    belief = certain([stuck, GOOD], checks, [[1] + [0] * 4, [0] * 5]).observe("handle", "yes")
    assert owed_checks(belief, stuck) == [held[1]]


def test_a_low_charge_is_not_the_answer_before_the_filter_was_seen() -> None:
    """Too little air indoors lowers the suction too (common practice, no source)."""
    low = suspect("low_pressure.low_charge", 9.0, part="low_pressure",
                  kind="low_pressure_switch", repair="low_pressure:find_cause")  # fmt: skip
    seen = yes_no("filter", quantity="look:filter")
    belief = certain([low, GOOD], [HANDLE, seen], [[1, 0], [0, 0]]).observe("handle", "yes")
    assert owed_checks(belief, low) == [seen]


def test_the_cause_behind_is_part_of_the_answer() -> None:
    told = verdict(tripped())
    assert [each.repair for each in told.causes] == ["pump:replace"]


def test_a_short_that_is_read_makes_its_cause_the_answer() -> None:
    told = verdict(tripped().observe("ohms-contactor-T1-earth", "yes"))
    assert told.answer is not None
    assert told.answer.repair == "pump:replace"


def test_with_every_short_excluded_the_reset_is_found() -> None:
    belief = tripped()
    for card in DEAD_OHMS:
        belief = belief.observe(card.id, "no")
    told = verdict(belief)
    assert (told.kind, told.first) == ("found", ())
    assert next_check(belief).why == SURE


def test_no_transformer_is_refitted_onto_a_short() -> None:
    """A short on its load burns the new one as it burnt the old."""
    burnt = suspect("t.open", 90.0, part="t", kind="transformer", repair="t:replace")
    board = suspect("board.loose", 1.0, part="board", kind="terminal_board")
    checks = [HANDLE, yes_no("ohms-board-R-C"), yes_no("ohms-board-Y-C")]
    rows = [[1, 0, 0], [0, 0, 0], [0, 0, 0]]
    belief = certain([burnt, board, GOOD], checks, rows).observe("handle", "yes")
    assert [card.id for card in owed_checks(belief, burnt)] == ["ohms-board-R-C", "ohms-board-Y-C"]
    assert verdict(belief).kind == "suspected"


def test_what_is_out_of_reach_is_not_owed() -> None:
    assert owed_checks(tripped(), TRIPPED, ["handle"]) == []


def test_the_utility_is_called_only_on_six_volts_readings() -> None:
    """Idle, starting and running, at the contactor and at the panel."""
    told = {"part": "service", "kind": "service", "shown_by": ("volts",)}
    supply = suspect("service.low", 9.0, **told, wrong_minutes=240.0)
    panel = suspect("breaker.burnt", 1.0, part="breaker", kind="breaker_2p")
    names = [
        id_of(word, place, setting=setting)
        for place in ("breaker-load1-load2", "contactor-L1-L2")
        for word, setting in WHENS
    ]
    checks = [HANDLE, *(yes_no(name, quantity="volts") for name in names)]
    rows = [[0, *[1] * 6], [1, *[0] * 6], [1, *[0] * 6], [1, *[0] * 6]]
    belief = certain([supply, panel, CONTACTS, GOOD], checks, rows).observe("handle", "no")
    assert len(names) == 6
    assert {card.id for card in verdict(belief).first} == set(names)
    for name in names:
        belief = belief.observe(name, "yes")
    assert verdict(belief).first == ()


STUCK = suspect(
    "pump.seized", 9.0, part="pump", kind="compressor", repair="pump:replace",
    shown_by=("held_amps",), wrong_minutes=1800.0,
)  # fmt: skip
POLE = suspect("contactor.burnt", 1.0, part="contactor", kind="contactor_2p")
HELD = {when: yes_no(f"amps {when}", quantity="held_amps", jaw="r", setting=when,
                     touches=("r", "pump")) for when in ("starting", "restart")}  # fmt: skip
LEADS = [yes_no(f"lead {n}", link="path", red=f"contactor.T{n}", black=f"pump.{end}",
                touches=(f"lead {n}",))
         for n, end in ((1, "R"), (2, "C"))]  # fmt: skip
AT_POLES = {
    when: yes_no(
        id_of("volts", "contactor", "T1-T2", setting=when),
        quantity="sag", setting=when, red="contactor.T1", black="contactor.T2",
    )
    for when in ("starting", "restart")
}  # fmt: skip


def stuck(when: str) -> Belief:
    """It draws locked amps, as seized and as behind a burnt pole; its volts have the last word."""
    checks = [*HELD.values(), *LEADS, *AT_POLES.values()]
    rows = [[1, 1, 0, 0, 1, 1], [1, 1, 0, 0, 0, 0], [0, 0, 0, 0, 1, 1]]
    return certain([STUCK, POLE, GOOD], checks, rows).observe(f"amps {when}", "yes")


@pytest.mark.parametrize("when", ["starting", "restart"])
def test_no_compressor_is_condemned_by_amps_before_its_volts_are_held(when: str) -> None:
    owed = [card.id for card in owed_checks(stuck(when), STUCK)]
    assert owed == [AT_POLES[when].id]  # in the setting in which its amps were read
    assert not next_check(stuck(when)).stop
    answers = {said: stuck(when).observe(AT_POLES[when].id, said) for said in ("yes", "no")}
    assert answers["yes"].best_repair()[0] == "pump:replace"
    assert answers["no"].best_repair()[0] == POLE.repair


def test_what_no_amps_accuse_owes_no_volts() -> None:
    assert owed_checks(stuck("starting"), POLE) == []
    earthed = replace(STUCK, id="pump.earthed", shown_by=("ohms",))
    assert volts_at_poles(stuck("starting").table, earthed) == {}


@pytest.mark.parametrize(("kind", "owes"), [("low_pressure_switch", True), ("heat_limit", True),
                                            ("high_pressure_switch", False)])  # fmt: skip
def test_the_filter_is_looked_at_before_a_switch_that_little_air_opens(
    kind: str, *, owes: bool
) -> None:
    filter_look = yes_no("look-filter", quantity="look:filter", touches=("unit",))
    opened = suspect("s.open", part="s", kind=kind, repair="s:find_cause", is_effect=True)
    belief = certain([opened, GOOD], [filter_look], [[0], [0]])
    assert (filter_look in owed_checks(belief, opened)) == owes


def test_a_transformer_that_gives_volts_is_not_changed_before_its_load_is_read() -> None:
    """Too much load pulls a good one down; one that gives none has nothing to carry."""
    table = solved(arrangement("two_pole_plain"))
    belief = Belief.start(table)
    owed = {
        name: [card.id for card in owed_checks(belief, table.suspect(f"transformer.{name}"))]
        for name in ("shorted", "secondary_open")
    }
    assert "amps-r_fuse" in owed["shorted"]
    assert "amps-r_fuse" not in owed["secondary_open"]


def test_a_transformer_carries_no_more_than_its_plate_on_a_good_unit() -> None:
    """40 VA at 24 V are 1.67 A (volt-amperes by definition), which its coils stay under."""
    table = solved(arrangement("two_pole_plain"))
    rows = table.suspect_of == table.suspect_index(HEALTHY)
    amps = table.reading[rows, table.check_index("amps-r_fuse")]
    coil = table.reading[rows, table.check_index("amps-y_coil")]
    assert (amps < 40.0 / 24.0).all()
    assert (amps > coil).all()


def test_a_pressure_switch_that_is_open_at_rest_is_bad_and_owes_nothing_of_fans() -> None:
    """With the pressure down a good one has closed again; only then are the fans no matter."""
    table = solved(arrangement("two_pole_plain"))
    bad = table.suspect("high_pressure.failed_open")
    rested = "cooled-ohms-high_pressure-1-2"
    belief = Belief.start(table)
    owed = [card.id for card in owed_checks(belief, bad)]
    assert owed[0] == rested
    assert {"look-fan-by-hand", "ohms-fan-R-S", "uf-capacitor-FAN-C"} <= set(owed)
    assert owed_checks(belief.observe(rested, math.inf), bad) == []


def test_a_pressure_switch_that_closed_at_rest_still_owes_what_clears_the_fans() -> None:
    table = solved(arrangement("two_pole_plain"))
    belief = Belief.start(table).observe("cooled-ohms-high_pressure-1-2", 0.1)
    shares = belief.by_suspect()
    assert shares["high_pressure.failed_open"] < 0.01 * shares["high_pressure.dirty_coil"]
    owed = [card.id for card in owed_checks(belief, table.suspect("high_pressure.open"))]
    assert "look-fan-by-hand" in owed


@pytest.mark.parametrize(("start_volt", "owes"), [(174.0, True), (228.0, False)])
def test_low_volts_at_a_start_are_held_beside_those_at_rest(
    start_volt: float, *, owes: bool
) -> None:
    """A joint ahead of a good compressor pulls them down as far as one that is stuck."""
    table = solved(arrangement("one_pole_heater"))
    belief = Belief.start(table)
    for name, value in (
        ("look-compressor", "hums and trips"),
        ("start-volts-contactor-T1-T2", start_volt),
        ("held-amps-comp_c", 58.0),
    ):
        belief = belief.observe(name, value)
    owed = [card.id for card in owed_checks(belief, table.suspect("compressor.seized"))]
    assert ("idle-volts-contactor-L1-L2" in owed) == owes


def test_a_leak_board_is_not_changed_before_what_it_feeds_is_cleared_of_a_short() -> None:
    """A short takes its own volts: it lets go, and reads as one that is dead."""
    board = suspect("guard.dead", 9.0, part="guard", kind="leak_board", repair="guard:replace")
    strip = suspect("board.loose", 1.0, part="board", kind="terminal_board")
    checks = [HANDLE, yes_no("ohms-board-R-C"), yes_no("ohms-board-Y-C")]
    rows = [[1, 0, 0], [0, 0, 0], [0, 0, 0]]
    belief = certain([board, strip, GOOD], checks, rows).observe("handle", "yes")
    assert [card.id for card in owed_checks(belief, board)] == ["ohms-board-Y-C"]


def test_a_fuse_that_feeds_a_transformer_alone_owes_its_windings_and_no_power_path() -> None:
    """Behind it a contactor's poles cannot be short."""
    table = solved(arrangement("rooftop_208"))
    blown = table.suspect("control_fuses.pole1_open")
    owed = [card.id for card in owed_checks(Belief.start(table), blown)]
    assert {"ohms-transformer-pri1-pri2", "ohms-transformer-R-C"} <= set(owed)
    assert not any(name.startswith("ohms-contactor") for name in owed)
    plain = solved(arrangement("two_pole_plain"))
    assert owed_checks(Belief.start(plain), plain.suspect("door_switch.open")) == []


@pytest.mark.parametrize(("start_volt", "named"), [(177.0, False), (221.0, True)])
def test_no_compressor_is_named_at_volts_at_which_a_good_one_may_not_start(
    start_volt: float, *, named: bool
) -> None:
    """208 V less a tenth are the least that a 208/230 V plate allows (AHRI 110)."""
    belief = Belief.start(solved(arrangement("one_pole_heater")))
    for name, value in (
        ("look-compressor", "hums and trips"),
        ("uf-capacitor-HERM-C", 45.0),
        ("idle-volts-contactor-L1-L2", start_volt + 9.0),
        ("start-volts-contactor-T1-T2", start_volt),
        ("held-amps-comp_c", 80.0 * start_volt / 230.0),
        ("held-amps-comp_s", 3.6 * start_volt / 230.0),
    ):
        belief = belief.observe(name, value)
    assert belief.by_repair()["compressor:replace"] > 0.9
    assert may_be_named(belief, "compressor:replace", PriceList()) == named
    told = [str(each) for each in starved_remarks(belief)]
    assert any("see to the volts first" in each for each in told) == (not named)


def test_a_compressor_of_three_legs_is_not_stuck_before_the_amps_of_all_were_read() -> None:
    """With one lead off it hums between the two others, at 0.87 of its locked amps."""
    table = solved(arrangement("rooftop_208"))
    owed = {
        card.id for card in owed_checks(Belief.start(table), table.suspect("compressor.seized"))
    }
    assert {f"held-amps-comp_t{leg}" for leg in (1, 2, 3)} <= owed


def test_a_contact_is_not_welded_before_its_own_pole_was_read() -> None:
    """Between the two lines a winding whose lead lies on the line side reads as well."""
    table = solved(arrangement("two_pole_plain"))
    belief = Belief.start(table).observe("look-idle", "keeps running")
    belief = belief.observe("ohms-contactor-L1-L2", 0.6)
    welded = table.suspect("contactor.welded")
    assert [card.id for card in owed_checks(belief, welded)] == ["ohms-contactor-L1-T1"]
    held = belief.observe("ohms-contactor-L1-T1", math.inf).by_suspect()
    assert belief.by_suspect()["contactor.welded"] > 0.9
    assert held["contactor.welded"] < 0.5
