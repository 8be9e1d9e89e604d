"""Rules answer for themselves: nothing outside `parts` asks of what sort a rule is."""

from __future__ import annotations

import ast
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

import rungwise
from rungwise.circuit.netlist import Plan
from rungwise.errors import CircuitError
from rungwise.parts import KINDS
from rungwise.parts import rule as rules
from rungwise.parts.element import fixed
from rungwise.parts.rule import CoilRule, FuseRule, OverloadRule, Rule, trip_seconds
from rungwise.unit.unit import Block, Unit
from rungwise.unit.unit_file import arrangement

ROOT = Path(rungwise.__file__).parent
SORTS = {name for name in vars(rules) if name.endswith("Rule")} - {"Rule"}


def test_no_room_but_parts_names_a_sort_of_rule() -> None:
    for path in ROOT.rglob("*.py"):
        if path.is_relative_to(ROOT / "parts"):
            continue
        names = {n.id for n in ast.walk(ast.parse(path.read_text())) if isinstance(n, ast.Name)}
        assert not names & SORTS, path


def test_circuit_and_unit_name_no_kind_of_part() -> None:
    """Docstrings apart; a motor that drives a compressor is asked for by `Motor.compresses`."""
    for path in (p for room in ("circuit", "unit") for p in (ROOT / room).rglob("*.py")):
        tree = ast.parse(path.read_text())
        told = {
            n.body[0].value
            for n in ast.walk(tree)
            if isinstance(n, ast.Module | ast.FunctionDef | ast.ClassDef)
            and isinstance(n.body[0], ast.Expr)
        }
        texts = {n for n in ast.walk(tree) if isinstance(n, ast.Constant)} - told
        assert not {n.value for n in texts} & set(KINDS), path


@pytest.mark.parametrize(
    ("field", "said"), [("rules", "switches"), ("elements", "conducts")], ids=["rule", "element"]
)
def test_what_the_solver_does_not_know_is_refused(
    field: str, said: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    unit = arrangement("two_pole_plain")
    whole = list(unit.blocks())

    def blocks(_: Unit) -> list[Block]:
        foreign = SimpleNamespace(state="attracted", element="coil", name="coil")
        changed = replace(whole[0].kind, **{field: (foreign,)})  # type: ignore[arg-type]
        return [replace(whole[0], kind=changed), *whole[1:]]

    monkeypatch.setattr(Unit, "blocks", blocks)
    with pytest.raises(CircuitError, match=f"{whole[0].name}: nothing .* SimpleNamespace {said}"):
        Plan(unit)


def test_a_sort_of_rule_that_leaves_something_unsaid_cannot_be_written() -> None:
    with pytest.raises(TypeError, match="does not say: order, watches, opens, pulls"):
        type("ThermistorRule", (Rule,), {})


def test_a_sort_of_rule_that_leaves_an_answer_out_cannot_be_used() -> None:
    said = {"order": 9, "watches": "amps", "opens": "never", "pulls": False}
    half = type("ThermistorRule", (Rule,), said)
    with pytest.raises(TypeError, match="abstract"):
        half("warm", "coil")


def test_only_a_fuse_opens_at_once_on_amps() -> None:
    amp = np.array([0.5, 2.0, 40.0])
    fuse = FuseRule("blown", "link", fixed(1.0), 5.0, "rating_a", fixed(10.0))
    overload = OverloadRule("open", "link", fixed(1.0), 5.0, "rating_a", 60.0, "held")
    coil = CoilRule("in", "coil", fixed(18.0), fixed(10.0))
    slow = trip_seconds(amp, 5.0)
    assert fuse.opens_after_s(amp, {}).tolist() == [np.inf, slow[1], 0.0]
    assert overload.opens_after_s(amp, {}).tolist() == slow.tolist()
    assert np.isinf(coil.opens_after_s(amp, {})).all()
