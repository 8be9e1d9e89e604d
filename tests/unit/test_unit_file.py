"""Reading a unit file: what it takes, and a clear refusal with its place for all else."""

from __future__ import annotations

from pathlib import Path

import pytest

from rungwise.errors import BadInput, BadUnitFile
from rungwise.files.document import Document
from rungwise.unit.unit import Unit
from rungwise.unit.unit_file import (
    ARRANGEMENTS,
    FIRST_ARRANGEMENTS,
    MOST_PARTS,
    MOST_WIRES,
    arrangement,
    read_unit,
    unit_from,
)

BASE = 'arrangement = "one_pole_heater"\n'

NEW_WIRE = """\
[[wires]]
name = "spare"
from = "contactor.T1"
to = "compressor.R"
joints = ["push-on", "push-on"]
"""


def unit(text: str) -> Unit:
    return unit_from(Document(text, file="maple.toml"), name="maple")


def refusal(text: str) -> BadInput:
    with pytest.raises(BadUnitFile) as caught:
        unit(text)
    assert caught.value.file == "maple.toml"
    return caught.value


# --- what is taken -----------------------------------------------------------------------------


@pytest.mark.parametrize("name", FIRST_ARRANGEMENTS)
def test_every_shipped_arrangement_is_read(name: str) -> None:
    found = arrangement(name)
    assert found.arrangement == found.name == name
    assert found.parts
    assert found.wires


def test_a_unit_is_an_arrangement_its_nameplate_and_what_differs(tmp_path: Path) -> None:
    path = tmp_path / "maple-12.toml"
    path.write_text(
        BASE + '[nameplate]\nrla_a = "18 A"\nowner = "the bakery"\n'
        '[parts.contactor]\ncoil_ohm = 12\nlabel = "the contactor"\n',
        encoding="utf-8",
    )
    found = read_unit(path)
    assert found.name == "maple-12"
    assert found.arrangement == "one_pole_heater"
    assert found.part("compressor").values["rated_a"] == 18.0
    assert found.part("contactor").values["coil_ohm"] == 12.0
    assert found.part("contactor").title == "the contactor"
    assert found.nameplate == {"rla_a": 18.0, "owner": "the bakery"}
    assert found.part("heater") == arrangement("one_pole_heater").part("heater")


def test_the_nameplate_sets_every_part_that_it_speaks_of() -> None:
    found = unit(BASE + '[nameplate]\nherm_uf = "50 µF"\nvolt = 208\nheater_w = 40\n')
    assert found.part("compressor").values["run_uf"] == 50.0
    assert found.part("capacitor").values["herm_uf"] == 50.0
    assert found.part("fan").values["rated_volt"] == 208.0
    assert found.part("heater").values["watt"] == 40.0


def test_a_parts_own_table_wins_over_the_nameplate() -> None:
    """A 40 µF capacitor on a 45 µF nameplate is a finding, and stays one."""
    found = unit(BASE + "[nameplate]\nherm_uf = 45\n[parts.capacitor]\nherm_uf = 40\n")
    assert found.part("capacitor").values["herm_uf"] == 40.0
    assert found.part("compressor").values["run_uf"] == 45.0


def test_the_nameplate_reaches_a_part_that_the_file_itself_brings() -> None:
    text = (
        'arrangement = "two_pole_plain"\n[nameplate]\nheater_w = 90\n'
        '[parts.heater]\nkind = "crankcase_heater"\n'
    )
    assert unit(text).part("heater").values["watt"] == 90.0


def test_a_part_of_another_kind_starts_with_its_own_defaults() -> None:
    text = BASE + "[parts.outdoor_breaker]\nrating_a = 50\n"
    assert unit(text).part("outdoor_breaker").values == {"rating_a": 50.0}
    swapped = unit(BASE + '[parts.disconnect]\nkind = "disconnect_fused"\nfuse_a = 25\n')
    assert swapped.part("disconnect").values == {"fuse_a": 25.0}
    assert swapped.part("disconnect").place == "disconnect"


def test_a_label_of_the_part_before_is_not_kept_for_another_kind() -> None:
    found = unit(
        'arrangement = "heater_line_side"\n[parts.heater_stat]\nkind = "low_pressure_switch"\n'
    )
    assert found.part("heater_stat").title == "low-pressure switch"


def test_a_wire_of_the_arrangement_can_be_changed_in_one_thing() -> None:
    found = unit(BASE + '[[wires]]\nname = "comp_r"\ncolour = "purple"\n').wire_by_name["comp_r"]
    before = arrangement("one_pole_heater").wire_by_name["comp_r"]
    assert found.colour == "purple"
    assert (found.start, found.end, found.awg) == (before.start, before.end, before.awg)


