"""A part's label as it was read from a photo, put into the fields of the kind that it is."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence

from rungwise.camera import ReadField, Word, read_part
from rungwise.replacement import CANDIDATE_KINDS
from rungwise.wording import mark

__all__ = ["kind_of", "label_fields"]

POLES = re.compile(r"\b([123])\s?-?\s?(?:P\b|POLES?\b)", re.IGNORECASE)

OF_KIND: Mapping[str, Mapping[str, str]] = {
    "dual_capacitor": {"uf": "herm_uf", "volt": "volt"},
    "run_capacitor": {"uf": "run_uf", "volt": "volt"},
    "fan_motor": {
        "volt": "rated_volt",
        "fla_a": "rated_a",
        "uf": "run_uf",
        "rated_rpm": "rated_rpm",
    },
    "transformer": {"primary_volt": "primary_volt", "va": "va"},
}
"""Where what a label says stands in the form of a kind, where it is called otherwise there."""

SYNCHRONOUS_RPM = 7200.0
"""Of two poles at 60 Hz it is half of this; a motor runs a little slower."""


def label_fields(kind: str, words: Sequence[Word]) -> tuple[ReadField, ...]:
    """What a label says, under the keys of a kind; what the kind does not ask is left out."""
    names = OF_KIND.get(kind, {})
    asked = {*CANDIDATE_KINDS[kind].parameters(), *CANDIDATE_KINDS[kind].texts}
    found = [_named(each, names.get(each.key, each.key), kind) for each in read_part(words)]
    kept = [each for each in found if each.key in asked]
    return (*kept, *_poles(kept, asked))


def kind_of(words: Sequence[Word]) -> str:
    """What sort of part a label is of, by what it tells; "" where that is not plain."""
    told = {each.key: each.text for each in read_part(words)}
    poles = POLES.search(" ".join(each.text for each in words))
    if "coil_volt" in told or "resistive_a" in told:
        return f"contactor_{poles[1]}p" if poles else ""
    if "hp" in told or "rated_rpm" in told:
        return "fan_motor"
    if "va" in told and "uf" not in told:
        return "transformer"
    if "uf" in told:
        return "dual_capacitor" if "+" in told["uf"] else "run_capacitor"
    return ""


def _named(field: ReadField, key: str, kind: str) -> ReadField:
    """Under the form's key. A capacitor for 370 or 440 V has the higher one as its rating."""
    read = field.text
    if kind.endswith("capacitor") and key == "volt" and "/" in read:
        read = max(read.split("/"), key=float)
    return ReadField(key, read, field.box, field.why)


def _poles(fields: Iterable[ReadField], asked: set[str]) -> tuple[ReadField, ...]:
    """A motor's poles, reckoned from its speed."""
    speed = next((each for each in fields if each.key == "rated_rpm"), None)
    if speed is None or "poles" not in asked or float(speed.text) < 1.0:
        return ()
    poles = 2 * math.floor(SYNCHRONOUS_RPM / 2.0 / float(speed.text))
    return (ReadField("poles", str(poles), speed.box, mark("reckoned from the speed")),)
