"""Candidate files: what is read, and how a bad one is refused, with its place and a next step."""

from __future__ import annotations

from pathlib import Path

import pytest

from rungwise.errors import BadCandidateFile
from rungwise.parts import KINDS, Supply
from rungwise.replacement import read_candidates
from rungwise.replacement.candidate import Candidate
from rungwise.replacement.candidate_kinds import CANDIDATE_KINDS, standing_in_for
from rungwise.replacement.label import values_of
from rungwise.unit.unit_file import arrangement

UNIT = arrangement("one_pole_heater")
CONTACTOR = """
[[candidates]]
name = "forty"
for = "contactor"
kind = "contactor_1p"
coil_volt = "24 V"
fla_a = "40 A"
lra_a = 200
resistive_a = 50
"""
CAPACITOR = """
[[candidates]]
name = "dual"
for = "capacitor"
kind = "dual_capacitor"
herm_uf = "45 µF"
fan_uf = 5
volt = 440
"""


def read(folder: Path, text: str) -> tuple[Candidate, ...]:
    file = folder / "stock.toml"
    file.write_text(text, encoding="utf-8")
    return read_candidates(file, UNIT)


def refused(folder: Path, text: str) -> BadCandidateFile:
    with pytest.raises(BadCandidateFile) as caught:
        read(folder, text)
    error = caught.value
    assert (folder / "stock.toml").read_text(encoding="utf-8") == text, "a file is never changed"
    assert error.file is not None
    assert error.next_step
    return error


def test_a_candidate_is_read_with_all_it_says(tmp_path: Path) -> None:
    more = (
        'price = 21.9\nwhere = "bin 3"\ncoil_hz = "50/60"\n[candidates.terminals]\nT1 = ["lug"]\n'
    )
    (found,) = read(tmp_path, CONTACTOR + more)
    assert (found.name, found.parts, found.kind_name) == ("forty", ("contactor",), "contactor_1p")
    assert found.figures == {"coil_volt": 24, "fla_a": 40, "lra_a": 200, "resistive_a": 50}
    assert (found.price, found.where) == (21.9, "bin 3")
    assert found.texts == {"coil_hz": "50/60"}
    assert found.terminals == {"T1": ("lug",)}


def test_one_candidate_may_take_the_place_of_two_parts(tmp_path: Path) -> None:
    text = CAPACITOR.replace('for = "capacitor"', 'for = ["capacitor", "blower_capacitor"]')
    assert read(tmp_path, text)[0].parts == ("capacitor", "blower_capacitor")


def test_a_van_carries_parts_that_this_unit_does_not_have(tmp_path: Path) -> None:
    """Names that other units use are no slip."""
    text = CAPACITOR.replace('"capacitor"', '"start_capacitor"').replace("dual_cap", "start_cap")
    text = text.replace('herm_uf = "45 µF"\nfan_uf = 5', "start_uf = 189").replace("440", "330")
    assert read(tmp_path, text)[0].parts == ("start_capacitor",)


@pytest.mark.parametrize(
    ("old", "new", "key", "said"),
    [
        ('for = "contactor"', 'for = "contacter"', "candidates[1].for", "did you mean contactor?"),
        ("contactor_1p", "contactor_9p", "candidates[1].kind", "contactor_1p"),
        ("contactor_1p", "lv_fuse", "candidates[1].kind", "cannot take the place"),
        ('"24 V"', '"24 A"', "candidates[1].coil_volt", "is a current"),
        ('"40 A"', '"-4 A"', "candidates[1].fla_a", "too low"),
        ('fla_a = "40 A"\n', "", "candidates[1]", "rating is not guessed"),
        ("lra_a", "lra", "candidates[1]", "rename lra"),
        ('name = "forty"', "name = 40", "candidates[1].name", "put it in quotes"),
        ('name = "forty"\n', "", "candidates[1]", "no name"),
        ('for = "contactor"', "for = []", "candidates[1].for", "for no part"),
        ("resistive_a = 50", 'resistive_a = 50\nprice = "cheap"', "candidates[1].price", "number"),
        ("resistive_a = 50", "resistive_a = 50\nprice = -1", "candidates[1].price", "too low"),
        ("resistive_a = 50", "resistive_a = 50\nhue = 1", "candidates[1].hue", "means nothing"),
        ("resistive_a = 50", 'resistive_a = 50\ncoil_hz = "55"', "candidates[1].coil_hz", "50/60"),
        ("resistive_a", 'coil_ohm = "14 Ω"\nsealed_va = 60\nresistive_a',
         "candidates[1].sealed_va", "cannot draw"),
        ("[[candidates]]", "[candidates]", "candidates", "[[candidates]]"),
        (CONTACTOR, "# nothing\n", None, "only comments"),
        (CONTACTOR, 'title = "van"\n', None, "names no candidate"),
        (CONTACTOR, CONTACTOR + "= 3", None, "not TOML"),
    ],
)  # fmt: skip
def test_a_bad_file_says_where_and_what_to_do(
    tmp_path: Path, old: str, new: str, key: str | None, said: str
) -> None:
    assert old in CONTACTOR
    error = refused(tmp_path, CONTACTOR.replace(old, new, 1))
    assert error.key == key
    assert said in str(error)


