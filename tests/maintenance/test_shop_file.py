"""A shop file is read whole, or refused with its place and what to do next."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from tests.cli.running import EXAMPLES, ran

from rungwise.errors import BadShopFile
from rungwise.maintenance.outlook import shop_outlook
from rungwise.maintenance.shop_file import read_shop
from rungwise.services.shop_forecast import moved_weights

SHOP = """\
today = 2026-04-01
[plan]
visits = 3
van_money = 100
[prices]
visit = 50
[prices.parts.capacitor]
price = 30
[[stock]]
part = "45+5"
used = 20
cost = 25
[[calls]]
date = 2025-07-01
installed = 2013-07-01
kind = "dual_capacitor"
mode = "herm_weak"
[[units]]
name = "Mill Street 4"
installed = 2014-06-01
watched = 2019-05-01
visits = [2025-04-12]
starts_a_year = 3000
amps = "18 A"
[[units.parts]]
part = "contactor"
kind = "contactor_1p"
fla_a = "30 A"
[[units.parts]]
part = "capacitor"
kind = "dual_capacitor"
rated = "45 µF"
fitted = 2018-03-01
readings = [{ date = 2025-04-12, quantity = "capacitance", value = "39.5 µF" }]
[[units.parts]]
part = "capacitor"
kind = "dual_capacitor"
ended = 2018-03-01
mode = "herm_open"
"""

WRONG = {
    "a reading after today": (
        SHOP.replace("date = 2025-04-12, q", "date = 2027-04-12, q"),
        ["readings[1].date", "2027-04-12", "2026-04-01", "order"],
    ),
    "a mode that the kind does not have": (
        SHOP.replace('"herm_open"', '"welded"'), ["parts[3].mode", "welded", "herm_open"],
    ),
    "a failure without its day": (
        SHOP.replace("ended = 2018-03-01\n", ""), ["parts[3].mode", "write ended"],
    ),
    "a share of a rating that is missing": (
        SHOP.replace('rated = "45 µF"\n', ""), ["readings[1].value", "rated value"],
    ),
    "amps where microfarads are meant": (
        SHOP.replace("39.5 µF", "39.5 A"), ["readings[1].value", "in microfarads"],
    ),
    "a call on a unit of no age": (
        SHOP.replace("installed = 2013-07-01\n", ""), ["calls[1]", "write installed"],
    ),
    "a price below nothing": (SHOP.replace("visit = 50", "visit = -5"), ["prices.visit", "0 to"]),
    "a day that is none": (SHOP.replace("[2025-04-12]", '["spring"]'), ["visits", "not a day"]),
    "a key that means nothing": (SHOP.replace("fla_a", "fla_amps"), ["did you mean fla_a"]),
    "nothing to tell": ("today = 2026-04-01\n", ["no unit, no call"]),
}  # fmt: skip


def shop_at(folder: Path, text: str) -> Path:
    path = folder / "shop.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_every_table_is_read(tmp_path: Path) -> None:
    shop = read_shop(shop_at(tmp_path, SHOP))
    (unit,) = shop.history.units
    contactor, capacitor, gone = unit.parts
    assert contactor.pace == pytest.approx(2.0)  # twice the starts, at the ordinary load
    assert capacitor.readings[0].value == 39.5
    assert (gone.mode, gone.ended) == ("herm_open", dt.date(2018, 3, 1))
    assert capacitor.watched == dt.date(2019, 5, 1)
    assert shop.history.calls[0].age_y == pytest.approx(12.0, abs=0.01)
    assert (shop.prices.visit, shop.prices.parts["capacitor"].price) == (50.0, 30.0)
    assert (shop.plan.visits, shop.plan.money) == (3, 100.0)


def test_no_more_money_lies_on_the_van_than_the_file_allows(tmp_path: Path) -> None:
    shop = read_shop(shop_at(tmp_path, SHOP))
    stock = shop_outlook(shop.history, shop.prices, shop.plan).stock
    assert 0.0 < sum(each.cost * each.quantity for each in stock) <= 100.0


@pytest.mark.parametrize("what", WRONG)
def test_what_cannot_be_used_is_refused_with_its_place(tmp_path: Path, what: str) -> None:
    text, wanted = WRONG[what]
    with pytest.raises(BadShopFile) as caught:
        read_shop(shop_at(tmp_path, text))
    assert [word for word in wanted if word not in str(caught.value)] == []


@pytest.mark.parametrize(
    ("name", "kind"), [("call-11-coil", "call"), ("unit-01-mill-street", "unit")]
)
def test_a_file_of_another_sort_is_named_as_such(name: str, kind: str) -> None:
    with pytest.raises(BadShopFile, match=f"This is a {kind} file, and a shop file is asked for"):
        read_shop(EXAMPLES / f"{name}.toml")


def test_the_command_tells_what_its_json_tells(capsys: pytest.CaptureFixture[str]) -> None:
    name = str(EXAMPLES / "shop.toml")
    printed, told = ran(capsys, "upkeep", name), ran(capsys, "upkeep", name, "--json").json
    assert printed.code == 0
    assert told["visits"]
    assert [unit for unit in told["visits"] if unit not in printed.out] == []
    replaced = [p for u in told["units"] for p in u["parts"] if p["advice"] == "replace"]
    assert all(p["chance"] >= p["break_even_chance"] for p in replaced)
    assert replaced


def test_calls_of_one_cause_make_it_weigh_more(tmp_path: Path) -> None:
    call = SHOP[SHOP.index("[[calls]]") : SHOP.index("[[units]]")]
    shop = read_shop(shop_at(tmp_path, SHOP + call * 40))
    heaviest = moved_weights(shop_outlook(shop.history))[0]
    assert (heaviest.kind, heaviest.mode, heaviest.count) == ("dual_capacitor", "herm_weak", 41)
    assert heaviest.now.low > heaviest.start
