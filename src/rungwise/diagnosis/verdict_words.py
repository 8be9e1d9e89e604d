"""A verdict in words: one thought a line, the same for every way of telling it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from rungwise.diagnosis.wording import percent, sentence, strength
from rungwise.parts import Caution, Line
from rungwise.wording import joined, mark, say

if TYPE_CHECKING:
    from rungwise.diagnosis.verdict_rules import Answer, Taken, Verdict, WrongPart

MOST_TRIED = 5
"""Repairs told one by one in the order of trying."""


def verdict_lines(told: Verdict) -> list[str]:
    """The whole verdict."""
    lines = [headline(told), *owed_lines(told)]
    lines += [str(line) for line in to_do_lines(told)]
    lines += acquittal_lines(told)
    if told.try_order:
        lines.append(mark("Least work on average: try in this order."))
        lines += [
            joined(
                " ",
                (
                    f"{place}.",
                    sentence(str(answer.suspect.to_do)),
                    joined("", ("(", percent(answer.probability), ")")),
                ),
            )
            for place, answer in enumerate(told.try_order[:MOST_TRIED], start=1)
        ]
    elif told.runners_up and told.kind != "nothing_wrong_now":
        named_before = {each.suspect.id for each in told.causes}
        left = [each for each in told.runners_up if each.suspect.id not in named_before]
        lines += [say("Not ruled out: {listed}.", listed=_listed(left))] if left else []
    return lines + doubt_lines(told) + (told.wrong_part.lines() if told.wrong_part else [])


def headline(told: Verdict) -> str:
    """The answer in one sentence."""
    chance = percent(told.probability)
    if told.kind == "none_of_these" or told.answer is None:
        return say("None of the listed faults fits the readings ({chance}).", chance=chance)
    if told.kind == "nothing_wrong_now":
        return mark("Nothing wrong now: all that a working unit is judged by reads well.")
    name = joined(" ", (named(told.answer), joined("", ("(", chance, ")"))))
    if told.kind == "undecided":
        return say("Most likely: {name}.", name=name)
    return (
        sentence(joined(": ", (_degree(told), name)))
        if told.answer.suspect.known
        else sentence(name)
    )


def _degree(told: Verdict) -> str:
    if told.kind == "found":
        return "Found"
    if not told.shown:
        return mark("Suspected, not shown")
    return (
        mark("Shown, what is behind it is not") if told.causes else mark("Shown, not yet settled")
    )


def named(answer: Answer) -> str:
    """What is wrong; of no known way, where to look."""
    title = answer.suspect.title
    return (
        title
        if answer.suspect.known
        else say("not one of the known ways, look here: {title}", title=title)
    )


def owed_lines(told: Verdict) -> list[str]:
    """What comes before the repair: the reading on the part, what excludes a short, a retake."""
    lines = list(told.confirm.lines()) if told.confirm else []
    if told.first:
        names = joined("; ", (card.title for card in told.first))
        lines.append(sentence(say("Before anything is put back, read: {names}", names=names)))
    if told.again:
        lines.append(say("It hangs on one reading, retake it: {said}.", said=_said(told.again)))
    return lines


def to_do_lines(told: Verdict) -> list[Line]:
    """The repair, after what comes before it, and what to look for behind the fault."""
    if told.answer is None or told.kind not in ("found", "suspected"):
        return []
    suspect = told.answer.suspect
    word = mark("Only then") if told.confirm or told.first or told.again else mark("To do")
    todo = suspect.to_do
    # A signal word stands first in its line.
    lines = [todo.ended() if isinstance(todo, Caution) else joined(": ", (word, sentence(todo)))]
    if suspect.behind:
        lines.append(say("Root cause: {sentence}", sentence=sentence(suspect.behind)))
    if told.causes:
        lines.append(say("What may have brought it about: {listed}.", listed=_listed(told.causes)))
    return lines


def acquittal_lines(told: Verdict) -> list[str]:
    """What to watch, and what was not read, when nothing is wrong now."""
    lines = (
        [say("Not ruled out, may come and go: {listed}.", listed=_listed(told.watch))]
        if told.watch
        else []
    )
    return lines + [say("Not read: {sentence}", sentence=sentence(text)) for text in told.not_read]


def doubt_lines(told: Verdict) -> list[str]:
    """The readings that cannot be right; of those that are merely odd nothing is said."""
    lines = [
        say("{said} is not possible. Retake it.", said=_said(taken)) for taken in told.doubtful
    ]
    pairs = (
        say("{one}, and {other}", one=_said(one), other=_said(other)) for one, other in told.clashes
    )
    return lines + [
        say("These cannot both be right: {pair}. Retake one.", pair=pair) for pair in pairs
    ]


def wrong_part_lines(wrong: WrongPart) -> list[str]:
    """The part that would have been swapped for nothing, and what cleared it."""
    told = [
        say(
            "A guess would have replaced: {part} ({share} at first).",
            part=wrong.part,
            share=percent(wrong.believed),
        )
    ]
    return told + [
        say("{taken} {strength} it.", taken=_said(taken), strength=strength(taken.bits))
        for taken in wrong.cleared_by
    ]


def _said(taken: Taken) -> str:
    title = taken.check.title
    return joined(" " if title.endswith("?") else ": ", (title, mark(taken.text)))


def _listed(answers: Iterable[Answer]) -> str:
    return joined(
        "; ",
        (
            joined(" ", (named(each), joined("", ("(", percent(each.probability), ")"))))
            for each in answers
        ),
    )
