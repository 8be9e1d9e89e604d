"""The command answers as it did when tests/golden/kept was written, byte for byte.

A difference that is meant is written with tools/golden.py and named in the commit.
"""

from __future__ import annotations

import difflib
from collections import Counter
from collections.abc import Iterator
from itertools import islice

import pytest
from tests.golden.cases import CASES, KEPT, Case, answered, kept_form

MOST_LINES = 60
"""Of a difference that is shown; tools/golden.py --against shows it all."""


@pytest.fixture(scope="module", autouse=True)
def own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Nothing goes into the home of whoever runs the tests."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))
        yield


def differences(case: Case) -> list[str]:
    kept = (KEPT / f"{case.name}.txt").read_text(encoding="utf-8")
    now = kept_form(case, answered(case))
    lines = difflib.unified_diff(kept.splitlines(), now.splitlines(), "kept", "now", "", "", 1, "")
    return list(islice(lines, MOST_LINES))


@pytest.mark.parametrize("case", [each for each in CASES if each.often], ids=lambda each: each.name)
def test_the_command_answers_as_kept(case: Case) -> None:
    told = differences(case)
    assert not told, "\n".join(told)


def test_no_answer_is_kept_that_nothing_asks_for() -> None:
    kept = {path.relative_to(KEPT).with_suffix("").as_posix() for path in KEPT.rglob("*.txt")}
    assert kept == {case.name for case in CASES if not case.wide}


def test_no_two_cases_share_a_name() -> None:
    assert [name for name, count in Counter(case.name for case in CASES).items() if count > 1] == []
