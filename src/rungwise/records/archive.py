"""Everything in a store as one file, and back: the same on either database.

The file is a zip::

    manifest.json           what it is, and the SHA-256 of every other file in it
    manifest.sha256         the SHA-256 of the manifest
    tables/person.jsonl     one row a line, for every table
    photos/<sha-256>        a photo, or its small version

Two exports of equal stores hold equal files; only the manifest tells when each was made.
"""

from __future__ import annotations

import hashlib
import json
import lzma
import os
import struct
import tempfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from zipfile import ZIP_DEFLATED, ZIP_STORED, BadZipFile, LargeZipFile, ZipFile, ZipInfo

from sqlalchemy import (
    Connection,
    LargeBinary,
    Table,
    bindparam,
    func,
    insert,
    select,
    update,
)

from rungwise.errors import BadArchive, BadRecord
from rungwise.records.migration import newest_form
from rungwise.records.row_json import digest_of, packed, unpacked
from rungwise.records.rows import Row
from rungwise.records.store import Store
from rungwise.version import __version__

FORMAT = "rungwise records"
VERSION = 1
MANIFEST = "manifest.json"
SEAL = "manifest.sha256"
LARGEST_MANIFEST_BYTES = 200_000_000
_LONG_AGO = (1980, 1, 1, 0, 0, 0)  # the first moment a zip can tell; ours tells it in the manifest


@dataclass(frozen=True)
class Summary:
    """What an archive holds: rows by table, photos, and its size."""

    rows: dict[str, int]
    photos: int
    size_bytes: int


def export(store: Store, path: str | os.PathLike[str]) -> Summary:
    """Write everything in `store` into the file at `path`, in place of an older archive there.

    It shows one moment, whatever others write meanwhile, and appears only when it is whole.
    Raises BadArchive when the file cannot be written, or something else lies there.
    """
    target = Path(path)
    _refuse_to_replace(target)
    try:
        handle, name = tempfile.mkstemp(prefix=".rungwise-", dir=target.absolute().parent)
    except OSError as fault:
        raise _not_written(target, fault) from fault
    half = Path(name)
    try:
        with os.fdopen(handle, "wb") as file, ZipFile(file, "w") as archive:
            with store.connection(writes=False) as connection:
                listed = dict(_write_all(connection, archive))
            _seal(archive, listed, store)
        half.replace(target)
    except OSError as fault:
        raise _not_written(target, fault) from fault
    finally:
        half.unlink(missing_ok=True)
    return _summary(listed, target)


def load(store: Store, path: str | os.PathLike[str]) -> Summary:
    """Read everything from the archive at `path` into `store`, which must be empty.

    All of it is checked before the first row is written, and all is written or nothing.
    Raises BadArchive: there is no such file, it is no archive of ours, it is damaged, it was made
    by another version, or the store holds something already.
    """
    source = Path(path)
    with _in_words(source), ZipFile(source) as archive:
        listed = _checked_files(archive, source)
        with store.connection(writes=True) as connection:
            _refuse_full(connection, source)
            for table in Row.metadata.sorted_tables:
                _fill(connection, table, archive)
    return _summary(listed, source)


def _write_all(connection: Connection, archive: ZipFile) -> Iterator[tuple[str, dict[str, Any]]]:
    """Write tables and photos; each file's name with what the manifest tells of it."""
    written: set[str] = set()
    for table in Row.metadata.sorted_tables:
        lines = []
        for row in _rows(connection, table):
            for name, content in _blobs(table, row):
                if name not in written:
                    written.add(name)
                    yield name, _write(archive, name, content, ZIP_STORED)
            lines.append(json.dumps(packed(table, row), ensure_ascii=False))
        content = "".join(f"{line}\n" for line in lines).encode()
        told = _write(archive, _file_of(table), content, ZIP_DEFLATED)
        yield _file_of(table), told | {"rows": len(lines)}


def _blobs(table: Table, row: Any) -> Iterator[tuple[str, bytes]]:
    for column in table.columns:
        if isinstance(column.type, LargeBinary):
            content: bytes = row[column.name]
            yield f"photos/{digest_of(content)}", content


def _write(archive: ZipFile, name: str, content: bytes, method: int) -> dict[str, Any]:
    info = ZipInfo(name, _LONG_AGO)
    info.compress_type = method
    archive.writestr(info, content)
    return {"sha256": digest_of(content), "bytes": len(content)}


def _seal(archive: ZipFile, listed: dict[str, dict[str, Any]], store: Store) -> None:
    manifest = {
        "format": FORMAT,
        "version": VERSION,
        "form": newest_form(),
        "made_by": f"rungwise {__version__}",
        "made_at": store.now().isoformat(timespec="seconds"),
        "files": listed,
    }
    content = json.dumps(manifest, indent=1).encode()
    told = _write(archive, MANIFEST, content, ZIP_DEFLATED)
    _write(archive, SEAL, str(told["sha256"]).encode(), ZIP_STORED)


def _rows(connection: Connection, table: Table) -> Iterator[Any]:
    """A few at a time: photos of a whole shop do not fit into memory."""
    query = select(table).order_by(table.c.id).execution_options(yield_per=20)
    yield from connection.execute(query).mappings()


