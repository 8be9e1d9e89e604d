"""The page for photos."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from typing import ClassVar

from sqlalchemy import ColumnElement, select

from rungwise.errors import UnknownName
from rungwise.records.images import StoredImage, developed
from rungwise.records.repository import Reader, Repository, text
from rungwise.records.rows import Call, Photo, Unit
from rungwise.wording import mark

NAMEPLATE = "nameplate"
"""What a photo of the nameplate shows."""


class Photos(Repository[Photo]):
    """Photos of units, and photos taken on calls."""

    row = Photo
    fields: ClassVar[Mapping[str, Reader]] = {"caption": text, "shows": text}

    def add(
        self,
        content: bytes | StoredImage,
        *,
        call_id: int | None = None,
        unit_id: int | None = None,
        shows: str = "",
        caption: str = "",
    ) -> Photo:
        """Keep a photo, without what the camera wrote into it; the same one is kept once.

        content: a file, or what `developed` made of it before this book was opened: reading a
        picture takes long, and all other writers would wait for it.
        Raises BadRecord for a file that is no photo or too large, UnknownName for a call or a
        unit that is not there.
        """
        shot = content if isinstance(content, StoredImage) else developed(content)
        digest = hashlib.sha256(shot.content).hexdigest()
        self._turn(call_id, unit_id)
        held = self._found(
            Photo.digest == digest, Photo.call_id == call_id, Photo.unit_id == unit_id,
            Photo.shows == shows.strip(),
        )  # fmt: skip
        if held:
            return held[0]
        made = Photo(
            call_id=call_id, unit_id=unit_id, person_id=self.hand.person_id, at=self.hand.at,
            zone=self.hand.zone, kept_at=self.hand.kept_at, media_type=shot.media_type,
            width=shot.width, height=shot.height, digest=digest, shows=shows.strip(),
            caption=caption.strip(),
            content=shot.content, small=shot.small,
        )  # fmt: skip
        return self.hand.add(made)

    def of_call(self, call_id: int, shows: str | None = None) -> list[Photo]:
        """Those taken on a call, of one thing if that is named."""
        return self._found(Photo.call_id == call_id, *_of(shows))

    def of_unit(self, unit_id: int, shows: str | None = None) -> list[Photo]:
        """Those of a unit that belong to no call, of one thing if that is named."""
        return self._found(Photo.unit_id == unit_id, *_of(shows))

    def nameplate(self, unit_id: int) -> Photo | None:
        """The newest photo of a unit's nameplate, None where there is none."""
        found = self.of_unit(unit_id, NAMEPLATE)
        return found[-1] if found else None

    def seen(self, number: int) -> Photo:
        """A photo that may be shown. Raises UnknownName for one that is not there, or not in sight.

        What was taken out of sight stays in the records, and nobody gets to see it.
        """
        photo = self.get(number)
        if photo.removed:
            raise UnknownName(
                what=mark("This photo was taken out of sight."), value=str(number),
                next_step=mark("go back to the page that it stood on"),
            )  # fmt: skip
        return photo

    def content(self, number: int) -> bytes:
        """The photo itself. Raises UnknownName as `seen` does."""
        return self.seen(number).content

    def small(self, number: int) -> bytes:
        """The small version, for lists. Raises UnknownName as `seen` does."""
        return self.seen(number).small

    def remove(self, number: int) -> Photo:
        """Take a photo out of sight: it shows somebody's face, or the wrong unit."""
        photo = self.hand.turn(Photo, number)
        photo.removed = True
        return photo

    def _turn(self, call_id: int | None, unit_id: int | None) -> None:
        if call_id is not None:
            self.hand.turn(Call, call_id)
        if unit_id is not None:
            self.hand.turn(Unit, unit_id)

    def _found(self, *conditions: ColumnElement[bool]) -> list[Photo]:
        query = select(Photo).where(~Photo.removed, *conditions).order_by(Photo.id)
        return list(self.hand.session.scalars(query))


def _of(shows: str | None) -> tuple[ColumnElement[bool], ...]:
    return () if shows is None else (Photo.shows == shows,)