def test_two_answers_to_one_question_are_refused(tmp_path: Path) -> None:
    error = refused(tmp_path, CONTACTOR + "inrush_va = 28\ncoil_out_henry = 0.1\n")
    assert error.key == "candidates[1].coil_out_henry"


def test_a_terminal_that_the_part_does_not_have(tmp_path: Path) -> None:
    error = refused(tmp_path, CONTACTOR + '[candidates.terminals]\nT3 = ["tab"]\n')
    assert error.key == "candidates[1].terminals.T3"
    assert "T1, T2" in str(error)


def test_a_place_that_no_terminal_has(tmp_path: Path) -> None:
    error = refused(tmp_path, CONTACTOR + '[candidates.terminals]\nT1 = ["glue"]\n')
    assert "tab, plate, lug, screw, lead" in str(error)


def test_twins_are_refused_at_the_second(tmp_path: Path) -> None:
    error = refused(tmp_path, CONTACTOR + CONTACTOR)
    assert error.key == "candidates[2].name"


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(BadCandidateFile, match="no such file"):
        read_candidates(tmp_path / "none.toml", UNIT)


def test_a_coil_for_more_volts_may_have_more_ohms(tmp_path: Path) -> None:
    """The allowed ohms go with the square of the volts, and so do those that are not told."""
    high = CONTACTOR.replace('"24 V"', '"240 V"')
    (told,) = read(tmp_path, high + "coil_ohm = 1500\n")
    assert told.figures["coil_ohm"] == 1500
    (untold,) = read(tmp_path, high)
    (usual,) = read(tmp_path, CONTACTOR)
    ohm = [values_of(c, c.kind.pieces[0], 60.0)["coil_ohm"] for c in (untold, usual)]
    assert ohm[0] == pytest.approx(100 * ohm[1])
    assert refused(tmp_path, CONTACTOR + "coil_ohm = 1500\n").key == "candidates[1].coil_ohm"


def test_volt_amperes_of_a_label_become_the_coils_reactance(tmp_path: Path) -> None:
    """|Z| = V²/VA: 24 V and 7 VA are 82.3 Ω, of which 14 Ω are resistance."""
    (found,) = read(tmp_path, CONTACTOR + "coil_ohm = 14\nsealed_va = 7\n")
    henry = values_of(found, found.kind.pieces[0], 60.0)["coil_in_henry"]
    assert abs(14 + 2j * 3.14159265 * 60 * henry) == pytest.approx(24**2 / 7, rel=1e-6)


def test_every_kind_of_part_but_wires_and_the_service_can_be_bought() -> None:
    assert standing_in_for("contactor_1p") == (
        "contactor_1p", "contactor_2p", "contactor_2p_aux", "contactor_3p", "contactor_3p_aux",
    )  # fmt: skip
    assert "two_run_capacitors" in standing_in_for("dual_capacitor")
    supplies = [name for name, kind in KINDS.items() if kind.facet(Supply)]
    assert "service" in supplies
    assert {standing_in_for(name) for name in supplies} == {()}
    assert all(kind.label == () or kind.parameters() for kind in CANDIDATE_KINDS.values())
