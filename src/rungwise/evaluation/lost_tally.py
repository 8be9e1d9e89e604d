"""Counting cabinets with lost wires: how they ended, and what it took, by colors and breaks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import fmean

import numpy as np

from rungwise.evaluation.result_file import Line
from rungwise.evaluation.tally import Share
from rungwise.other_world import COLORS

PERCENTILE = 90.0


@dataclass(frozen=True, slots=True)
class Group:
    """Cabinets of one sort, at least one.

    answered: brought to "found" or "broken". wrong_passed: a wrong wiring told as found.
    wrong_placed: any end told as placed where it does not belong, however it ended.
    """

    colors: str
    broken: int
    lines: tuple[Line, ...]

    @property
    def answered(self) -> Share:
        """Every end placed, or those that read to nothing named, and named rightly."""
        good = [each["end"] in ("found", "broken") and each["named"] for each in self.lines]
        return Share(sum(good), len(good))

    @property
    def wrong_passed(self) -> Share:
        """Exit code 0 with a wrong wiring, or with a broken wire that nobody named."""
        bad = [
            each["end"] == "found" and (each["wrong"] or not each["named"]) for each in self.lines
        ]
        return Share(sum(bad), len(bad))

    @property
    def wrong_placed(self) -> Share:
        """An end told as placed on another terminal than it belongs on."""
        return Share(sum(bool(each["wrong"]) for each in self.lines), len(self.lines))

    def spread(self, what: str) -> tuple[float, float, float]:
        """Mean, median and 90th percentile of "contacts", "actions", "minutes" or "plain"."""
        found = [float(each[what]) for each in self.lines]
        return fmean(found), float(np.median(found)), float(np.percentile(found, PERCENTILE))

    def cells(self) -> tuple[str, ...]:
        """The group as a row of a table."""
        contacts, actions = (self.spread(what) for what in ("contacts", "actions"))
        return (
            self.colors,
            str(self.broken),
            str(len(self.lines)),
            self.answered.text(),
            self.wrong_passed.text(),
            self.wrong_placed.text(),
            "{:.1f}, {:.0f}, {:.0f}".format(*contacts),
            "{:.1f}, {:.0f}, {:.0f}".format(*actions),
            f"{self.spread('minutes')[0]:.0f}",
            "{:.1f}, {:.0f}, {:.0f}".format(*self.spread("plain")),
        )


HEAD = (
    "colors", "wires broken", "cabinets", "answered rightly", "wrong with exit 0",
    "any end placed wrongly", "readings: mean, median, p90", "actions: mean, median, p90",
    "minutes", "readings in plain order",
)  # fmt: skip


def groups(lines: Sequence[Line]) -> Iterator[Group]:
    """The cabinets by sort of colors and number of broken wires, and all of them together."""
    for colors in COLORS:
        for broken in sorted({len(each["broken"]) for each in lines}):
            held = [
                each for each in lines if each["colors"] == colors and len(each["broken"]) == broken
            ]
            if held:
                yield Group(colors, broken, tuple(held))


def cabinets_markdown(lines: Sequence[Line]) -> str:
    """The table for a page of docs."""
    every = Group("all", 0, tuple(lines))
    rows = [each.cells() for each in groups(lines)]
    rows.append(("all", "", *every.cells()[2:]))
    text = [f"| {' | '.join(HEAD)} |", f"|{'---|' * len(HEAD)}"]
    text += [f"| {' | '.join(row)} |" for row in rows]
    return "\n".join(text) + "\n"
