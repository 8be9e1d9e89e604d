"""Write the migration that brings a store's tables to the form the code now has.

    .venv/bin/python tools/new_migration.py NAME "What changed"

NAME becomes the name of its file and of the form. Read what was written before you keep it.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from alembic import command
from sqlalchemy import create_engine

from rungwise.records.migration import FOLDER, bring_up_to_date, configuration


def main(name: str, what: str) -> None:
    """Compare an empty store, brought up to date, with the code."""
    with tempfile.TemporaryDirectory() as folder:
        engine = create_engine(f"sqlite:///{Path(folder) / 'store.sqlite'}")
        with engine.begin() as connection:
            if any((FOLDER / "versions").glob("*.py")):
                bring_up_to_date(connection)
            config = configuration(connection)
            config.set_main_option("file_template", "%%(rev)s")
            command.revision(config, what, autogenerate=True, rev_id=name)
        engine.dispose()


if __name__ == "__main__":
    main(*sys.argv[1:3])
