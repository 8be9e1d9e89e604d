"""Count how a tree of Rungwise is built: weight, doors, names, docstrings, comments.

    .venv/bin/python tools/count_house.py [TREE ...] [--time] [--list]

TREE: the root of a checkout; this one if none is named, and a column for each. --time: also what
`import rungwise` and `rungwise --help` take, the best of five. --list: also what the doubled
classes, the silent raisers and the literals are. What is counted, and how:

lines             of src/rungwise/**/*.py
comments          `#` on a line of its own or behind code, orders to tools (noqa, fmt, type)
                  apart; per 1,000 lines that are not blank
room              a folder in src/rungwise; the files beside the folders are in no room
import            one import statement from a room, written anywhere else than in it; past the door
                  when it names a module of the room and not the room itself
doubled class     a public class name that two rooms or more define
raising function  public, of a public class if of any, with a `raise` of its own that names an
                  error; it says so when its docstring has "raise" or the error's name in it
kind's name       a literal, docstrings apart, equal to a part kind's name, and outside the kinds'
                  folder; a word of the trade that happens to name a kind too is counted
"""

from __future__ import annotations

import argparse
import ast
import io
import os
import re
import subprocess
import sys
import time
import tokenize
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

HERE = Path(__file__).parent.parent
SHORT = 40
"""Lines; a file under it may be a shard."""
KIND_FOLDERS = ("parts", "unit/kinds")
RUNS = 5

Function = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True)
class Module:
    """One file of the package; its name in the package, with slashes."""

    name: str
    text: str

    @cached_property
    def tree(self) -> ast.Module:
        """Its code, parsed."""
        return ast.parse(self.text)

    @property
    def room(self) -> str:
        """The folder it is in; none for a file beside the folders."""
        return self.name.partition("/")[0] if "/" in self.name else ""

    @property
    def lines(self) -> list[str]:
        """All its lines."""
        return self.text.splitlines()


@dataclass
class Count:
    """The figures of one tree, in the order of printing, and what stands behind some of them."""

    figures: dict[str, str] = field(default_factory=dict)
    lists: dict[str, list[str]] = field(default_factory=dict)


