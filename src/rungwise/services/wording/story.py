"""The sentences of an answer that every way of telling it shares: commands, pages and papers."""

from __future__ import annotations

from rungwise.diagnosis import Candidate, CheckCard, Explanation, percent
from rungwise.services.diagnose import CallDiagnosis
from rungwise.wording import joined, mark, say, shaped

SPOKEN = 3
"""Suspects named for each outcome, and opinions told of each reading."""

CLEAR_BITS = 2.0
"""Evidence worth a line: it makes a suspect four times as likely, or as unlikely."""

WHY_STOP = {
    "sure enough to act": mark("Stop measuring: acting now costs less than another reading."),
    "nothing left that would tell": mark("No check that is left would tell any more."),
    "nothing wrong now": mark(
        "Stop measuring: all that a working unit is judged by has been read."
    ),
    "as many readings as a call is worth": (
        mark(
            "Stop measuring: more readings are not worth it. Look at what is "
            "most likely, place by place."
        )
    ),
}

WHY_OWED = {
    "a reading on the part itself comes first": (
        mark(
            "Why this one: no part is changed on indirect readings; this one is taken on the part."
        )
    ),
    "a reading owed before the repair comes first": (
        mark("Why this one: it must be read before anything is put back or anybody is called.")
    ),
    "the answer rests on a reading to take again": (
        mark("Why this one: the answer hangs on it. Retake it.")
    ),
    "a reading that is likely a slip": (
        mark("Why this one: what was read may well be a slip of the hand. Retake it.")
    ),
    "the proof that nothing is wrong": (
        mark(
            "Why this one: all reads as on a working unit so far; "
            "this is how a working unit is judged."
        )
    ),
}
"""Why a check is advised for another reason than what it is expected to tell, by `Advice.why`."""


def by_band(explanation: Explanation) -> dict[str, list[str]]:
    """Whoever would make the check read the same, together: the likeliest, and how many more."""
    found: dict[str, list[str]] = {}
    for each in explanation.forecasts:
        name = joined(" ", (each.suspect.title, joined("", ("(", percent(each.probability), ")"))))
        found.setdefault(each.band.text, []).append(name)
    return {
        band: names[:SPOKEN]
        + [say("{count} more", count=len(names) - SPOKEN)] * (len(names) > SPOKEN)
        for band, names in found.items()
    }


def own_line(answer: CallDiagnosis) -> str:
    """What moved the odds before any reading, "" where they start from the start weights."""
    own = answer.call.own
    if own is None:
        return ""
    calls = (
        mark("one closed call") if own.calls == 1 else say("{calls} closed calls", calls=own.calls)
    )
    told = say("Before any reading, the odds are moved by the shop's own {calls}", calls=calls)
    if own.age_y is None:
        return say("{told}; the unit's age is not known.", told=told)
    return say("{told} and the unit's age of {years}.", told=told, years=_years(own.age_y))


def _years(many: float) -> str:
    return (
        say("{years} years", years=f"{many:.0f}")
        if many >= 1.5
        else mark("one year")
        if many >= 1.0
        else mark("under a year")
    )


def why_this(answer: CallDiagnosis) -> str:
    """Why the advised check, and which would be next best; "" where none is advised."""
    ranked = answer.advice.candidates
    if answer.advice.check is None or not ranked:
        return ""
    if answer.advice.why in WHY_OWED:
        return WHY_OWED[answer.advice.why]
    first, *rest = ranked
    told = say(
        "Why this one: it should settle {share} of what is still open for {minutes}, set-up and "
        "risk counted.",
        share=share(first, answer),
        minutes=minutes(first.minutes),
    )
    second = next((each for each in rest if each.bits > 0.0), None)
    if second is None:
        return told
    title = shaped(second.check.title, _no_question)
    return say(
        "{told} Next best: {title} ({share} for {minutes}).",
        told=told,
        title=title,
        share=share(second, answer),
        minutes=minutes(second.minutes),
    )


def share(candidate: Candidate, answer: CallDiagnosis) -> str:
    """How much of what is still open a check should settle."""
    open_bits = answer.open_bits
    return percent(min(candidate.bits / open_bits, 1.0)) if open_bits > 0 else percent(0.0)


def question(card: CheckCard) -> str:
    """The check's title, so that its outcome can follow."""
    return shaped(card.title, _question)


def _question(title: str) -> str:
    told = title[:1].upper() + title[1:]
    return told if told.endswith("?") else f"{told}:"


def _no_question(title: str) -> str:
    return title.removesuffix("?")


def minutes(many: float) -> str:
    """Minutes in words, to the half: "2.5 minutes"."""
    rounded = round(many * 2) / 2
    if rounded == 1:
        return mark("1 minute")
    return say("{minutes} minutes", minutes=f"{rounded:g}")
