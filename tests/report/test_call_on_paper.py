"""What the papers of a call say, from its file."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from importlib import resources

import pytest
from tests.report.reading_back import opened, text_of

from rungwise.diagnosis.band import expected_band
from rungwise.drawing import ladder, panel
from rungwise.faults.suspect_set import HEALTHY
from rungwise.report import Extras, Layout, Worked, customer_paper, technician_paper
from rungwise.report.content import TechnicianRecord
from rungwise.report.layout import Size
from rungwise.report.slices import slices
from rungwise.report.technician import technician_record
from rungwise.unit.unit_file import arrangement
from rungwise.wording import measuring, told_throughout

SAFE = re.compile(r"\b(?:un)?safe(?:ly|ty)?\b", re.IGNORECASE)


@pytest.fixture(scope="module")
def record(worked: Worked) -> TechnicianRecord:
    with measuring("us"):
        return told_throughout(technician_record(worked, Extras()))


def test_a_reading_stands_with_its_band_and_whom_it_spoke_for(record: TechnicianRecord) -> None:
    told = {each.title: each for each in record.readings}
    open_switch = told["ohms 1-2 of the condensate float switch, leads off"]
    assert (open_switch.text, open_switch.verdict, open_switch.note) == ("OL", "not", "twice")
    assert "Ω" in open_switch.good
    assert any("condensate float switch open" in each for each in open_switch.said)


def test_no_band_of_a_good_unit_goes_below_nothing(worked: Worked) -> None:
    """No meter on these checks shows less than 0; a joint's few milliohms read up to its error."""
    good = worked.answer.belief.upto(0)
    repair = good.table.suspect(HEALTHY).repair
    bands = [
        expected_band(good, card.id, repair) for card in good.table.checks if card.form == "number"
    ]
    assert min(low for band in bands for low, _, _ in band.spans) >= 0.0
    assert any(band.text.startswith("up to ") for band in bands)
    assert not [band.text for band in bands if "-" in band.text or "up to 0 " in band.text]


def test_a_look_stands_apart_from_what_was_measured(record: TechnicianRecord) -> None:
    assert {each.text: each.verdict for each in record.looked} == {"silent": "not", "no": "not"}


def test_the_part_that_would_have_been_swapped_is_named(record: TechnicianRecord) -> None:
    told = "A guess would have replaced: one-pole contactor"
    assert any(each.startswith(told) for each in record.cause)


def test_a_record_calls_terminals_as_a_person_does(worked: Worked) -> None:
    """Also in what the wires do; what somebody wrote stays as written."""
    note = "found contactor.T2 loose"
    content = technician_paper(worked, Extras(note=note), Layout()).as_json()
    assert content.pop("note") == note
    ends = worked.answer.opened.unit.terminals()
    assert [end for end in ends if re.search(rf"(?<![\w.]){re.escape(end)}\b", str(content))] == []
    wrong = "red wire from one-pole contactor T1 to compressor R is on one-pole contactor T2"
    assert wrong in str(content["wires"])
    assert "comp_r" not in str(content)


def test_wires_left_wrong_are_told_by_what_they_do(record: TechnicianRecord) -> None:
    assert record.wires[0].startswith("Do not power up.")
    assert any(
        "is on one-pole contactor T2 and belongs on one-pole contactor T1" in it
        for it in record.wires
    )


def test_what_was_not_measured_is_listed(record: TechnicianRecord) -> None:
    told = " ".join(record.not_measured)
    assert "ohms 1-2 of the low-pressure switch, leads off: could not be made" in told
    assert "Lockout: nothing was checked off or measured in this record." in told
    assert "insulation" in told
    assert "refrigerant" not in told


def test_gauges_stand_in_the_units_of_the_paper(worked: Worked) -> None:
    with measuring("si"):
        told = dict(told_throughout(technician_record(worked, Extras())).gauges)
    assert told["refrigerant: suction pressure"] == "855 kPa"
    assert told["refrigerant: suction line"] == "12 °C"
    assert told["refrigerant: target superheat"] == "5.6 K"


