"""The file of a fault table: numpy arrays and JSON cards in one .npz, with no pickle in it."""

from __future__ import annotations

import json
import zipfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import asdict
from pathlib import Path
from tempfile import NamedTemporaryFile
from typing import IO, TYPE_CHECKING, Any

import numpy as np
import numpy.typing as npt

from rungwise.errors import BadInput
from rungwise.wording import as_plain, from_plain

if TYPE_CHECKING:
    from rungwise.diagnosis.fault_table import CheckCard, SuspectCard

FORMAT = 5

PLANES = "planes_"
"""Before the name of an array that is laid by check and byte."""

Arrays = Mapping[str, npt.NDArray[np.generic]]
Named = tuple[str, npt.NDArray[Any]]


def write(
    path: str | Path,
    suspects: Sequence[SuspectCard],
    checks: Sequence[CheckCard],
    digest: str,
    arrays: Arrays,
) -> None:
    """Write the whole file or nothing: a reader never meets half a table."""
    cards = {
        "format": FORMAT,
        "digest": digest,
        "suspects": [asdict(card) for card in suspects],
        "checks": [asdict(card) for card in checks],
    }
    text = np.frombuffer(json.dumps(as_plain(cards)).encode(), dtype=np.uint8)
    target = Path(path)
    target.parent.mkdir(parents=True, exist_ok=True)
    with NamedTemporaryFile(dir=target.parent, suffix=".part", delete=False) as file:
        try:
            _save(file, {"cards": text, **arrays})
        except BaseException:
            Path(file.name).unlink()
            raise
    Path(file.name).replace(target)


def _save(file: IO[bytes], arrays: Arrays) -> None:
    """As `numpy.savez_compressed`, at the level that takes a fifth of its time for a tenth more."""
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as kept:
        for name, array in map(_laid, arrays.items()):
            with kept.open(f"{name}.npy", "w", force_zip64=True) as entry:
                np.lib.format.write_array(entry, np.asanyarray(array), allow_pickle=False)


def _laid(named: Named) -> Named:
    """An array of readings check after check, its numbers' first bytes together, then the second.

    Half the cells of a check are those of the good unit, and the first bytes of the others are
    alike: so it packs to a third.
    """
    name, array = named
    if array.ndim != 2 or array.dtype != np.float32:
        return named
    checks = np.ascontiguousarray(array.T)
    each = checks.view(np.uint8).reshape(*checks.shape, checks.itemsize)
    return f"{PLANES}{name}", np.ascontiguousarray(each.transpose(2, 0, 1))


def _as_it_was(named: Named) -> Named:
    name, array = named
    if not name.startswith(PLANES):
        return named
    checks = np.ascontiguousarray(array.transpose(1, 2, 0)).view(np.float32)[:, :, 0]
    return name.removeprefix(PLANES), np.ascontiguousarray(checks.T)


def read(path: str | Path) -> tuple[dict[str, Any], dict[str, npt.NDArray[Any]]]:
    """Cards as JSON gives them, and the arrays by name.

    Raises `BadInput` when the file is missing, broken or of another format.
    """
    with refusing(path), Path(path).open("rb") as file, np.load(file, allow_pickle=False) as held:
        arrays = dict(map(_as_it_was, held.items()))
        cards = from_plain(json.loads(arrays.pop("cards").tobytes()))
        if cards["format"] != FORMAT:
            raise ValueError(f"format {cards['format']}")
        return cards, arrays


@contextmanager
def refusing(path: str | Path) -> Iterator[None]:
    """Turn whatever a broken file makes numpy or json say into one plain refusal.

    Raises BadInput in place of what reading a damaged or missing file raises.
    """
    try:
        yield
    except FileNotFoundError:
        raise BadInput(
            what="There is no fault table here.", file=path, next_step="build it from the unit file"
        ) from None
    except (OSError, ValueError, KeyError, TypeError, EOFError, zipfile.BadZipFile) as error:
        raise BadInput(
            what=f"This is not a fault table that can be used ({error}).",
            file=path,
            next_step="delete it; it is built again from the unit file",
        ) from error
