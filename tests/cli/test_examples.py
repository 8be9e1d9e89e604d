"""Every example call comes to its truth, which stands here and not in the call."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from tests.cli.running import EXAMPLES, ran
from tests.wide import some

from rungwise.diagnosis.call_file import call_schema, read_call
from rungwise.diagnosis.checks import checks_of
from rungwise.quantity import parse
from rungwise.unit.unit_file import unit_schema

TRUTH = {
    "call-01-suspected-contactor": "float_switch:find_cause",
    "call-02-no-call": "thermostat:set",
    "call-03-high-pressure": "high_pressure:find_cause",
    "call-04-low-pressure": "low_pressure:find_cause",
    "call-05-ghost-volts": "y_float:remake",
    "call-06-broken-y-outdoors": "y_hp:remake",
    "call-07-blown-fuse": "y_field+c_field:separate",
    "call-08-transformer": "transformer:replace",
    "call-09-indoor-breaker": "indoor_breaker:switch_on",
    "call-10-door-switch": "door_switch:find_cause",
    "call-11-coil": "contactor:replace",
    "call-12-blocked-plunger": "contactor:clear",
    "call-13-chatter": "y_hp:remake",
    "call-14-delay": "delay:replace",
    "call-15-never-stops": "contactor:replace",
    "call-16-dead-leg": "disconnect:replace",
    "call-18-weak-capacitor": "capacitor:replace",
    "call-19-seized-fan": "fan:replace",
    "call-20-hard-start": "start_capacitor:replace",
    "call-21-low-volts": "service:raise_supply",
}
OFTEN = (
    "call-01-suspected-contactor", "call-05-ghost-volts", "call-06-broken-y-outdoors",
    "call-07-blown-fuse", "call-13-chatter", "call-15-never-stops", "call-16-dead-leg",
    "call-18-weak-capacitor",
)  # fmt: skip
"""Worked each time: one on every unit at least, and those that other rules are seen on."""
BY_COMPARISON = "call-17-cold-crankcase"
"""No part of this one is at fault; the circuit is put together differently from its arrangement."""


PAPERS = {
    "good-repair": "Your air conditioner is running.",
    "failed-repair": "Not fixed yet.",
    "false-alarm": "Your air conditioner is running. No fault was found on this visit.",
    "spring-visit": "Your air conditioner is running. No fault was found on this visit.",
}
"""What stands over the customer's page of each kind of call."""

KEPT: dict[str, Any] = {}


def worked(capsys: pytest.CaptureFixture[str], name: str) -> Any:
    """The JSON of `work` on an example that comes to an answer; each is worked once."""
    if name not in KEPT:
        result = ran(capsys, "work", str(EXAMPLES / f"{name}.toml"), "--json")
        assert (result.code, result.err) == (0, "")
        KEPT[name] = result.json
    return KEPT[name]


def test_every_example_has_its_truth_here() -> None:
    assert sorted(path.stem for path in EXAMPLES.glob("call-*.toml")) == sorted(
        [*TRUTH, BY_COMPARISON]
    )


