"""Write the golden set again, or list where the command now answers otherwise.

    .venv/bin/python tools/golden.py                    write tests/golden/kept again
    .venv/bin/python tools/golden.py --against          list differences from tests/golden/kept
    .venv/bin/python tools/golden.py --full out/before  write every answer whole, none as hashes
    .venv/bin/python tools/golden.py --against out/before

A whole set written before a change shows in full what the change did; the kept set shows it for
answers that are short enough to keep, and says of the others which part of them changed.
--only WORD: only cases whose name has this in it; may be repeated. --often: only those that the
test runs. --wide: also every check of every arrangement with every suspect, some six minutes.
Exit code 1 when something differs.
"""

from __future__ import annotations

import argparse
import difflib
import os
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parent.parent
sys.path[:0] = [str(ROOT), str(ROOT / "src")]

from tests.golden.cases import CASES, KEPT, Case, answered, kept_form  # noqa: E402

LONGEST = 1_000_000
"""Characters: of longer answers the hashes are compared, because a diff would take hours."""


def main() -> None:
    """Do what was typed."""
    asked = _asked()
    cases = [each for each in CASES if _wanted(each, asked)]
    with tempfile.TemporaryDirectory() as cache:
        os.environ["XDG_CACHE_HOME"] = cache  # tables of arrangements die with this run
        if asked.against is not None:
            sys.exit(_compare(cases, asked.against))
        _write(cases, asked.full or KEPT, whole=asked.full is not None)


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--against", type=Path, nargs="?", const=KEPT, metavar="DIR")
    parser.add_argument("--full", type=Path, metavar="DIR")
    parser.add_argument("--only", action="append", default=[], metavar="WORD")
    parser.add_argument("--often", action="store_true")
    parser.add_argument("--wide", action="store_true")
    return parser.parse_args()


def _wanted(case: Case, asked: argparse.Namespace) -> bool:
    if (case.wide and not asked.wide) or (asked.often and not case.often):
        return False
    return not asked.only or any(word in case.name for word in asked.only)


def _write(cases: list[Case], folder: Path, *, whole: bool) -> None:
    started, changed, size = time.process_time(), 0, 0
    for case in cases:
        answer = answered(case)
        told = answer if whole else kept_form(case, answer)
        path = folder / f"{case.name}.txt"
        before = path.read_text(encoding="utf-8") if path.exists() else None
        if before != told:
            changed += 1
            print(f"{'new' if before is None else 'changed'}: {case.name}")
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(told, encoding="utf-8", newline="\n")
        size += len(told.encode())
    spent = time.process_time() - started
    print(f"{len(cases)} cases, {changed} written, {size / 1e6:.2f} MB, {spent:.1f} s CPU")


def _compare(cases: list[Case], folder: Path) -> int:
    """Print each difference; 1 when there is one, else 0."""
    differing = missing = 0
    for case in cases:
        path = folder / f"{case.name}.txt"
        if not path.exists():
            missing += 1
            print(f"not there: {path}")
            continue
        lines = list(_difference(case, path.read_text(encoding="utf-8")))
        differing += bool(lines)
        print(*lines, sep="\n", end="\n" if lines else "")
    print(f"{len(cases)} cases: {differing} differ, {missing} not there to compare with")
    return int(differing + missing > 0)


def _difference(case: Case, before: str) -> Iterator[str]:
    """The lines that differ, from a whole answer or from one kept as hashes."""
    now = answered(case)
    if now == before:
        return
    shown = now
    if ", " in before.partition("\n")[0]:
        shown = kept_form(case, now)
    elif len(now) > LONGEST:
        before, shown = kept_form(case, before), kept_form(case, now)
    yield from difflib.unified_diff(
        before.splitlines(), shown.splitlines(), f"before/{case.name}", f"now/{case.name}",
        n=2, lineterm="",
    )  # fmt: skip


if __name__ == "__main__":
    main()
