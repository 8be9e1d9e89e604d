"""Reading the words in a photo, by a library that may not be there."""

from __future__ import annotations

import importlib.util
import statistics
import threading
from functools import cache
from typing import Any

import numpy as np

from rungwise.camera.pictures import Points, points_of
from rungwise.camera.words import Word
from rungwise.errors import MissingProgram

MISSING = "Reading photos is not installed here."
LONGEST_PX = 1600
"""A plate that fills the photo then has letters of 20 px; more takes longer and reads no better."""

_one_at_a_time = threading.Lock()
"""It takes both cores for seconds."""


def text_available() -> bool:
    """Whether the library that reads text is installed (the extra `photo`)."""
    return all(importlib.util.find_spec(each) for each in ("rapidocr", "onnxruntime"))


def words_in(content: bytes) -> tuple[Word, ...]:
    """The words in a photo, in no order; a photo on its side is turned first.

    Raises MissingProgram without the extra, BadRecord for what is no photo.
    """
    if not text_available():
        raise MissingProgram(MISSING, next_step='install it with: pip install "rungwise[photo]"')
    points, scale = points_of(content, LONGEST_PX)
    with _one_at_a_time:
        found = _read(points)
        if _on_its_side(found):
            turned = (_read(np.rot90(points, turns)) for turns in (1, 3))
            found = max(
                (
                    _turned_back(each, turns, points)
                    for each, turns in zip(turned, (1, 3), strict=True)
                ),
                key=lambda each: sum(word.score * len(word.printed) for word in each),
            )
    return tuple(_scaled(each, scale) for each in found)


@cache
def _engine() -> Any:
    from rapidocr import RapidOCR  # noqa: PLC0415  # slow to import, and an extra

    return RapidOCR(
        params={
            "Global.log_level": "critical",
            "Global.max_side_len": LONGEST_PX,
            "Global.return_word_box": True,
            "EngineConfig.onnxruntime.intra_op_num_threads": 2,
        }
    )


def _read(points: Points) -> list[Word]:
    told = _engine()(np.ascontiguousarray(points[:, :, ::-1]))  # it takes blue first
    return [
        Word(str(text), float(score), _corners(box))
        for line in (told.word_results or ())
        for text, score, box in line
        if box is not None
    ]


def _corners(box: Any) -> Any:
    return tuple((float(x), float(y)) for x, y in box)


def _on_its_side(words: list[Word]) -> bool:
    """Whether most words of some length stand upright, as in a photo that was not turned."""
    long = [each for each in words if len(each.printed) >= 3]
    tall = [_tall(each) for each in long]
    return bool(tall) and statistics.fmean(tall) > 0.5


def _tall(word: Word) -> bool:
    xs, ys = zip(*word.corners, strict=True)
    return max(ys) - min(ys) > 1.2 * (max(xs) - min(xs))


def _turned_back(words: list[Word], turns: int, points: Points) -> list[Word]:
    """Words of a picture turned left by quarters, in the places that they have in the photo."""
    high, wide = points.shape[:2]

    def back(point: tuple[float, float]) -> tuple[float, float]:
        x, y = point
        return (wide - 1 - y, x) if turns == 1 else (y, high - 1 - x)

    return [Word(each.printed, each.score, _corners(map(back, each.corners))) for each in words]


def _scaled(word: Word, scale: float) -> Word:
    return Word(word.printed, word.score, _corners((x * scale, y * scale) for x, y in word.corners))
