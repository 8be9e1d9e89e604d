"""Files that a call names, which lie beside the call's own."""

from __future__ import annotations

from pathlib import Path

from rungwise.files.table import Table

__all__ = ["beside"]


def beside(table: Table, key: str) -> Path:
    """The file that `key` names, as seen from the file that the table stands in.

    Raises the document's error where it was not read from a file: a text that came from elsewhere
    must not choose which files of this machine are opened.
    """
    document = table.document
    if not Path(document.file).is_file():
        raise table.bad(
            key,
            what="Only a call that is a file itself can name a file beside it.",
            value=str(table.value(key)),
            next_step="write down here what that file says",
        )
    return Path(document.file).parent / table.text(key)