def test_the_customer_is_told_that_wires_were_left_wrong(worked: Worked) -> None:
    told = customer_paper(worked, Extras(), Layout()).as_json()["watch"]
    assert "With the wires as they were left, the unit does not do all it should." in told


def test_without_a_proof_the_customer_is_told_that_nothing_proves_it(worked: Worked) -> None:
    told = customer_paper(replace(worked, proved=None), Extras(), Layout()).as_json()
    assert any("shows that the unit runs right" in each for each in told["not_measured"])
    assert told["checked"] == ()


def test_the_customers_page_says_what_the_part_is_for_and_what_it_costs(worked: Worked) -> None:
    extras = Extras(prices="float switch: 38.50 $\nlabour: 180 $", foreseen=("Capacitor: soon.",))
    told = text_of(customer_paper(worked, extras, Layout()).pdf())
    assert "Water had backed up in the drain pan" in told
    assert "stops the unit before water runs over" in told
    assert "218.50 $" in told
    assert "Capacitor: soon." in told
    assert "WARNING" in told


def test_the_record_opens_with_the_danger_and_shows_both_diagrams(worked: Worked) -> None:
    paper = technician_paper(worked, Extras(), Layout())
    told = text_of(paper.pdf())
    assert told.index("DANGER") < told.index("Cause")
    assert "Ladder diagram" in told
    assert "Outdoor cabinet, from point to point" in told
    assert "with the wires as they were left" in told
    assert {name.partition("-")[0] for name in paper.files} == {"ladder", "panel"}


def test_its_text_reads_in_order_with_each_name_before_its_value(worked: Worked) -> None:
    """No ligature is lost on the way (fl, ff), and units stay with their numbers."""
    told = text_of(technician_paper(worked, Extras(), Layout()).pdf())
    spots = [told.index(each) for each in (
        "Service record", "customer Mrs. Finch", "Cause", "Ohms 1-2 of the condensate float switch",
        "leads off", "After the work", "15.8 A", "What was not measured", "customer signature",
        "Ladder diagram", "Outdoor cabinet",
    )]  # fmt: skip
    assert spots == sorted(spots)


def test_nothing_is_ever_called_safe(worked: Worked) -> None:
    for make in (customer_paper, technician_paper):
        paper = make(worked, Extras(), Layout())
        assert SAFE.findall(json.dumps(paper.as_json(), ensure_ascii=False)) == []
    templates = resources.files("rungwise.report").joinpath("templates")
    for template in templates.iterdir():
        assert SAFE.findall(template.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize("first", [250.0, 410.0, 560.0, 655.0, 770.0, 900.0])
def test_a_tall_picture_is_cut_through_no_word_and_each_word_is_kept_once(first: float) -> None:
    unit = arrangement("one_pole_heater")
    for picture in (ladder(unit), panel(unit)):
        pieces = slices(picture, first, first + 100.0)
        tops = [float(re.findall(r'viewBox="0 (\S+)', each.svg)[0]) for each in pieces]
        cuts = [box.text for top in tops[1:] for box in picture.labels
                if box.y + 1.0 < top < box.y + box.h - 1.0]  # fmt: skip
        assert cuts == []
        assert sum(each.height for each in pieces) == pytest.approx(picture.height)
        assert pieces[0].height <= first
        assert max(each.height for each in pieces) <= first + 100.0
        assert sum(each.svg.count("<text") for each in pieces) == picture.svg.count("<text")


@pytest.mark.parametrize("size", ["letter", "a4"])
def test_an_ordinary_call_is_one_page_to_the_customer(worked: Worked, size: Size) -> None:
    paper = customer_paper(worked, Extras(prices="float switch: 38.50 $"), Layout(size))
    assert len(opened(paper.pdf()).pages) == 1


@pytest.mark.parametrize("size", ["letter", "a4"])
def test_both_diagrams_stand_on_two_pages(worked: Worked, size: Size) -> None:
    """The cabinet begins below the end of the ladder."""
    pdf = opened(technician_paper(worked, Extras(), Layout(size)).pdf())
    last = next(at for at, page in enumerate(pdf.pages) if "Ladder diagram" in page.extract_text())
    assert len(pdf.pages) - last == 2
