"""A slip of the hand is asked for again and blames no part: point, unit, terminals."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
from tests.tables import solved

from rungwise.diagnosis import Belief, ReadingModel, next_check, verdict
from rungwise.diagnosis.advice import AGAIN, SLIP
from rungwise.diagnosis.hand_slips import EXCHANGED, OFF_BY
from rungwise.diagnosis.likely_slip import LikelySlip, likely_slip, slip_remarks
from rungwise.diagnosis.reading_model import Reading
from rungwise.unit import arrangement

HERM, FAN = "uf-capacitor-HERM-C", "uf-capacitor-FAN-C"
RUN, START, BOTH = (f"ohms-compressor-{pair}" for pair in ("C-R", "C-S", "R-S"))
UNIT = "one_pole_heater"

Taken = list[tuple[str, float | str]]


@cache
def model() -> ReadingModel:
    return ReadingModel(solved(arrangement(UNIT)))


@cache
def good(check: str) -> float:
    """What a middling good unit reads."""
    table = model().table
    rows = table.suspect_of == table.suspect_index("nothing.found")
    return float(np.median(table.reading[rows, table.check_index(check)]))


def after(taken: Taken) -> Belief:
    belief = Belief.start(model())
    for check, value in taken:
        belief = belief.observe(check, value)
    return belief


def slip_of(belief: Belief) -> LikelySlip:
    slip = likely_slip(belief)
    assert slip is not None
    return slip


@pytest.mark.parametrize("factor", [1e3, 1e6])
def test_a_good_reading_in_a_smaller_unit_blames_nothing(factor: float) -> None:
    """A section's microfarads typed in nF or as they stand: no capacitor is changed for it."""
    belief = after([(HERM, good(HERM) * factor)])
    assert slip_of(belief).factor == pytest.approx(1.0 / factor)
    assert verdict(belief).kind == "undecided"
    assert next_check(belief).why == SLIP
    assert next_check(belief).check is model().table.check(HERM)


def test_nanofarads_of_a_humming_unit_are_read_again_before_the_capacitor_goes() -> None:
    """However likely the capacitor was: the number is just that of a good one."""
    belief = after([("look-compressor", "hums and trips"), (HERM, 1e-3 * good(HERM))])
    told = verdict(belief)
    assert told.kind != "found"
    assert next_check(belief).why in (AGAIN, SLIP)
    assert next_check(belief).check is model().table.check(HERM)


def test_what_a_dead_wire_picks_up_is_no_slip() -> None:
    """27 mV where 27 V would be good, nothing running: the call does not come so far."""
    belief = after([("look-compressor", "silent"), ("look-fan", "not turning"),
                    ("volts-y_splice-1-C", 1e-3 * good("volts-coil"))])  # fmt: skip
    assert likely_slip(belief) is None


def test_the_same_reading_taken_twice_stands() -> None:
    taken: Taken = [("look-compressor", "hums and trips"), (HERM, 1e-3 * good(HERM))]
    belief = after([*taken, taken[-1]])
    assert likely_slip(belief) is None
    assert verdict(belief).kind == "found"


def test_an_open_section_is_no_slip() -> None:
    """Nothing is no number in another unit."""
    belief = after([("look-compressor", "hums and trips"), (HERM, 0.0)])
    assert likely_slip(belief) is None
    assert verdict(belief).kind == "found"


def test_the_leads_on_the_other_section_are_seen() -> None:
    belief = after([(HERM, good(FAN))])
    exchange = slip_of(belief).mistake
    assert exchange is not None
    assert set(exchange.ends) == {"capacitor.HERM", "capacitor.FAN"}
    assert max(belief.by_repair().values()) < 0.5
    (remark,) = slip_remarks(arrangement(UNIT), belief)
    assert "HERM" in str(remark)
    assert "FAN" in str(remark)


def test_a_compressor_is_not_blamed_for_r_taken_for_s() -> None:
    """C-R, C-S and R-S with R and S exchanged: good windings, read the other way around."""
    belief = after([(RUN, good(START)), (START, good(RUN)), (BOTH, good(BOTH))])
    exchange = slip_of(belief).mistake
    assert exchange is not None
    assert set(exchange.ends) == {"compressor.R", "compressor.S"}
    blamed = sum(share for name, share in belief.by_suspect().items() if "compressor.other" in name)
    assert blamed < 0.05


