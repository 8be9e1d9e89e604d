"""Text files that people write: documents, tables of keys, edits that keep what was typed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rungwise.door import door

if TYPE_CHECKING:
    from rungwise.files.declared import Row, document_schema, key
    from rungwise.files.document import Document
    from rungwise.files.key_dates import Date, Dates
    from rungwise.files.key_lines import KeyPath
    from rungwise.files.keys import (
        Flag,
        HigherOfTwo,
        Key,
        Keys,
        Many,
        Measured,
        Named,
        Number,
        One,
        Only,
        Open,
        Schema,
        Shown,
        Text,
        TextBy,
        Texts,
        TwoNumbers,
        object_schema,
        read_keys,
    )
    from rungwise.files.table import Table, key_text
else:
    __getattr__ = door(__name__)
