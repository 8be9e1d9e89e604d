"""Customer report: is it fixed, what next; no figure of a meter and no name of a file."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest
from tests.report.conftest import UNIT

from rungwise.diagnosis.by_hand import ByHand
from rungwise.diagnosis.checks import checks_of
from rungwise.faults import SuspectSet
from rungwise.report import Extras, Worked
from rungwise.report.content import CustomerPage
from rungwise.report.customer import customer_page
from rungwise.report.plain_checks import FIGURES, SUBJECTS, subject_of
from rungwise.report.plain_faults import fault_told, leave_off, next_told
from rungwise.services import unit_from_text
from rungwise.unit.unit_file import FIRST_ARRANGEMENTS, arrangement
from rungwise.verification.checking import Checked
from rungwise.verification.finding import Finding
from rungwise.verification.masked_faults import Hidden
from rungwise.verification.verdict import Proof, Remaining
from rungwise.wording import measuring, told_throughout

FIGURE = re.compile(r"\d\s*(?:[kmM]?Ω|m?V|m?A|µF|W|%)(?!\w)|[Ωµ]")
"""A meter's figure. Degrees, money, times and counts of visits may stand on the page."""

FILE_NAME = re.compile(r"\w_\w|\b\w+\.[A-Za-z]\w*")
"""A name from a file: `comp_c`, `contactor.T1`."""

LOOKS = {"look-compressor": "running", "look-fan": "turning", "look-blower": "turning"}


def page(worked: Worked, extras: Extras | None = None) -> CustomerPage:
    with measuring("us"):
        return told_throughout(customer_page(worked, extras or Extras()))


def texts(told: Any) -> Iterator[str]:
    """Every text in plain values."""
    if isinstance(told, str):
        yield told
    elif isinstance(told, dict):
        for each in told.values():
            yield from texts(each)
    elif isinstance(told, list):
        for each in told:
            yield from texts(each)


def with_proof(worked: Worked, **changed: Any) -> Worked:
    """The call with another proof: all looks good, everything else as given."""
    assert worked.proved is not None
    looks = tuple(Checked(name, name, seen, seen, good=True) for name, seen in LOOKS.items())
    given = {"standing": "proved", "checks": looks, "findings": (), "remaining": (), **changed}
    proof: Proof = replace(worked.proved.proof, **given)
    return replace(worked, wires=None, proved=replace(worked.proved, proof=proof))


def checked(name: str, level: Any) -> Checked:
    return Checked(name, name, "3 V", "under 0.1 V", good=level in ("good", "caution"), level=level)


def test_a_proved_repair_runs_and_may_be_run(worked: Worked) -> None:
    told = page(with_proof(worked))
    assert told.headline == "Your air conditioner is running."
    assert told.run == "You can run it: nothing that we measured speaks against it."
    assert told.next_step == ()


@pytest.mark.parametrize("standing", ["not yet", "refused"])
def test_a_repair_that_is_not_proved_says_so_and_what_comes_next(
    worked: Worked, standing: str
) -> None:
    suspect = SuspectSet(worked.answer.opened.unit).suspect("float_switch.open")
    left = (Remaining(Hidden(suspect, "recurs", 0.04), 0.9),)
    told = page(with_proof(worked, standing=standing, remaining=left))
    refused = standing == "refused"
    assert told.headline.startswith("Not fixed yet." if refused else "Your air conditioner is run")
    assert "not verified" in told.headline or refused
    assert told.run.startswith("Leave the cooling off" if refused else "You can run it. Call us")
    assert told.next_step
    if refused:
        assert told.next_step[-1] == "Next step: we clear the drain and empty the pan."


def test_too_little_refrigerant_is_told_by_its_figures_and_not_by_their_sentence(
    worked: Worked,
) -> None:
    figures = (
        Finding("superheat", 19.0, "K", "caution", "nobody reads this", "test", 1),
        Finding("subcooling", -0.5, "K", "caution", "nor this", "test", -1),
        Finding("charge", None, "", "refuse", "nor this", "test"),
    )
    told = page(with_proof(worked, standing="refused", findings=figures))
    assert told.next_step[0].startswith("There is too little refrigerant in the system.")
    assert "find the leak" in told.next_step[1]
    assert [row.verdict for row in told.checked if row.title == "Refrigerant"] == ["not"]


def test_a_refused_reading_names_its_subject_and_the_next_step(worked: Worked) -> None:
    low = checked("uf-capacitor-HERM-C", "refuse")
    told = page(with_proof(worked, standing="refused", checks=(low,)))
    assert told.next_step == (
        "Capacitor: outside its limit.", "Next step: we replace the capacitor.",
    )  # fmt: skip
    own = Extras(by_hand=ByHand(next_step="We come on Monday."))
    assert page(with_proof(worked, standing="refused", checks=(low,)), own).next_step == (
        "Capacitor: outside its limit.", "Next step: We come on Monday.",
    )  # fmt: skip


def test_a_reading_that_passed_is_nothing_to_watch(worked: Worked) -> None:
    good, worn = (checked("drop-contactor-L1-T1", level) for level in ("good", "caution"))
    assert page(with_proof(worked, checks=(good,))).watch == ()
    assert page(with_proof(worked, checks=(worn,))).watch == (
        "Contactor, the main switch: worn; it still works.",
    )