def test_a_wire_can_be_moved_and_a_new_one_added() -> None:
    moved = '[[wires]]\nname = "comp_r"\nto = "compressor.S"\n'
    found = unit(BASE + moved + NEW_WIRE)
    assert found.wire_by_name["comp_r"].end == "compressor.S"
    assert found.wire_by_name["spare"].carries == "power"


def test_what_is_taken_out_goes_with_its_wires() -> None:
    found = unit(BASE + 'without = ["heater", "heater_line", "heater_load"]\n')
    assert "heater" not in found.part_by_name
    assert not {"heater_line", "heater_load"} & set(found.wire_by_name)


def test_a_cable_loses_the_wires_that_are_taken_out() -> None:
    found = unit(BASE + 'without = ["g_stat"]\n')
    assert {cable.name: cable.wires for cable in found.cables} == {
        "thermostat cable": ("r_stat", "y_stat"),
        "outdoor control cable": ("y_field", "c_field"),
    }


def test_a_unit_can_be_written_without_an_arrangement() -> None:
    text = (
        '[parts.service]\nkind = "service"\nplace = "panel"\n'
        '[parts.heater]\nkind = "crankcase_heater"\n'
        '[[wires]]\nname = "hot"\nfrom = "service.L1"\nto = "heater.1"\n'
        'joints = ["screw", "splice"]\n'
    )
    found = unit(text)
    assert found.arrangement == ""
    assert [found.wire_title(wire) for wire in found.wires] == [
        "black wire from utility service L1 to crankcase heater 1"
    ]


def test_the_digest_follows_the_circuit_and_not_the_words() -> None:
    plain = unit(BASE)
    assert unit(BASE + 'title = "other words"\n').digest == plain.digest
    assert unit(BASE + "[parts.contactor]\ncoil_ohm = 12\n").digest != plain.digest


# --- what is refused ---------------------------------------------------------------------------
# Each case: the text, the line and key that the error must name, words of what and of next step.

