"""Reading a PDF back: its text, where the text stands, its fonts, and what it says of itself."""

from __future__ import annotations

import io
import re
from functools import cache
from typing import Any, NamedTuple

import pypdf


class Spot(NamedTuple):
    """Where a piece of text begins, in points from the lower left corner of its page."""

    page: int
    x: float
    y: float
    text: str


def opened(pdf: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(pdf))


@cache
def text_of(pdf: bytes) -> str:
    """All of it, line ends and the places where a long word may break taken out."""
    told = "\n".join(page.extract_text() for page in opened(pdf).pages)
    return re.sub(r"\s+", " ", told.replace("\u200b", "").replace("\u00ad", ""))


def spots_of(pdf: bytes) -> list[Spot]:
    """Where each piece of text begins."""
    found: list[Spot] = []
    for number, page in enumerate(opened(pdf).pages):

        def seen(
            text: str, matrix: list[float], at: list[float], *_: Any, number: int = number
        ) -> None:
            if text.strip():
                x = at[4] * matrix[0] + at[5] * matrix[2] + matrix[4]
                y = at[4] * matrix[1] + at[5] * matrix[3] + matrix[5]
                found.append(Spot(number, x, y, text))

        page.extract_text(visitor_text=seen)
    return found


def fonts_of(pdf: bytes) -> dict[str, bool]:
    """Every font by name, and whether it lies in the file."""
    found: dict[str, bool] = {}
    for held in _objects(pdf):
        if isinstance(held, dict) and held.get("/Type") == "/FontDescriptor":
            name = str(held["/FontName"])
            found[name] = any(key in held for key in ("/FontFile", "/FontFile2", "/FontFile3"))
    return found


def _objects(pdf: bytes) -> list[Any]:
    reader = opened(pdf)
    size: Any = reader.trailer["/Size"]
    return [reader.get_object(number) for number in range(1, int(size))]


def xmp_of(pdf: bytes) -> str:
    """What the file says of itself, as XML."""
    return str(root_of(pdf)["/Metadata"].get_object().get_data().decode())


def root_of(pdf: bytes) -> Any:
    """The file's catalogue."""
    return opened(pdf).trailer["/Root"]
