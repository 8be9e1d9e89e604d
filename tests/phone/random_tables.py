"""Random fault tables and calls: whatever a belief may meet, and more than any unit has of it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from tests.phone.phone_belief import Work

from rungwise.circuit import FINE_VOLTS
from rungwise.diagnosis import DEAD, LOOKING, ON_CALL, CheckCard, FaultTable, SuspectCard
from rungwise.diagnosis.chips import CHIPS
from rungwise.diagnosis.discrepancy import DISCREPANCY
from rungwise.diagnosis.look_card import COOLED, ON_HEAT
from rungwise.diagnosis.scale import floors_of
from rungwise.faults import HEALTHY

__all__ = ["random_table", "random_works"]

UNITS = {"ohms": "Ω", "megohms": "Ω", "microfarads": "µF"}
AMPS = ("amps", "held_amps", "winding_amps", "inrush")
PARTS = ("contactor", "fan", "compressor", "board")


def random_table(rng: np.random.Generator) -> FaultTable:
    """A table of a few suspects and checks, with slopes, tangents, OL and what cannot be made."""
    suspects = _suspects(rng)
    checks = _with_triangle(rng, [_check(rng, at) for at in range(int(rng.integers(4, 14)))])
    most = int(rng.choice([3, 6, 90], p=[0.5, 0.4, 0.1]))
    suspect_of = np.repeat(np.arange(len(suspects)), rng.integers(1, most + 1, len(suspects)))
    n, m = len(suspect_of), len(checks)
    reading = _readings(rng, suspects, checks, suspect_of)
    floor = 10.0 ** rng.uniform(-3, 0, m)
    sd = np.hypot(np.where(np.isfinite(reading), reading, 0.0) * 0.01, floor)
    slope_of = _slopes_of(rng, suspect_of)
    q = int(slope_of.max()) + 1
    slope = rng.normal(0.0, 0.1, (q, m, int(rng.integers(1, 6))))
    slope[rng.random(slope.shape) < 0.6] = 0.0
    return FaultTable(
        suspects, checks, suspect_of, reading, sd,
        {at: _chances(rng, n, card) for at, card in enumerate(checks) if card.form == "choice"},
        digest="random",
        slope=slope, slope_of=slope_of,
        own=rng.choice([0.0, 1e-4, 1e-2], (q, m)).astype(np.float32),
        tangent=(rng.normal(0.0, 0.2, (n, m)) * (rng.random((n, m)) < 0.7)).astype(np.float32),
    )  # fmt: skip


def random_works(rng: np.random.Generator, table: FaultTable, count: int) -> list[Work]:
    """Calls on a table: of readings near some particle's, wild ones, OL and looks."""
    return [_work(rng, table) for _ in range(count)]


def _suspects(rng: np.random.Generator) -> tuple[SuspectCard, ...]:
    count = int(rng.integers(3, 9))
    names = [f"s{at}" for at in range(count)]
    if rng.random() < 0.8:
        names[int(rng.integers(count))] = HEALTHY
    return tuple(_suspect(rng, name, names) for name in names)


def _suspect(rng: np.random.Generator, name: str, names: list[str]) -> SuspectCard:
    part = str(rng.choice(PARTS)) if name != HEALTHY else ""
    shown = tuple(rng.choice(list(DISCREPANCY), 3, replace=False).tolist())
    return SuspectCard(
        name, name, part, "mode",
        f"{part}:replace" if rng.random() < 0.5 else f"{name}:mend", f"mend {name}",
        float(rng.choice([0.0, 1.0, 5.0, 30.0], p=[0.1, 0.4, 0.3, 0.2]))
        + 0.01 * (name == names[0]),
        cause_of=str(rng.choice(names)) if rng.random() < 0.2 else None,
        repair_minutes=float(rng.choice([15.0, 30.0, 90.0])),
        shown_by=shown if name != HEALTHY else (),
        is_effect=bool(rng.random() < 0.25) and name != HEALTHY,
        wrong_minutes=float(rng.choice([0.0, 120.0, 400.0])),
    )  # fmt: skip


def _check(rng: np.random.Generator, at: int) -> CheckCard:
    condition = str(rng.choice([LOOKING, DEAD, ON_CALL, COOLED, ON_HEAT]))
    touches = tuple(rng.choice(PARTS, int(rng.integers(0, 3)), replace=False).tolist())
    minutes, risk = float(rng.choice([0.5, 1.0, 4.0])), float(rng.choice([0.0, 2.0]))
    if rng.random() < 0.35:
        quantity = str(rng.choice(["look:sound", "look:turns", "look:ice", "look:idle"]))
        choices = ("running", "humming", "silent") if quantity == "look:sound" else ("no", "yes")
        return CheckCard(
            f"c{at}", f"check {at}", "choice", choices, minutes=minutes, condition=condition,
            quantity=quantity, touches=touches,
        )  # fmt: skip
    quantity = str(rng.choice(list(DISCREPANCY)))
    unit = UNITS.get(quantity, "A" if quantity in AMPS else "V")
    return CheckCard(
        f"c{at}", f"check {at}", unit=unit, minutes=minutes, risk=risk, live=risk > 0,
        condition=condition, quantity=quantity, touches=touches,
        instrument=FINE_VOLTS.name if quantity == "drop" else "",
        top=float(rng.choice([np.inf, 1e3])), red=f"n{at}", black=f"m{at}",
        jaw=f"w{at}" if rng.random() < 0.1 else "",
        setting="cooled" if rng.random() < 0.2 else "",
    )  # fmt: skip


