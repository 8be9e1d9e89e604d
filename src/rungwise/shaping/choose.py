"""From answers to a unit: the nearest arrangement, shaped until it answers as the person did."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from rungwise.errors import BadInput, UnknownName
from rungwise.parts import KINDS
from rungwise.shaping.candidates import Candidate, having, shipped_candidates
from rungwise.shaping.facts import facts_of
from rungwise.shaping.questions import QUESTIONS, Question, checked
from rungwise.shaping.reshape import Change, reshaped
from rungwise.shaping.unit_text import text_of_unit
from rungwise.unit import Unit
from rungwise.wording import joined, mark, say


@dataclass(frozen=True, slots=True)
class Extra:
    """A sort of part that some of the arrangements that fit have and others have not."""

    kind: str
    title: str


@dataclass(frozen=True)
class Choice:
    """The unit that the answers lead to.

    Attributes:
        start: the arrangement that it starts from.
        unit: the unit itself, shaped.
        changes: what was done to the arrangement, in words.
        alike: other arrangements that answer the same without a change.
        extras: parts by which those differ, to be asked for.
        unsaid: what was not answered, and what cannot be known for it.
    """

    start: Candidate
    unit: Unit
    changes: tuple[str, ...]
    alike: tuple[Candidate, ...]
    extras: tuple[Extra, ...]
    unsaid: tuple[str, ...]

    @property
    def text(self) -> str:
        """The unit file."""
        remark = say("Shaped from {title}.", title=self.start.unit.title) if self.changes else ""
        return text_of_unit(self.unit, self.start.base, remark=remark)


def chosen(
    answers: Mapping[str, str],
    *,
    there: Collection[str] = (),
    start: str = "",
    candidates: Sequence[Candidate] = (),
) -> Choice:
    """The unit that the answers lead to.

    there: kinds of part that were seen besides (see `extras_of`). start: the name of the
    arrangement to start from, where several fit. candidates: those that ship where empty.
    Raises UnknownName for an answer or a start that there is not, BadInput where nothing that is
    known can be brought to fit.
    """
    every = tuple(candidates) or shipped_candidates()
    named = {each.name: each for each in every}
    if start and start not in named:
        raise UnknownName(what=mark("There is no such arrangement."), name=start, known=named)
    told = checked(answers, needed=not start)
    fitting = fitting_as_they_are(told, every)
    for candidate in sorted(every, key=lambda each: _distance(each, told, there, start, every)):
        try:
            shaped = reshaped(candidate, told, every)
        except LookupError:
            continue
        return _choice(candidate, shaped, told, fitting)
    raise _nothing_fits(told, every)


def fitting_as_they_are(
    told: Mapping[str, str], candidates: Sequence[Candidate]
) -> tuple[Candidate, ...]:
    """The candidates that answer as the person did, without a change."""
    return tuple(each for each in candidates if not _misses(each, told))


def _misses(candidate: Candidate, told: Mapping[str, str]) -> list[str]:
    """The questions that a candidate answers otherwise."""
    return [key for key, answer in told.items() if answer not in candidate.facts[key]]


def _distance(
    candidate: Candidate,
    told: Mapping[str, str],
    there: Collection[str],
    start: str,
    every: Sequence[Candidate],
) -> tuple[float, ...]:
    """How far a candidate is from what was told; of equals the first, which is the plainest."""
    rare = _rare(candidate, every) - set(there) if there else set[str]()
    return (
        float("sort" in _misses(candidate, told)),
        float(bool(start) and candidate.name != start),
        float(len(set(there) - candidate.kinds)),
        float(len(_misses(candidate, told))),
        float(len(rare)),
    )


def _rare(candidate: Candidate, every: Sequence[Candidate]) -> set[str]:
    """The kinds that fewer than half of the candidates of its sort have."""
    sort = candidate.facts["sort"]
    kin = [each for each in every if each.facts["sort"] & sort]
    counted = Counter(kind for each in kin for kind in each.kinds)
    return {kind for kind in candidate.kinds if 2 * counted[kind] < len(kin)}


def _choice(
    start: Candidate,
    shaped: tuple[Unit, tuple[Change, ...]],
    told: Mapping[str, str],
    fitting: tuple[Candidate, ...],
) -> Choice:
    unit, changes = shaped
    others = tuple(each for each in fitting if each is not start)
    named = replace(unit, title=_title(start.unit.title, unit) if changes else start.unit.title)
    return Choice(
        start,
        named,
        tuple(each.words for each in changes),
        others,
        extras_of((start, *others)) if others else (),
        tuple(_unsaid(each) for each in QUESTIONS if each.key not in told),
    )


def _title(base: str, unit: Unit) -> str:
    """A shaped unit by what it answers itself; the arrangement's title says what it was."""
    facts = facts_of(unit)
    briefs = [
        next((each.brief for each in question.answers if each.key in facts[question.key]), "")
        for question in QUESTIONS
    ]
    return ", ".join(each for each in briefs if each) or base


def _unsaid(question: Question) -> str:
    return say(
        "{asks} Not answered, so it is not known {unsaid}.",
        asks=question.asks,
        unsaid=question.unsaid,
    )


def extras_of(candidates: Sequence[Candidate]) -> tuple[Extra, ...]:
    """The sorts of part that some of these have and not all."""
    common = frozenset.intersection(*(each.kinds for each in candidates))
    told = dict.fromkeys(
        part.kind for each in candidates for part in each.unit.parts if part.kind not in common
    )
    return tuple(Extra(kind, KINDS[kind].title) for kind in told)


def _nothing_fits(told: Mapping[str, str], every: Sequence[Candidate]) -> BadInput:
    words = list(_words(told))
    lacking = [
        f"{question.asks} {question.answer(told[question.key]).words}"
        for question in QUESTIONS
        if question.key in told and not having(every, question.key, told[question.key])
    ]
    why = say(" No arrangement has this: {join}.", join=joined("; ", lacking)) if lacking else ""
    return BadInput(
        what=say(
            "Rungwise knows no unit like this, and none that can be shaped to it.{why}", why=why
        ),
        value="; ".join(words),
        next_step=mark("type the wiring label as a list, or choose: not like any of these"),
    )


def _words(told: Mapping[str, str]) -> Iterator[str]:
    for question in QUESTIONS:
        if question.key in told:
            yield question.answer(told[question.key]).words
