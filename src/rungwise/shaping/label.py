"""A wiring label, typed as a list, read into a unit; and a unit written as such a list.

A label tells the cabinet that it hangs in. Whatever it does not tell, the panel and the indoor
half as a rule, is taken from the arrangement that it is held against, and that is said. Words that
fit two parts, or none, are refused with what is near: nothing is guessed.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from rungwise.errors import BadInput
from rungwise.isolation import list_words, point_words
from rungwise.parts import KINDS, Terminals, part_of, split_end
from rungwise.shaping.candidates import Candidate
from rungwise.shaping.edits import free_name
from rungwise.shaping.label_ends import EndReader, TwoMeanings
from rungwise.shaping.label_lines import LabelLine, label_lines
from rungwise.shaping.unit_text import text_of_unit
from rungwise.unit import Part, Unit, Wire
from rungwise.wording import mark, say


@dataclass(frozen=True)
class LabelUnit:
    """The unit that a label tells.

    Attributes:
        start: the arrangement that it is held against.
        unit: the unit.
        taken: what was taken from the arrangement, in words.
        cut: wires of the arrangement that came to the cabinet, and that the label leaves nowhere.
        unusual: what the label joins that the arrangement keeps apart, and the other way about.
    """

    start: Candidate
    unit: Unit
    taken: tuple[str, ...]
    cut: tuple[str, ...]
    unusual: tuple[str, ...]

    @property
    def text(self) -> str:
        """The unit file."""
        return text_of_unit(self.unit, self.start.base, remark="From its wiring label.")


def read_label(
    text: str, candidates: Sequence[Candidate], *, settled: Collection[str] = ()
) -> LabelUnit:
    """The unit of a label, against the one of the candidates that it is nearest to.

    The first is the one that its words are read by: what has two meanings there is refused, though
    another candidate may lack the second. settled: the questions whose answer is known.
    Raises BadInput with line, value and what is near, for a line that cannot be read and for
    words that may mean two things.
    """
    lines = label_lines(text)
    read: list[LabelUnit] = []
    refused: list[BadInput] = []
    for candidate in candidates:
        try:
            read.append(_against(candidate, lines, candidates, settled))
        except BadInput as error:
            refused.append(error)
            if isinstance(error, TwoMeanings) and candidate is candidates[0]:
                raise
    if not read:
        raise refused[0]
    return min(read, key=lambda each: (len(each.unusual) + len(each.cut), len(each.taken)))


@dataclass(frozen=True, slots=True)
class _Told:
    """A wire of the label, its ends found."""

    line: LabelLine
    start: str
    end: str

    @property
    def ends(self) -> frozenset[str]:
        return frozenset({self.start, self.end})


def _against(
    candidate: Candidate,
    lines: Sequence[LabelLine],
    candidates: Sequence[Candidate],
    settled: Collection[str],
) -> LabelUnit:
    reader = EndReader(candidate.unit, [p for each in candidates for p in each.unit.parts], settled)
    reader.name_the_plain_ones(lines)
    told = [_Told(line, *reader.ends(line)) for line in lines]
    _refuse_twice(told)
    base, named = candidate.unit, reader.named
    places = _covered(told, named)
    parts = [*(p for p in base.parts if p.place not in places or p.name in named)]
    parts = [named.get(each.name, each) for each in parts]
    parts += [each for name, each in named.items() if name not in base.part_by_name]
    kept, cut = _kept(base, told, parts, places)
    grown = replace(base, parts=tuple(parts), wires=tuple(kept), cables=())
    unit = _wired(grown, base, told)
    left = {wire.name for wire in unit.wires}
    cables = tuple(each for each in base.cables if set(each.wires) <= left)
    titled = replace(
        unit, cables=cables, title=say("{title}; wired as its label has it", title=base.title)
    )
    return LabelUnit(
        candidate,
        titled,
        tuple(_taken(titled, kept, reader)),
        tuple(cut),
        tuple(_unusual(base, titled, told)),
    )


def _refuse_twice(told: Sequence[_Told]) -> None:
    seen: dict[frozenset[str], LabelLine] = {}
    for each in told:
        if each.start == each.end:
            raise each.line.bad(
                what=mark("Both ends of this wire are on the same terminal."),
                value=each.line.typed,
                next_step=mark("compare the line with the label"),
            )
        if each.ends in seen:
            raise each.line.bad(
                what=say("Line {number} has this wire already.", number=seen[each.ends].number),
                value=each.line.typed,
                next_step=mark("take one of the two lines out, or fix its end"),
            )
        seen[each.ends] = each.line


def _covered(told: Sequence[_Told], named: Mapping[str, Part]) -> set[str]:
    """The places that the label tells: those in which one of its wires has both ends."""
    found = set()
    for each in told:
        one, other = (named[part_of(end)].place for end in (each.start, each.end))
        if one == other:
            found.add(one)
    return found


def _kept(
    base: Unit, told: Sequence[_Told], parts: Sequence[Part], places: Collection[str]
) -> tuple[list[Wire], list[str]]:
    """The arrangement's wires beside the label's; and those of them that it leaves in the air."""
    place = {part.name: part.place for part in (*base.parts, *parts)}
    there = {f"{p.name}.{end}" for p in parts for end in KINDS[p.kind].terminals}
    spoken = {end for each in told for end in each.ends}
    kept, cut = [], []
    for wire in base.wires:
        ends = (wire.start, wire.end)
        inside = [end for end in ends if place[part_of(end)] in places]
        outside = [end for end in ends if end not in inside]
        if inside and (not outside or spoken & {*outside}):
            continue
        if all(end in there for end in ends):
            kept.append(wire)
        elif inside:
            near = point_words(base, outside[0])
            cut.append(
                say(
                    "The {colour} wire from {near} ends nowhere: the label has no {point_words}.",
                    colour=wire.colour,
                    near=near,
                    point_words=point_words(base, inside[0]),
                )
            )
    return kept, cut


def _wired(unit: Unit, base: Unit, told: Sequence[_Told]) -> Unit:
    """The label's wires put in; sizes are the arrangement's where it has such a wire."""
    carries = _signals(base, told)
    for each in told:
        held = next((w for w in base.wires if {w.start, w.end} == each.ends), None)
        if held is not None and held.name not in unit.wire_by_name:
            wire = replace(held, colour=each.line.color)
        else:
            like = _like(base, each, carries[each.ends])
            joints = (_joint(unit, each.start), _joint(unit, each.end))
            name = free_name(unit, f"wire_{each.line.number}")
            wire = Wire(name, each.start, each.end, each.line.color, like.awg, 1.0, joints,
                        carries[each.ends])  # fmt: skip
        unit = replace(unit, wires=(*unit.wires, wire))
    return unit


def _signals(base: Unit, told: Sequence[_Told]) -> dict[frozenset[str], str]:
    """What each wire carries: as the arrangement's wires on its terminals, or its neighbors."""
    by_end = {end: wire.carries for wire in base.wires for end in (wire.start, wire.end)}
    found: dict[frozenset[str], str] = {}
    for _ in range(len(told)):
        for each in told:
            known = found.get(each.ends) or by_end.get(each.start) or by_end.get(each.end)
            if known:
                found[each.ends] = known
                for end in each.ends:
                    by_end.setdefault(end, known)
        if len(found) == len(told):
            break
    return {each.ends: found.get(each.ends, "power") for each in told}


