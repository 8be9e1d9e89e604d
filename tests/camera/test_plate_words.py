"""Names on a plate find their values behind them, before them and below them, or say nothing."""

from __future__ import annotations

import pytest
from tests.camera.told import PAIRS, TABLE, words_of

from rungwise.camera import read_part, read_plate

TRUTH = {
    "model": "HA-3-36", "serial": "2207 F 61943", "volt": "208/230", "phases": "1", "hz": "60",
    "rla_a": "14.1", "lra_a": "73", "fan_fla_a": "1.2", "mca_a": "18.8", "mocp_a": "30",
    "refrigerant": "R-410A", "made": "05/2019",
}  # fmt: skip


def texts(rows: tuple[str, ...], **how: float) -> dict[str, str]:
    return {each.key: each.printed for each in read_plate(words_of(rows, **how))}  # type: ignore[arg-type]


@pytest.mark.parametrize("rows", [PAIRS, TABLE], ids=["name and value", "table"])
@pytest.mark.parametrize("lean", [-0.15, 0.0, 0.12])
def test_every_line_of_a_plate_is_read_however_it_is_held(
    rows: tuple[str, ...], lean: float
) -> None:
    read = texts(rows, lean=lean)
    assert {key: read.get(key) for key in TRUTH} == TRUTH


@pytest.mark.parametrize("rows", [PAIRS, TABLE], ids=["name and value", "table"])
def test_a_clear_plate_whose_figures_agree_is_sure(rows: tuple[str, ...]) -> None:
    told = {each.key: each.sureness for each in read_plate(words_of(rows))}
    assert {key for key, sure in told.items() if sure == "unsure"} == set()


def test_a_faint_word_makes_its_field_unsure_and_no_other() -> None:
    read = read_plate(words_of(PAIRS, faint="14.1"))
    assert {each.key for each in read if each.sureness == "unsure"} == {"rla_a"}


@pytest.mark.parametrize(
    ("was", "now", "doubted"),
    [
        ("RLA 14.1", "RLA 11.1", {"rla_a", "fan_fla_a", "mca_a"}),  # MCA is 1.25 RLA and the FLA
        ("LRA 73", "LRA 13", {"rla_a", "lra_a"}),
        ("BKR. 30", "BKR. 38", {"mocp_a"}),
        ("VOLTS 208/230", "VOLTS 208", {"volt"}),
        ("HA-3-36", "HA-3-3B", {"model"}),
        ("R-410A", "R-41OA", {"refrigerant"}),
    ],
)
def test_a_misread_sign_is_called_unsure(was: str, now: str, doubted: set[str]) -> None:
    rows = tuple(each.replace(was, now) for each in PAIRS)
    told = {each.key: each.sureness for each in read_plate(words_of(rows))}
    assert doubted <= {key for key, sure in told.items() if sure == "unsure"}


@pytest.mark.parametrize(
    "name", ["MAX FUSE OR BREAKER", "MAX FUSE", "MAX. FUSE/BKR.", "MAXIMUM FUSE OR CKT BKR SIZE"]
)
def test_the_largest_fuse_is_found_however_a_plate_names_it(name: str) -> None:
    assert texts((f"{name} 30 A",)) == {"mocp_a": "30"}


def test_what_the_plate_does_not_say_is_not_made_up() -> None:
    assert texts(("HOLLOW AIR", "MODEL NO.", "VOLTS", "30 LB 12")) == {}


def test_two_readings_of_one_field_that_differ_are_unsure() -> None:
    read = {each.key: each for each in read_plate(words_of((*PAIRS, "RLA 17.1")))}
    assert read["rla_a"].sureness == "unsure"


@pytest.mark.parametrize(
    ("rows", "truth"),
    [
        (("45+5 µF ±6%", "440 VAC 50/60 HZ"), {"uf": "45+5", "volt": "440"}),
        (("45/5 MFD 370 VAC",), {"uf": "45+5", "volt": "370"}),
        (("MFD 45/5", "VAC 370/440"), {"uf": "45+5", "volt": "370/440"}),
        (("10 µF 440 VAC",), {"uf": "10", "volt": "440"}),
        (("COIL 24 VAC 60 HZ", "30 FLA 150 LRA 40 RES"),
         {"coil_volt": "24", "fla_a": "30", "lra_a": "150", "resistive_a": "40"}),
        (("HP 1/4 RPM 1075", "VOLTS 208-230 PH 1 HZ 60", "FLA 1.3 CAP 5 MFD"),
         {"hp": "1/4", "rated_rpm": "1075", "volt": "208/230", "fla_a": "1.3", "uf": "5"}),
    ],
)  # fmt: skip
def test_a_part_s_label_is_read_by_names_and_by_units(
    rows: tuple[str, ...], truth: dict[str, str]
) -> None:
    read = {each.key: each.printed for each in read_part(words_of(rows))}
    assert {key: read.get(key) for key in truth} == truth
