"""Draw the icons of the installed app again, from icon.svg: make_icons.py."""

from __future__ import annotations

import shutil
from pathlib import Path

from playwright.sync_api import sync_playwright

STATIC = Path(__file__).parent.parent / "src" / "rungwise" / "web" / "static"
ICONS = (("icon-192.png", 192, 1.0), ("icon-512.png", 512, 1.0), ("mask-512.png", 512, 0.7))
"""Name, width and height in points, and the share of it that is drawn on: a platform may cut a
circle out of the last one."""


def main() -> None:
    """Write the icons beside the drawing."""
    drawing = (STATIC / "icon.svg").read_text()
    with sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path=shutil.which("chromium"), args=["--no-sandbox"]
        )
        for name, px, share in ICONS:
            page = browser.new_page(viewport={"width": px, "height": px})
            inner = round(px * share)
            page.set_content(
                f"<body style='margin:0;background:#f4f1e8;display:grid;place-items:center;"
                f"height:{px}px'><div style='width:{inner}px;height:{inner}px'>{drawing}"
            )
            page.screenshot(path=STATIC / name)
            print(STATIC / name)
        browser.close()


if __name__ == "__main__":
    main()