def _like(base: Unit, told: _Told, carries: str) -> Wire:
    """The arrangement's wire that is most like one of the label."""
    ends = told.ends
    return max(
        base.wires,
        key=lambda wire: (bool({wire.start, wire.end} & ends), wire.carries == carries),
    )


_JOINTS = {"tab": "push-on", "plate": "plate", "screw": "screw", "lug": "screw", "lead": "splice"}


def _joint(unit: Unit, end: str) -> str:
    """How a wire is held on a terminal of this sort."""
    part, terminal = split_end(end)
    facet = unit.kind_of(part).facet(Terminals)
    places = facet.places.get(terminal, ()) if facet else ()
    return _JOINTS[places[-1]] if places else "splice"


def _taken(unit: Unit, kept: Sequence[Wire], reader: EndReader) -> Iterator[str]:
    """What the label does not tell, and where it was taken from."""
    parts = {part_of(end) for wire in kept for end in (wire.start, wire.end)}
    titles = [unit.part(name).title for name in unit.part_by_name if name in parts
              and name not in reader.named]  # fmt: skip
    if titles:
        yield say(
            "Not on the label, so as in the arrangement: {list_words}.",
            list_words=list_words(titles, "and"),
        )


def _unusual(base: Unit, unit: Unit, told: Sequence[_Told]) -> Iterator[str]:
    """Points that only one of the two joins by a wire."""
    here, there = set(unit.terminals()), set(base.terminals())
    for each in told:
        both = each.ends <= there
        if both and each.end not in base.wired_together(each.start):
            yield say(
                "{pair}: joined here, apart in the arrangement.",
                pair=_pair(unit, each.start, each.end),
            )
    for wire in base.wires:
        ends = {wire.start, wire.end}
        if ends <= here and wire.end not in unit.wired_together(wire.start):
            yield say(
                "{pair}: apart here, joined in the arrangement.",
                pair=_pair(unit, wire.start, wire.end),
            )
    yield from (say("The {title} of the arrangement is not on the label.", title=base.part(n).title)
                for n in base.part_by_name if n not in unit.part_by_name)  # fmt: skip
    for part in unit.parts:
        held = base.part_by_name.get(part.name)
        if held is None:
            yield say("The {title} is in no place of the arrangement.", title=part.title)
        elif held.kind != part.kind:
            yield say(
                "A {title}, where the arrangement has a {title2}.",
                title=KINDS[part.kind].title,
                title2=held.title,
            )


def _pair(unit: Unit, one: str, other: str) -> str:
    return f"{point_words(unit, one)} and {point_words(unit, other)}"


def label_of(unit: Unit, places: Collection[str] = ()) -> str:
    """The unit as a list of wires, one a line: from, color, to.

    places: only the wires that end there; all where empty.
    """
    titles = _titles(unit)
    return "\n".join(
        f"{_end(unit, titles, wire.start)}, {wire.colour}, {_end(unit, titles, wire.end)}"
        for wire in unit.wires
        if wire.carries != "alternate" and (not places or _places_of(unit, wire) & {*places})
    )


def _places_of(unit: Unit, wire: Wire) -> set[str]:
    return {unit.part(part_of(end)).place for end in (wire.start, wire.end)}


def _titles(unit: Unit) -> dict[str, str]:
    """What each part is called in a list: by its name where two are called alike.

    A comma would part the line.
    """
    every = {part.name: re.sub(r"\s*[,;|]\s*", " ", part.title) for part in unit.parts}
    counted = Counter(every.values())
    return {
        name: title if counted[title] == 1 else name.replace("_", " ")
        for name, title in every.items()
    }


def _end(unit: Unit, titles: Mapping[str, str], end: str) -> str:
    part, terminal = split_end(end)
    if len(unit.kind_of(part).terminals) == 1:
        return titles[part]
    spaced = re.sub(r"([a-z])_?([0-9])$", r"\1 \2", terminal)
    return f"{titles[part]} {spaced.replace('_', ' ')}"
