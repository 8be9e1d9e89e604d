"""The fault table: its cards, its slices and its file."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from tests.diagnosis import control_circuit as circuit

from rungwise.diagnosis import CheckCard, FaultTable, SuspectCard
from rungwise.errors import BadInput, UnknownName


def small(**changed: object) -> FaultTable:
    """Two suspects of one particle, a meter check and a look."""
    fields: dict[str, object] = {
        "suspects": (
            SuspectCard("coil_open", "coil open", "coil", "open", "new_contactor", "swap it", 2.0),
            SuspectCard("fuse_open", "fuse blown", "fuse", "open", "new_fuse", "swap it", 1.0),
        ),
        "checks": (
            CheckCard("coil_ohms", "coil", unit="Ω"),
            CheckCard("plunger", "plunger", "choice", ("in", "out")),
        ),
        "suspect_of": np.array([0, 1]),
        "reading": np.array([[np.inf, 0.0], [14.0, 0.0]]),
        "reading_sd": np.array([[1.0, 1.0], [0.2, 1.0]]),
        "choice_probability": {1: np.array([[0.1, 0.9], [0.1, 0.9]])},
    }
    return FaultTable(**(fields | changed))  # type: ignore[arg-type]  # wrong on purpose in places


def test_an_unknown_check_or_suspect_is_refused_with_the_nearest_names() -> None:
    with pytest.raises(UnknownName) as refused:
        small().check("coil_ohm")
    assert refused.value.matches == ("coil_ohms",)
    with pytest.raises(UnknownName) as refused:
        small().suspect("fuse_opened")
    assert refused.value.matches == ("fuse_open",)


def test_suspects_are_grouped_by_what_would_be_done() -> None:
    table = circuit.model().table
    of_contactor = table.by_repair.index("new_contactor")
    names = [
        suspect.id
        for suspect, group in zip(table.suspects, table.by_repair.of_suspect, strict=True)
        if group == of_contactor
    ]
    assert names == ["coil_open", "coil_shorted", "contacts_open"]


def test_a_saved_table_comes_back_whole(tmp_path: Path) -> None:
    table = circuit.model().table
    table.save(tmp_path / "tables" / "unit.npz")
    again = FaultTable.load(tmp_path / "tables" / "unit.npz")
    assert (again.suspects, again.checks, again.digest) == (
        table.suspects,
        table.checks,
        table.digest,
    )
    np.testing.assert_array_equal(again.suspect_of, table.suspect_of)
    np.testing.assert_array_equal(again.reading, table.reading)
    np.testing.assert_array_equal(again.reading_sd, table.reading_sd)
    assert again.choice_probability.keys() == table.choice_probability.keys()
    for at, chances in table.choice_probability.items():
        np.testing.assert_array_equal(again.choice_probability[at], chances)
    assert [path.name for path in (tmp_path / "tables").iterdir()] == ["unit.npz"]


@pytest.mark.parametrize("content", [b"", b"not a table", b"PK\x03\x04broken"])
def test_a_broken_file_is_refused_in_words(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "unit.npz"
    path.write_bytes(content)
    with pytest.raises(BadInput, match="not a fault table") as refused:
        FaultTable.load(path)
    assert refused.value.file == str(path)


def test_a_pickle_in_a_table_file_is_never_run(tmp_path: Path) -> None:
    path = tmp_path / "unit.npz"
    np.savez(path, cards=np.array([{"format": 1}], dtype=object))
    with pytest.raises(BadInput, match="not a fault table"):
        FaultTable.load(path)


def test_a_missing_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="no fault table here"):
        FaultTable.load(tmp_path / "unit.npz")


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"reading": np.zeros((2, 1))}, "reading has shape"),
        ({"reading_sd": np.zeros((2, 2))}, "meter error above 0"),
        ({"suspect_of": np.array([0, 0])}, "every suspect needs a particle"),
        ({"choice_probability": {}}, "probabilities for each of its choices"),
        ({"choice_probability": {1: np.array([[0.5, 0.9], [0.1, 0.9]])}}, "do not sum to 1"),
        ({"reading": np.array([[-np.inf, 0.0], [14.0, 0.0]])}, "minus infinity"),
        ({"checks": (CheckCard("same", ""), CheckCard("same", ""))}, "the same id"),
    ],
)
def test_arrays_that_disagree_with_the_cards_are_refused(
    changed: dict[str, object], said: str
) -> None:
    with pytest.raises(ValueError, match=said):
        small(**changed)


def test_nobody_can_write_into_a_table() -> None:
    with pytest.raises(ValueError, match="read-only"):
        small().reading[0, 0] = 1.0
