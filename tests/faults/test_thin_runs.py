"""A run that loses volts in every leg is one suspect, and each of its wires alone another."""

from __future__ import annotations

import pytest

from rungwise.faults import SuspectSet, repair_steps
from rungwise.unit.unit_file import arrangement


@pytest.mark.parametrize(
    ("name", "wires"),
    [("one_pole_heater", ["run_l1", "run_l2"]), ("rooftop_208", ["run_l1", "run_l2", "run_l3"])],
)
def test_a_run_has_one_suspect_that_loses_the_same_in_every_leg(
    name: str, wires: list[str]
) -> None:
    listed = SuspectSet(arrangement(name))
    thin = listed.suspect("run_l1.thin_run")
    assert [edit.key for edit in thin.edits] == [(wire, "fault_ohm") for wire in wires]
    mild, bad = ({float(ohm) for ohm in listed.typical(thin, at).values()} for at in (0.0, 1.0))
    assert len(mild) == len(bad) == 1
    assert max(bad) > 10.0 * max(mild)
    assert [work.block for work in repair_steps(thin.repair)] == wires


def test_wires_within_a_cabinet_are_no_run() -> None:
    thin = [each.block for each in SuspectSet(arrangement("one_pole_heater"))
            if each.mode == "thin_run"]  # fmt: skip
    assert thin == ["run_l1"]
