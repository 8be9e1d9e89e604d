"""A paper as PDF: the same content gives the same bytes, on any day and any machine.

PDF/A-2a and PDF/UA-1 (ISO 19005-2, ISO 14289-1), as the typesetter writes them: fonts embedded,
text with its reading order, pictures with words for who cannot see them. The fonts are those that
the typesetter brings along; none is looked for on the machine.
"""

from __future__ import annotations

import datetime as dt
import json
import tempfile
from collections.abc import Mapping
from importlib import resources
from pathlib import Path
from typing import Any, Final

import typst
from babel.dates import format_date

from rungwise.report.layout import Kind, Layout
from rungwise.report.signs import printable_in
from rungwise.version import __version__
from rungwise.wording import Language, catalog_of, in_language, mark

STANDARDS: list[typst.PDFStandard] = ["a-2a", "ua-1"]
SIZES = {"letter": "us-letter", "a4": "a4"}
NO_DAY = dt.datetime(2000, 1, 1, tzinfo=dt.UTC)
"""The date in the file's own data where a call has no day; nothing on the page says it."""


def typeset(
    kind: Kind, told: Mapping[str, Any], files: Mapping[str, bytes], layout: Layout
) -> bytes:
    """The PDF. told: plain values, as the template of this kind expects them. files: by name."""
    return _made(kind, told, files, layout, "pdf")[0]


def pages_as_png(
    kind: Kind, told: Mapping[str, Any], files: Mapping[str, bytes], layout: Layout
) -> list[bytes]:
    """The same pages as pictures, at 72 points to the inch."""
    return _made(kind, told, files, layout, "png")


def _made(
    kind: Kind,
    told: Mapping[str, Any],
    files: Mapping[str, bytes],
    layout: Layout,
    form: typst.OutputFormat,
) -> list[bytes]:
    with tempfile.TemporaryDirectory(prefix="rungwise-paper-") as name:
        folder = Path(name)
        for template in resources.files("rungwise.report").joinpath("templates").iterdir():
            (folder / template.name).write_bytes(template.read_bytes())
        for file, picture in files.items():
            (folder / file).write_bytes(picture)
        language = layout.language if kind == "customer" else "en"
        shown = {
            "paper": SIZES[layout.size], "program": f"Rungwise {__version__}",
            "language": language, "words": page_words(language), "day": _day_told(told, language),
        }  # fmt: skip
        content = {**printable_in(dict(told)), "layout": shown}
        (folder / "content.json").write_text(
            json.dumps(content, ensure_ascii=False), encoding="utf-8"
        )
        made: Any = typst.compile(
            folder / f"{kind}.typ",
            root=folder,
            ignore_system_fonts=True,
            format=form,
            ppi=72.0,
            pdf_standards=STANDARDS,
            timestamp=_day(told),
        )
    return made if isinstance(made, list) else [made]


def _day_told(told: Mapping[str, Any], language: Language) -> str:
    """The day as somebody says it: "Nov 27, 2026"."""
    day = told["head"]["day"]
    locale = catalog_of(language).locale
    return format_date(dt.date.fromisoformat(day), "medium", locale) if day else ""


def _day(told: Mapping[str, Any]) -> dt.datetime:
    day = told["head"]["day"]
    return dt.datetime.combine(dt.date.fromisoformat(day), dt.time(), dt.UTC) if day else NO_DAY


FIXED: Final = (
    mark("Service report"),
    mark("call"),
    mark("customer"),
    mark("address"),
    mark("unit"),
    mark("date"),
    mark("worked by"),
    mark("invoice"),
    mark("on site"),
    mark("What we found"),
    mark("What we did"),
    mark("Nothing is written down as done."),
    mark("What comes next"),
    mark("What we checked"),
    mark("What to watch"),
    mark("What we recommend, and when"),
    mark("What we did not measure"),
    mark("What it costs"),
    mark("Total"),
    mark("warranty"),
    mark("next visit"),
    mark("Warranty, next visit, questions"),
    mark("This page tells what was found and measured on that day, and what was not. Every "
         "reading stands in the technician's record."),
    mark("Photos"),
    mark("None."),
    mark("Signed"),
    mark("technician"),
    mark("customer signature"),
    mark("page"),
    mark("of"),
    mark("WARNING"),
)  # fmt: skip
"""Headings and labels of the template, which asks for each by its English text."""


def page_words(language: Language) -> dict[str, str]:
    """By the English text."""
    return {str(each): in_language(each, language) for each in FIXED}
