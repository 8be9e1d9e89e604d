"""Ask the engine the fits whose answers were written first, and count.

    PYTHONPATH=src:. .venv/bin/python tools/fit_cases.py [FILE ...]

FILE: files of cases; the open and the held-out ones where none is given. Intervals are 95 %,
Clopper and Pearson's.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

from scipy.stats import beta
from tests.replacement.fit_cases import FITS, HELD_OUT, OPEN, Answer, answered, cases_in


def main(files: Sequence[str]) -> None:
    """Count each file's answers, and list the wrong ones."""
    for path in [Path(each) for each in files] or [OPEN, HELD_OUT]:
        answers = list(answered(cases_in(path)))
        _tell(path.stem, answers)


def _tell(name: str, answers: list[Answer]) -> None:
    fitting = [each for each in answers if each.case.answers <= FITS]
    others = [each for each in answers if not each.case.answers & FITS]
    print(f"{name}: {len(answers)} cases")
    _share("right, for the reason meant", sum(each.right for each in answers), len(answers))
    _share("called fit though it is not", sum(each.unsafe for each in others), len(others))
    _share("refused or not judged though fit", sum(e.needless for e in fitting), len(fitting))
    for each in answers:
        if not each.right:
            wanted = " or ".join(sorted(each.case.answers))
            print(f"  {each.case.id}: {each.verdict}, not {wanted}")


def _share(what: str, count: int, of: int) -> None:
    low = beta.ppf(0.025, count, of - count + 1) if count else 0.0
    high = beta.ppf(0.975, count + 1, of - count) if count < of else 1.0
    print(f"  {what}: {count} of {of} ({100 * low:.1f} to {100 * high:.1f} %)")


if __name__ == "__main__":
    main(sys.argv[1:])
