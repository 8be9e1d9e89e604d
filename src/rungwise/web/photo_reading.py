"""What a kept photo says, read once: its words, and the strip that each field was read from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from pydantic import Field

from rungwise.camera import ReadField, Word, words_in
from rungwise.services import RESULTS
from rungwise.web.deps import Visitor
from rungwise.web.shown import Shown

_words = RESULTS.shelf("words on photos")


class StripLine(Shown):
    """A field that was read from a photo.

    held: what stands in the field already. strip: where its piece of the photo is.
    """

    key: str
    label: str
    text: str
    unit: str
    sure: bool
    why: str = Field(description="what makes it unsure")
    held: str
    strip: str


def words_of(here: Visitor, photo: int) -> tuple[Word, ...]:
    """The words on a photo.

    Raises UnknownName where there is no such photo, MissingProgram without the extra.
    """
    with here.reading() as book:
        row = book.photos.seen(photo)
        digest, content = row.digest, row.content
    return _words.get(digest, lambda: words_in(content))


def strip_lines(
    fields: Iterable[ReadField],
    photo: int,
    labels: Mapping[str, str],
    units: Mapping[str, str],
    held: Mapping[str, str],
) -> list[StripLine]:
    """The fields that have a place on a form, in its order. labels: of its fields, by key."""
    read = {each.key: each for each in fields}
    return [
        StripLine(
            key=key,
            label=label,
            text=read[key].printed,
            unit=units.get(key, ""),
            sure=read[key].sureness == "sure",
            why=read[key].why,
            held=held.get(key, ""),
            strip=strip_path(photo, read[key]),
        )
        for key, label in labels.items()
        if key in read
    ]


def strip_path(photo: int, field: ReadField) -> str:
    """Where the piece of a photo is that a field was read from."""
    return f"/photos/{photo}/strip?box={','.join(str(round(each)) for each in field.box)}"