def test_what_only_eyes_saw_is_not_called_measured(worked: Worked) -> None:
    told = {row.title: row.text for row in page(with_proof(worked)).checked}
    assert told["Compressor"] == "was seen to run"
    amps = checked("amps-comp_c", "good")
    told = {row.title: row.text for row in page(with_proof(worked, checks=(amps,))).checked}
    assert told["Compressor"] == "runs, within its nameplate"


def test_a_switch_that_did_its_job_is_not_called_repaired(worked: Worked) -> None:
    """The record has it as put right; what was done stands there only in somebody's own words."""
    told = page(with_proof(worked))
    assert told.done == ("What was done about the condensate float switch is not written down.",)
    own = Extras(by_hand=ByHand(done=("We cleared the drain.",)))
    assert page(with_proof(worked), own).done == ("We cleared the drain.",)


def test_without_a_proof_the_cause_is_found_and_not_fixed(worked: Worked) -> None:
    told = page(replace(worked, proved=None, wires=None, answer=replace(
        worked.answer, call=replace(worked.answer.call, proof=None))))  # fmt: skip
    assert told.headline == "Not fixed yet. The cause is found."
    assert told.next_step == ("Next step: we clear the drain and empty the pan.",)
    assert told.found[1] == "The contactor, which had been suspected, is good by our readings."
    assert told.not_measured == (
        "Nothing was measured after the work that shows that the unit runs right.",
    )


def test_no_figure_of_a_meter_and_no_name_of_a_file_stands_on_it(worked: Worked) -> None:
    levels = ("good", "caution", "again", "refuse")
    names = [card.id for card in worked.answer.belief.table.checks]
    for standing in ("proved", "not yet", "refused"):
        for level in levels:
            checks = tuple(checked(name, level) for name in names)
            told = page(with_proof(worked, standing=standing, checks=checks))
            content = json.loads(json.dumps(told, default=lambda each: {
                key: getattr(each, key) for key in each.__dataclass_fields__}))  # fmt: skip
            for key in ("head", "visit", "signed"):
                content.pop(key)
            for text in texts(content):
                assert not FIGURE.search(text), text
                assert not FILE_NAME.search(text), text


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_every_fault_has_a_sentence_in_plain_words(name: str) -> None:
    unit = arrangement(name)
    for suspect in SuspectSet(unit).suspects:
        told, then = fault_told(unit, suspect.id), next_told(unit, suspect.id)
        assert told.endswith(".")
        assert told[0].isupper()
        for text in (told, then):
            assert not FIGURE.search(text), text
            assert not FILE_NAME.search(text), text
        if not suspect.id.startswith("nothing"):
            assert "wiring" not in told, suspect.id


@pytest.mark.parametrize(
    ("fault", "stops", "off"),
    [
        ("capacitor.herm_weak", True, "the cooling off at the thermostat"),
        ("contactor.welded", True, "It does not stop by the thermostat"),
        ("thermostat.keeps_calling", False, "It does not stop by the thermostat"),
        ("outdoor_breaker.tripped", True, "do not reset it"),
        ("compressor.seized>outdoor_breaker.tripped", True, "do not reset it"),
        ("comp_c.rubbed", True, "this unit's breaker off"),
        ("service.neutral_lost", True, "call the electric utility now"),
    ],
)
def test_what_is_left_off_stops_what_is_wrong(fault: str, off: str, *, stops: bool) -> None:
    """A thermostat stops no welded contactor, and a tripped breaker is not put back."""
    assert off in leave_off(unit_from_text(UNIT), fault, stops=stops)


def test_a_unit_that_keeps_running_is_left_off_at_its_breaker(worked: Worked) -> None:
    runs_on = replace(checked("look-idle", "refuse"), text="keeps running")
    told = page(with_proof(worked, standing="refused", checks=(runs_on,)))
    assert told.run.startswith("It does not stop by the thermostat: leave the breaker")
    assert told.next_step[0] == "Stops by the thermostat: no."


@pytest.mark.parametrize(
    ("check", "subject"),
    [
        ("look-idle", "stop"), ("amps-comp_c", "compressor"), ("amps-fan_c", "fan"),
        ("idle-amps-heater_line", "heater"), ("volts-contactor-L1-L2", "supply"),
        ("idle-volts-contactor-L1-L2", "supply"), ("volts-coil", "control"),
        ("volts-outdoor_breaker-load1-load2", "supply"), ("volts-disconnect-line1-line2", "supply"),
        ("volts-transformer-R-C", "control"), ("uf-capacitor-HERM-C", "capacitor"),
        ("loaduf-capacitor-FAN", "capacitor"), ("drop-contactor-L1-T1", "contactor"),
        ("drop-comp_r", "wiring"), ("drop-fan_c", "wiring"),
        ("insulation-compressor", "insulation"),
        ("ohms-heater-1-2", "heater"), ("superheat", "refrigerant"), ("air split", "air"),
        ("ohms-coil", ""),
    ],
)  # fmt: skip
def test_a_reading_belongs_to_the_part_that_it_is_of(check: str, subject: str) -> None:
    """A wire's name may begin like a part's: `fan_c` is no fan."""
    unit = unit_from_text(UNIT)
    cards = {each.card.id: each.card for each in checks_of(unit)}
    assert (subject_of(unit, cards[check]) if check in cards else FIGURES[check]) == subject


def test_each_subject_says_how_it_stands_what_is_unread_and_what_comes_next() -> None:
    for subject in SUBJECTS.values():
        for text in (subject.good, subject.watch, subject.bad, subject.unread, subject.then):
            assert text
            assert not FIGURE.search(text)
            assert "safe" not in text
