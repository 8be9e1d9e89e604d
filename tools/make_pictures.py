"""Draw the picture of the README: what `rungwise work` prints for the demo's call, as SVG.

    .venv/bin/python tools/make_pictures.py CALL FILE

The colours are the program's own; the frame is drawn here. The picture refers to nothing outside
itself, no font and no address.
"""

from __future__ import annotations

import io
import re
import sys
from pathlib import Path

from rich.console import Console
from rich.terminal_theme import TerminalTheme
from rich.text import Text

from rungwise.cli.isolation_told import tell_isolation
from rungwise.cli.page import Page
from rungwise.cli.telling import tell_answer
from rungwise.services.diagnose import answered
from rungwise.services.isolate import isolation_of

BLANK = "&#160;"
COLUMN_PX = 12.2
"""Width of a sign in rich's pictures."""

_TEXT = re.compile(rf'x="([0-9.]+)"([^>]*)textLength="([0-9.]+)"([^>]*)>((?:{BLANK})+)(?!<)')

COLUMNS = 78
SHOWN = 63
"""Lines of the answer in the picture; how many follow is said below them."""

THEME = TerminalTheme(
    (24, 21, 18),
    (233, 226, 214),
    [(24, 21, 18), (196, 78, 60), (122, 160, 92), (201, 150, 62), (96, 140, 176),
     (170, 120, 160), (98, 160, 160), (233, 226, 214)],
    [(120, 112, 102), (224, 110, 90), (150, 190, 118), (226, 178, 92), (126, 170, 206),
     (200, 150, 190), (128, 190, 190), (255, 250, 240)],
)  # fmt: skip

FRAME = """\
<svg viewBox="0 20 {width} {height}" xmlns="http://www.w3.org/2000/svg" role="img">
<title>What rungwise work prints for a call whose contactor was wrongly suspected</title>
<style>
.{unique_id}-matrix {{ font-family: ui-monospace, "DejaVu Sans Mono", Menlo, Consolas, monospace;
  font-size: {char_height}px; line-height: {line_height}px; font-variant-east-asian: full-width }}
{styles}
</style>
<defs>{lines}</defs>
<rect x="0" y="20" width="{width}" height="{height}" rx="6" fill="#181512"/>
<g transform="translate({terminal_x}, {terminal_y})">
{backgrounds}
<g class="{unique_id}-matrix">
{matrix}
</g>
</g>
</svg>
"""


def printed(call: str) -> list[Text]:
    """The lines that `rungwise work` prints on a terminal in colour."""
    written = io.StringIO()
    console = Console(
        file=written, force_terminal=True, color_system="truecolor", width=COLUMNS,
        highlight=False, markup=False, emoji=False,
    )  # fmt: skip
    page = Page(console)
    answer = answered(call)
    tell_answer(page, answer)
    tell_isolation(page, isolation_of(answer.opened.unit, "cabinet", answer))
    return [Text.from_ansi(line) for line in written.getvalue().splitlines()]


def picture(call: str) -> str:
    """The SVG of a call's page, cut where it gets long."""
    lines = printed(call)
    console = Console(record=True, width=COLUMNS, file=io.StringIO(), highlight=False)
    console.print(Text(f"$ rungwise work {Path(call).name}", style="bright_black"))
    for line in lines[:SHOWN]:
        console.print(line)
    if len(lines) > SHOWN:
        more = f"… {len(lines) - SHOWN} more lines: the steps that make it dead and prove it"
        console.print(Text(more, style="bright_black"))
    drawn = console.export_svg(theme=THEME, code_format=FRAME, unique_id="work")
    return _TEXT.sub(_without_blanks_in_front, drawn)


def _without_blanks_in_front(found: re.Match[str]) -> str:
    """The text starting where its first sign stands: not every viewer draws blanks in front."""
    x, rest, length, more, blanks = found.groups()
    shift = COLUMN_PX * (len(blanks) // len(BLANK))
    return f'x="{float(x) + shift:g}"{rest}textLength="{float(length) - shift:g}"{more}>'


def main(call: str, file: str) -> None:
    """Write the picture."""
    Path(file).write_text(picture(call), encoding="utf-8")
    print(f"{file}: {Path(file).stat().st_size} bytes")


if __name__ == "__main__":
    main(*sys.argv[1:3])
