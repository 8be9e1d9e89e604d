"""The style sheets, scripts, letters and icon, under names that change with their content."""

from __future__ import annotations

import hashlib
import mimetypes
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from fastapi import APIRouter, HTTPException, Response

MAIN_STYLE = "rungwise.css"

_URL = re.compile(rb"url\(([\w.-]+)\)")

FOREVER = "public, max-age=31536000, immutable"

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True)
class Static:
    """One file as it is sent."""

    content: bytes
    media_type: str
    url: str


@cache
def _statics() -> dict[str, Static]:
    """Every file of the folder by name, and the styles of the pages, read once."""
    web = Path(__file__).parent
    files = [*(web / "static").glob("*.*"), *(web / "pages").glob("*/*.css")]
    read = {each.name: each.read_bytes() for each in files}
    found = {name: _static(name, content) for name, content in read.items()}
    for name in filter(_is_style, read):
        found[name] = _static(name, _with_urls(read[name], found))
    for folder in filter(Path.is_dir, (web / "static").iterdir()):
        # Modules name each other without a mark, so that all of a folder go by one.
        texts = {f"{folder.name}/{each.name}": each.read_bytes() for each in folder.iterdir()}
        whole = b"".join(texts[name] for name in sorted(texts))
        found |= {name: _static(name, content, whole) for name, content in texts.items()}
    return found


def _is_style(name: str) -> bool:
    return name.endswith(".css")


def _with_urls(style: bytes, held: Mapping[str, Static]) -> bytes:
    """A style sheet whose `url(name)` leads to the file as it is sent: `url(/static/mark/name)`."""
    return _URL.sub(lambda found: f"url({held[found[1].decode()].url})".encode(), style)


def _static(name: str, content: bytes, marked_by: bytes = b"") -> Static:
    mark = hashlib.sha256(marked_by or content).hexdigest()[:12]
    media_type = mimetypes.guess_type(name)[0] or "application/octet-stream"
    return Static(content, media_type, f"/static/{mark}/{name}")


def static_url(name: str) -> str:
    """The address of a file. Raises KeyError when there is none, a slip in a template."""
    return _statics()[name].url


def style_mark() -> str:
    """What tells this main style sheet from an earlier one."""
    return static_url(MAIN_STYLE).split("/")[2]


def static_names() -> list[str]:
    """The names of all files."""
    return list(_statics())


def static_text(name: str) -> str:
    """The text of a file. Raises KeyError when there is none."""
    return _statics()[name].content.decode()


@router.get("/static/{mark}/{name:path}")
def static_file(mark: str, name: str) -> Response:
    """One file; an old mark is gone, so that no cache keeps the new content under it.

    Raises HTTPException 404 where there is no such file, or it has changed.
    """
    found = _statics().get(name)
    if found is None or found.url != f"/static/{mark}/{name}":
        raise HTTPException(404, "There is no such file, or it has changed since.")
    return Response(found.content, media_type=found.media_type, headers={"cache-control": FOREVER})