def main() -> None:
    """Count what was asked for, and print it."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("trees", nargs="*", type=Path, default=[HERE], metavar="TREE")
    parser.add_argument("--time", action="store_true")
    parser.add_argument("--list", action="store_true")
    asked = parser.parse_args()
    counts = [counted(tree, timed=asked.time) for tree in asked.trees]
    for row in dict.fromkeys(name for each in counts for name in each.figures):
        print(f"{row:<52}" + "".join(f"{each.figures.get(row, '-'):>18}" for each in counts))
    for count in counts if asked.list else ():
        for name, items in count.lists.items():
            print(f"\n{name}", *items, sep="\n  ")


def counted(root: Path, *, timed: bool = False) -> Count:
    """All figures of the tree at `root`."""
    package = root / "src" / "rungwise"
    modules = [
        Module(path.relative_to(package).as_posix(), path.read_text(encoding="utf-8"))
        for path in sorted(package.rglob("*.py"))
    ]
    count = Count()
    _weight(count, modules)
    _doors(count, modules)
    _classes(count, modules)
    _raisers(count, modules)
    _literals(count, modules, _kinds(root))
    if timed:
        count.figures["import rungwise, best of five"] = _seconds(root, "-c", "import rungwise")
        count.figures["rungwise --help, best of five"] = _seconds(root, "-m", "rungwise", "--help")
    return count


def _weight(count: Count, modules: list[Module]) -> None:
    lines = [line.strip() for module in modules for line in module.lines]
    full = [line for line in lines if line]
    comments = sum(_comments(module.text) for module in modules)
    short = [module for module in modules if len(module.lines) < SHORT]
    doors = [module for module in short if module.name.endswith("__init__.py")]
    count.figures |= {
        "lines without blank ones": str(len(full)),
        "lines": str(len(lines)),
        "files": str(len(modules)),
        f"files under {SHORT} lines": str(len(short)),
        f"files under {SHORT} lines, without __init__.py": str(len(short) - len(doors)),
        "comments": str(comments),
        "comments per 1,000 lines": f"{1000 * comments / len(full):.1f}",
    }


def _comments(text: str) -> int:
    tokens = tokenize.generate_tokens(io.StringIO(text).readline)
    comments = [each.string for each in tokens if each.type == tokenize.COMMENT]
    return sum(re.match(r"#\s*(?:noqa|fmt:|type:)", each) is None for each in comments)


def _doors(count: Count, modules: list[Module]) -> None:
    rooms = {module.room for module in modules} - {""}
    files = {module.name.removesuffix(".py").removesuffix("/__init__") for module in modules}
    imports = [
        past
        for module in modules
        for room, past in _imported(module.tree, rooms, files)
        if room != module.room
    ]
    told = f"{sum(imports)} ({100 * sum(imports) / max(len(imports), 1):.0f} %)"
    count.figures |= {
        "rooms": str(len(rooms)),
        "imports from another room": str(len(imports)),
        "of these past its door": told,
    }


def _imported(tree: ast.Module, rooms: set[str], files: set[str]) -> Iterator[tuple[str, bool]]:
    """The room of each import, and whether it goes past the room's door."""
    for node in ast.walk(tree):
        named: list[str] = []
        if isinstance(node, ast.Import):
            named = [alias.name.replace(".", "/") for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            start = node.module.replace(".", "/")
            inner = [f"{start}/{alias.name}" for alias in node.names]
            modules = [each for each in inner if each.removeprefix("rungwise/") in files]
            named = modules or [start]
        for package, room, *further in (each.split("/") for each in named if "/" in each):
            if package == "rungwise" and room in rooms:
                yield room, bool(further)


def _classes(count: Count, modules: list[Module]) -> None:
    rooms = defaultdict(set)
    for module in modules:
        for node in ast.walk(module.tree):
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                rooms[node.name].add(module.room or module.name)
    doubled = {name: sorted(found) for name, found in sorted(rooms.items()) if len(found) > 1}
    count.figures["doubled classes"] = str(len(doubled))
    count.lists["doubled classes"] = [f"{name}: {', '.join(at)}" for name, at in doubled.items()]


def _raisers(count: Count, modules: list[Module]) -> None:
    silent, raising = [], 0
    for module in modules:
        for function in _public(module.tree):
            errors = set(_errors(function)) - {"Exit"}  # how a command ends, and no error
            if not errors:
                continue
            raising += 1
            told = ast.get_docstring(function) or ""
            if not re.search(r"\b[Rr]ais(?:e|es|ed|ing)\b", told) and not any(
                error in told for error in errors
            ):
                silent.append(f"{module.name}:{function.lineno} {function.name}")
    count.figures |= {
        "public functions that raise": str(raising),
        "of these saying so": f"{raising - len(silent)}",
    }
    count.lists["public functions that raise and do not say so"] = silent


def _public(tree: ast.Module) -> Iterator[Function]:
    for node in tree.body:
        inner = [node]
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            inner = node.body
        for each in inner:
            if isinstance(each, Function) and not each.name.startswith("_"):
                yield each


def _errors(function: Function) -> Iterator[str]:
    """Names of the errors that it raises itself, not in a function within it."""
    waiting: list[ast.AST] = list(function.body)
    while waiting:
        node = waiting.pop()
        if isinstance(node, Function | ast.Lambda | ast.ClassDef):
            continue
        if isinstance(node, ast.Raise) and node.exc is not None:
            raised = node.exc.func if isinstance(node.exc, ast.Call) else node.exc
            yield ast.unparse(raised).rpartition(".")[2]
        waiting.extend(ast.iter_child_nodes(node))


def _literals(count: Count, modules: list[Module], kinds: set[str]) -> None:
    folders = tuple(f"{folder}/" for folder in KIND_FOLDERS)
    found: Counter[str] = Counter()
    for module in modules:
        if not module.name.startswith(folders):
            found[module.name] += sum(text in kinds for text in _texts(module.tree))
    rooms: Counter[str] = Counter()
    for name, number in found.items():
        rooms[name.partition("/")[0]] += number
    held = [name for name, number in found.items() if number]
    count.figures |= {
        "part kinds": str(len(kinds)),
        "literals that are a kind's name": str(found.total()),
        "files with such a literal": str(len(held)),
    }
    count.figures |= {f"  in {room}": str(number) for room, number in rooms.items() if number}
    count.lists["literals that are a kind's name"] = [f"{each}: {found[each]}" for each in held]


def _texts(tree: ast.Module) -> Iterator[str]:
    """Literal texts, without those that stand alone as docstrings do."""
    alone = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in alone:
            yield node.value


def _kinds(root: Path) -> set[str]:
    """Names of the part kinds, asked of the tree itself."""
    package = root / "src" / "rungwise"
    folder = next(each for each in KIND_FOLDERS if (package / each / "__init__.py").exists())
    told = f"from rungwise.{folder.replace('/', '.')} import KINDS; print(*KINDS)"
    return set(_run(root, "-c", told).split())


def _seconds(root: Path, *arguments: str) -> str:
    best = float("inf")
    for _ in range(RUNS):
        started = time.perf_counter()
        _run(root, *arguments)
        best = min(best, time.perf_counter() - started)
    return f"{best:.3f} s"


def _run(root: Path, *arguments: str) -> str:
    around = {**os.environ, "PYTHONPATH": str((root / "src").resolve())}
    command = [sys.executable, *arguments]
    return subprocess.run(  # noqa: S603  # our own interpreter, on the tree that was named
        command, capture_output=True, text=True, check=True, env=around
    ).stdout


if __name__ == "__main__":
    main()
