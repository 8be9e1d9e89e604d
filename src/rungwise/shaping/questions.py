"""The plain questions by which an arrangement is found, and what may be answered."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rungwise.errors import BadInput, UnknownName
from rungwise.wording import mark, say

UNKNOWN = "unknown"
"""The answer to a question that nobody could look up."""


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer: its key, its words, and a hint where to look or what it is.

    brief: what a unit's title says of it; "" where that needs no word.
    """

    key: str
    words: str
    hint: str = ""
    brief: str = ""


@dataclass(frozen=True, slots=True)
class Question:
    """One question.

    Attributes:
        asks: as it is asked.
        answers: what may be answered, besides that nobody knows.
        unsaid: what cannot be known without an answer.
    """

    key: str
    asks: str
    answers: tuple[Answer, ...]
    unsaid: str

    def answer(self, key: str) -> Answer:
        """The answer of this key; raises UnknownName."""
        found = {each.key: each for each in self.answers}
        if key not in found:
            raise UnknownName(
                what=say("{asks} That is no answer to it.", asks=self.asks),
                name=key,
                known=[*found, UNKNOWN],
            )
        return found[key]


QUESTIONS = (
    Question(
        "sort",
        mark("What sort of unit is it?"),
        (
            Answer(
                "cooling",
                mark("Outdoor unit, cooling only"),
                mark("split system"),
                brief=mark("outdoor unit, cooling only"),
            ),
            Answer(
                "heat_pump",
                mark("Heat pump, outdoor unit"),
                mark("has a reversing valve"),
                brief=mark("heat pump"),
            ),
            Answer(
                "packaged",
                mark("Rooftop or package unit, cooling"),
                mark("all in one cabinet"),
                brief=mark("package unit, cooling"),
            ),
            Answer(
                "packaged_heat_pump",
                mark("Rooftop or package heat pump"),
                mark("all in one cabinet"),
                brief=mark("package heat pump"),
            ),
            Answer(
                "air_handler",
                mark("Air handler or furnace"),
                mark("the indoor half"),
                brief=mark("air handler"),
            ),
            Answer(
                "refrigeration",
                mark("Cooler or freezer condensing unit"),
                mark("no room thermostat"),
                brief=mark("condensing unit"),
            ),
        ),
        mark("which demands it follows and what feeds it"),
    ),
    Question(
        "poles",
        mark("How many poles has the contactor?"),
        (
            Answer(
                "1",
                mark("One"),
                mark("a solid bar on the other side"),
                brief=mark("one-pole contactor"),
            ),
            Answer("2", mark("Two"), brief=mark("two-pole contactor")),
            Answer("3", mark("Three"), mark("three-phase"), brief=mark("three-pole contactor")),
            Answer("none", mark("It has no contactor")),
        ),
        mark("which side of the compressor stays live while it is off"),
    ),
    Question(
        "heater",
        mark("Crankcase heater: where is it wired?"),
        (
            Answer("none", mark("No heater"), brief=mark("no crankcase heater")),
            Answer(
                "pole",
                mark("Across the open pole"),
                mark("one lead on L1, one on T1"),
                brief=mark("heater across the open pole"),
            ),
            Answer(
                "line_stat",
                mark("Across the line, with its own thermostat"),
                "L1, L2",
                brief=mark("heater across the line with its thermostat"),
            ),
            Answer(
                "line",
                mark("Across the line, always on"),
                mark("L1 and L2"),
                brief=mark("heater always on the line"),
            ),
            Answer(
                "aux",
                mark("Through an auxiliary contact"),
                mark("a block on the contactor's side"),
                brief=mark("heater through an auxiliary contact"),
            ),
            Answer(
                "load",
                mark("On the load side"),
                mark("T1 and T2"),
                brief=mark("heater on the load side"),
            ),
        ),
        mark("when the heater heats, and whether it is live with the contactor open"),
    ),
    Question(
        "kit",
        mark("Is there a start kit?"),
        (
            Answer("none", mark("No")),
            Answer("relay", mark("Start relay and start capacitor"), brief=mark("start kit")),
            Answer(
                "assist",
                mark("Two-wire start assist"),
                mark("one body on the run capacitor"),
                brief=mark("start assist"),
            ),
        ),
        mark("what helps the compressor to start, and what holds a charge"),
    ),
    Question(
        "pressure",
        mark("Pressure switches in the control wiring?"),
        (
            Answer("both", mark("High and low")),
            Answer("high", mark("High only"), brief=mark("high-pressure switch only")),
            Answer("low", mark("Low only"), brief=mark("low-pressure switch only")),
            Answer("none", mark("None"), brief=mark("no pressure switch")),
        ),
        mark("whether an open pressure switch can stop it"),
    ),
    Question(
        mark("board"),
        mark("Is there a time delay or a board outdoors?"),
        (
            Answer("none", mark("Neither")),
            Answer(
                "delay", mark("A time delay"), mark("anti-short-cycle"), brief=mark("time delay")
            ),
            Answer(
                "other",
                mark("A board that does more"),
                mark("defrost, leak sensor, stages"),
                brief=mark("board"),
            ),
        ),
        mark("whether silence for some minutes is right"),
    ),
)
"""Asked in this order."""


def checked(answers: Mapping[str, str], *, needed: bool = True) -> dict[str, str]:
    """The answers, each one that may be given; what nobody knows is left out.

    needed: whether one of them at least must be given. Raises UnknownName for a question or an
    answer that there is not, BadInput where none is given and one is needed.
    """
    known = {each.key: each for each in QUESTIONS}
    told: dict[str, str] = {}
    for key, answer in answers.items():
        if key not in known:
            raise UnknownName(what=mark("There is no such question."), name=key, known=known)
        if answer not in ("", UNKNOWN):
            told[key] = known[key].answer(answer).key
    if needed and not told:
        raise BadInput(
            what=mark("No question is answered, so any unit would fit."),
            next_step=mark("answer one of them, or choose that it is not like any of these"),
        )
    return told
