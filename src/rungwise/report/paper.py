"""A paper: what it tells, the pictures in it, and the PDF that they make."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass, field
from io import BytesIO
from types import MappingProxyType
from typing import Any

from rungwise.report.content import CustomerPage, Photo, TechnicianRecord
from rungwise.report.content_practice import PracticeScore
from rungwise.report.customer import customer_page
from rungwise.report.diagrams import diagrams
from rungwise.report.extras import Extras, Shot
from rungwise.report.layout import Kind, Layout
from rungwise.report.technician import technician_record
from rungwise.report.typeset import pages_as_png, typeset
from rungwise.report.worked import Worked
from rungwise.wording import measuring, speaking, told_throughout

LONGEST_SIDE_PX = 1100
"""Of a photo on paper: at half the page's width some 300 points to the inch."""

QUALITY = 82

MOST_PHOTOS = 6
"""On the customer's page; the technician's record has them all."""


@dataclass(frozen=True)
class Paper:
    """A paper that can be set. files: its pictures, by the names that the content has them by."""

    kind: Kind
    content: CustomerPage | TechnicianRecord | PracticeScore
    layout: Layout
    files: Mapping[str, bytes] = field(default_factory=lambda: MappingProxyType({}))

    def as_json(self) -> dict[str, Any]:
        """What it tells, as plain values, in the language and the units of its layout."""
        language = self.layout.language if self.kind == "customer" else "en"
        with speaking(language), measuring(self.layout.units):
            return asdict(told_throughout(self.content))

    def pdf(self) -> bytes:
        """The PDF: the same bytes for the same paper."""
        return typeset(self.kind, self.as_json(), self.files, self.layout)

    def png(self) -> list[bytes]:
        """Its pages as pictures, a point a dot."""
        return pages_as_png(self.kind, self.as_json(), self.files, self.layout)


def customer_paper(worked: Worked, extras: Extras, layout: Layout) -> Paper:
    """Customer report. Raises BadInput for prices that cannot be read."""
    photos = tuple(_photos(extras.photos[:MOST_PHOTOS]))
    shown = tuple(photo for photo, _ in photos)
    content = customer_page(worked, extras, shown)
    return Paper("customer", content, layout, {photo.file: it for photo, it in photos})


def technician_paper(worked: Worked, extras: Extras, layout: Layout) -> Paper:
    """Technician report."""
    pictures, files = diagrams(worked, layout.size)
    photos = tuple(_photos(extras.photos))
    shown = tuple(photo for photo, _ in photos)
    content = technician_record(worked, extras, pictures, shown)
    files |= {photo.file: shot for photo, shot in photos}
    return Paper("technician", content, layout, files)


def practice_paper(content: PracticeScore, layout: Layout) -> Paper:
    """The score of a practice call."""
    return Paper("practice", content, layout)


def _photos(shots: Iterable[Shot]) -> Iterator[tuple[Photo, bytes]]:
    for at, shot in enumerate(shots, start=1):
        content, ending = _for_paper(shot.content)
        yield Photo(f"photo-{at}.{ending}", shot.told or f"photo {at}", shot.by), content


def _for_paper(content: bytes) -> tuple[bytes, str]:
    """A photo no larger than a page needs it."""
    from PIL import Image  # noqa: PLC0415  # not for a call without photos

    written = BytesIO()
    with Image.open(BytesIO(content)) as opened:
        photo = opened.convert("RGB")
        photo.thumbnail((LONGEST_SIDE_PX, LONGEST_SIDE_PX))
        photo.save(written, "JPEG", quality=QUALITY)
    return written.getvalue(), "jpg"