def _with_triangle(rng: np.random.Generator, cards: list[CheckCard]) -> tuple[CheckCard, ...]:
    """On some units the first meter checks between two or three terminals of one part."""
    pairs = [("a.x", "a.y"), ("a.x", "a.z"), ("a.y", "a.z")]
    numbers = [at for at, card in enumerate(cards) if card.form == "number"]
    if rng.random() < 0.4:
        return tuple(cards)
    for at, (red, black) in zip(numbers, pairs[: int(rng.integers(2, 4))], strict=False):
        cards[at] = replace(
            cards[at], unit="Ω", quantity="ohms", setting="apart", red=red, black=black,
            jaw="", instrument="",
        )  # fmt: skip
    return tuple(cards)


def _readings(
    rng: np.random.Generator,
    suspects: tuple[SuspectCard, ...],
    checks: tuple[CheckCard, ...],
    suspect_of: np.ndarray,
) -> np.ndarray:
    """Alike under most suspects, as in a unit: a fault changes few readings."""
    usual = 10.0 ** rng.uniform(-2, 2.5, len(checks))
    own = usual * np.exp(rng.normal(0.0, 1.5, (len(suspects), len(checks))))
    own = np.where(rng.random(own.shape) < 0.5, usual, own)
    reading = own[suspect_of] * np.exp(rng.normal(0.0, 0.1, (len(suspect_of), len(checks))))
    reading[rng.random(reading.shape) < 0.05] = 0.0
    reading[rng.random(reading.shape) < 0.05] = np.inf
    reading[rng.random(reading.shape) < 0.05] = np.nan
    looks = np.array([card.form == "choice" for card in checks])
    return np.asarray(np.where(looks, 0.0, reading))


def _slopes_of(rng: np.random.Generator, suspect_of: np.ndarray) -> np.ndarray:
    """One for a suspect, or one for each of its two severities, in some order of their own."""
    raw = suspect_of * 2 + (rng.random(len(suspect_of)) < 0.3)
    return np.asarray(np.unique(raw, return_inverse=True)[1])


def _chances(rng: np.random.Generator, n: int, card: CheckCard) -> np.ndarray:
    chance = rng.dirichlet(np.full(len(card.choices), 0.5), n)
    sure = rng.random(n) < 0.4
    chance[sure] = np.eye(len(card.choices))[rng.integers(len(card.choices), size=int(sure.sum()))]
    return np.asarray(chance.astype(np.float32))


def _work(rng: np.random.Generator, table: FaultTable) -> Work:
    columns = rng.permutation(len(table.checks))[: int(rng.integers(0, 8))]
    row = int(rng.integers(table.particles))
    readings = [(table.checks[at].id, _read(rng, table, row, int(at))) for at in columns]
    if readings and rng.random() < 0.3:
        readings.append(readings[0])  # taken again, alike
    skipped = tuple(card.id for card in table.checks if rng.random() < 0.1)
    repairs = table.by_repair.names
    parts = table.by_part.names
    return Work(
        tuple(readings),
        {each.id: each.weight * 1.5 for each in table.suspects if rng.random() < 0.3},
        tuple(each.id for each in CHIPS if rng.random() < 0.2),
        skipped,
        str(rng.choice(parts)) if rng.random() < 0.3 else None,
        tuple((card.id, str(rng.choice(repairs))) for card in table.checks[:4]),
    )


def _read(rng: np.random.Generator, table: FaultTable, row: int, at: int) -> float:
    card = table.checks[at]
    if card.form == "choice":
        return float(rng.choice(len(card.choices), p=_whole(table.choice_probability[at][row])))
    value = float(table.reading[row, at])
    if rng.random() < 0.1 or np.isnan(value):
        value = float(10.0 ** rng.uniform(-3, 3))
    if np.isinf(value) or rng.random() < 0.05:
        return np.inf
    floor = float(floors_of(table.reading, table.reading_sd)[at])
    return abs(value * float(np.exp(rng.normal(0.0, 0.05))) + floor * float(rng.normal()))


def _whole(chance: np.ndarray) -> np.ndarray:
    chance = chance.astype(np.float64)
    return np.asarray(chance / chance.sum())
