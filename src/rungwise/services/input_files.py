"""What was given: a unit file, a shipped arrangement, a call file, or the text of one."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, NamedTuple

from rungwise.diagnosis import Call, call_from, read_call
from rungwise.errors import BadCallFile, BadUnitFile, close_matches
from rungwise.files import Document
from rungwise.services.runtime.result_cache import RESULTS
from rungwise.unit import ARRANGEMENTS, Unit, arrangement, read_unit, unit_from
from rungwise.wording import mark


@RESULTS.shelf("units").memo
def unit_from_text(text: str, name: str = "") -> Unit:
    """The unit in the text of a unit file, kept for the next time.

    name: what the unit is called; a hash of the text where none is given.
    Raises BadUnitFile with line, key, value, what is allowed and the next step.
    """
    called = name or f"unit-{hashlib.sha256(text.encode()).hexdigest()[:12]}"
    return unit_from(Document(text, file=f"{called}.toml"), name=called)


def unit_of_draft(text: str) -> Unit:
    """The unit of a draft whose nameplate cannot be used yet: its parts, wires and checks.

    Raises BadUnitFile where it is no unit without its nameplate either.
    """
    data = Document(text, file="draft.toml").data
    values = {key: told for key, told in data.items() if key != "nameplate"}
    return unit_from(Document.of_values(values, file="draft.toml"), name="draft")


def call_from_text(text: str, unit: Unit) -> Call:
    """The call in the text of a call file that is about `unit`, whatever its line unit = says.

    Raises BadCallFile with line, key, value, what is allowed and the next step.
    """
    return call_from(Document(text, file=f"call on {unit.name}", error=BadCallFile))


def call_from_values(values: Mapping[str, Any], unit: Unit) -> Call:
    """The call of these values of a call file, about `unit`; else as `call_from_text`."""
    return call_from(Document.of_values(values, file=f"call on {unit.name}", error=BadCallFile))


class UnitSource(NamedTuple):
    """A unit with the file it came from; None for a shipped arrangement."""

    unit: Unit
    path: Path | None


def open_unit(name: str) -> UnitSource:
    """The unit in the file `name`, or the shipped arrangement of that name.

    Raises BadUnitFile.
    """
    if name in ARRANGEMENTS:
        return UnitSource(arrangement(name), None)
    if not Path(name).suffix and not Path(name).exists():
        raise BadUnitFile(
            what=mark("There is neither a unit file nor a shipped arrangement of this name."),
            value=name,
            allowed=f"a unit file, or one of {', '.join(ARRANGEMENTS)}",
            next_step=_meant(name, ARRANGEMENTS),
        )
    if is_call(name):
        raise BadUnitFile(
            what=mark("This is a call file, and a unit is asked for."),
            file=name,
            next_step=mark("name the unit file that its line unit = ... names"),
        )
    return UnitSource(read_unit(name), Path(name))


def open_call(name: str) -> tuple[Call, UnitSource]:
    """The call in the file `name` with the weights of its shop, and its unit.

    Raises BadCallFile, BadUnitFile, BadShopFile.
    """
    call = read_call(name)
    unit = call.unit()
    if call.shop:
        from rungwise.services.history.shop_weights import of_shop_file  # noqa: PLC0415  # slow to import

        call = replace(call, own=of_shop_file(call, unit))
    return call, UnitSource(unit, call.unit_path)


def is_call(name: str) -> bool:
    """Whether `name` is the file of a call: one that says which unit it is about.

    Raises BadUnitFile for a file that cannot be read at all.
    """
    return Path(name).is_file() and "unit" in Document.read(name).data


def _meant(name: str, known: tuple[str, ...]) -> str:
    near = close_matches(name, known)
    return f"did you mean {' or '.join(near)}?" if near else "check the name and the folder"
