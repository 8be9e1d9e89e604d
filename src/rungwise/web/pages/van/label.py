"""A part's label as it was read from a photo, put into the fields of the kind that it is."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Sequence

from rungwise.camera import ReadField, Word, read_part
from rungwise.parts import KINDS, Capacitor, Motor, PartKind, Poles, Transformer
from rungwise.replacement import CANDIDATE_KINDS
from rungwise.wording import mark

POLES = re.compile(r"\b([123])\s?-?\s?(?:P\b|POLES?\b)", re.IGNORECASE)

SYNCHRONOUS_RPM = 7200.0
"""Of two poles at 60 Hz it is half of this; a motor runs a little slower."""


def label_fields(kind: str, words: Sequence[Word]) -> tuple[ReadField, ...]:
    """What a label says, under the keys of a kind; what the kind does not ask is left out."""
    known = CANDIDATE_KINDS[kind]
    names, asked = known.told.read_as, {*known.parameters(), *known.texts}
    found = [_named(each, names.get(each.key, each.key), kind) for each in read_part(words)]
    kept = [each for each in found if each.key in asked]
    return (*kept, *_poles(kept, asked))


def kind_of(words: Sequence[Word]) -> str:
    """What sort of part a label is of, by what it tells; "" where that is not plain."""
    told = {each.key: each.printed for each in read_part(words)}
    poles = POLES.search(" ".join(each.printed for each in words))
    if "coil_volt" in told or "resistive_a" in told:
        many = int(poles[1]) if poles else 0
        return _first(lambda kind: kind.is_contactor and _many(kind.facet(Poles)) == many)
    if "hp" in told or "rated_rpm" in told:
        return _first(lambda kind: kind.facet(Motor) is not None)
    if "va" in told and "uf" not in told:
        return _first(lambda kind: kind.facet(Transformer) is not None)
    if "uf" in told:
        many = 2 if "+" in told["uf"] else 1
        return _first(lambda kind: _sections(kind.facet(Capacitor)) == many)
    return ""


def _first(is_it: Callable[[PartKind], bool]) -> str:
    """What a van carries first of such kinds; "" where it carries none."""
    found = (name for name in carried_first() if name in KINDS and is_it(KINDS[name]))
    return next(found, "")


def carried_first() -> tuple[str, ...]:
    """The sorts of part that a van carries before all others, in their order."""
    kept = [each for each in CANDIDATE_KINDS.values() if each.told.on_a_van]
    return tuple(each.name for each in sorted(kept, key=lambda each: each.told.on_a_van))


def _many(poles: Poles | None) -> int:
    return len(poles.poles) if poles else 0


def _sections(capacitor: Capacitor | None) -> int:
    return len(capacitor.sections) if capacitor else 0


def _named(field: ReadField, key: str, kind: str) -> ReadField:
    """Under the form's key. A capacitor for 370 or 440 V has the higher one as its rating."""
    read = field.printed
    if kind.endswith("capacitor") and key == "volt" and "/" in read:
        read = max(read.split("/"), key=float)
    return ReadField(key, read, field.box, field.why)


def _poles(fields: Iterable[ReadField], asked: set[str]) -> tuple[ReadField, ...]:
    """A motor's poles, reckoned from its speed."""
    speed = next((each for each in fields if each.key == "rated_rpm"), None)
    if speed is None or "poles" not in asked or float(speed.printed) < 1.0:
        return ()
    poles = 2 * math.floor(SYNCHRONOUS_RPM / 2.0 / float(speed.printed))
    return (ReadField("poles", str(poles), speed.box, mark("reckoned from the speed")),)
