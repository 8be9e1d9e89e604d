"""What is really wrong with a simulated unit: drawn anew for every call, outside the fault table.

Nothing of a truth is one of the table's particles: the specimen's tolerances, the severity of the
fault, the supply volts and the strays of its wires are drawn for the call alone.
"""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass

import numpy as np

from rungwise.circuit import Key, Plan
from rungwise.faults import HEALTHY, SPREAD_LIMIT, Edit, Suspect, SuspectSet
from rungwise.parts import FloatArray, Supply

LINE_VOLTS = (225.0, 250.0)
HOUSE_LINE_VOLT = 240.0
"""Line-to-line supply of a simulated call, V, each value in it as likely as any other."""

STRAY_DEVIATION = 0.35
"""Relative deviation (1 sd) of a terminal's stray capacitance (order of magnitude, no source)."""


@dataclass(frozen=True, slots=True)
class Truth:
    """One unit with one fault, or with a fault and the second one that it caused.

    plan: the unit's circuit with its own strays. values: every spread and every faulty parameter,
    float [1]. still_hot: whether an overload that tripped is still open when the unit is measured
    dead. line_volt: supply before any fault. good: the same specimen without its fault.
    """

    plan: Plan
    suspect: Suspect
    values: dict[Key, FloatArray]
    still_hot: bool
    line_volt: float
    good: dict[Key, FloatArray]

    @property
    def faulty_blocks(self) -> frozenset[str]:
        """Parts, wires and conductor pairs that the fault changes."""
        return frozenset(edit.key[0] for edit in self.suspect.edits)

    @property
    def kind(self) -> str:
        """Sort of part and mode of failing, such as "wire.high_resistance".

        What is no part of the circuit ("unit", as in a frozen coil) goes by its own name.
        """
        block = self.plan.blocks.get(self.suspect.block)
        return f"{block.kind.name if block else self.suspect.block}.{self.suspect.mode}"

    @property
    def severity(self) -> str:
        """The faulty parameters as drawn, such as "capacitor.herm_uf=22.8"."""
        drawn = {edit.key: float(self.values[edit.key][0]) for edit in self.suspect.edits}
        return ", ".join(f"{block}.{name}={it:.3g}" for (block, name), it in drawn.items())


def draw_truth(
    suspects: SuspectSet, rng: np.random.Generator, suspect: Suspect | None = None
) -> Truth:
    """A truth by the suspects' weights; that nothing is wrong is never one.

    suspect: this one instead, which may be that nothing is wrong.
    """
    suspect = suspect or _by_weight(suspects, rng)
    values = _specimen(suspects, rng)
    line_volt = float(rng.uniform(*LINE_VOLTS))
    for part, _ in suspects.unit.having(Supply):
        usual = suspects.unit.kind_of(part.name).parameter("leg_volt").default
        values[(part.name, "leg_volt")] = np.array([usual * line_volt / HOUSE_LINE_VOLT])
    good = dict(values)
    _break(suspects, values, suspect.edits, rng)
    plan = _with_own_strays(suspects.plan, rng)
    return Truth(plan, suspect, values, bool(rng.integers(2)), line_volt, good)


def _by_weight(suspects: SuspectSet, rng: np.random.Generator) -> Suspect:
    listed = [each for each in suspects if each.id != HEALTHY]
    weight = np.array([each.weight for each in listed])
    return listed[int(rng.choice(len(listed), p=weight / weight.sum()))]


def _specimen(suspects: SuspectSet, rng: np.random.Generator) -> dict[Key, FloatArray]:
    """A good specimen: every spread log-normal, cut as the table's are."""
    z = rng.standard_normal((1, len(suspects.spreads)))
    return suspects.good(np.clip(z, -SPREAD_LIMIT, SPREAD_LIMIT))


def _break(
    suspects: SuspectSet,
    values: dict[Key, FloatArray],
    edits: Sequence[Edit],
    rng: np.random.Generator,
) -> None:
    """Apply the edits: one severity for each block, so that cause and effect differ in theirs."""
    severity: dict[str, float] = {}
    for edit in edits:
        rank = severity.setdefault(edit.key[0], float(rng.uniform()))
        good = values.get(edit.key, np.full(1, float(suspects.plan.defaults[edit.key])))
        values[edit.key] = edit.apply(good, np.array([rank]))


def _with_own_strays(plan: Plan, rng: np.random.Generator) -> Plan:
    """The same circuit with the stray capacitance of every terminal drawn."""
    own = copy(plan)
    own.stray_farad = plan.stray_farad * np.exp(
        STRAY_DEVIATION * rng.standard_normal(len(plan.nodes))
    )
    return own
