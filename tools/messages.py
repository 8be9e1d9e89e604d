"""Gather every message of the program and bring the catalogs up to date.

python tools/messages.py [--missing] [--put FILE]

Without an option each catalog gets the messages that are new and loses those that are gone; what is
translated stays. --missing lists what has no translation. --put FILE fills in translations from a
JSON object, English to the other language.
"""

from __future__ import annotations

import argparse
import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.pofile import write_po

from rungwise.diagnosis import CHIPS, checks_of
from rungwise.parts import (
    JOINTS,
    KINDS,
    PAIR,
    PLACES_ON_A_TERMINAL,
    SOMETHING,
    WIRE,
    Symbol,
    end_mark,
    limits,
)
from rungwise.parts.limits import Limit
from rungwise.parts.words import FAILED, SWITCHED_OFF
from rungwise.replacement import CANDIDATE_KINDS
from rungwise.report.plain_checks import SUBJECTS
from rungwise.report.plain_faults import BESIDES, MIX_UPS
from rungwise.shaping import SUPPLIES, unlike
from rungwise.unit import Unit
from rungwise.unit.unit_file import ARRANGEMENTS, arrangement
from rungwise.web.pages.wires.route import COLOURS
from rungwise.wording import LANGUAGES, Language, Said
from rungwise.wording.catalogs import messages_of

ROOT = Path(__file__).parent.parent
SRC = ROOT / "src" / "rungwise"
LOCALE = SRC / "wording" / "locale"

METHODS = [("cli/**", "ignore"), ("**.py", "python"), ("**.html", "jinja2")]
"""Commands speak English: a `say` in them prints a line."""

HEADER = """msgid ""
msgstr ""
"Project-Id-Version: rungwise\\n"
"MIME-Version: 1.0\\n"
"Content-Type: text/plain; charset=utf-8\\n"
"Content-Transfer-Encoding: 8bit\\n"
"Language: {language}\\n"
"Plural-Forms: nplurals=2; plural=(n != 1);\\n"

"""
"""Without dates, so that a difference is a changed text."""

AMOUNT = re.compile(r'amount\("([^"]+)"(?:, "([^"]+)")?\)')

KEYWORDS: Mapping[str, tuple[int, ...] | None] = {
    "_": None, "gettext": None, "ngettext": (1, 2), "say": None, "mark": None,
}  # fmt: skip
OPTIONS = {"**.html": {"extensions": "jinja2.ext.i18n", "trimmed": "true", "silent": "false",
                       "trim_blocks": "true", "lstrip_blocks": "true"}}  # fmt: skip


def template() -> Catalog:
    """All messages, each with the room that it is from as a comment."""
    found = Catalog(project="rungwise", charset="utf-8", fuzzy=False)
    for file, _, message, _, context in extract_from_dir(
        SRC, METHODS, OPTIONS, KEYWORDS, comment_tags=()
    ):
        found.add(message, auto_comments=[file.partition("/")[0]], context=context)
    for told in of_amounts():
        found.add(told, auto_comments=["web"])
    for room, told in of_values():
        found.add(str(told), auto_comments=[room])
    return found


def of_amounts() -> Iterator[str]:
    """What pages count, one and many."""
    for page in sorted(SRC.rglob("*.html")):
        for one, many in AMOUNT.findall(page.read_text(encoding="utf-8")):
            yield from (one, many or f"{one}s")


def of_values() -> Iterator[tuple[str, Said]]:
    """Messages that stand in tables of values: of every kind of part and what shapes a unit."""
    yield from (("parts", each) for each in of_kinds())
    for table in (SUBJECTS, BESIDES, MIX_UPS, [SOMETHING, FAILED, SWITCHED_OFF]):
        yield from (("report", each) for each in said_in(table, set()))
    yield from (("web", Said(chip.title)) for chip in CHIPS)
    yield from (("parts", Said(each)) for each in of_labels())
    yield from (("parts", Said(each)) for each in (*COLOURS, *JOINTS, *PLACES_ON_A_TERMINAL))
    yield from (("web", Said(text)) for text in ("move of a wire", "moves of wires"))
    yield from (
        ("parts", Said(it.sentence)) for it in vars(limits).values() if isinstance(it, Limit)
    )
    yield from (("parts", Said(part.title)) for part in unlike(list(SUPPLIES)).unit.parts)
    yield from (("records", Said(noun)) for noun in ("call", "unit", "person", "customer", "photo"))
    for name in ARRANGEMENTS:
        yield "web", Said(arrangement(name).title)
        yield from (("web", Said(text)) for text in of_checks(arrangement(name)))
        for part in arrangement(name).parts:
            yield "parts", Said(part.title)
        for wire in arrangement(name).wires:
            yield "parts", Said(wire.colour)
        for cable in arrangement(name).cables:
            yield "parts", Said(cable.name)


