"""What the customer said, in an answer: weights, values, one sentence for each thing said."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from rungwise.diagnosis.complaint import ChipEffect, Moved
from rungwise.diagnosis.fault_table import SuspectCard
from rungwise.errors import UnknownName
from rungwise.faults import SuspectSet
from rungwise.maintenance.history import ClosedCall
from rungwise.services import call_from_text, open_call, unit_from_text
from rungwise.services.history.shop_weights import own_weights
from rungwise.services.wording.complaint_words import (
    also_said,
    complaint_json,
    complaint_lines,
    said_of,
    weights_before,
)

UNIT = unit_from_text('arrangement = "two_pole_plain"\n')
KINDS = {block.name: block.kind.name for block in UNIT.blocks()}
CARDS = tuple(
    SuspectCard(
        each.id, each.title, each.block, each.mode, each.repair, each.repair_text,
        each.weight, known=each.known, kind=KINDS.get(each.block, ""),
    )
    for each in SuspectSet(UNIT)
)  # fmt: skip
START = {card.id: card.weight for card in CARDS}
PLAIN = call_from_text('unit = "two_pole_plain"\n', UNIT)
STORM = replace(PLAIN, complaint=("after_storm",))
SHORTED = "transformer.shorted"


def test_without_a_complaint_the_weights_are_those_on_the_cards() -> None:
    assert weights_before(PLAIN, CARDS) is None
    assert said_of(PLAIN, CARDS) == ()


def test_more_may_be_said_than_stands_in_the_file() -> None:
    assert also_said(STORM, ["smell", "after_storm"]).complaint == ("after_storm", "smell")
    with pytest.raises(UnknownName, match="after_storm"):
        also_said(STORM, ["thunder"])


def test_a_shop_s_own_weights_and_ratios_are_both_used() -> None:
    """Ten transformers of a shop, all after storms: likelier by themselves, and after a storm."""
    closed = [ClosedCall("transformer", "shorted", 12.0, ("after_storm",))] * 10
    closed += [ClosedCall("compressor", "seized", 12.0, ("noise",))] * 10
    own = own_weights(UNIT, closed, None)
    assert own
    stated = weights_before(STORM, CARDS)
    learned = weights_before(replace(STORM, own=own), CARDS)
    assert stated
    assert learned
    alone = dict(own.by_suspect)[SHORTED]
    assert alone > START[SHORTED]
    assert learned[SHORTED] / alone > stated[SHORTED] / START[SHORTED] > 1.0


def test_a_shop_file_tells_what_was_said_of_its_calls(tmp_path: Path) -> None:
    (tmp_path / "call.toml").write_text(
        'unit = "two_pole_plain"\nshop = "shop.toml"\n', encoding="utf-8"
    )
    (tmp_path / "shop.toml").write_text(
        'today = 2026-01-01\n[[calls]]\ndate = 2025-07-01\nage = 12\nkind = "transformer"\n'
        'mode = "shorted"\ncomplaint = ["after_storm"]\n',
        encoding="utf-8",
    )
    call, _ = open_call(str(tmp_path / "call.toml"))
    assert call.own
    assert ("after_storm", "transformer") in dict(call.own.ratios)


def test_the_sentence_says_whom_and_by_how_much() -> None:
    told = ChipEffect("x", "After a storm", (
        Moved("a", "the delay", 4.0), Moved("b", "the supply", 4.0), Moved("c", "the pan", 0.4),
    ))  # fmt: skip
    (line,) = complaint_lines([told])
    assert line == (
        'The complaint "After a storm" made the delay and the supply likelier by 4; '
        "the pan less likely by 2.5."
    )


def test_values_and_sentences_tell_the_same_ratios() -> None:
    said = said_of(STORM, CARDS)
    (values,) = complaint_json(said)
    (line,) = complaint_lines(said)
    figures = {float(each) for each in re.findall(r"by ([\d.]+)", line.rstrip("."))}
    assert figures <= {round(each["ratio"], 2) for each in values["moved"]}
