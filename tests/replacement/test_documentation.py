"""The page on parts says which ratings each kind must give."""

from __future__ import annotations

import re
from pathlib import Path

from rungwise.replacement.candidate_kinds import CANDIDATE_KINDS

PAGE = Path(__file__).parent.parent.parent / "docs" / "replacement.md"


def test_every_rating_that_must_be_given_is_on_the_page() -> None:
    told: dict[str, tuple[str, ...]] = {}
    for line in PAGE.read_text(encoding="utf-8").splitlines():
        if found := re.fullmatch(r"\| (`\w+`(?:, `\w+`)*) \| (`\w+`(?:, `\w+`)*) \|", line):
            kinds, keys = (re.findall(r"\w+", cell) for cell in found.groups())
            told |= dict.fromkeys(kinds, tuple(keys))
    assert told == {name: kind.label for name, kind in CANDIDATE_KINDS.items() if kind.label}
