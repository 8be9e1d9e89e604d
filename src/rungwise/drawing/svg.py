"""Writing SVG: tags, titles, ids, text; everything that goes in is escaped.

A picture is a tree of `Tag`.  Colours are presentation attributes with `var(--name, fallback)`
and never a style element, so that a page's own style decides and a strict page lets them through.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache, lru_cache
from xml.sax.saxutils import escape, quoteattr

from rungwise.drawing.lettering import FONT, SMALLEST
from rungwise.wording import told as in_words

Point = tuple[float, float]
Value = str | float
SHOWN = 14.2 / SMALLEST
"""Pixels for a unit where nobody asks for another size: the smallest text then has 14 px."""

KEPT = 20_000
"""Attributes at hand, in all of some 2 MB."""

_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")


@dataclass(frozen=True, slots=True)
class Tag:
    """One element: its name, its attributes in order, and what is inside."""

    name: str
    attributes: tuple[tuple[str, Value], ...] = ()
    inside: tuple[Tag | str, ...] = ()

    def written(self) -> str:
        """As SVG."""
        pieces: list[str] = []
        self._write(pieces)
        return "".join(pieces)

    def _write(self, pieces: list[str]) -> None:
        told = "".join([_attribute(key, value) for key, value in self.attributes])
        if not self.inside:
            pieces.append(f"<{self.name}{told}/>")
            return
        pieces.append(f"<{self.name}{told}>")
        for each in self.inside:
            if isinstance(each, str):
                pieces.append(escape(_CONTROL.sub("", each)))
            else:
                each._write(pieces)  # noqa: SLF001  # a tag inside a tag
        pieces.append(f"</{self.name}>")


@dataclass(frozen=True, slots=True)
class Ids:
    """The ids of one picture: `prefix-sort-name`, such as `ladder-terminal-contactor.T1`."""

    prefix: str

    def of(self, sort: str, name: str) -> str:
        """The id of the part, terminal or wire called `name`."""
        return f"{self.prefix}-{sort}-{name}"


def tag(name: str, *inside: Tag | str, **attributes: Value | None) -> Tag:
    """An element; `stroke_width` becomes `stroke-width`, `class_` `class`; None is out."""
    kept = tuple((_key(key), value) for key, value in attributes.items() if value is not None)
    return Tag(name, kept, inside)


def group(*inside: Tag | str, **attributes: Value | None) -> Tag:
    """A `<g>`."""
    return tag("g", *inside, **attributes)


def title(words: str) -> Tag:
    """What a pointer held over it, or a screen reader, tells."""
    return tag("title", in_words(words))


def thing(ids: Ids, sort: str, name: str, words: str, *inside: Tag, **more: Value | None) -> Tag:
    """A part, terminal or wire: a group with its id, `data-<sort>`, and its title."""
    named = (("id", ids.of(sort, name)), (f"data-{sort}", name))
    attributes = tuple((_key(key), value) for key, value in more.items() if value is not None)
    return Tag("g", (*named, *attributes), (title(words), *inside))


def line(a: Point, b: Point, **attributes: Value | None) -> Tag:
    """A straight line."""
    return tag("line", x1=a[0], y1=a[1], x2=b[0], y2=b[1], **attributes)


def path(points: Iterable[Point], **attributes: Value | None) -> Tag:
    """Straight lines from point to point, not filled."""
    told = " ".join(f"{_value(x)},{_value(y)}" for x, y in points)
    return tag("polyline", points=told, fill="none", **attributes)


def circle(centre: Point, radius: float, **attributes: Value | None) -> Tag:
    """A circle."""
    return tag("circle", cx=centre[0], cy=centre[1], r=radius, **attributes)


def rect(left: float, top: float, width: float, height: float, **attributes: Value | None) -> Tag:
    """A rectangle."""
    return tag("rect", x=left, y=top, width=width, height=height, **attributes)


def text(
    words: str,
    x: float,
    middle_y: float,
    size: float = SMALLEST,
    anchor: str = "start",
    **attributes: Value | None,
) -> Tag:
    """One line of text with its middle at `middle_y`, as `picture.label_box` has it."""
    where = {"x": x, "y": middle_y + 0.36 * size, "font_size": size}
    anchored = None if anchor == "start" else anchor
    return tag("text", in_words(words), **where, text_anchor=anchored, **attributes)


def document(
    ids: Ids, size: tuple[float, float], words: str, told: str, *inside: Tag, **more: Value | None
) -> str:
    """A standalone picture: `words` its title, `told` what a screen reader says of it."""
    width, height = size
    named = (("xmlns", "http://www.w3.org/2000/svg"), ("id", ids.prefix))
    shape = {
        "viewBox": f"0 0 {_value(width)} {_value(height)}",
        "width": SHOWN * width,
        "height": SHOWN * height,
        "role": "img",
        "font_family": FONT,
        **more,
    }
    labelled = (("aria-labelledby", f"{ids.prefix}-title {ids.prefix}-desc"),)
    attributes = tuple((_key(key), value) for key, value in shape.items() if value is not None)
    heads = (
        tag("title", in_words(words), id=f"{ids.prefix}-title"),
        tag("desc", in_words(told), id=f"{ids.prefix}-desc"),
    )
    return Tag("svg", (*named, *attributes, *labelled), (*heads, *inside)).written()


@lru_cache(maxsize=KEPT)
def _attribute(key: str, value: Value) -> str:
    """An attribute as written; kept, for a picture has the same few hundred time and again."""
    return f" {key}={quoteattr(_value(value))}"


@cache
def _key(name: str) -> str:
    return name if name == "viewBox" else name.rstrip("_").replace("_", "-")


def _value(value: Value) -> str:
    if isinstance(value, str):
        return _CONTROL.sub("", value)
    # Zero is added so that -0.0, which equals 0.0 and stands for it at hand, is written alike.
    return f"{value:.1f}".rstrip("0").rstrip(".") if value % 1 else f"{value + 0.0:.0f}"