def of_kinds() -> Iterator[Said]:
    """What every kind of part is told by, and its terminals where words stand on them."""
    for kind in KINDS.values():
        yield from said_in(kind, set())
        symbol = kind.facet(Symbol)
        yield from (Said(piece.aside) for piece in symbol.pieces if piece.aside) if symbol else ()
        if kind not in (WIRE, PAIR):
            yield from (Said(each) for each in map(end_mark, kind.terminals) if in_words(each))


def in_words(end: str) -> bool:
    """Whether the mark of a terminal is a word, and not a sign as it stands on the part."""
    return end.isalpha() and end.islower() and len(end) > 1


def of_labels() -> Iterator[str]:
    """What a part's label may say: its numbers, and what stands on it in words."""
    for kind in CANDIDATE_KINDS.values():
        yield from (each.what for each in kind.parameters().values())
        yield from kind.told.unseen
        for key, words in kind.texts.items():
            yield key.replace("_", " ")
            yield from (each for each in words if not each.replace("/", "").isdigit())


def of_checks(unit: Unit) -> Iterator[str]:
    """What the checks of a unit are made with and in, and the answers of its looks."""
    own = {*unit.wire_by_name, *unit.part_by_name}  # answers that are names, shown by title
    for card in (check.card for check in checks_of(unit)):
        texts = (card.instrument, card.condition, *card.choices)
        yield from (text for text in texts if text and text not in own)


def said_in(held: object, seen: set[int]) -> Iterator[Said]:
    """Every message in a value, and in what that holds."""
    if isinstance(held, Said):
        yield Said(held.message)
        for value in held.values.values():
            yield from said_in(value, seen)
    elif id(held) not in seen:
        seen.add(id(held))
        for each in held_by(held):
            yield from said_in(each, seen)


def held_by(held: object) -> Iterator[object]:
    """What a value holds."""
    if isinstance(held, Mapping):
        yield from held.values()
    elif isinstance(held, (tuple, list, frozenset)):
        yield from held
    elif is_dataclass(held) and not isinstance(held, type):
        for field in fields(held):
            yield getattr(held, field.name)


def catalog(language: Language, messages: Catalog) -> Catalog:
    """A language's catalog with just these messages."""
    held = messages_of(language)
    held.update(messages, no_fuzzy_matching=True)
    held.obsolete.clear()
    return held


def missing(held: Catalog) -> Iterator[str]:
    """What has no translation yet."""
    for each in held:
        texts = each.string if isinstance(each.string, tuple) else (each.string,)
        if each.id and not all(texts):
            yield each.id[0] if isinstance(each.id, tuple) else str(each.id)


def put(held: Catalog, told: Mapping[str, str | list[str]]) -> list[str]:
    """Fill in translations; what they are for no message of is given back."""
    unknown = []
    for text, translation in told.items():
        found = held.get(text)
        if found is None:
            unknown.append(text)
        elif isinstance(translation, list):
            found.string = tuple(translation)
        else:
            found.string = translation
    return unknown


def write(language: Language, held: Catalog) -> None:
    """The catalog in its place, sorted."""
    path = LOCALE / language / "LC_MESSAGES" / "rungwise.po"
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("wb") as file:
        file.write(HEADER.format(language=language).encode())
        write_po(file, held, width=0, no_location=True, omit_header=True, sort_output=True)


def main() -> None:
    """Bring the catalogs up to date, list what is missing, or fill in."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--missing", action="store_true")
    parser.add_argument("--put", type=Path)
    asked = parser.parse_args()
    messages = template()
    for language in LANGUAGES:
        if language != "en":
            held = catalog(language, messages)
            if asked.put:
                told = json.loads(asked.put.read_text(encoding="utf-8"))
                print(*(f"not a message: {each!r}" for each in put(held, told)), sep="\n")
            if not asked.missing:
                write(language, held)
            left = list(missing(held))
            print(*(json.dumps(each, ensure_ascii=False) for each in left if asked.missing),
                  sep="\n")  # fmt: skip
            print(f"{language}: {len(held)} messages, {len(left)} without translation")


if __name__ == "__main__":
    main()
