"""`fit`: does a candidate part go into this unit, and what speaks for and against it?

First behaviour: the unit with the candidate in it must do in every situation what the unit is
meant to do, by solution.  Then strength: each rating against what the solved circuit asks.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import islice

from rungwise.circuit import situations_of
from rungwise.parts import KINDS, Motor
from rungwise.replacement.candidate import Candidate
from rungwise.replacement.differences import behaviour_reasons, live_reasons
from rungwise.replacement.joints import TORQUE, joint_reasons, torque_reasons
from rungwise.replacement.judges import judge_of
from rungwise.replacement.label import assumed, unjudged
from rungwise.replacement.motor import own_capacitor_reasons, same_load, with_own_capacitor
from rungwise.replacement.possible_change import PossibleChange, bar_restored, heater_to_the_line
from rungwise.replacement.reason import Reason, Verdict, Weight, verdict_of
from rungwise.replacement.reference import Reference, meant_unit
from rungwise.replacement.seating import Seated, in_place_of, seat
from rungwise.replacement.supply_circuit import contactors, heaters
from rungwise.replacement.trials import Specimen, specimens, usual_trials
from rungwise.unit import Unit, contradicted
from rungwise.wording import joined, mark, say

_NEVER_SEEN = (mark("footprint"), mark("approval by the unit's maker"))
"""What no answer has looked at, whatever the part (common practice, no source)."""


@dataclass(frozen=True)
class Fit:
    """The answer for one candidate.

    reasons: weightiest first. loads: what each load does with the candidate in place, situation by
    situation: (meant watts, watts). changes: of the design, each of which would make it serve.
    off_by: how far the ratings on its label are from those of the part that comes out.
    """

    candidate: Candidate
    verdict: Verdict
    reasons: tuple[Reason, ...]
    loads: Mapping[tuple[str, str], tuple[float, float]] = field(default_factory=dict)
    changes: tuple[PossibleChange, ...] = ()
    off_by: float = 0.0

    @property
    def not_judged(self) -> tuple[str, ...]:
        """What nobody has looked at, in words."""
        return (*self.candidate.kind.told.unseen, *_NEVER_SEEN)

    def told(self, *weights: Weight) -> tuple[Reason, ...]:
        """The reasons of these weights."""
        return tuple(reason for reason in self.reasons if reason.weight in weights)


def fit(unit: Unit, candidates: Sequence[Candidate]) -> tuple[Fit, ...]:
    """The answer for each candidate, in the given order.

    Raises CircuitError where a circuit cannot be solved.
    """
    candidates = [in_place_of(unit, each) for each in candidates]
    known = [each for each in candidates if not _strangers(unit, each)]
    meant = {parts: meant_unit(unit, parts) for parts in {each.parts: None for each in known}}
    seated = [seat(unit, each) for each in known]
    plain = [_loaded(s, meant[c.parts].unit, c) for c, s in zip(known, seated, strict=True)]
    fitted = [_completed(each, c) for c, each in zip(known, plain, strict=True)]
    units = [unit, *(each.unit for each in meant.values()), *plain, *fitted]
    found, *rest = specimens(units, usual_trials(unit))
    situations = situations_of(unit)
    references = {
        parts: Reference(found, specimen, situations, meant[parts].notes)
        for parts, specimen in zip(meant, rest, strict=False)
    }
    made = iter(rest[len(meant) :])
    before = list(islice(made, len(known)))
    answers = {
        id(each): _Fitting(references[each.parts], each, place, one, whole).fit()
        for each, place, one, whole in zip(known, seated, before, made, strict=True)
    }
    return tuple(answers.get(id(each)) or _no_such_part(unit, each) for each in candidates)


def ranked(fits: Iterable[Fit]) -> tuple[Fit, ...]:
    """Best first by verdict, then those nearest in rating to what comes out, then the cheaper."""
    order = list(Verdict)
    return tuple(
        sorted(
            fits,
            key=lambda each: (
                order.index(each.verdict),
                round(each.off_by, 3),
                each.candidate.price is None,
                each.candidate.price or 0.0,
                each.candidate.name,
            ),
        )
    )


@dataclass(frozen=True)
class _Fitting:
    """One candidate with all that is needed to judge it.

    plain: the unit with it and nothing else changed. fitted: the same with what it brings along
    (a motor's own capacitor); this is judged.
    """

    reference: Reference
    candidate: Candidate
    seated: Seated
    plain: Specimen
    fitted: Specimen

    def fit(self) -> Fit:
        """The verdict with all that led to it."""
        order = list(Weight)
        reasons = tuple(sorted(self.reasons(), key=lambda each: order.index(each.weight)))
        verdict = verdict_of(reasons)
        if not verdict.serves:
            reasons = tuple(each for each in reasons if each.rule != TORQUE)
        changes, off_by = self.changes(reasons), self.off_by()
        return Fit(self.candidate, verdict, reasons, self.loads(), changes, off_by)

    def reasons(self) -> Iterator[Reason]:
        unit = self.reference.found.unit
        yield from self.strength()
        yield from behaviour_reasons(self.reference, self.fitted)
        yield from joint_reasons(unit, self.candidate, self.seated)
        yield from torque_reasons(self.candidate)
        yield from live_reasons(self.reference.found, self.fitted, self.seated.pieces)
        yield from self.notes()

    def strength(self) -> Iterator[Reason]:
        """The figures of the label against what the circuit asks, by what the candidate is."""
        three = (self.reference, self.fitted, self.candidate)
        judge = judge_of(self.candidate)
        yield from self.contradictory()
        if judge is None:
            yield unjudged(self.candidate, mark("Ratings and settings"))
            return
        if _is_motor(self.candidate):
            yield from own_capacitor_reasons(self.plain, self.fitted, self.candidate.parts[0])
        yield from judge(*three)

    def contradictory(self) -> Iterator[Reason]:
        """Figures told of the candidate that cannot be true together: 1075 rpm of four poles."""
        unit, told = self.fitted.unit, self.candidate.kind.parameters()
        for name in self.candidate.parts:
            if name not in unit.part_by_name:
                continue
            for found in contradicted(unit.part(name), unit.hz):
                if found.parameter in self.candidate.figures:
                    yield Reason(
                        Weight.UNJUDGED,
                        "label.contradicts",
                        say(
                            "Its label contradicts itself: {what}, {value}, cannot be true beside "
                            "the rest that is told of it. Read it again.",
                            what=told[found.parameter].what,
                            value=f"{found.value:g} {told[found.parameter].unit}".strip(),
                        ),
                        has=found.value,
                    )

    def notes(self) -> Iterator[Reason]:
        for note in self.reference.notes:
            yield Reason(Weight.NOTE, "unit.meant", note, source="from the unit file")
        missing = assumed(self.candidate)
        if missing:
            yield Reason(
                Weight.CAUTION,
                "label.assumed",
                say(
                    "Not in the candidate's file, taken from the usual part: {join}.",
                    join=joined("; ", (mark(each) for each in missing)),
                ),
            )

    def loads(self) -> dict[tuple[str, str], tuple[float, float]]:
        before = self.reference.meant.load_states(self.reference.situations)
        after = self.fitted.load_states(self.reference.situations)
        return {
            (situation.name, name): (
                float(before.amount[at, before.loads.index(name), 0]),
                float(after.amount[at, after.loads.index(name), 0]),
            )
            for at, situation in enumerate(self.reference.situations)
            for name in before.loads
            if name in after.loads
        }

    def off_by(self) -> float:
        """Sum of the ratios between its ratings and those of the old part, as logarithms."""
        name, figures = self.candidate.parts[0], self.candidate.figures
        part = self.reference.found.unit.part(name)
        known = {parameter.name for parameter in KINDS[part.kind].parameters}
        pairs = [
            (figures[key], self.reference.found.number(name, key))
            for key in self.candidate.kind.label
            if key in known and key in figures
        ]
        return sum(abs(math.log(has / had)) for has, had in pairs if has > 0 and had > 0)

    def changes(self, reasons: tuple[Reason, ...]) -> tuple[PossibleChange, ...]:
        """For a contactor that nothing but the heater speaks against."""
        rules = {f"behaviour.{heater.name}" for heater in heaters(self.fitted.unit)}
        against = {reason.rule for reason in reasons if reason.weight is Weight.BARS}
        switched = {part.name for part in contactors(self.fitted.unit)}
        if not against or not against <= rules or self.candidate.parts[0] not in switched:
            return ()
        three = (self.reference, self.fitted, self.candidate.parts[0])
        found = (bar_restored(*three), heater_to_the_line(*three))
        return tuple(each for each in found if each is not None)


def _loaded(seated: Seated, meant: Unit, candidate: Candidate) -> Unit:
    """The unit with a new motor driving what the old one drove."""
    if not _is_motor(candidate):
        return seated.unit
    return same_load(seated.unit, meant, candidate.parts[0])


def _completed(unit: Unit, candidate: Candidate) -> Unit:
    """The unit with what a candidate brings along."""
    return with_own_capacitor(unit, candidate.parts[0]) if _is_motor(candidate) else unit


def _is_motor(candidate: Candidate) -> bool:
    return bool(candidate.kind.facets(Motor))


def _strangers(unit: Unit, candidate: Candidate) -> list[str]:
    return [name for name in candidate.parts if name not in unit.part_by_name]


def _no_such_part(unit: Unit, candidate: Candidate) -> Fit:
    names = ", ".join(_strangers(unit, candidate))
    reason = Reason(
        Weight.BARS,
        "part.none",
        say("This unit has no part called {names}.", names=names),
        source="from the unit file",
    )
    return Fit(candidate, Verdict.NOT, (reason,))
