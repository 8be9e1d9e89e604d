"""The app as a phone installs it: its manifest, and the worker that answers without signal."""

from __future__ import annotations

import hashlib
import json
from functools import cache

from fastapi import APIRouter, Response

from rungwise.web.statics import static_names, static_text, static_url

router = APIRouter(include_in_schema=False)

ICONS = (
    ("icon-192.png", 192, "any"),
    ("icon-512.png", 512, "any"),
    ("mask-512.png", 512, "maskable"),
)

NOT_KEPT = ("service-worker.js", "axe.js")


@router.get("/manifest.webmanifest")
def manifest() -> Response:
    """What the app is called, how it opens, and its icons."""
    told = {
        "id": "/day",
        "name": "Rungwise",
        "short_name": "Rungwise",
        "description": "Find the fault, make the unit dead, fit the part, move the wires, test.",
        "start_url": "/day",
        "scope": "/",
        "display": "standalone",
        "background_color": "#f4f1e8",
        "theme_color": "#f4f1e8",
        "icons": [
            {"src": static_url(name), "sizes": f"{px}x{px}", "type": "image/png", "purpose": use}
            for name, px, use in ICONS
        ],
    }
    return Response(json.dumps(told), media_type="application/manifest+json")


@cache
def _worker() -> str:
    shell = sorted(static_url(name) for name in static_names() if name not in NOT_KEPT)
    text = static_text("service-worker.js")
    mark = hashlib.sha256("\n".join([*shell, text]).encode()).hexdigest()[:12]
    told = {"mark": mark, "files": shell}
    return f"const SHELL = {json.dumps(told)};\n{text}"


@router.get("/service-worker.js")
def service_worker() -> Response:
    """The worker, with the list of the files that the app cannot be without.

    It is asked for anew each time, and a browser takes it anew where a byte of it differs: so a
    change of any of those files reaches every phone.
    """
    return Response(_worker(), media_type="text/javascript", headers={"cache-control": "no-cache"})
