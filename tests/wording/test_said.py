"""A text that knows its message is English to every program, and told in a language where shown."""

from __future__ import annotations

import copy
import pickle
from collections.abc import Iterator

import pytest

from rungwise.diagnosis import sentence
from rungwise.wording import (
    Said,
    catalog_of,
    in_language,
    is_known,
    joined,
    language_for,
    mark,
    say,
    speaking,
    told,
)

SPANISH = {
    "replace the {noun}": "reemplazar {noun}",
    "contactor": "contactor",
    "fan motor": "motor del ventilador",
}


@pytest.fixture(autouse=True)
def _few_messages() -> Iterator[None]:
    held = dict(catalog_of("es").singular)
    catalog_of("es").singular.clear()
    catalog_of("es").singular.update(SPANISH)
    yield
    catalog_of("es").singular.clear()
    catalog_of("es").singular.update(held)


def test_to_a_program_it_is_the_english_text() -> None:
    text = say("replace the {noun}", noun=mark("contactor"))
    assert text == "replace the contactor"
    assert hash(text) == hash("replace the contactor")
    assert {"replace the contactor": 1}.get(text) == 1


def test_its_values_go_into_the_language_with_it() -> None:
    text = say("replace the {noun}", noun=mark("fan motor"))
    assert in_language(text, "es") == "reemplazar motor del ventilador"
    assert in_language(text, "en") == "replace the fan motor"


def test_what_somebody_typed_goes_in_as_it_is() -> None:
    assert in_language(say("replace the {noun}", noun="{brace} unit"), "es").endswith(
        "{brace} unit"
    )


def test_a_text_of_which_one_piece_is_not_known_stays_english_whole() -> None:
    text = say("replace the {noun}", noun=mark("no such thing"))
    assert not is_known(text, "es")
    assert in_language(text, "es") == "replace the no such thing"


def test_a_capital_and_a_full_stop_are_set_in_the_language() -> None:
    text = sentence(say("replace the {noun}", noun=mark("fan motor")))
    assert text == "Replace the fan motor."
    assert in_language(text, "es") == "Reemplazar motor del ventilador."


def test_texts_in_a_row_are_told_each_by_itself() -> None:
    row = joined("; ", [mark("fan motor"), mark("contactor"), "27 V"])
    assert row == "fan motor; contactor; 27 V"
    assert in_language(row, "es") == "motor del ventilador; contactor; 27 V"


def test_it_goes_to_another_process_and_back_whole() -> None:
    text = sentence(say("replace the {noun}", noun=mark("fan motor")))
    for back in (pickle.loads(pickle.dumps(text)), copy.deepcopy(text)):  # noqa: S301  # our own
        assert isinstance(back, Said)
        assert in_language(back, "es") == "Reemplazar motor del ventilador."


def test_the_language_lasts_as_long_as_it_is_spoken() -> None:
    with speaking("es"):
        assert told(mark("fan motor")) == "motor del ventilador"
    assert told(mark("fan motor")) == "fan motor"


@pytest.mark.parametrize(
    ("asked", "language"),
    [
        (("", ""), "en"), (("es", "en-US"), "es"), (("", "es-MX,es;q=0.9,en;q=0.8"), "es"),
        (("", "de,en;q=0.4,es;q=0.7"), "es"), (("", "fr"), "en"), (("es_US.UTF-8",), "es"),
        (("", "es;q=0,en"), "en"), (("", "es;q=none"), "en"), (("klingon", "es"), "es"),
    ],
)  # fmt: skip
def test_a_language_is_chosen_by_the_first_wish_that_is_met(
    asked: tuple[str, ...], language: str
) -> None:
    assert language_for(*asked) == language
