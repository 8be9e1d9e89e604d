"""Checking wires as they were left: each wrong one with what it does, each harmless one with why.

What counts is what the unit does, in every situation that it may be asked to live through; a wire
on another terminal that changes nothing of that is no fault.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations
from typing import Literal

from rungwise.parts import Poles, end_mark, split_end, terminal_of
from rungwise.rewiring.comparison import Comparison, limit_amp
from rungwise.rewiring.consequence import WIRE, Consequence, consequences
from rungwise.rewiring.shape import END_FOR_END, Shape, why_alike
from rungwise.rewiring.wire_group import WireGroup, joined, wire_groups
from rungwise.rewiring.wirings import Ends, Wiring, rewired
from rungwise.rewiring.yardstick import Yardstick
from rungwise.unit import Unit, Wire
from rungwise.wording import mark, say

MOST_SUBSETS = 9
"""Groups of which every subset is tried; beyond, those that do harm alone are taken."""

Status = Literal["wrong", "stays live", "against the marks", "harmless"]
"""What must be put right comes first; only what is harmless may stay."""

RESTORES: str = mark("with it the new part does what the old one did, solved in every situation")
BAR = "; it stands for the old part's bar"


@dataclass(frozen=True)
class Judged:
    """A group of wires that are not where they belong.

    does: its consequences with all else right. why: of a harmless group, the reason, "" where
    only the solution says so.  in_company: whether a wrong one does harm only with the others.
    live: terminals that a group which harms nothing leaves live with the thermostat off, unlike
    meant. label: what must stand in the door for the next hand, "" where nothing must.
    """

    group: WireGroup
    status: Status
    does: tuple[Consequence, ...]
    why: str
    in_company: bool = False
    live: tuple[str, ...] = ()
    label: str = ""


@dataclass(frozen=True)
class LeftCheck:
    """The wires as left, held against the unit as meant.

    groups: everything that is elsewhere than meant. whole: the consequences of all of it together.
    part: what the new part does otherwise even with every wire right.
    """

    groups: tuple[Judged, ...]
    whole: tuple[Consequence, ...]
    part: tuple[Consequence, ...]

    @property
    def passes(self) -> bool:
        """Whether the unit does all it is meant to, and nothing has to be put right."""
        return all(each.status == "harmless" for each in self.groups) and not self.part


def check_left(
    yardstick: Yardstick,
    reference: Unit,
    left: Mapping[str, Ends | None],
    *,
    added: Sequence[Wire] = (),
    marked: bool = True,
) -> LeftCheck:
    """Hold the wires as `left` against what the yardstick's unit does.

    `reference`: the unit with the new part and every wire where it belongs.  `added`: wires
    that it never had.  `marked`: whether line and load of the new part are marked.
    """
    whole_unit = replace(reference, wires=(*reference.wires, *added))
    extra = {wire.name: None for wire in added}
    groups = wire_groups(whole_unit, left, frozenset(extra))
    subsets = list(_subsets(len(groups)))
    wirings = [{**extra, **_left_of(groups, subset)} for subset in subsets]
    compared = yardstick.compare(wirings, whole_unit)
    right = subsets.index(())
    part: tuple[Consequence, ...] = ()
    restoring = _restoring(subsets, compared, groups, frozenset(extra))
    if restoring is None:  # the part itself: judge the wires by what it does when right
        own = Yardstick(reference)
        part = consequences(compared, yardstick.situations, right)
        compared = own.compare(wirings, whole_unit)
    places = {subset: at for at, subset in enumerate(subsets)}
    judge = Judge(
        yardstick, reference, groups, places, compared, restoring=restoring or (), marked=marked
    )
    whole = judge.does(tuple(range(len(groups))))
    return LeftCheck(tuple(judge.all()), whole, part)


def _restoring(
    subsets: Sequence[tuple[int, ...]],
    compared: Comparison,
    groups: Sequence[WireGroup],
    added: frozenset[str],
) -> tuple[int, ...] | None:
    """The fewest groups of added wires with which a new part does what is meant.

    None needed where it does so by itself; no such groups: None.
    """
    fitting = [
        subset
        for at, subset in enumerate(subsets)
        if compared.alike[at] and all(set(groups[each].wires) <= added for each in subset)
    ]
    return min(fitting, key=len, default=None)


def _subsets(size: int) -> Iterable[tuple[int, ...]]:
    """Which groups may be left wrong: every subset of few groups; of many, none, one and all."""
    most = size if size <= MOST_SUBSETS else 1
    for many in range(most + 1):
        yield from combinations(range(size), many)
    if most < size:
        yield tuple(range(size))


def _left_of(groups: Sequence[WireGroup], subset: Iterable[int]) -> Wiring:
    return {wire: ends for at in subset for wire, ends in groups[at].left.items()}


class Judge:
    """Says of each group whether it must be put right.

    places: of each subset of the groups, which of the compared wirings has it left as it is.
    """

    def __init__(  # what it judges by
        self,
        yardstick: Yardstick,
        reference: Unit,
        groups: Sequence[WireGroup],
        places: Mapping[tuple[int, ...], int],
        compared: Comparison,
        *,
        restoring: tuple[int, ...],
        marked: bool,
    ) -> None:
        self.restoring = restoring
        self.yardstick = yardstick
        self.reference = reference
        self.groups = groups
        self.at = places
        self.compared = compared
        self.marked = marked

    def all(self) -> list[Judged]:
        """Every group judged; those that are harmless only together are told as one."""
        kept = self.harmless()
        found = [self.wrong(at) for at in range(len(self.groups)) if at not in kept]
        single = {
            at: self.restores(at) if at in self.restoring else self.fine(self.groups[at])
            for at in kept
        }
        clear = [at for at in kept if at in self.restoring or (self.alone(at) and single[at].why)]
        unclear = [at for at in kept if at not in clear]
        if unclear:
            company = self.company(unclear, clear)
            if not company.why and all(self.alone(at) for at in unclear):
                return found + list(single.values())
            found.append(company)
            clear = [at for at in clear if self.groups[at].wires[0] not in company.group.wires]
        return found + [single[at] for at in clear]

    def company(self, together: list[int], others: list[int]) -> Judged:
        """Groups with no reason of their own, with as few others as make one of them all."""
        tried = (
            self.fine(joined(self.groups[at] for at in (*together, *some)))
            for many in range(len(others) + 1)
            for some in combinations(others, many)
        )
        first = next(tried)
        return first if first.why else next((each for each in tried if each.why), first)

    def alone(self, at: int) -> bool:
        """Whether a group does no harm alone, but for the wires that the new part wants."""
        return self.alike(tuple(sorted({*self.restoring, at})))

    def restores(self, at: int) -> Judged:
        """A wire with which the new part does what the old one did."""
        group, bars = self.groups[at], tuple(self.bars(self.groups[at]))
        thin = tuple(each for bar in bars if (each := self.too_thin(*bar)) is not None)
        why = "" if thin else RESTORES + (BAR if bars else "")
        label = " ".join(self.label(line, load) for _, line, load in bars)
        status: Status = "wrong" if thin else "harmless"
        return Judged(group, status, thin, why, live=self.live(group), label=label)

    def bars(self, group: WireGroup) -> Iterator[tuple[str, str, str]]:
        """The wires of a group that join line and load of a coil's pole: wire, line, load."""
        for wire, ends in group.left.items():
            for line, load in self.poles:
                if ends and {line, load} == set(ends):
                    yield wire, line, load

    @cached_property
    def poles(self) -> tuple[tuple[str, str], ...]:
        """Line and load of each pole that a coil moves, and of a bar in the place of one."""
        return tuple(
            (f"{part.name}.{line}", f"{part.name}.{load}")
            for part, poles in self.reference.having(Poles)
            if poles.moved_by == "coil"
            for line, load in poles.ends
        )

    def label(self, line: str, load: str) -> str:
        """What the next hand must know of a pole that is bridged."""
        part, one = split_end(line)
        other = terminal_of(load)
        return say(
            "{one} and {other} of the {part} are joined by a wire. {other} and its loads stay LIVE "
            "when the contactor is open. Open the disconnect.",
            one=end_mark(one),
            other=end_mark(other),
            part=self.reference.part(part).title,
        )

    def too_thin(self, wire: str, line: str, load: str) -> Consequence | None:
        """What comes of a bridge that is thinner than the leads behind it, once its pole fails."""
        awg = self.compared.seen.wirings.unit.wire_by_name[wire].awg
        leads = [each for each, _ in self.reference.wires_at(load)]
        thickest = min((each.awg for each in leads), default=awg)
        if limit_amp(awg) >= limit_amp(thickest):
            return None
        text = say(
            "the {awg} AWG wire {wire} bears {amp} A; when the pole between {line} and {load} does "
            "not make, it carries all of the {thickest} AWG lead behind it. Take {thickest} AWG",
            awg=f"{awg:g}",
            wire=wire,
            amp=f"{limit_amp(awg):.0f}",
            line=self.reference.end_words(line),
            load=self.reference.end_words(load),
            thickest=f"{thickest:g}",
        )
        lasts = [each.condition.horizon == "settled" for each in self.yardstick.situations]
        return Consequence(WIRE, wire, text, (lasts.index(True),))

    def alike(self, subset: tuple[int, ...]) -> bool:
        """Whether the unit does all it should with these groups left as they are."""
        return bool(self.compared.alike[self.at[subset]])

    def does(self, subset: tuple[int, ...]) -> tuple[Consequence, ...]:
        """What comes of these groups together."""
        return consequences(self.compared, self.yardstick.situations, self.at[subset])

    def harmless(self) -> tuple[int, ...]:
        """The most groups that may stay as they are, together; those that are harmless alone."""
        fitting = [subset for subset in self.at if self.alike(subset)]
        return max(fitting, key=lambda subset: (len(subset), [-at for at in subset]))

    def wrong(self, at: int) -> Judged:
        """A group that must be put right, with what it does alone, or with the others."""
        only = tuple(sorted({*self.restoring, at}))
        alone = self.alike(only)
        does = self.does(tuple(range(len(self.groups))) if alone else only)
        return Judged(self.groups[at], "wrong", does, "", in_company=alone)

    def fine(self, group: WireGroup) -> Judged:
        """A group that may stay, with the reason that the shape of the circuit gives."""
        known = all(wire in self.reference.wire_by_name for wire in group.left)
        moved = Shape(rewired(self.reference, group.left)) if known else None
        why = why_alike(Shape(self.reference), moved) if moved else ""
        live = self.live(group)
        status: Status = "stays live" if live else "harmless"
        if why == END_FOR_END and self.marked and not live:
            status = "against the marks"
        return Judged(group, status, (), why, live=live)

    def live(self, group: WireGroup) -> tuple[str, ...]:
        """What a group alone leaves live that should not be."""
        members = tuple(
            at for at, each in enumerate(self.groups) if set(each.wires) <= set(group.wires)
        )
        return self.compared.more_live(self.at[members]) if members in self.at else ()
