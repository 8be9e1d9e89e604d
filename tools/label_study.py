"""How well nameplates and part labels are read from photos, on drawn ones.

    .venv/bin/python tools/label_study.py [COUNT] [SEED] [FOLDER]

COUNT: photos, 120 by default, two in three of them nameplates. SEED: 1 by default. FOLDER: where
the words that were read are kept, so that the next run reads no photo again. Prints, field by
field, how often it was right, wrong and called sure, wrong and called unsure, and not found.
"""

from __future__ import annotations

import hashlib
import json
import random
import re
import sys
import time
from collections import Counter, defaultdict
from pathlib import Path
from typing import Any

from label_pictures import draw_label, photographed

from rungwise.camera import ReadField, Word, read_part, read_plate, words_in

SORTS = ("plate", "plate", "capacitor", "plate", "plate", "contactor", "plate", "plate", "motor")
ENDS = ("right, sure", "right, unsure", "wrong, sure", "wrong, unsure", "not found")


def main(count: int, seed: int, folder: Path | None) -> None:
    """Read so many photos and print what came of each field."""
    ends: dict[str, Counter[str]] = defaultdict(Counter)
    spent = 0.0
    for number in range(count):
        sort = SORTS[number % len(SORTS)]
        r = random.Random(f"{seed} {number}")  # noqa: S311  # pictures, not secrets
        label = draw_label(sort, r)
        photo = photographed(label, r)
        began = time.process_time()
        words = _words(photo, folder)
        spent += time.process_time() - began
        fields = {each.key: each for each in (read_plate if sort == "plate" else read_part)(words)}
        for key, truth in label.truth.items():
            end = _end(truth, fields.get(key))
            ends[f"{sort} {key}"][end] += 1
            if (
                end.startswith("wrong")
                or ("-v" in sys.argv and end == "right, unsure")
                or ("-v" in sys.argv and end == "not found")
            ):
                print(f"{number} {sort} {key}: {truth!r} read as {fields.get(key)}")
                if "-v" in sys.argv:
                    print("    ", [each.printed for each in words])
    _tell(ends, count, spent)


def _words(photo: bytes, folder: Path | None) -> tuple[Word, ...]:
    if folder is None:
        return words_in(photo)
    kept = folder / f"{hashlib.sha256(photo).hexdigest()[:24]}.json"
    if not kept.exists():
        folder.mkdir(parents=True, exist_ok=True)
        read = [(each.printed, each.score, each.corners) for each in words_in(photo)]
        kept.write_text(json.dumps(read), encoding="utf-8")
    told = json.loads(kept.read_text(encoding="utf-8"))
    return tuple(Word(text, score, _corners(box)) for text, score, box in told)


def _corners(box: list[list[float]]) -> Any:
    return tuple((x, y) for x, y in box)


def _end(truth: str, found: ReadField | None) -> str:
    if found is None:
        return "not found"
    right = "right" if _plain(found.printed) == _plain(truth) else "wrong"
    return f"{right}, {found.sureness}"


def _plain(text: str) -> str:
    """A field without what says the same in another way."""
    bare = (
        re.sub(r"\s", "", text.upper()).replace("/", "+")
        if "+" in text
        else re.sub(r"\s", "", text.upper())
    )
    try:
        return f"{float(bare):g}"
    except ValueError:
        return bare


def _tell(ends: dict[str, Counter[str]], count: int, spent: float) -> None:
    print(f"\n| field | {' | '.join(ENDS)} |\n|---|{'---|' * len(ENDS)}")
    for key, row in [*sorted(ends.items()), ("all", sum(ends.values(), Counter()))]:
        print(f"| {key} | {' | '.join(str(row[end]) for end in ENDS)} |")
    total = sum(ends.values(), Counter())
    fields = sum(total.values())
    shares = ", ".join(f"{end} {100 * total[end] / fields:.1f} %" for end in ENDS)
    print(
        f"\n{count} photos, {fields} fields: {shares}; {spent / count:.1f} s of processor a photo."
    )


if __name__ == "__main__":
    given = [each for each in sys.argv[1:] if each != "-v"]
    main(
        int(given[0]) if given else 120,
        int(given[1]) if given[1:] else 1,
        Path(given[2]) if given[2:] else None,
    )
