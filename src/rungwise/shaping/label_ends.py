"""The ends of a label's wires, found among the parts of an arrangement and all other kinds."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace

from rungwise.errors import BadInput, close_matches
from rungwise.isolation import list_words
from rungwise.parts import KINDS, Families, PartKind, end_mark
from rungwise.shaping.edits import free_name
from rungwise.shaping.label_lines import LabelLine
from rungwise.shaping.label_words import (
    SHORT,
    interchangeable,
    plain_parts,
    splits,
    tier_of,
    words_of,
)
from rungwise.unit import Part, Unit
from rungwise.wording import joined, mark, say

OWN_WORDS = 3
"""Up to this tier the words are the part's own; above, only those of its kind."""


class TwoMeanings(BadInput):
    """The words of an end fit more than one part."""


@dataclass(frozen=True, slots=True)
class _Reads:
    """One way to read an end: the part, its terminal ("" for none), and how near the words are."""

    tier: int
    part: Part
    terminal: str


class EndReader:
    """Finds the part and terminal of each end; `named` are the parts that the label names.

    base: the unit that the label is held against. others: parts of other units, whose words and
    figures a part has that the base lacks. settled: questions whose answer is known.
    """

    def __init__(self, base: Unit, others: Sequence[Part], settled: Collection[str]) -> None:
        self.base = base
        self.others = others
        self.settled = settled
        self.named: dict[str, Part] = {}
        self._used: set[str] = set()
        self._poles_told: set[str] = set()

    def name_the_plain_ones(self, lines: Iterable[LabelLine]) -> None:
        """Find first what is named in full, so that a shorter word later means the same part."""
        for line in lines:
            for text in (line.start, line.end):
                found = self._best(text)
                if found and found[0].tier == 0 and len({each.part.name for each in found}) == 1:
                    part = self._take(found[0].part)
                    if "pole" in words_of(text):
                        self._poles_told.add(part.name)

    def ends(self, line: LabelLine) -> tuple[str, str]:
        """Both ends as `part.terminal`; raises BadInput."""
        return self._end(line, line.start), self._end(line, line.end)

    def _end(self, line: LabelLine, text: str) -> str:
        found = self._best(text)
        if not found:
            raise self._unknown(line, text, words_of(text))
        parts = {each.part.name: each.part for each in found}
        if len(parts) > 1:
            titles = list(dict.fromkeys(part.title for part in parts.values()))
            if len(titles) == 1:
                titles = [KINDS[part.kind].title for part in parts.values()]
            raise line.bad(
                what=say("{text} may be one of several parts.", text=f"{text!r}"),
                value=text,
                allowed=list_words(titles),
                next_step=say("write its whole name: {titles}", titles=titles[0]),
            ).retold(TwoMeanings)
        part = self._take(found[0].part)
        self._hold_to_its_poles(line, text, part)
        terminal = next((each.terminal for each in found if each.terminal), "")
        end = f"{part.name}.{terminal or self._free_end(line, text, part)}"
        self._used.add(end)
        return end

    def _best(self, text: str) -> list[_Reads]:
        """The nearest ways to read an end: by the label's parts, the unit's own, then others."""
        own = {**self.base.part_by_name, **self.named}
        near = self._reads(text, own.values(), OWN_WORDS)
        return near or self._reads(text, self._strangers(), OWN_WORDS) or self._reads(
            text, own.values(), OWN_WORDS + 1
        )  # fmt: skip

    def _strangers(self) -> list[Part]:
        """Parts that the base lacks: one of a kind, rather with the label of an arrangement."""
        found = {part.kind: part for part in (*plain_parts(), *reversed(self.others))}
        named = {(part.kind, part.title): part for part in (*found.values(), *self.others)}
        return [*found.values(), *(p for p in named.values() if p.label)]

    @staticmethod
    def _reads(text: str, parts: Iterable[Part], most: int) -> list[_Reads]:
        found = [
            _Reads(tier, part, terminal)
            for part in parts
            for phrase, terminal in splits(text, KINDS[part.kind])
            if phrase and (tier := tier_of(phrase, part)) is not None and tier <= most
        ]
        nearest = min((each.tier for each in found), default=0)
        return [each for each in found if each.tier == nearest]

    def _take(self, part: Part) -> Part:
        """The part, as the label's own from now on."""
        if part.name in self.named and self.named[part.name].kind == part.kind:
            return self.named[part.name]
        if self.base.part_by_name.get(part.name) is part:
            self.named[part.name] = part
            return part
        taken = self._in_the_place_of(part)
        made = (
            replace(part, name=taken.name, place=taken.place)
            if taken
            else replace(part, name=free_name(self.base, part.name))
        )
        self.named[made.name] = made
        return made

    def _in_the_place_of(self, part: Part) -> Part | None:
        """The base's part of the same family or title, where the label does not name it."""
        family = KINDS[part.kind].facet(Families)
        alike = [
            each
            for each in self.base.parts
            if each.name not in self.named
            and each.place == part.place
            and (KINDS[each.kind].facet(Families) == family or each.title == part.title)
        ]
        return alike[0] if len(alike) == 1 else None

    def _hold_to_its_poles(self, line: LabelLine, text: str, part: Part) -> None:
        """A contactor of which nobody told how many poles it has is not taken for either."""
        kind = KINDS[part.kind]
        if kind.is_contactor and "poles" not in self.settled and part.name not in self._poles_told:
            titles = [each.title for each in KINDS.values() if each.is_contactor]
            raise line.bad(
                what=mark("The label does not say how many poles the contactor has."),
                value=text,
                allowed=list_words(titles),
                next_step=say(
                    "write it once in full: {titles} L1; or answer the question", titles=titles[0]
                ),
            )

    def _free_end(self, line: LabelLine, text: str, part: Part) -> str:
        """A terminal where none was told, of a part on which it makes no difference."""
        kind = KINDS[part.kind]
        ends = interchangeable(kind)
        free = [end for end in ends if f"{part.name}.{end}" not in self._used]
        if len(kind.terminals) == 1:
            return kind.terminals[0]
        if not free:
            raise line.bad(
                what=say("It is not said which terminal of the {title} this is.", title=part.title),
                value=text,
                allowed=joined(", ", map(end_mark, kind.terminals)),
                next_step=_write(part, kind),
            )
        return free[0]

    def _unknown(self, line: LabelLine, text: str, words: tuple[str, ...]) -> BadInput:
        """What is near: another terminal of the part, or another part."""
        own = {**self.base.part_by_name, **self.named}.values()
        for count in (1, 2):
            known = self._reads(" ".join(words[:-count]), own, OWN_WORDS)
            if known:
                part = known[0].part
                kind = KINDS[part.kind]
                return line.bad(
                    what=say(
                        "The {title} has no terminal {join}.",
                        title=part.title,
                        join=f"{joined(' ', words[-count:])!r}",
                    ),
                    value=text,
                    allowed=joined(", ", map(end_mark, kind.terminals)),
                    next_step=_write(part, kind),
                )
        titles = {part.title for part in (*own, *plain_parts())}
        near = _near(words, titles)
        return line.bad(
            what=mark("No part is called that."),
            value=text,
            next_step=say("did you mean {list_words}?", list_words=list_words(near))
            if near
            else mark("write the part's name and terminal, such as contactor L1"),
        )


def _write(part: Part, kind: PartKind) -> str:
    return say("write: {part} {end}", part=part.title, end=end_mark(kind.terminals[0]))


def _near(words: tuple[str, ...], titles: Collection[str]) -> tuple[str, ...]:
    """Titles that words may have been meant for: as a whole, else by the one that is misspelled."""
    for phrase in (words, words[:-1]):
        near = close_matches(" ".join(phrase), titles)
        if near:
            return near
    by_word = {word: title for title in sorted(titles, reverse=True) for word in words_of(title)}
    by_word |= {short: by_word[full] for short, full in SHORT.items() if full in by_word}
    misspelled = [each for each in words if each not in by_word]
    meant = [near for each in misspelled for near in close_matches(each, by_word, at_most=1)]
    return tuple(dict.fromkeys(by_word[each] for each in meant))
