"""Let `python -m rungwise` do what the `rungwise` command does."""

from __future__ import annotations

from rungwise.cli import main

if __name__ == "__main__":
    main()