@pytest.mark.parametrize("name", some([*TRUTH], *OFTEN))
def test_the_verdict_is_the_truth(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    told = worked(capsys, name)
    assert told["verdict"]["kind"] == "found"
    assert told["verdict"]["answer"]["repair"] == TRUTH[name]
    assert told["isolation"]["reached"]


@pytest.mark.parametrize("name", PAPERS)
def test_the_customers_page_says_first_whether_it_is_fixed(
    name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = EXAMPLES / "papers" / f"{name}.toml"
    told = ran(capsys, "report", str(path), "--json").json
    assert told["headline"] == PAPERS[name]
    later = any(each.startswith("Next step: we find the leak") for each in told["next_step"])
    assert later == (name == "failed-repair")
    cleared = {"good-repair": "compressor", "false-alarm": "contactor"}
    if name in cleared:
        assert (
            f"The {cleared[name]}, which had been suspected, is good by our readings."
            in (told["found"])
        )
    if name == "spring-visit":
        assert "Capacitor: weaker than marked; it still works." in told["watch"]


def test_a_contactor_swap_that_took_the_heater_is_seen_by_comparison(
    capsys: pytest.CaptureFixture[str],
) -> None:
    told = worked(capsys, BY_COMPARISON)
    (short,) = told["shortfalls"]
    assert (short["part"], short["found"]["does"]) == ("heater", "is off")
    assert short["remedies"] == ["a one-pole contactor in place of the two-pole contactor"]
    assert [each["check"] for each in told["witnesses"]] == ["idle-amps-heater_line"]
    assert told["verdict"]["kind"] != "found"


def test_the_wrongly_suspected_contactor_is_cleared(capsys: pytest.CaptureFixture[str]) -> None:
    wrong = worked(capsys, "call-01-suspected-contactor")["verdict"]["wrong_part"]
    assert wrong["part"] == "contactor"
    assert wrong["now"] < 0.01
    # No volts reach its coil: that clears it before its ohms do.
    assert "volts-coil" in [each["check"] for each in wrong["cleared_by"]]


def test_the_blown_fuse_is_not_the_end_of_it(capsys: pytest.CaptureFixture[str]) -> None:
    told = worked(capsys, "call-07-blown-fuse")
    read = {each["check"]: each["read"] for each in told["readings"]}
    assert read["look-lv_fuse"] == "blown"
    assert told["verdict"]["answer"]["part"] == "y_field+c_field"


def test_the_ghost_is_called_one(capsys: pytest.CaptureFixture[str]) -> None:
    told = worked(capsys, "call-05-ghost-volts")
    (remark,) = told["remarks"]
    assert "ghost" in remark
    read = {each["check"]: each["read"] for each in told["readings"]}
    ghost, firm = read["idle-volts-board-Y-C"], read["idle-lowz-board-Y-C"]
    assert parse(ghost, "V") > 10.0
    assert parse(firm, "V") < 1.0
    assert ghost in remark
    assert firm in remark


def test_the_dead_leg_is_called_live(capsys: pytest.CaptureFixture[str]) -> None:
    (remark,) = worked(capsys, "call-16-dead-leg")["remarks"]
    assert remark.startswith("DANGER: two-pole contactor L1 to two-pole contactor L2 reads")


def test_the_welded_contactor_has_its_breaker_opened_first(
    capsys: pytest.CaptureFixture[str],
) -> None:
    plan = worked(capsys, "call-15-never-stops")["isolation"]
    assert plan["keeps_running"]
    assert plan["devices"][0]["device"] == "outdoor_breaker"
    assert "the moment power comes back" in plan["cautions"][0]["text"]


@pytest.mark.parametrize(
    "path",
    sorted([*EXAMPLES.glob("call-*.toml"), *EXAMPLES.glob("unit-*.toml")]),
    ids=lambda path: path.stem,
)
def test_every_example_fits_the_schema_that_the_package_writes(path: Any) -> None:
    values = tomllib.loads(path.read_text(encoding="utf-8"))
    plain = json.loads(json.dumps(values, default=str))
    schema = call_schema() if "unit" in values else unit_schema()
    jsonschema.validate(plain, schema, cls=jsonschema.Draft202012Validator)


def test_no_example_tells_its_own_answer() -> None:
    for name, repair in TRUTH.items():
        text = (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")
        assert repair not in text
        assert "fault" not in text


@pytest.mark.parametrize(
    "path", sorted(EXAMPLES.glob("**/call-*.toml")), ids=lambda path: path.stem
)
def test_every_reading_of_every_call_is_one_that_its_check_can_have(path: Path) -> None:
    """The demo shop brings them all in, and one that is refused leaves it empty."""
    file = read_call(path)
    outcomes = file.outcomes(check.card for check in checks_of(file.unit()))
    assert len(outcomes) == len(file.symptoms) + len(file.readings)
