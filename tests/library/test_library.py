"""The library: what `import rungwise` gives, as a program that knows nothing else would use it."""

from __future__ import annotations

import dataclasses
import doctest
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import numpy as np
import pytest

import rungwise
from rungwise.errors import BadCallFile, BadInput, BadQuantity, RungwiseError, UnknownName
from rungwise.library import calls

ROOT = Path(__file__).parents[2]
VAN = "examples/maple-hollow/van-stock.toml"
CALL = ROOT / "examples" / "maple-hollow" / "call-02-no-call.toml"


@pytest.fixture(scope="module", autouse=True)
def tables_kept_apart(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Tables go into a folder of this test, and nobody's cache is touched."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))
        patch.chdir(ROOT)
        calls._service.cache_clear()
        yield
        calls._service().close()
        calls._service.cache_clear()


@pytest.fixture(scope="module")
def unit() -> rungwise.UnitModel:
    return rungwise.load("one_pole_heater")


def test_every_example_of_the_docs_page_gives_what_it_says() -> None:
    failed, tried = doctest.testfile(
        str(ROOT / "docs" / "library.md"),
        module_relative=False,
        optionflags=doctest.ELLIPSIS | doctest.NORMALIZE_WHITESPACE,
    )
    assert tried > 30
    assert failed == 0


def test_every_name_of_the_face_is_there_and_no_other() -> None:
    named = [name for name in rungwise.__all__ if name != "__version__"]
    assert all(callable(getattr(rungwise, name)) for name in named)
    assert set(rungwise.__all__) <= set(dir(rungwise))
    with pytest.raises(AttributeError, match="solv"):
        getattr(rungwise, "solv")  # noqa: B009  # the access is what is tested


def test_loading_a_unit_and_solving_it_needs_no_web_and_no_database() -> None:
    code = (
        "import sys, rungwise; rungwise.solve('one_pole_heater');"
        "print(*{name.partition('.')[0] for name in sys.modules})"
    )
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert {"numpy"} <= set(told.stdout.split())
    assert {"fastapi", "sqlalchemy", "typer", "jinja2"} & set(told.stdout.split()) == set()


@pytest.mark.parametrize(
    ("asked", "meant"),
    [
        (lambda unit: unit.values("contactr"), "contactor"),
        (lambda unit: unit.with_value("contactr", "coil_ohm", 14), "contactor"),
        (lambda unit: unit.with_value("contactor", "coil_om", 14), "coil_ohm"),
        (lambda unit: rungwise.solve(unit, "coool"), "cool"),
        (lambda unit: rungwise.solve(unit, opened=["disconect"]), "disconnect"),
        (lambda unit: rungwise.solve(unit, opened="disconnect"), "disconnect"),
        (lambda unit: rungwise.solve(unit, fault="capacitor.herm_opn"), "capacitor.herm_open"),
        (lambda unit: rungwise.solve(unit).volts("contactor.L11"), "contactor.L1"),
        (lambda unit: rungwise.solve(unit).amp("whip_l11"), "whip_l1"),
        (lambda unit: rungwise.solve(unit).does("compresor"), "compressor"),
        (lambda unit: rungwise.expect(unit, checks=["volts-coll"]), "volts-coil"),
        (lambda unit: rungwise.expect(unit, faults=["contactor.coil_opn"]), "contactor.coil_open"),
        (lambda unit: rungwise.isolate(unit, "cabinett"), "cabinet"),
        (lambda unit: rungwise.fit(unit, VAN, parts=["contactr"]), "contactor"),
        (lambda unit: rungwise.diagnose(unit, {"volts-coll": 27}), "volts-coil"),
        (lambda unit: rungwise.diagnose(unit, symptoms={"compresor": "silent"}), "compressor"),
        (lambda unit: rungwise.diagnose(unit, suspected="contactr"), "contactor"),
        (lambda unit: rungwise.prove(unit, ["contactor"], {"volts-coll": 27}), "volts-coil"),
        (lambda unit: rungwise.prove(unit, ["contactr"]), "contactor"),
    ],
)
def test_what_does_not_exist_is_refused_with_what_is_near(
    unit: rungwise.UnitModel, asked: Callable[[Any], object], meant: str
) -> None:
    with pytest.raises(UnknownName) as refused:
        asked(unit)
    assert meant in (refused.value.next_step or "")


@pytest.mark.parametrize(
    "asked",
    [
        lambda unit: rungwise.fit(unit, {"name": "x", "for": "contactor", "kind": "contactr_1p"}),
        lambda unit: rungwise.fit(unit, []),
        lambda unit: rungwise.rewire(unit, {"part": "contactr"}),
        lambda unit: rungwise.recover(unit, {"of": ["comp_r"]}),
        lambda unit: rungwise.prove(unit, ["contactor"], airs={"return_dry": "76 °F"}),
        lambda unit: rungwise.prove(unit, ["contactor"], air={"return_dry": object()}),
        lambda unit: rungwise.diagnose(unit, complaint=["no such words"]),
        lambda unit: rungwise.diagnose(unit, {"volts-coil": True}),
        lambda unit: rungwise.diagnose(unit, {"volts-coil": None}),  # type: ignore[arg-type]
        lambda unit: rungwise.diagnose(unit, {"volts-coil": [27, 28]}),  # type: ignore[arg-type]
        lambda _: rungwise.load("no_such_arrangement"),
        lambda _: rungwise.diagnose(CALL, {"volts-coil": 27}),
    ],
)
def test_a_table_with_a_key_or_value_that_no_file_may_have_is_refused(
    unit: rungwise.UnitModel, asked: Callable[[Any], object]
) -> None:
    with pytest.raises(BadInput) as refused:
        asked(unit)
    assert refused.value.line is None


@pytest.mark.parametrize("value", ["14 A", "fourteen", -1.0, float("nan"), 1e9])
def test_a_value_that_no_such_part_has_is_refused(
    unit: rungwise.UnitModel, value: float | str
) -> None:
    with pytest.raises(BadQuantity) as refused:
        unit.with_value("contactor", "coil_ohm", value)
    assert "Ω" in (refused.value.allowed or "")


def test_a_handle_of_a_fault_is_no_parameter(unit: rungwise.UnitModel) -> None:
    with pytest.raises(UnknownName):
        unit.with_value("contactor", "welded", 1)


def test_a_changed_value_changes_the_circuit_as_ohms_law_says(unit: rungwise.UnitModel) -> None:
    """A crankcase heater of half the watts at its rated volts has twice the ohms: half the amps."""
    watts = unit.values("heater")["watt"]
    half = unit.with_value("heater", "watt", watts / 2)
    before, after = (rungwise.solve(each, "off").amp("heater.element") for each in (unit, half))
    assert after / before == pytest.approx(0.5, rel=0.01)


def test_numbers_of_numpy_and_texts_say_the_same(unit: rungwise.UnitModel) -> None:
    ways: list[Any] = [14, 14.0, "14 Ω", "14", np.float64(14.0), np.int64(14)]
    found = {unit.with_value("contactor", "coil_ohm", each).whole.digest for each in ways}
    assert len(found) == 1


def test_amps_through_a_wire_are_those_of_what_it_feeds(unit: rungwise.UnitModel) -> None:
    """Kirchhoff's current law: the heater's one wire carries what its element takes."""
    idle = rungwise.solve(unit, "off")
    assert idle.amp("heater_load") == pytest.approx(idle.amp("heater.element"), rel=1e-3)
    assert idle.volts("contactor.L1") == idle.ground_v["contactor.L1"]


def test_a_call_file_gives_what_its_readings_give() -> None:
    from_file = rungwise.diagnose(CALL)
    typed = from_file.whole.call
    given = rungwise.diagnose(
        from_file.unit,
        [(each.check, each.typed) for each in typed.readings],
        symptoms={each.check: str(each.typed) for each in typed.symptoms},
        complaint=typed.complaint,
        suspected=typed.suspected,
    )
    assert given.suspects == from_file.suspects
    assert str(given) == str(from_file)
    assert sum(each.probability for each in given.suspects) + given.none_of_these == pytest.approx(
        1.0, abs=1e-6
    )
    told = ET.fromstring(given._repr_svg_())  # noqa: S314  # our own
    assert sum("data-suspect" in each.attrib for each in told.iter()) == calls.BARS + 1


def test_a_unit_and_its_operating_point_draw_the_ladder(unit: rungwise.UnitModel) -> None:
    running = rungwise.solve(unit)._repr_svg_()
    for picture in (unit._repr_svg_(), running):
        drawn = ET.fromstring(picture)  # noqa: S314  # our own
        names = {each.get("data-part") for each in drawn.iter()}
        assert {"contactor", "compressor", "capacitor"} <= names
    assert running != unit._repr_svg_()


def test_results_are_frozen(unit: rungwise.UnitModel) -> None:
    for result in (unit, rungwise.solve(unit), rungwise.isolate(unit)):
        field = dataclasses.fields(result)[0].name
        with pytest.raises(dataclasses.FrozenInstanceError):
            setattr(result, field, None)


def test_a_plan_never_leaves_its_cautions_out_of_what_it_prints(unit: rungwise.UnitModel) -> None:
    plan = rungwise.isolate(unit)
    assert plan.cautions
    assert all(each in str(plan) for each in plan.cautions)
    assert any("follow local codes" in each.lower() for each in plan.cautions)


def test_loose_wires_keep_the_power_off_until_all_is_known() -> None:
    """A record of all wires off, read by nobody yet, leaves many ways and names a check."""
    found = rungwise.recover(
        "examples/maple-hollow/unit-02-orchard-lane.toml",
        "examples/maple-hollow/wires-03-all-off.toml",
    )
    assert not found.found
    assert found.remaining > 1
    assert found.next_check is not None
    assert "leave the power off" in str(found)


def test_every_error_is_one_of_ours() -> None:
    for error in (UnknownName, BadQuantity, BadCallFile):
        assert issubclass(error, RungwiseError)