def _file_of(table: Table) -> str:
    return f"tables/{table.name}.jsonl"


def _summary(listed: dict[str, dict[str, Any]], path: Path) -> Summary:
    rows = {name: told["rows"] for name, told in listed.items() if "rows" in told}
    tables = {Path(name).stem: count for name, count in rows.items()}
    return Summary(tables, len(listed) - len(rows), path.stat().st_size)


@contextmanager
def _in_words(path: Path) -> Iterator[None]:
    """Whatever a damaged file makes of its readers, as one error of ours."""
    try:
        yield
    except FileNotFoundError:
        raise _refused(path, "There is no such archive.", "look in the folder") from None
    except _DAMAGE as fault:
        raise _damaged(path) from fault


_DAMAGE = (
    BadZipFile, LargeZipFile, zlib.error, lzma.LZMAError, EOFError, OSError, RuntimeError,
    ValueError, TypeError, LookupError, OverflowError, struct.error, AttributeError,
    BadRecord,
)  # fmt: skip


def _refused(path: Path, what: str, next_step: str, value: str | None = None) -> BadArchive:
    return BadArchive(what=what, file=path, value=value, next_step=next_step)


def _damaged(path: Path) -> BadArchive:
    return _refused(
        path,
        "The archive is damaged, or it is none of ours; nothing was read from it.",
        "copy it again from where it was kept, or use an older one",
    )


def _checked_files(archive: ZipFile, path: Path) -> dict[str, dict[str, Any]]:
    """What the manifest lists, once every file is found to be as it says."""
    manifest = _manifest(archive, path)
    listed: dict[str, dict[str, Any]] = manifest["files"]
    names = sorted([*listed, MANIFEST, SEAL])
    needed = {_file_of(table) for table in Row.metadata.sorted_tables}
    if sorted(archive.namelist()) != names or not needed <= set(listed):
        raise _damaged(path)
    for name, told in listed.items():
        if archive.getinfo(name).file_size != told["bytes"]:
            raise _damaged(path)
        if _digest_in(archive, name) != told["sha256"]:
            raise _damaged(path)
    return listed


def _digest_in(archive: ZipFile, name: str) -> str:
    digest = hashlib.sha256()
    with archive.open(name) as file:
        while chunk := file.read(1 << 20):
            digest.update(chunk)
    return digest.hexdigest()


def _manifest(archive: ZipFile, path: Path) -> dict[str, Any]:
    if archive.getinfo(MANIFEST).file_size > LARGEST_MANIFEST_BYTES:
        raise _damaged(path)
    content = archive.read(MANIFEST)
    manifest: dict[str, Any] = json.loads(content)
    if digest_of(content).encode() != archive.read(SEAL) or manifest["format"] != FORMAT:
        raise _damaged(path)
    if (manifest["version"], manifest["form"]) != (VERSION, newest_form()):
        raise _refused(
            path,
            "The archive was made by another version, whose records have another form.",
            "load it with that version, let this one open the store, and export it anew",
            str(manifest["made_by"]),
        )
    return manifest


def _refuse_full(connection: Connection, path: Path) -> None:
    for table in Row.metadata.sorted_tables:
        if connection.scalar(select(func.count()).select_from(table)):
            raise _refused(
                path,
                "The store holds records already, and an archive is read into an empty one only.",
                "name a database that is not there yet, then read the archive into it",
                table.name,
            )


def _fill(connection: Connection, table: Table, archive: ZipFile) -> None:
    """Write a table's rows; a row that another superseded may come before that other one."""

    def blob(digest: str) -> bytes:
        return archive.read(f"photos/{digest}")

    later: list[dict[str, Any]] = []
    with archive.open(_file_of(table)) as lines:
        for line in lines:
            row = unpacked(table, json.loads(line), blob)
            if row.get("superseded_by_id") is not None:
                later.append({"old_id": row["id"], "new_id": row["superseded_by_id"]})
                row["superseded_by_id"] = None
            connection.execute(insert(table), row)
    if later:
        query = update(table).where(table.c.id == bindparam("old_id"))
        connection.execute(query.values(superseded_by_id=bindparam("new_id")), later)
    if connection.dialect.name == "postgresql":
        _count_on(connection, table)


def _count_on(connection: Connection, table: Table) -> None:
    """Let new rows be numbered after those that came with their numbers."""
    highest = connection.scalar(select(func.max(table.c.id)))
    if highest is not None:
        sequence = func.pg_get_serial_sequence(f'"{table.name}"', "id")
        connection.execute(select(func.setval(sequence, highest)))


def _refuse_to_replace(target: Path) -> None:
    """Whatever is no archive of ours stays: a name is easily typed wrong."""
    try:
        with ZipFile(target) as archive:
            stranger = MANIFEST not in archive.namelist()
    except FileNotFoundError:
        return
    except (BadZipFile, OSError):
        stranger = True
    if stranger:
        what = "Something else lies there, which an archive must not replace."
        raise _refused(target, what, "write the archive under another name")


def _not_written(path: Path, fault: OSError) -> BadArchive:
    return _refused(
        path, f"The archive cannot be written: {fault.strerror}.", "name a file in another folder"
    )
