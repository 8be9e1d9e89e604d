"""Every fault of every kind has a sentence for who has never opened a unit."""

from __future__ import annotations

import re

from tests.every import of_every

from rungwise.parts import KINDS, Conductor
from rungwise.parts.kind import PartKind
from rungwise.parts.words import Words

of_every_kind = of_every(KINDS.values(), lambda kind: kind.name)


@of_every_kind
def test_every_mode_of_a_kind_has_plain_words_and_no_other_has(kind: PartKind) -> None:
    words = kind.facet(Words)
    assert words is not None
    assert set(words.modes) == {mode.name for mode in kind.modes}


@of_every_kind
def test_plain_words_are_whole_sentences_without_figures_or_terminals(kind: PartKind) -> None:
    words = kind.facet(Words)
    assert words is not None
    terminals = {end for end in kind.terminals if len(end) > 1}
    for plain in words.modes.values():
        filled = plain.was.format(noun=words.noun or kind.title, stopped=", and it stopped")
        assert re.fullmatch(r"[A-Z][^.]*\.", filled)
        then = plain.then.format(noun=words.noun or kind.title)
        assert then[0].islower()
        assert not then.endswith(".")
        for text in (filled, then, words.purpose):
            assert not terminals & set(re.findall(r"\w+", text))
            assert not re.search(r"\d", text)


_ALONE = [kind for kind in KINDS.values() if kind.facet(Conductor) is None]


@of_every(_ALONE, lambda kind: kind.name)
def test_a_mode_that_speaks_of_its_part_has_what_it_calls_it_as_a_value(kind: PartKind) -> None:
    """`{noun}` or `{title}` where the mode is written: of two parts, which one is told."""
    words = {kind.title, kind.noun} - {""}
    texts = [text for mode in kind.modes for text in (mode.title, mode.repair_text)]
    unnamed = [text for text in texts if "name" not in getattr(text, "values", {})]
    assert [text for text in unnamed if any(word in text for word in words)] == []
    assert [text for text in texts if "{" in text] == []