def test_a_weak_capacitor_is_no_slip() -> None:
    """34 of 45 µF fits neither another unit nor the other section."""
    belief = after([("look-compressor", "hums and trips"), (HERM, 0.75 * good(HERM))])
    assert likely_slip(belief) is None


def test_volts_that_no_coil_ever_has_are_read_again() -> None:
    """Ten times a good coil's volts, the unit running."""
    belief = after([("look-compressor", "running"), ("volts-coil", 10.0 * good("volts-coil"))])
    slip = slip_of(belief)
    assert belief.readings[slip.place].check == model().table.check_index("volts-coil")
    assert next_check(belief).why == SLIP


def test_volts_between_two_legs_that_no_supply_has_are_read_again() -> None:
    """120 V to ground on both legs and 60 V between them."""
    belief = after([("volts-contactor-L1-earth", 120.0), ("volts-contactor-L2-earth", 120.0),
                    ("volts-contactor-L1-L2", 60.0)])  # fmt: skip
    assert slip_of(belief).place in range(3)
    assert next_check(belief).why == SLIP


HOT: Taken = [("look-compressor", "silent"), ("look-fan", "turning"), (RUN, math.inf)]
COLD = "cooled-ohms-compressor-C-R"


def test_no_compressor_is_condemned_before_run_to_start_is_read() -> None:
    """Its overload parts the common lead alone: a hot one takes hours, and R-S reads through it.

    No second half hour is waited before that is read.
    """
    belief = after([*HOT, (COLD, math.inf)])
    assert verdict(belief).kind != "found"
    assert likely_slip(belief) is None
    check = next_check(belief).check
    assert check is not None
    assert check.id != COLD


def test_an_open_common_lead_is_read_twice_on_a_cold_shell() -> None:
    """Good from run to start: what is cold outside may be hot inside, and is likelier so."""
    once = [*HOT, (COLD, math.inf), (BOTH, good(BOTH)), (HERM, good(HERM))]
    assert verdict(after(once)).kind != "found"
    assert next_check(after(once)).check is model().table.check(COLD)
    (remark,) = slip_remarks(arrangement(UNIT), after(once))
    assert "wait longer" in str(remark)
    told = verdict(after([*once, (COLD, math.inf)]))
    assert told.kind == "found"
    assert told.answer is not None
    assert told.answer.suspect.id == "compressor.c_open"


def test_a_shell_too_hot_to_have_its_overload_closed_condemns_nothing() -> None:
    """A weak capacitor beside it is the cause, and one more wait clears it."""
    belief = after([*HOT, (COLD, math.inf), (BOTH, good(BOTH)), (HERM, 0.5 * good(HERM))])
    told = verdict(belief)
    assert told.answer is not None
    assert told.answer.suspect.part == "capacitor"
    closed = after([*HOT, (COLD, math.inf), (BOTH, good(BOTH)), (COLD, good(COLD))])
    winding_open = ("compressor.c_open", "compressor.r_open", "compressor.s_open")
    assert sum(closed.by_suspect()[each] for each in winding_open) < 0.05


def test_an_open_winding_needs_no_second_wait() -> None:
    """Open from run to start too: no overload does that."""
    told = verdict(after([*HOT, (COLD, math.inf), (BOTH, math.inf)]))
    assert told.kind == "found"
    assert told.answer is not None
    assert told.answer.suspect.id == "compressor.r_open"


def test_all_ways_of_reading_terminals_share_one() -> None:
    """As told, and each exchange once; the more often taken alike, the less an exchange."""
    columns = [model().table.check_index(check) for check in (RUN, START)]
    once = model().labelings([Reading(at, 1.0) for at in columns])
    twice = model().labelings([Reading(at, 1.0, times=2) for at in columns])
    assert sum(each.share for each in once) == pytest.approx(1.0)
    assert once[1].share == EXCHANGED
    assert twice[1].share == pytest.approx(EXCHANGED**2)


def test_slips_of_the_point_and_the_unit_are_a_part_of_all() -> None:
    assert 0.0 < sum(share for _, share in OFF_BY) < 0.5
