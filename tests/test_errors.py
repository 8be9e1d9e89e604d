"""Each error tells its whole story: as text, as fields, and home from another process."""

from __future__ import annotations

import pickle
from pathlib import Path
from typing import TypeVar

import pytest

from rungwise import errors
from rungwise.errors import (
    BadInput,
    BadQuantity,
    BadUnitFile,
    FloatingNode,
    MissingProgram,
    NoSettling,
    RungwiseError,
    StoreError,
    UnknownName,
    close_matches,
)

Raised = TypeVar("Raised", bound=Exception)
PARTS = ["contactor", "compressor", "fan_motor"]


def every_kind() -> list[type[Exception]]:
    kinds = [getattr(errors, name) for name in errors.__all__]
    return [kind for kind in kinds if isinstance(kind, type)]


def full_story() -> BadUnitFile:
    return BadUnitFile(
        what="The coil resistance is too high.",
        file=Path("maple.toml"),
        line=12,
        key="parts.contactor.coil_resistance_ohm",
        value="900 Ω",
        allowed="1 to 200 Ω",
        next_step="measure the coil again",
    )


def from_another_process(error: Raised) -> Raised:
    home = pickle.loads(pickle.dumps(error))  # noqa: S301  # our own bytes
    assert type(home) is type(error)
    return home


def test_every_error_is_ours_and_stands_in_the_drawn_tree() -> None:
    assert len(every_kind()) == 17
    for kind in every_kind():
        assert issubclass(kind, RungwiseError)
        assert f"── {kind.__name__} " in str(errors.__doc__)


def test_what_people_type_wrong_is_bad_input_and_what_the_circuit_does_is_not() -> None:
    typed = {kind.__name__ for kind in every_kind() if issubclass(kind, BadInput)}
    assert typed == {
        "BadArchive", "BadCallFile", "BadCandidateFile", "BadInput", "BadQuantity", "BadReading",
        "BadRecord", "BadShopFile", "BadUnitFile", "BadWiresFile", "UnknownName",
    }  # fmt: skip


def test_the_text_has_every_field_that_is_set() -> None:
    assert str(full_story()) == (
        "The coil resistance is too high.\n"
        "  where:   maple.toml, line 12, key parts.contactor.coil_resistance_ohm\n"
        "  value:   900 Ω\n"
        "  allowed: 1 to 200 Ω\n"
        "  next:    measure the coil again"
    )


def test_the_text_is_one_sentence_when_nothing_else_is_known() -> None:
    assert str(BadInput(what="The file is empty.")) == "The file is empty."


def test_a_control_sign_in_a_typed_value_does_not_reach_the_terminal() -> None:
    error = BadInput(what="No such part.", value="fan\x1b[31m\nnext: bridge it", key="a\u202fb")
    assert str(error).splitlines()[1:] == [
        "  where:   key a\u202fb",
        "  value:   fan\ufffd[31m\ufffdnext: bridge it",
    ]


def test_a_value_of_zero_is_shown() -> None:
    assert "value:   0" in str(BadInput(what="The pole count is too low.", value=0))


def test_a_bad_input_comes_home_whole_from_another_process() -> None:
    home = from_another_process(full_story())
    assert home.fields() == full_story().fields()


def test_retold_keeps_the_story_and_adds_the_place() -> None:
    bad = BadQuantity(what="The coil voltage is asked in volts.", value="27 A", allowed="volts")
    told = bad.retold(BadUnitFile, file="maple.toml", line=3)
    assert type(told) is BadUnitFile
    assert told.fields() == bad.fields() | {"file": "maple.toml", "line": 3}


def test_an_unknown_name_offers_the_nearest_names_and_lists_the_rest() -> None:
    error = UnknownName(what="No such part.", name="Contacter", known=PARTS)
    assert error.matches == ("contactor",)
    assert error.value == "Contacter"
    assert error.allowed == "contactor, compressor, fan_motor"
    assert error.next_step == "did you mean contactor?"


def test_an_unknown_name_far_from_all_offers_nothing() -> None:
    error = UnknownName(what="No such part.", name="zzz", known=PARTS)
    assert error.matches == ()
    assert error.next_step is None


def test_an_unknown_name_where_there_are_no_names_lists_none() -> None:
    assert str(UnknownName(what="There are no parts.", name="fan")) == (
        "There are no parts.\n  value:   fan"
    )


def test_a_better_next_step_is_kept() -> None:
    error = UnknownName(what="No such part.", value="fan", known=PARTS, next_step="add the part")
    assert error.next_step == "add the part"


def test_a_long_list_of_names_is_cut_short_and_says_so() -> None:
    error = UnknownName(what="No such wire.", name="x", known=[f"wire_{n}" for n in range(20)])
    assert str(error.allowed).endswith("wire_11 and 8 more")


def test_an_unknown_name_keeps_its_matches_in_another_process() -> None:
    error = UnknownName(what="No such part.", name="contacter", known=PARTS)
    home = from_another_process(error)
    assert (str(home), home.matches) == (str(error), error.matches)


@pytest.mark.parametrize(
    ("name", "nearest"),
    [("CONTACTOR", "contactor"), ("fan motor", "fan_motor"), ("compresor", "compressor")],
)
def test_close_matches_look_past_capitals_and_slips(name: str, nearest: str) -> None:
    assert close_matches(name, PARTS)[0] == nearest


def test_circuit_errors_name_the_node_and_the_moving_parts() -> None:
    node = from_another_process(FloatingNode("T1 is tied to nothing.", node="contactor.T1"))
    moving = NoSettling("The contactor chatters.", moving=["contactor"])
    assert (str(node), node.node) == ("T1 is tied to nothing.", "contactor.T1")
    assert moving.moving == ("contactor",)


def test_a_missing_program_says_how_to_get_it() -> None:
    error = MissingProgram("ngspice is not here.", program="ngspice", next_step="install it")
    assert str(error) == "ngspice is not here.\n  next:    install it"
    assert str(MissingProgram("ngspice is not here.")) == "ngspice is not here."


def test_a_store_that_cannot_be_opened_says_what_to_do() -> None:
    error = from_another_process(StoreError("The database is gone.", next_step="name another"))
    assert str(error) == "The database is gone.\n  next:    name another"
