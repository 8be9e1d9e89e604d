"""The commands: they read files, print answers and set exit codes. Nothing else lives here.

Exit codes: 0 done, 1 the answer is negative or not decided, 2 what was typed cannot be used.
"""

from __future__ import annotations

from rungwise.cli.program import app, main
