"""List every sentence that the customer's page can say; write docs/customer-sentences.md.

python tools/list_sentences.py
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from rungwise.faults import SuspectSet
from rungwise.parts import KINDS
from rungwise.parts.words import Words
from rungwise.report import customer, plain_checks, plain_faults
from rungwise.report.typeset import FIXED
from rungwise.unit.unit_file import ARRANGEMENTS, arrangement

ROOT = Path(__file__).parent.parent
PAGE = ROOT / "docs" / "customer-sentences.md"
GAP = "…"
NEAR_END = ROOT / "src" / "rungwise" / "services" / "wording" / "near_end_words.py"


def main() -> None:
    """Write the page."""
    PAGE.write_text("\n".join(page()) + "\n", encoding="utf-8")


def page() -> Iterator[str]:
    """The lines of the page."""
    yield "# Every sentence of the customer's page"
    yield ""
    yield (
        "Written by `tools/list_sentences.py` from the tables and templates that the page is made "
        f"of; a test holds the two alike. What the shop writes by hand is not here. {GAP} is "
        "filled in: the name of a part, one of the other sentences, a temperature of the air, a "
        "number of minutes, visits or years."
    )
    yield from part("Headings and fixed words", template_words())
    yield from part("Whether it is fixed, what was done, what comes next", texts_in(customer))
    yield from part("What to leave off meanwhile", list(plain_faults.LEFT_OFF.values()))
    yield from part("What was checked: good, to watch, bad, not measured, next", subjects())
    yield from part("What the refrigerant and the air say together", charges())
    yield from part("What was found, and what comes next", faults())
    yield from part("What a part is for", purposes())
    yield from part("What to watch, by several visits", texts_of(NEAR_END))


def part(title: str, rows: list[str]) -> Iterator[str]:
    """A heading with its list."""
    yield from ("", f"## {title}", "")
    yield from (f"- {row}" for row in dict.fromkeys(rows))


def template_words() -> list[str]:
    """What the template itself says."""
    return [str(each) for each in FIXED if each[:1].isupper()]


def texts_in(module: object) -> list[str]:
    """The sentences in a module's own code."""
    return texts_of(Path(str(module.__file__)))  # type: ignore[attr-defined]


def texts_of(path: Path) -> list[str]:
    """Its texts with a space in them, docstrings left out."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    bare = {id(each.value) for each in ast.walk(tree) if isinstance(each, ast.Expr)}
    inner = {id(part) for each in ast.walk(tree) if isinstance(each, ast.JoinedStr)
             for part in each.values}  # fmt: skip
    found = []
    for each in ast.walk(tree):
        if id(each) in bare | inner or not isinstance(each, ast.Constant | ast.JoinedStr):
            continue
        text = joined(each) if isinstance(each, ast.JoinedStr) else str(each.value)
        text = re.sub(r"\{\w+\}", GAP, text)
        if " " in text.strip() and re.search(r"[a-z]{2}", text):
            found.append(text.strip())
    return found


def joined(text: ast.JoinedStr) -> str:
    """A text with a sign in place of each gap."""
    return "".join(
        str(each.value) if isinstance(each, ast.Constant) else GAP for each in text.values
    )


def subjects() -> list[str]:
    """One line a subject."""
    return [
        f"{it.title}: {'; '.join(filter(None, (it.good, it.seen, it.watch, it.bad)))}. "
        f"Not measured: {it.unread}. Next step: we {it.then}."
        for it in plain_checks.SUBJECTS.values()
    ]


def purposes() -> list[str]:
    """What each kind of part is for, where an owner is told."""
    words = (kind.facet(Words) for kind in KINDS.values())
    return sorted({each.purpose for each in words if each is not None and each.purpose})


def charges() -> list[str]:
    """One line a state of the charge."""
    return [f"{told}. Next step: we {then}." for told, then in plain_checks.CHARGE_STATES.values()]


def faults() -> list[str]:
    """Of every fault of every arrangement."""
    found = set()
    for name in ARRANGEMENTS:
        unit = arrangement(name)
        for it in SuspectSet(unit).suspects:
            if not it.id.startswith("nothing"):
                then = plain_faults.next_told(unit, it.id)
                found.add(f"{plain_faults.fault_told(unit, it.id)} Next step: we {then}.")
    return sorted(found)


if __name__ == "__main__":
    main()
