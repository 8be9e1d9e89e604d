"""What the customer's page says in every call, in the language that it is set in."""

from __future__ import annotations

from typing import Final

from rungwise.wording import Language, in_language, mark

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
