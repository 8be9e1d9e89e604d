"""The plain questions by which an arrangement is found, and what may be answered."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rungwise.errors import BadInput, UnknownName
from rungwise.wording import say

__all__ = ["QUESTIONS", "UNKNOWN", "Answer", "Question", "checked"]

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
        "What sort of unit is it?",
        (
            Answer(
                "cooling",
                "Outdoor unit, cooling only",
                "split system",
                brief="outdoor unit, cooling only",
            ),
            Answer(
                "heat_pump", "Heat pump, outdoor unit", "has a reversing valve", brief="heat pump"
            ),
            Answer(
                "packaged",
                "Rooftop or package unit, cooling",
                "all in one cabinet",
                brief="package unit, cooling",
            ),
            Answer(
                "packaged_heat_pump",
                "Rooftop or package heat pump",
                "all in one cabinet",
                brief="package heat pump",
            ),
            Answer("air_handler", "Air handler or furnace", "the indoor half", brief="air handler"),
            Answer(
                "refrigeration",
                "Cooler or freezer condensing unit",
                "no room thermostat",
                brief="condensing unit",
            ),
        ),
        "which demands it follows and what feeds it",
    ),
    Question(
        "poles",
        "How many poles has the contactor?",
        (
            Answer("1", "One", "a solid bar on the other side", brief="one-pole contactor"),
            Answer("2", "Two", brief="two-pole contactor"),
            Answer("3", "Three", "three-phase", brief="three-pole contactor"),
            Answer("none", "It has no contactor"),
        ),
        "which side of the compressor stays live while it is off",
    ),
    Question(
        "heater",
        "Crankcase heater: where is it wired?",
        (
            Answer("none", "No heater", brief="no crankcase heater"),
            Answer(
                "pole",
                "Across the open pole",
                "one lead on L1, one on T1",
                brief="heater across the open pole",
            ),
            Answer(
                "line_stat",
                "Across the line, with its own thermostat",
                "L1, L2",
                brief="heater across the line with its thermostat",
            ),
            Answer(
                "line",
                "Across the line, always on",
                "L1 and L2",
                brief="heater always on the line",
            ),
            Answer(
                "aux",
                "Through an auxiliary contact",
                "a block on the contactor's side",
                brief="heater through an auxiliary contact",
            ),
            Answer("load", "On the load side", "T1 and T2", brief="heater on the load side"),
        ),
        "when the heater heats, and whether it is live with the contactor open",
    ),
    Question(
        "kit",
        "Is there a start kit?",
        (
            Answer("none", "No"),
            Answer("relay", "Start relay and start capacitor", brief="start kit"),
            Answer(
                "assist",
                "Two-wire start assist",
                "one body on the run capacitor",
                brief="start assist",
            ),
        ),
        "what helps the compressor to start, and what holds a charge",
    ),
    Question(
        "pressure",
        "Pressure switches in the control wiring?",
        (
            Answer("both", "High and low"),
            Answer("high", "High only", brief="high-pressure switch only"),
            Answer("low", "Low only", brief="low-pressure switch only"),
            Answer("none", "None", brief="no pressure switch"),
        ),
        "whether an open pressure switch can stop it",
    ),
    Question(
        "board",
        "Is there a time delay or a board outdoors?",
        (
            Answer("none", "Neither"),
            Answer("delay", "A time delay", "anti-short-cycle", brief="time delay"),
            Answer(
                "other", "A board that does more", "defrost, leak sensor, stages", brief="board"
            ),
        ),
        "whether silence for some minutes is right",
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
            raise UnknownName(what="There is no such question.", name=key, known=known)
        if answer not in ("", UNKNOWN):
            told[key] = known[key].answer(answer).key
    if needed and not told:
        raise BadInput(
            what="No question is answered, so any unit would fit.",
            next_step="answer one of them, or choose that it is not like any of these",
        )
    return told
