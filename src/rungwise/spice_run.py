"""Starting ngspice, the other program that solves our circuits, on files in a folder."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

from rungwise.errors import MissingProgram

__all__ = ["PROGRAM", "run_ngspice"]

PROGRAM = "ngspice"
LONGEST_RUN_S = 600.0


def run_ngspice(folder: Path, deck: str) -> subprocess.CompletedProcess[str]:
    """What ngspice says to a deck, a file of the folder. Raises MissingProgram."""
    program = shutil.which(PROGRAM)
    if program is None:
        raise MissingProgram(
            "ngspice is not installed, so there is nothing to compare with.",
            program=PROGRAM,
            next_step="install it, on Debian: apt-get install ngspice",
        )
    # -n: a person's own start-up file must not change the figures.
    return subprocess.run(  # noqa: S603  # the program found above, on a file of our own
        [program, "-n", "-b", deck],
        cwd=folder,
        capture_output=True,
        text=True,
        timeout=LONGEST_RUN_S,
        check=False,
    )