BAD: dict[str, tuple[str, int | None, str | None, str, str]] = {
    "unknown part kind": (
        BASE + '[parts.x]\nkind = "contacter_1p"\n',
        3, "parts.x.kind", "'contacter_1p' is no kind", "did you mean contactor_1p",
    ),
    "unknown part without a kind": (
        BASE + "[parts.contacter]\ncoil_ohm = 12\n",
        2, "parts.contacter", "no part called contacter", "did you mean contactor",
    ),
    "wire to a missing terminal": (
        BASE + '[[wires]]\nname = "comp_r"\nto = "compressor.R1"\n',
        4, "wires[1].to", "compressor has no terminal R1", "did you mean compressor.R",
    ),
    "wire to a missing part": (
        BASE + '[[wires]]\nname = "comp_r"\nto = "compresor.R"\n',
        4, "wires[1].to", "a part that this unit does not have", "did you mean compressor.R",
    ),
    "wire end without a terminal": (
        BASE + '[[wires]]\nname = "comp_r"\nto = "compressor"\n',
        4, "wires[1].to", "no terminal (none given)", "did you mean compressor.",
    ),
    "24 instead of 240 on the heater": (
        BASE + "[parts.heater]\nvolt = 24\n",
        3, "parts.heater.volt", "24 V", "did you mean 240 V",
    ),
    "24 instead of 240 on the nameplate": (
        BASE + "[nameplate]\nvolt = 24\n",
        3, "nameplate.volt", "24 V", "did you mean 240 V",
    ),
    "farads for microfarads": (
        BASE + '[nameplate]\nherm_uf = "45 F"\n',
        3, "nameplate.herm_uf", "Compressor run capacitor", "did you mean 45 µF",
    ),
    "a farad figure typed into a microfarad field": (
        BASE + "[parts.capacitor]\nherm_uf = 0.000045\n",
        3, "parts.capacitor.herm_uf", "Compressor section", "did you mean 45 µF",
    ),
    "another unit": (
        BASE + '[nameplate]\nrla_a = "16 V"\n',
        3, "nameplate.rla_a", "16 V", "",
    ),
    "not a number": (
        BASE + "[nameplate]\nrla_a = nan\n",
        3, "nameplate.rla_a", "", "",
    ),
    "unknown key": (
        BASE + "[parts.contactor]\ncoil_ohms = 12\n",
        3, "parts.contactor.coil_ohms", "means nothing", "did you mean coil_ohm",
    ),
    "a fault handle": (
        BASE + "[parts.contactor]\nwelded = 1\n",
        3, "parts.contactor.welded", "means nothing", "",
    ),
    "unknown table": (
        BASE + "[namplate]\nvolt = 230\n",
        2, "namplate", "means nothing", "did you mean nameplate",
    ),
    "unknown arrangement": (
        'arrangement = "one_pole"\n',
        1, "arrangement", "'one_pole' is no arrangement", "did you mean one_pole_heater",
    ),
    "no part at all": (
        'title = "nothing"\n',
        None, None, "describes no part", "arrangement =",
    ),
    "taking out what is not there": (
        BASE + 'without = ["heater_lines"]\n',
        2, "without[1]", "no such part or wire", "did you mean heater_line",
    ),
    "taking out twice": (
        BASE + 'without = ["heater_line", "heater_line"]\n',
        2, "without[2]", "taken out twice", "take it off the list",
    ),
    "a part taken out, its wires left": (
        BASE + 'without = ["heater"]\n',
        2, "without", "heater_line on heater.1, heater_load on heater.2",
        'without = ["heater_line", "heater_load"]',
    ),
    "a kind without the terminals that wires end on": (
        BASE + '[parts.capacitor]\nkind = "run_capacitor"\n',
        2, "parts", "comp_s on capacitor.HERM", "move them",
    ),
    "a nameplate for a part taken out": (
        BASE + 'without = ["heater", "heater_line", "heater_load"]\n[nameplate]\nheater_w = 70\n',
        4, "nameplate.heater_w", "no part for it", "take the line out",
    ),
    "a new wire without an end": (
        BASE + '[[wires]]\nname = "spare"\nfrom = "contactor.T1"\njoints = ["screw", "screw"]\n',
        2, "wires[1]", "spare does not say where it goes: it has no to", "write to =",
    ),
    "a misspelt wire of the arrangement": (
        BASE + '[[wires]]\nname = "comp_rr"\ncolour = "red"\njoints = ["screw", "screw"]\n',
        2, "wires[1]", "it has no from", "did you mean the arrangement's wire comp_r",
    ),
    "a wire without a name": (
        BASE + '[[wires]]\nfrom = "contactor.T1"\n',
        2, "wires[1]", "has no name", "write name",
    ),
    "a new wire without joints": (
        BASE + '[[wires]]\nname = "spare"\nfrom = "contactor.T1"\nto = "compressor.R"\n',
        2, "wires[1]", "two joints", "joints =",
    ),
    "one joint": (
        BASE + '[[wires]]\nname = "comp_r"\njoints = ["screw"]\n',
        4, "wires[1].joints", "two joints", "joints =",
    ),
    "both ends on one terminal": (
        BASE + NEW_WIRE.replace("compressor.R", "contactor.T1"),
        5, "wires[1].to", "Both ends of wire spare are on contactor.T1", "other end",
    ),
    "two wires of one name": (
        BASE + NEW_WIRE + NEW_WIRE,
        8, "wires[2].name", "Two wires of this file are called spare", "a name of its own",
    ),
    "a wire called as a part": (
        BASE + NEW_WIRE.replace('"spare"', '"fan"'),
        3, "wires[1].name", "A part of this unit is called fan", "another name",
    ),
    "a name with a dot": (
        BASE + '[parts."a.b"]\nkind = "splice"\n',
        2, 'parts."a.b"', "'a.b' is no name", "short name",
    ),
    "an unknown joint": (
        BASE + '[[wires]]\nname = "comp_r"\njoints = ["pushon", "screw"]\n',
        4, "wires[1].joints[1]", "'pushon'", "did you mean push-on",
    ),
    "an unknown signal": (
        BASE + '[[wires]]\nname = "comp_r"\ncarries = "Z"\n',
        4, "wires[1].carries", "'Z'", "write one of those",
    ),
    "an absurd length": (
        BASE + '[[wires]]\nname = "comp_r"\nlength_m = "2 km"\n',
        4, "wires[1].length_m", "", "",
    ),
    "a cable of an unknown wire": (
        BASE + '[[cables]]\nname = "x"\nwires = ["y_fields", "c_field"]\n',
        4, "cables[1].wires[1]", "'y_fields'", "did you mean y_field",
    ),
    "a cable of one wire": (
        BASE + '[[cables]]\nname = "x"\nwires = ["comp_r"]\n',
        4, "cables[1].wires", "two wires or more", "name the wires",
    ),
    "a wire in two cables": (
        BASE + '[[cables]]\nname = "x"\nwires = ["comp_r", "c_field"]\n',
        4, "cables[1].wires", "c_field already runs in the outdoor control cable", "one cable",
    ),
    "an odd number of poles": (
        BASE + "[parts.fan]\npoles = 5\n",
        3, "parts.fan.poles", "come in pairs", "label",
    ),
    "a speed that the poles forbid": (
        BASE + "[parts.fan]\nrated_rpm = 1725\n",
        3, "parts.fan.rated_rpm", "below 1200 rpm", "label",
    ),
    "locked amps below running amps on the nameplate": (
        BASE + "[nameplate]\nrla_a = 20\nlra_a = 16\n",
        4, "nameplate.lra_a", "locked_a of the compressor must be more", "label",
    ),
    "a coil that lets go at more than it pulls in at": (
        BASE + "[parts.contactor]\npull_in_ratio = 0.6\ndrop_out_ratio = 0.7\n",
        3, "parts.contactor.pull_in_ratio", "drops out at fewer volts", "label",
    ),
    "a long label": (
        BASE + f'[parts.contactor]\nlabel = "{"x" * 61}"\n',
        3, "parts.contactor.label", "a few words", "what people call",
    ),
    "a label of two lines": (
        BASE + '[parts.contactor]\nlabel = "one\\ntwo"\n',
        3, "parts.contactor.label", "a few words", "what people call",
    ),
    "a frequency of no supply": (BASE + "hz = 400\n", 2, "hz", "400 Hz", ""),
    "an empty file": ("\n", None, None, "is empty", "start from an example"),
    "broken TOML": (
        BASE + "[parts.contactor\ncoil_ohm = 12\n",
        2, None, "not TOML", "fix this line",
    ),
    "a number with a unit and no quotes": (
        BASE + "[nameplate]\nrla_a = 16 A\n",
        3, None, "not TOML", 'rla_a = "16 A"',
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", BAD.values(), ids=BAD.keys())
def test_a_refusal_names_its_place_and_the_next_step(
    case: tuple[str, int | None, str | None, str, str],
) -> None:
    text, line, key, what, next_step = case
    error = refusal(text)
    assert (error.line, error.key) == (line, key), str(error)
    assert what in error.what + str(error.value)
    assert next_step in (error.next_step or "")


def test_a_file_of_10_megabytes_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "big.toml"
    path.write_bytes(b"# x\n" * 2_500_000)
    with pytest.raises(BadUnitFile, match="too large") as caught:
        read_unit(path)
    assert caught.value.value == "10,000,000 bytes"


def test_a_missing_file_is_refused_with_what_was_meant(tmp_path: Path) -> None:
    (tmp_path / "maple.toml").write_text(BASE, encoding="utf-8")
    with pytest.raises(BadUnitFile, match="no such file") as caught:
        read_unit(tmp_path / "mapel.toml")
    assert "maple.toml" in str(caught.value.next_step)


def test_a_unit_is_put_together_from_blocks_each_on_those_before_it(tmp_path: Path) -> None:
    """A block gives its parts and wires; the file's own take out, change and add."""
    file = tmp_path / "panel.toml"
    file.write_text(
        'blocks = ["house_panel"]\ntitle = "a panel"\n'
        'without = ["panel_indoor", "indoor_breaker"]\n'
        '[parts.outdoor_breaker]\nlabel = "breaker of the rooftop unit"\n'
    )
    unit = read_unit(file)
    assert [part.name for part in unit.parts] == ["service", "outdoor_breaker"]
    assert unit.part_by_name["outdoor_breaker"].title == "breaker of the rooftop unit"
    assert [wire.name for wire in unit.wires] == ["panel_l1", "panel_l2"]


def test_a_block_that_does_not_ship_is_refused_with_those_that_do(tmp_path: Path) -> None:
    file = tmp_path / "panel.toml"
    file.write_text('blocks = ["house_pannel"]\n')
    with pytest.raises(BadUnitFile, match="house_panel"):
        read_unit(file)


@pytest.mark.parametrize(("sort", "most"), [("parts", MOST_PARTS), ("wires", MOST_WIRES)])
def test_more_parts_or_wires_than_any_unit_has_are_refused_at_once(sort: str, most: int) -> None:
    """Each is solved as a suspect; a hundred units in one file are a file each."""
    switch = '[parts.float_{}]\nkind = "float_switch"\nplace = "indoor"\n'
    wire = NEW_WIRE.replace('"spare"', '"spare_{}"')
    one = switch if sort == "parts" else wire
    found = refusal(BASE + "".join(one.format(at) for at in range(most)))
    assert f"at most {MOST_PARTS} parts and {MOST_WIRES} wires" in str(found)


def test_every_shipped_arrangement_is_far_from_the_most_parts_and_wires() -> None:
    units = [arrangement(name) for name in ARRANGEMENTS]
    assert 4 * max(len(each.parts) for each in units) <= MOST_PARTS
    assert 4 * max(len(each.wires) for each in units) <= MOST_WIRES


@pytest.mark.parametrize(
    ("arrangement_name", "part", "told"),
    [
        ("walk_in_cooler", "pressure_control", "closes_psi = 10\nopens_psi = 30"),
        ("fan_cycling", "fan_switch", "closes_psi = 200\nopens_psi = 300"),
        ("rooftop_208", "phase_monitor", "least_volt = 250\nmost_volt = 190"),
    ],
)
def test_settings_the_wrong_way_around_are_refused(
    arrangement_name: str, part: str, told: str
) -> None:
    found = refusal(f'arrangement = "{arrangement_name}"\n[parts.{part}]\n{told}\n')
    assert "must be" in str(found)
