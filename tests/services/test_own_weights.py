"""What a shop's closed calls make of the start weights of a unit's suspects."""

from __future__ import annotations

from pathlib import Path

import pytest

from rungwise.errors import BadCallFile, BadShopFile
from rungwise.faults import SuspectSet
from rungwise.maintenance.history import ClosedCall
from rungwise.parts import KINDS
from rungwise.services import open_call, unit_from_text
from rungwise.services.history.shop_weights import own_weights

UNIT = unit_from_text('arrangement = "two_pole_plain"\n')
START = {each.id: each.weight for each in SuspectSet(UNIT)}
WEAK = ClosedCall("dual_capacitor", "herm_weak", 12.0)
SHOP = """\
today = 2026-01-01
[[calls]]
date = 2025-07-01
installed = 2013-07-01
kind = "dual_capacitor"
mode = "herm_weak"
"""


def call(folder: Path, text: str) -> str:
    (folder / "call.toml").write_text(f'unit = "two_pole_plain"\n{text}', encoding="utf-8")
    return str(folder / "call.toml")


def test_without_a_closed_call_there_are_none() -> None:
    assert own_weights(UNIT, [], 12.0) is None


def test_what_the_shop_met_weighs_more_and_the_rest_less() -> None:
    """Also before the age is known; what no part kind has keeps its start weight."""
    told = own_weights(UNIT, [WEAK] * 5, None)
    assert told
    weights = dict(told.by_suspect)
    assert weights["capacitor.herm_weak"] > 2.0 * START["capacitor.herm_weak"]
    assert weights["contactor.coil_open"] < START["contactor.coil_open"]
    assert weights["y_field.open"] < START["y_field.open"]
    kept = set(START) - set(weights)
    assert "nothing.found" in kept
    of_kinds = {(kind.name, mode.name) for kind in KINDS.values() for mode in kind.modes}
    for each in (suspect for suspect in SuspectSet(UNIT) if suspect.id in kept):
        block = {it.name: it.kind.name for it in UNIT.blocks()}.get(each.block, "")
        assert (block, each.mode.partition(">")[0]) not in of_kinds, each.id


def test_a_fault_takes_what_it_causes_with_it() -> None:
    told = own_weights(UNIT, [WEAK] * 5, 12.0)
    assert told
    weights = dict(told.by_suspect)
    pair, first = "capacitor.fan_open>compressor.overload_open", "capacitor.fan_open"
    assert weights[pair] / weights[first] == pytest.approx(START[pair] / START[first])


def test_a_wire_learns_from_wires() -> None:
    told = own_weights(UNIT, [ClosedCall("wire", "open", 12.0)] * 5, None)
    assert told
    weights = dict(told.by_suspect)
    assert weights["y_field.open"] > 2.0 * START["y_field.open"]
    assert weights["whip_l1.open"] / START["whip_l1.open"] == pytest.approx(
        weights["y_field.open"] / START["y_field.open"]
    )


def test_a_call_file_takes_the_weights_of_the_shop_file_that_it_names(tmp_path: Path) -> None:
    (tmp_path / "shop.toml").write_text(SHOP, encoding="utf-8")
    made, _ = open_call(
        call(tmp_path, 'shop = "shop.toml"\ndate = 2026-02-01\ninstalled = 2014-02-01\n')
    )
    assert made.own
    assert made.own.calls == 1
    assert made.own.age_y == pytest.approx(12.0, abs=0.01)
    ageless, _ = open_call(call(tmp_path, 'shop = "shop.toml"\ndate = 2026-02-01\n'))
    assert ageless.own
    assert ageless.own.age_y is None
    plain, _ = open_call(call(tmp_path, "date = 2026-02-01\n"))
    assert plain.own is None


def test_a_shop_file_that_cannot_be_used_is_told(tmp_path: Path) -> None:
    with pytest.raises(BadCallFile) as caught:
        open_call(call(tmp_path, 'title = "No cooling"\nshop = "shops.toml"\n'))
    assert (caught.value.line, caught.value.value) == (3, "shops.toml")
    (tmp_path / "shops.toml").write_text(SHOP.replace("herm_weak", "weary"), encoding="utf-8")
    with pytest.raises(BadShopFile):
        open_call(call(tmp_path, 'shop = "shops.toml"\n'))
