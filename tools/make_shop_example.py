"""Write the example shop file: an invented shop, simulated, none of its readings typed in.

.venv/bin/python tools/make_shop_example.py
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from rungwise.maintenance.history import PartLife, ShopHistory, UnitHistory
from shop_trial.estimates import CARE_Y, lived
from shop_trial.shop import SimShop, day
from shop_trial.truth import SLOTS

HERE = Path(__file__).parent.parent / "examples" / "maple-hollow" / "shop.toml"
SEED, UNITS = 44, 24
"""The seed is chosen: this shop has visits that pay, of three sorts of parts."""

STREETS = ("Mill Street", "Orchard Lane", "Creamery Road", "Station Hill", "Quarry Court",
           "Chapel Green", "Tannery Row", "Ferry Walk")  # fmt: skip
COSTS = {"dual_capacitor": 25, "contactor_1p": 35, "fan_motor": 220, "transformer": 40}
HEAD = """\
# A small shop as `rungwise upkeep` reads it. Written by tools/make_shop_example.py, which simulates
# units, readings and calls; change that, not this.
title = "Maple Hollow, the shop's own units"
today = {today}

[plan]
ahead_years = 1
visits = 8
fill_weeks = 1
counted_weeks = {weeks}
van_money = 400

[prices]                      # what is not here is common practice, no source
labour_an_hour = 95
breakdown = 260
[prices.parts.capacitor]
price = 24.50
"""


def main() -> None:
    """Simulate, write, and say what was written."""
    shop = lived(SEED, UNITS)
    HERE.write_text("\n".join(_lines(shop, shop.history())) + "\n", encoding="utf-8")
    print(f"wrote {HERE.name}: {UNITS} units, {len(shop.calls)} calls")


def _lines(shop: SimShop, history: ShopHistory) -> Iterator[str]:
    yield HEAD.format(today=history.today, weeks=round(CARE_Y * 52.18))
    used = Counter(call.kind for call in shop.calls if call.kind in COSTS)
    for kind, cost in COSTS.items():
        yield f'[[stock]]\npart = "{kind}"\nused = {used[kind]}\ncost = {cost}\n'
    for unit in history.units:
        yield from _unit(unit)
    for call in sorted(shop.calls, key=lambda each: each.time_y):
        installed = day(call.unit.installed_y)
        yield f"[[calls]]\ndate = {day(call.time_y)}\ninstalled = {installed}"
        yield f'kind = "{call.kind}"\nmode = "{call.mode}"\n'


def _unit(unit: UnitHistory) -> Iterator[str]:
    number = int(unit.name.split()[1])
    street = STREETS[number % len(STREETS)]
    yield f'[[units]]\nname = "{street} {2 + 3 * (number // len(STREETS))}"'
    yield f"installed = {unit.installed}"
    yield f"watched = {max(day(0.0), unit.installed)}"
    yield f"visits = [{', '.join(map(str, unit.visits))}]"
    for part in unit.parts:
        yield from _part(part)


def _part(part: PartLife) -> Iterator[str]:
    yield f'[[units.parts]]\npart = "{part.part}"\nkind = "{part.kind}"\nfitted = {part.fitted}'
    if part.ended is not None:
        yield f"ended = {part.ended}"
    if part.mode:
        yield f'mode = "{part.mode}"'
    if part.kind != "transformer":
        yield f'rated = "{SLOTS[part.part][1]:g} {"µF" if part.kind == "dual_capacitor" else "A"}"'
    units = {"capacitance": "µF", "contact_drop": "V", "insulation": "MΩ", "amps": "A"}
    digits = {"capacitance": 1, "contact_drop": 3, "insulation": 1, "amps": 2}
    rows = [
        f'    {{ date = {each.when}, quantity = "{each.quantity}", '
        f'value = "{each.value:.{digits[each.quantity]}f} {units[each.quantity]}" }},'
        for each in part.readings
    ]
    yield "\n".join(["readings = [", *rows, "]\n"] if rows else [""])


if __name__ == "__main__":
    main()
