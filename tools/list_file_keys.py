"""List every key of the five files that people write; write docs/files.md.

python tools/list_file_keys.py
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from rungwise.diagnosis.call_file import Call
from rungwise.files.declared import Row
from rungwise.files.keys import Key, Keys, Many, One
from rungwise.maintenance.shop_file import ShopRow
from rungwise.replacement.candidate_file import CandidatesRow
from rungwise.rewiring.wires_rows import WiresRow
from rungwise.unit.unit_file import UnitRow, part_keys
from rungwise.unit.wiring import PART_KINDS

PAGE = Path(__file__).parent.parent / "docs" / "files.md"

FILES: Mapping[str, type[Row]] = {
    "Unit file": UnitRow,
    "Call file": Call,
    "Candidate file": CandidatesRow,
    "Wires file": WiresRow,
    "Shop file": ShopRow,
}


def main() -> None:
    """Write the page."""
    PAGE.write_text("\n".join(page()) + "\n", encoding="utf-8")


def page() -> Iterator[str]:
    """The lines of the page."""
    yield "# Files"
    yield ""
    yield (
        "Every key of the five files that people write. One declaration of each key reads the "
        "file, writes its JSON Schema (`rungwise schema`) and this page, which is written by "
        "`tools/list_file_keys.py`. A number may stand bare, in the unit named here, or in "
        'quotes with a unit of its own: `"45 µF"`. A key in bold must be there. What a key '
        "says beyond its form, such as a part that the unit must have, is judged where the file "
        "is read, with the line and the next step."
    )
    for title, row in FILES.items():
        yield from ("", f"## {title}", "", row.WHAT)
        yield from table(row.keys())
        yield from inner_tables("", row.keys())
        if row is UnitRow:
            yield from ("", "### Keys of a part, by its kind", *by_sort(
                {name: part_keys(name) for name in PART_KINDS}))  # fmt: skip


def table(keys: Keys) -> Iterator[str]:
    """One line a key: what it says, what may stand there."""
    yield from ("", "| key | what it says | may be |", "|---|---|---|")
    for name, key in keys.items():
        what = key.what or (key.row.WHAT if isinstance(key, One | Many) and key.row else "")
        yield f"| {bold(name, key)} | {cell(what)} | {cell(key.told())} |"


def inner_tables(above: str, keys: Keys) -> Iterator[str]:
    """The tables in a table, each under a heading as it begins in the file."""
    for name, key in keys.items():
        path = f"{above}.{name}" if above else name
        if isinstance(key, Many) and key.sorts:
            yield from ("", f"### `[[{path}]]`, by kind", *by_sort(key.sorts))
            continue
        for suffix, inner in key.inner():
            many = suffix.endswith("[]")
            place = f"{path}{suffix.removesuffix('[]')}"
            yield from ("", f"### `{f'[[{place}]]' if many else f'[{place}]'}`", *table(inner))
            yield from inner_tables(place, inner)


def by_sort(sorts: Mapping[str, Keys]) -> Iterator[str]:
    """What all sorts have in common, then one line a sort with what it has of its own."""
    first = next(iter(sorts.values()))
    common = {
        name: key
        for name, key in first.items()
        if all(each.get(name) == key for each in sorts.values())
    }
    yield from table(common)
    yield from ("", "| kind | keys of its own |", "|---|---|")
    for keys in sorts.values():
        own = (each for each in keys.items() if each[0] not in {*common, "kind", "terminals"})
        told = "; ".join(f"{bold(name, key)} {cell(key.told())}" for name, key in own)
        yield f"| {keys['kind'].told()} | {told or 'none'} |"


def bold(name: str, key: Key) -> str:
    """The key as code, in bold where it must be there."""
    return f"**`{name}`**" if key.needed else f"`{name}`"


def cell(text: str) -> str:
    """A text that keeps to its cell."""
    return text.replace("|", r"\|")


if __name__ == "__main__":
    main()
