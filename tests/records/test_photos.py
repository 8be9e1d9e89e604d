"""A photo is kept upright, small enough, and without what the camera wrote into it."""

from __future__ import annotations

import io
import struct
import zlib

import pytest
from PIL import Image
from tests.records.maple_hollow import Shop, photo_bytes

from rungwise.errors import BadRecord, StoreError, UnknownName
from rungwise.records import images
from rungwise.records.images import LONGEST_SIDE_PX, SMALL_SIDE_PX, developed

ORIENTATION, GPS, MAKER = 0x0112, 0x8825, 0x010F


def opened(content: bytes) -> Image.Image:
    return Image.open(io.BytesIO(content))


def told_photo() -> bytes:
    """One that says where, with what, and that it lies on its side."""
    exif = Image.Exif()
    exif[ORIENTATION], exif[MAKER] = 6, "Hollow Cameras"
    exif.get_ifd(GPS)[1] = "N"
    return photo_bytes((60, 40), exif=exif, comment=b"in the yard")


def test_what_the_camera_wrote_is_gone_and_the_photo_stands_upright() -> None:
    content = told_photo()
    assert b"Hollow Cameras" in content
    kept = developed(content)
    assert (kept.width, kept.height) == (40, 60)
    for each in (kept.content, kept.small):
        with opened(each) as image:
            assert dict(image.getexif()) == {}
            assert "comment" not in image.info
        assert b"Hollow" not in each
        assert b"Exif" not in each


def test_a_large_photo_is_made_smaller_and_a_small_one_is_left() -> None:
    large = developed(photo_bytes((4000, 1000)))
    assert (large.width, large.height) == (LONGEST_SIDE_PX, LONGEST_SIDE_PX // 4)
    with opened(large.small) as image:
        assert image.size == (SMALL_SIDE_PX, SMALL_SIDE_PX // 4)
    small = developed(photo_bytes((60, 40)))
    assert (small.width, small.height) == (60, 40)


@pytest.mark.parametrize(("kind", "media"), [("JPEG", "jpeg"), ("PNG", "png"), ("WEBP", "jpeg")])
def test_each_kind_of_photo_is_taken(kind: str, media: str) -> None:
    kept = developed(photo_bytes(kind=kind))
    assert kept.media_type == f"image/{media}"
    with opened(kept.content) as image:
        assert image.get_format_mimetype() == kept.media_type  # type: ignore[attr-defined]


def test_what_is_transparent_becomes_white() -> None:
    written = io.BytesIO()
    Image.new("RGBA", (10, 10), (0, 0, 0, 0)).save(written, "PNG")
    with opened(developed(written.getvalue()).content) as image:
        assert image.convert("RGB").getpixel((5, 5)) == (255, 255, 255)


@pytest.mark.parametrize(
    "content",
    [b"", b"not a photo", photo_bytes((600, 400), colour="red")[:400], photo_bytes(kind="GIF"),
     photo_bytes(kind="PNG")[:60], b"<svg xmlns='http://www.w3.org/2000/svg'/>"],
    ids=["empty", "text", "half", "gif", "half-png", "svg"],
)  # fmt: skip
def test_what_is_no_whole_photo_is_refused(content: bytes) -> None:
    with pytest.raises(BadRecord, match="no photo"):
        developed(content)


def test_a_photo_that_is_too_large_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    content = photo_bytes((300, 200))
    monkeypatch.setattr(images, "MOST_PIXELS", 50_000)
    with pytest.raises(BadRecord, match="300 × 200"):
        developed(content)
    monkeypatch.setattr(images, "MOST_BYTES", 100)
    with pytest.raises(BadRecord, match="too large"):
        developed(content)


def test_photos_are_kept_with_what_they_show_and_by_whom(shop: Shop) -> None:
    content = photo_bytes()
    with shop.store.writing(shop.amari) as book:
        book.photos.add(content, call_id=shop.call, shows="contactor.T1", caption="Brown tab")
        book.photos.add(content, call_id=shop.call, shows="wires as found")
        plate = book.photos.add(content, unit_id=shop.unit, shows="nameplate").id
    with shop.store.reading() as book:
        (tab,) = book.photos.of_call(shop.call, "contactor.T1")
        assert (tab.caption, tab.person_id) == ("Brown tab", shop.amari)
        assert len(book.photos.of_call(shop.call)) == 2
        newest = book.photos.nameplate(shop.unit)
        assert newest is not None
        assert newest.id == plate
        assert opened(book.photos.content(plate)).size == (60, 40)
        assert opened(book.photos.small(plate)).size == (60, 40)


def test_a_photo_sent_twice_is_kept_once_and_another_is_not_it(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        numbers = [
            book.photos.add(photo_bytes(colour=colour), call_id=shop.call).id
            for colour in ("teal", "teal", "navy")
        ]
    assert numbers[0] == numbers[1] != numbers[2]


def test_a_photo_taken_out_of_sight_is_not_listed(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        number = book.photos.add(photo_bytes(), call_id=shop.call).id
        book.photos.leave(number, "caption", "The neighbour's unit")
        book.photos.remove(number)
        assert book.photos.of_call(shop.call) == []
        assert book.photos.get(number).caption == "The neighbour's unit"


def test_a_photo_of_a_call_that_is_not_there_is_refused(shop: Shop) -> None:
    with (
        shop.store.writing(shop.amari) as book,
        pytest.raises(UnknownName, match="no call 1000000"),
    ):
        book.photos.add(photo_bytes(), call_id=10**6)


def blank(size: tuple[int, int], kind: str, mode: str = "RGB") -> bytes:
    written = io.BytesIO()
    Image.new(mode, size).save(written, kind)
    return written.getvalue()


def stating(width: int, height: int) -> bytes:
    """A small PNG whose head states another size."""
    content = bytearray(photo_bytes((1, 1), "PNG"))
    content[16:24] = struct.pack(">II", width, height)
    content[29:33] = struct.pack(">I", zlib.crc32(content[12:29]))
    return bytes(content)


@pytest.mark.parametrize("size", [(30_000, 30_000), (11_000, 9_000), (6_000, 5_000)], ids=str)
def test_a_picture_that_would_fill_the_memory_is_refused_in_words(size: tuple[int, int]) -> None:
    """Few bytes may unfold to gigabytes; it is refused before that."""
    with pytest.raises(BadRecord, match="too large"):
        developed(stating(*size))


def test_a_phones_large_jpeg_is_decoded_at_a_fraction_of_its_size() -> None:
    kept = developed(blank((8_000, 6_000), "JPEG", "L"))
    assert (kept.width, kept.height) == (LONGEST_SIDE_PX, LONGEST_SIDE_PX * 3 // 4)


def test_one_picture_is_worked_on_at_a_time(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(images, "WAIT_S", 0.05)
    with images._one_at_a_time, pytest.raises(StoreError, match="Too many photos"):
        developed(photo_bytes())
    assert developed(photo_bytes()).width == 60


def test_a_photo_that_was_developed_before_is_kept_as_it_is(shop: Shop) -> None:
    before = developed(photo_bytes())
    with shop.store.writing() as book:
        number = book.photos.add(before, call_id=shop.call).id
        assert book.photos.add(photo_bytes(), call_id=shop.call).id == number


def test_a_photo_out_of_sight_is_given_to_nobody(shop: Shop) -> None:
    with shop.store.writing() as book:
        number = book.photos.add(photo_bytes(), call_id=shop.call).id
        book.photos.remove(number)
    with shop.store.reading() as book:
        for ask in (book.photos.content, book.photos.small, book.photos.seen):
            with pytest.raises(UnknownName, match="out of sight"):
                ask(number)
