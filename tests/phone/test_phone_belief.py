"""The phone reckons as the program does: the same belief, verdict and next check, to 1e-9."""

from __future__ import annotations

import importlib
import re
from pathlib import Path

import numpy as np
import pytest
from scipy.special import chdtrc, erfc
from tests.phone.compare import WIDEST, call_works, compared, random_work
from tests.phone.phone_belief import MODULES, node_says
from tests.tables import solved

from rungwise.diagnosis import Belief, FaultTable, next_check, verdict
from rungwise.diagnosis.carried import packed, rounded
from rungwise.diagnosis.discrepancy import DISCREPANCY
from rungwise.services.input_files import open_call

EXAMPLES = Path(__file__).parents[2] / "examples" / "maple-hollow"
CALL = EXAMPLES / "call-01-suspected-contactor.toml"

MODULES_OF = {
    "advice": "advice", "band": "band", "behind": "behind", "bins": "bins", "carried": "carried",
    "foresight": "foresight", "hand_slips": "hand_slips", "healthy": "healthy_proof",
    "joint": "joint_likelihood", "likely_slip": "likely_slip", "look_ahead": "look_ahead",
    "oddness": "oddness", "prices": "candidate", "scale": "scale", "shown": "shown",
    "verdict": "verdict_rules",
}  # fmt: skip
"""Which of the program's modules each of the phone's follows."""

HOMES = {"LOW_SHARE": "accused_compressor", "STARVED_SHARE": "accused_compressor",
         "ODD": "flagged", "MOST_TRIED": "flagged", "OVERLOOKED": "flagged",
         "LIKELY_ANYWAY": "flagged", "LEAKAGE_OHM": "discrepancy",
         "OPEN_OHM": "reading_model", "OVER_RANGE_SHARE": "reading_model",
         "WIDEST": "reading_model", "TINY": "reading_model", "FLOOR_ERRORS": "scale"}  # fmt: skip
"""Constants that stand in another module than the rest of theirs."""


@pytest.fixture(scope="module")
def table() -> FaultTable:
    return solved(open_call(str(CALL))[1].unit)


def test_on_random_tables_every_number_is_the_same() -> None:
    """Thirty of the thousands that `python -m tests.phone.compare` goes through."""
    apart = list(compared(random_work(30, 2026)))
    assert len(apart) > 10_000
    assert [each for each in apart if each[1] > WIDEST] == []


def test_on_an_example_call_every_number_is_the_same(table: FaultTable) -> None:
    """At its beginning, in its middle and at its end."""
    works = call_works(table, open_call(str(CALL))[0])
    apart = list(compared([(table, [works[0], works[len(works) // 2], works[-1]])]))
    assert [each for each in apart if each[1] > WIDEST] == []


def test_a_unit_taken_along_is_under_2_mb(table: FaultTable) -> None:
    assert len(packed(table)) < 2_000_000


def test_the_digits_left_out_change_no_verdict_and_no_next_check(table: FaultTable) -> None:
    """And no probability by more than a hundredth."""
    call = open_call(str(CALL))[0]
    whole, carried = Belief.start(table), Belief.start(rounded(table))
    for each in call.outcomes(table.checks):
        if each.value is not None:
            whole = whole.observe(each.card.id, each.value)
            carried = carried.observe(each.card.id, each.value)
            apart = whole.posterior(table.by_repair) - carried.posterior(table.by_repair)
            assert np.abs(apart).max() < 0.01
    assert verdict(whole).kind == verdict(carried).kind
    one, other = next_check(whole), next_check(carried)
    assert (one.stop, one.why, one.check) == (other.stop, other.why, other.check)


CONSTANT = re.compile(r"^const ([A-Z][A-Z_0-9]*) = ([-0-9.e*/ ]+);", re.MULTILINE)


def test_every_constant_is_the_programs_own() -> None:
    """A limit that no sample meets is caught here when one side changes it."""
    seen = 0
    for name, module in MODULES_OF.items():
        for constant, value in CONSTANT.findall((MODULES / f"{name}.js").read_text()):
            home = HOMES.get(constant, module)
            home = module if (name, constant) == ("look_ahead", "LIKELY") else home
            own = getattr(importlib.import_module(f"rungwise.diagnosis.{home}"), constant)
            assert own == pytest.approx(eval(value, {}), rel=1e-15), (name, constant)  # noqa: S307
            seen += 1
    assert seen > 50


def test_what_the_model_gets_wrong_is_the_same_in_both() -> None:
    told = node_says("scale", "JSON.stringify(it.DISCREPANCY)")
    assert told == {
        name: [each.own, each.shared, each.offset, each.leaky] for name, each in DISCREPANCY.items()
    }


def test_special_functions_are_those_of_scipy() -> None:
    """Ours against scipy's, relative: erfc from 0 to where it ends, chi-square of 1 to 25."""
    x = np.linspace(0.0, 26.0, 261)
    told = np.array(node_says("numbers", f"JSON.stringify({x.tolist()}.map(it.erfc))"))
    assert told == pytest.approx(erfc(x), rel=1e-12)
    for degrees in range(1, 26):
        asked = f"JSON.stringify({x.tolist()}.map((x) => it.chdtrc({degrees}, 4 * x)))"
        assert node_says("numbers", asked) == pytest.approx(chdtrc(degrees, 4 * x), rel=1e-11)
