"""Every message of the pages and of the customer's page stands in every language."""

from __future__ import annotations

import re
import sys
from functools import cache
from pathlib import Path
from types import ModuleType

import pytest
from babel.messages.catalog import Catalog, Message

from rungwise.faults.suspect_set import SuspectSet
from rungwise.parts import KINDS
from rungwise.parts.words import Words
from rungwise.unit import arrangement
from rungwise.wording import Said, catalog_of, is_known
from rungwise.wording.catalogs import messages_of

ROOT = Path(__file__).parent.parent.parent
WHOLE = {"web", "report", "services"}
"""Rooms whose every message is told in every language: pages and papers."""

SHARE = 0.98
"""Of all messages, at the least; what is left is shown in English, and marked so on a page."""

_HOLES = re.compile(r"%\(\w+\)[sd]|\{\w+\}")


@cache
def tool() -> ModuleType:
    sys.path.insert(0, str(ROOT / "tools"))
    try:
        import messages  # noqa: PLC0415  # a tool, no package
    finally:
        sys.path.pop(0)
    module: ModuleType = messages
    return module


@cache
def asked() -> Catalog:
    found: Catalog = tool().template()
    return found


def texts(message: Message) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The English and the other texts of a message."""
    one, other = message.id, message.string
    return (one if isinstance(one, tuple) else (str(one),),
            other if isinstance(other, tuple) else (str(other),))  # fmt: skip


def test_the_catalog_has_the_messages_of_the_program_and_no_others() -> None:
    held = {texts(each)[0] for each in messages_of("es") if each.id}
    wanted = {texts(each)[0] for each in asked() if each.id}
    assert sorted(wanted - held) == [], "python tools/messages.py"
    assert sorted(held - wanted) == [], "python tools/messages.py"


def test_no_message_of_the_pages_and_papers_is_missing() -> None:
    told = {texts(each)[0]: each for each in messages_of("es") if each.id}
    missing = [
        texts(each)[0][0]
        for each in asked()
        if each.id and set(each.auto_comments) & WHOLE and not all(texts(told[texts(each)[0]])[1])
    ]
    assert missing == []


def test_every_sentence_for_the_customer_is_told() -> None:
    catalog = catalog_of("es")
    words = [kind.facet(Words) for kind in KINDS.values()]
    said = {text for each in words if each is not None for text in
            (each.noun, each.purpose, *(it for plain in each.modes.values()
                                        for it in (plain.was, plain.then)))}  # fmt: skip
    said |= {kind.title for kind in KINDS.values()}
    assert len(said) > 300
    assert sorted(text for text in said if text and not catalog.knows(text)) == []


def test_a_translation_has_the_holes_of_its_message() -> None:
    wrong = [
        (one, other)
        for each in messages_of("es")
        for one, other in zip(*texts(each), strict=True)
        if other and sorted(set(_HOLES.findall(one))) != sorted(set(_HOLES.findall(other)))
    ]
    assert wrong == []


def test_a_question_stays_one() -> None:
    wrong = [
        one
        for each in messages_of("es")
        for one, other in zip(*texts(each), strict=True)
        if other and one.endswith("?") != other.endswith("?")
    ]
    assert wrong == []


def test_the_share_that_is_told_is_as_the_docs_state_it() -> None:
    rows = [each for each in messages_of("es") if each.id]
    share = sum(all(texts(each)[1]) for each in rows) / len(rows)
    assert share >= SHARE


@pytest.mark.parametrize("text", ["{name} seized", "Not saved", "contactor"])
def test_a_message_that_everybody_meets_is_found(text: str) -> None:
    assert catalog_of("es").knows(text)


@pytest.mark.parametrize("name", ["rooftop_two_compressors", "gas_furnace", "walk_in_freezer"])
def test_what_is_at_fault_and_what_puts_it_right_is_told(name: str) -> None:
    """Of parts, wires, conductors side by side, and pairs of a cause and what came of it."""
    suspects = SuspectSet(arrangement(name)).suspects
    assert any(each.cause_of for each in suspects)
    untold = {
        text
        for each in suspects
        for text in (each.title, each.repair_text, each.behind)
        if text and not (isinstance(text, Said) and is_known(text, "es"))
    }
    assert sorted(untold) == []
