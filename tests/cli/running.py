"""Running a command in this process, as a terminal would."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from rungwise.cli.program import run

ROOT = Path(__file__).parent.parent.parent
EXAMPLES = ROOT / "examples" / "maple-hollow"


@dataclass(frozen=True)
class Ran:
    """What a command printed and how it ended."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        return json.loads(self.out, parse_constant=_refuse)


def _refuse(constant: str) -> None:
    msg = f"{constant} is no JSON"
    raise ValueError(msg)


def ran(capsys: pytest.CaptureFixture[str], *arguments: str) -> Ran:
    """Run `rungwise` with these arguments."""
    capsys.readouterr()
    code = run(arguments)
    printed = capsys.readouterr()
    return Ran(code, printed.out, printed.err)
