"""Simulate a year of calls of the Maple Hollow shop: every reading is simulated, none typed in.

A fault is drawn by the start weights of the suspects, more calls in the hot months, and worked as
`make_examples.py` works its calls; what was at fault in truth, and what was read when the unit ran
again, go into endings.toml.

    .venv/bin/python tools/make_year.py [HOW_MANY_CALLS]
"""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import tomlkit
from make_examples import FOLDER, SPECIMENS, Call, Shop, file_text, shown, worked

from rungwise.faults.suspect_set import HEALTHY
from rungwise.unit.unit_file import read_unit

YEAR = FOLDER / "year"
CALLS, SEED = 72, 2026
FIRST = dt.date(2025, 11, 24)
MONTHS = (2, 1, 2, 4, 9, 16, 20, 18, 9, 4, 2, 1)
"""Share of the calls by month, January first (common practice, no source)."""

PROOF = ("volts-coil", "volts-contactor-L1-L2", "amps-comp_c", "drop-contactor-L1-T1")
"""Read when the unit runs again, as far as it has them."""

TITLES = {
    "silent": ("No cooling", "Nothing starts outdoors", "Warm air since this morning"),
    "humming": ("Hums and does not start", "Hums, then stops"),
    "chattering": ("The outdoor unit chatters",),
    "running": ("Cools poorly", "Runs all day and never gets there", "Warm air in the afternoon"),
}
PEOPLE = ("R. Amari", "S. Okoro", "T. Lindqvist")


def units() -> list[Path]:
    """The dozen units of the shop."""
    return sorted([*FOLDER.glob("unit-*.toml"), *YEAR.glob("unit-*.toml")])


def day(luck: np.random.Generator) -> dt.date:
    """A day of the year that begins with FIRST, on a working day."""
    share = np.array([MONTHS[(FIRST + dt.timedelta(at)).month - 1] for at in range(365)], float)
    share[[(FIRST + dt.timedelta(at)).weekday() == 6 for at in range(365)]] = 0.0
    return FIRST + dt.timedelta(int(luck.choice(365, p=share / share.sum())))


def fault(shop: Shop, luck: np.random.Generator) -> str:
    """What is at fault, drawn by weight."""
    held = [each for each in shop.suspects if each.id != HEALTHY]
    weight = np.array([each.weight for each in held])
    return held[int(luck.choice(len(held), p=weight / weight.sum()))].id


def drawn(shop: Shop, when: dt.date, luck: np.random.Generator) -> Call:
    """A call without its title, which its symptoms will give."""
    owner = str(shop.suspects.unit.nameplate.get("owner", ""))
    suspected = "contactor" if luck.random() < 0.15 else ""
    return Call(
        "", "", fault(shop, luck), (int(luck.integers(1, 100_000)), int(luck.integers(SPECIMENS))),
        "", owner, str(luck.choice(PEOPLE)), when, "", suspected=suspected, seen=("plunger",),
    )  # fmt: skip


def proved(shop: Shop, call: Call) -> Iterator[tuple[str, str]]:
    """What is read when nothing is at fault any more: the check and the text."""
    mended = Call(**{**vars(call), "fault": HEALTHY})
    technician = shop.technician(mended)
    for check in PROOF:
        if check in shop.checks:
            yield check, shown(shop.checks[check].card, technician.take(check))


def main(how_many: int) -> None:
    """Write the calls in the order of their days, and how each of them ended."""
    luck = np.random.default_rng(SEED)
    paths = units()
    shops = {path: Shop(read_unit(path)) for path in paths}
    chosen = [paths[at % len(paths)] for at in range(how_many)]
    luck.shuffle(chosen)
    days = sorted(day(luck) for _ in range(how_many))
    endings = tomlkit.aot()
    for old in YEAR.glob("call-*.toml"):
        old.unlink()
    for at, (path, when) in enumerate(zip(chosen, days, strict=True), start=1):
        endings.append(_write(at, shops[path], path, drawn(shops[path], when, luck), luck))
    told = tomlkit.document()
    told.add(tomlkit.comment("How each call of the year ended. Written by tools/make_year.py."))
    told["endings"] = endings
    (YEAR / "endings.toml").write_text(tomlkit.dumps(told), encoding="utf-8")


def _write(
    at: int, shop: Shop, path: Path, call: Call, luck: np.random.Generator
) -> tomlkit.items.Table:
    name = f"call-{at:03d}"
    outcomes = tuple(worked(shop, Call(**{**vars(call), "name": name})))
    heard = str(outcomes[0][1])
    title = str(luck.choice(TITLES.get(heard, ("Does not cool as it should",))))
    unit = path.stem if path.parent == YEAR else f"../{path.stem}"
    whole = Call(**{**vars(call), "name": name, "unit": unit, "title": title})
    (YEAR / f"{name}.toml").write_text(file_text(whole, outcomes), encoding="utf-8")
    suspect = shop.suspects.suspect(call.fault)
    ending = tomlkit.table()
    minutes = sum(card.minutes for card, _ in outcomes) + suspect.repair_minutes + 25.0
    for key, value in (
        ("call", name), ("suspect", call.fault), ("part", suspect.block),
        ("done", suspect.repair_text), ("began", f"{int(luck.integers(7, 17)):02d}:30"),
        ("minutes", round(minutes)),
    ):  # fmt: skip
        ending.add(key, value)
    ending.add("proof", dict(proved(shop, call)))
    return ending


if __name__ == "__main__":
    main(int(sys.argv[1]) if sys.argv[1:] else CALLS)
