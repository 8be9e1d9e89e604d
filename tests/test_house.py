"""The house rules: each is a test, so that none of them wears off."""

from __future__ import annotations

import ast
import importlib
import re
import statistics
import subprocess
import sys
import tomllib
from functools import cache
from pathlib import Path
from types import ModuleType

import pytest

from rungwise import door

ROOT = Path(__file__).parent.parent

# Written in pieces, or this file would break the rule it tests.
REGISTRY_HOSTS = re.compile(
    r"\b(?:pypi|pythonhosted|npmjs|yarnpkg|crates|debian|rubygems|anaconda)\.(?:org|com|io)\b"
)
# One dialect in docstrings and comments: `x`, no doubled ticks and no roles.
OTHER_DIALECT = re.compile(r"(?<!`)`{2}(?!`)|:(?:func|class|meth|mod|data|attr|exc|ref):`")
MACHINE_PATHS = re.compile(r"(?<![\w.~<>/-])/(?:work|tmp|root|home|opt|Users|mnt)/")


@cache
def our_files(*patterns: str) -> tuple[Path, ...]:
    """Files that are tracked, or would be with the next `git add`."""
    # safe.directory: a clone may belong to another user than the one who tests it
    command = ["git", "-c", "safe.directory=*", "ls-files", "--cached", "--others"]
    command += ["--exclude-standard", "--", *patterns]
    listed = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    found = sorted({ROOT / name for name in listed.stdout.splitlines()})
    return tuple(path for path in found if path.is_file())


def test_nothing_is_tracked_that_the_program_writes_beside_it() -> None:
    """A table half written when its process was killed lay in the examples for a day."""
    command = ["git", "-c", "safe.directory=*", "ls-files", "--cached", "--ignored"]
    listed = subprocess.run(
        [*command, "--exclude-standard"], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert listed.stdout.split() == []


def name_of(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def text_of(path: Path) -> str:
    """The text of a file; of a picture or an archive, whatever of it reads as text."""
    return path.read_bytes().decode("utf-8", errors="ignore")


@cache
def tree_of(path: Path) -> ast.Module:
    return ast.parse(text_of(path))


@cache
def functions(path: Path) -> list[tuple[str, int]]:
    """Name and length in lines, signature and docstring included, of each function in a file."""
    return [
        (f"{name_of(path)}:{node.lineno} {node.name}", (node.end_lineno or 0) - node.lineno + 1)
        for node in ast.walk(tree_of(path))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
    ]


def raised_by(function: ast.FunctionDef | ast.AsyncFunctionDef) -> list[ast.Raise]:
    """What a function itself raises; what is passed on, and functions inside it, are left out."""
    todo: list[ast.AST] = list(function.body)
    found = []
    while todo:
        node = todo.pop()
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef | ast.Lambda):
            continue
        if isinstance(node, ast.Raise) and node.exc is not None:
            found.append(node)
        todo += ast.iter_child_nodes(node)
    return found


def public_functions(body: list[ast.stmt]) -> list[ast.FunctionDef | ast.AsyncFunctionDef]:
    """The functions, and methods of classes, whose names do not begin with an underscore."""
    found: list[ast.FunctionDef | ast.AsyncFunctionDef] = []
    for node in body:
        if not isinstance(node, ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef):
            continue
        if node.name.startswith("_"):
            continue
        found += public_functions(node.body) if isinstance(node, ast.ClassDef) else [node]
    return found


def silent_raisers(path: Path) -> list[str]:
    """Public functions that raise, and whose docstring says nothing of it.

    A command ends by an exit code and says so; a method without a docstring has its class's.
    """
    return [
        f"{name_of(path)} {node.name}"
        for node in public_functions(tree_of(path).body)
        if raised_by(node) and (said := ast.get_docstring(node))
        if not re.search(r"\braises?\b|\bexit code\b", said, re.IGNORECASE)
    ]


def lines_matching(pattern: re.Pattern[str], path: Path) -> list[str]:
    return [
        f"{name_of(path)}:{number}"
        for number, line in enumerate(text_of(path).splitlines(), start=1)
        if pattern.search(line)
    ]


def test_no_function_is_longer_than_70_lines() -> None:
    measured = [item for path in our_files("*.py") for item in functions(path)]
    assert measured
    assert [item for item in measured if item[1] > 70] == []


def test_half_of_the_functions_are_shorter_than_10_lines() -> None:
    lengths = [length for path in our_files("src/*.py") for _, length in functions(path)]
    assert statistics.median(lengths) < 10


def test_no_code_file_is_longer_than_500_lines() -> None:
    lengths = {name_of(p): len(text_of(p).splitlines()) for p in our_files("*.py")}
    assert {name: length for name, length in lengths.items() if length > 500} == {}


@pytest.mark.parametrize(
    ("pattern", "caught"),
    [
        (REGISTRY_HOSTS, "index-url = https://" + "pypi" + ".org/simple"),
        (REGISTRY_HOSTS, "https://files." + "pythonhosted" + ".org/packages"),
        (MACHINE_PATHS, "open('" + "/" + "work/main/unit.toml')"),
        (MACHINE_PATHS, "see " + "/" + "tmp/x"),
    ],
    ids=["index", "files", "work", "scratch"],
)
def test_no_file_names_a_registry_host_or_a_machine_path(
    pattern: re.Pattern[str], caught: str
) -> None:
    assert pattern.search(caught), "the pattern no longer catches what it is for"
    files = our_files()
    assert files
    assert [line for path in files for line in lines_matching(pattern, path)] == []


def test_docstrings_and_comments_mark_code_with_single_backticks() -> None:
    assert OTHER_DIALECT.search("the `" + "`start`" + "` of a wire"), "it no longer catches"
    sources = our_files("*.py")
    assert [line for path in sources for line in lines_matching(OTHER_DIALECT, path)] == []


def test_a_public_function_that_raises_says_so() -> None:
    caught = ROOT / "tests" / "test_house.py"
    assert silent_raisers(caught) == ["tests/test_house.py raises_and_says_nothing"]
    assert [each for path in our_files("src/*.py") for each in silent_raisers(path)] == []


def raises_and_says_nothing() -> None:
    """Show that the rule above catches it."""
    raise AssertionError("nobody calls this")


def test_importing_rungwise_loads_nothing_heavy() -> None:
    """A phone page or a shell completion must not wait for arrays it does not use."""
    told = "import sys, rungwise; print(*sorted(sys.modules))"
    run = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=True)
    loaded = {name.partition(".")[0] for name in run.stdout.split()}
    assert "rungwise" in loaded
    assert loaded & {"numpy", "scipy", "pydantic", "tomlkit", "typer", "rich"} == set()


def test_help_loads_neither_the_engine_nor_the_app() -> None:
    """Each command imports what it needs when it runs, so that --help and a slip answer at once."""
    told = (
        "import contextlib, io, sys; from rungwise.cli.program import run\n"
        "with contextlib.redirect_stdout(io.StringIO()) as page: run(['--help'])\n"
        "print('upkeep' in page.getvalue(), *sorted(sys.modules))"
    )
    run = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=True)
    helped, *modules = run.stdout.split()
    assert helped == "True"
    loaded = {name.partition(".")[0] for name in modules}
    assert loaded & {"numpy", "scipy", "pydantic", "tomlkit", "fastapi", "sqlalchemy"} == set()
    ours = {name for name in modules if name.startswith("rungwise.")}
    assert {name.split(".")[1] for name in ours} <= {"cli", "errors", "quantity", "version"}


def test_only_the_outer_ring_talks_to_a_terminal() -> None:
    imports = re.compile(r"^\s*(?:import|from) (?:typer|rich)\b")
    inner = [path for path in our_files("src/*.py") if "cli" not in path.parts]
    assert inner
    assert [line for path in inner for line in lines_matching(imports, path)] == []


@pytest.mark.parametrize("lock", ["run", "dev", "photo"])
def test_every_dependency_is_locked_with_hashes_and_no_address(lock: str) -> None:
    text = (ROOT / "requirements" / f"{lock}.lock").read_text(encoding="utf-8")
    stanzas = re.split(r"\n(?=[a-z0-9])", re.sub(r"(?m)^\s*#.*\n", "", text).strip())
    assert [s for s in stanzas if not re.match(r"[\w.-]+==\S+[^\n]*\\\n\s+--hash=sha256:", s)] == []
    assert "://" not in text


@pytest.mark.parametrize(
    ("lock", "extras"),
    [("run", ["build"]), ("dev", ["build", "dev"]), ("photo", ["build", "photo"])],
)
def test_the_lock_holds_what_the_project_asks_for(lock: str, extras: list[str]) -> None:
    """`make lock` was forgotten when this fails."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    asked = project["dependencies"] + [
        need for extra in extras for need in project["optional-dependencies"][extra]
    ]
    text = (ROOT / "requirements" / f"{lock}.lock").read_text(encoding="utf-8")
    locked = set(re.findall(r"(?m)^([\w.-]+)==", text))
    assert {re.split(r"[<>=!~ \[;]", need, maxsplit=1)[0] for need in asked} <= locked


PACKAGE = ROOT / "src" / "rungwise"


def is_module(name: str) -> bool:
    """Whether a dotted name is a file or folder of the package, whatever a door also calls so."""
    place = PACKAGE.parent.joinpath(*name.split("."))
    return place.is_dir() or place.with_suffix(".py").is_file()


@cache
def past_the_door() -> tuple[tuple[str, str], ...]:
    """Room that is reached into, and the line of another room that does it."""
    rooms = {path.name for path in PACKAGE.iterdir() if (path / "__init__.py").is_file()}
    found = []
    for path in sorted(PACKAGE.rglob("*.py")):
        own = path.relative_to(PACKAGE).parts[0]
        for node in ast.walk(tree_of(path)):
            if not isinstance(node, ast.Import | ast.ImportFrom):
                continue
            plain = [each.name for each in node.names]
            if isinstance(node, ast.ImportFrom):
                plain = [node.module or "", *(f"{node.module}.{each}" for each in plain
                         if is_module(f"{node.module}.{each}"))]  # fmt: skip
            for name in plain:
                top, *inner = name.split(".")
                if top == "rungwise" and len(inner) > 1 and inner[0] in rooms - {own}:
                    found.append((inner[0], f"{name_of(path)}:{node.lineno} {name}"))
    return tuple(found)


def test_a_room_is_entered_by_its_door() -> None:
    """What a room gives stands in its `__init__`; nobody else knows its modules."""
    assert past_the_door() == ()


ROOMS = sorted(path.parent.name for path in PACKAGE.glob("*/__init__.py"))


LAZY = [room for room in ROOMS if "door(__name__)" in text_of(PACKAGE / room / "__init__.py")]


@pytest.mark.parametrize("room", LAZY)
def test_what_a_lazy_door_gives_is_called_otherwise_than_its_modules(room: str) -> None:
    """Else it gives a module to whoever asks after somebody has imported that module."""
    importlib.import_module(f"rungwise.{room}")
    inside = {path.stem for path in (PACKAGE / room).iterdir()}
    assert door._homes(f"rungwise.{room}").keys() & inside == set()


def imported_by(module: ModuleType) -> list[str]:
    """What an eager door lists: the names that it imports from its own modules."""
    tree = tree_of(Path(str(module.__file__)))
    return [
        each.asname or each.name
        for node in tree.body
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith(module.__name__)
        for each in node.names
    ]


@pytest.mark.parametrize("room", LAZY)
def test_a_type_checker_sees_what_a_door_lists_and_no_door(room: str) -> None:
    """A module that can be asked for any name is taken by it to have any name."""
    tree = tree_of(PACKAGE / room / "__init__.py")
    (listed,) = (each for each in tree.body if isinstance(each, ast.If))
    assert ast.unparse(listed.test) == "TYPE_CHECKING"
    assert [ast.unparse(each) for each in listed.orelse] == ["__getattr__ = door(__name__)"]


@pytest.mark.parametrize("room", ROOMS)
def test_a_door_gives_what_it_lists_and_nothing_else(room: str) -> None:
    module = importlib.import_module(f"rungwise.{room}")
    listed = door._homes(module.__name__) if room in LAZY else imported_by(module)
    assert listed
    assert [name for name in listed if not hasattr(module, name)] == []
    assert not hasattr(module, "what_nobody_gives")


def test_no_room_lists_its_names_twice() -> None:
    """A door imports what it gives; in a room a name without an underscore is for the others."""
    inside = list(PACKAGE.glob("*/**/*.py"))
    assert inside
    assert [name_of(path) for path in inside if "\n__all__" in text_of(path)] == []


def test_an_open_door_loads_nothing_behind_it() -> None:
    told = "import sys, rungwise.services, rungwise.web; print(*sorted(sys.modules))"
    run = subprocess.run([sys.executable, "-c", told], capture_output=True, text=True, check=True)
    loaded = set(run.stdout.split())
    assert {"rungwise.services", "rungwise.web"} <= loaded
    assert loaded & {"numpy", "pydantic", "fastapi", "rungwise.unit", "rungwise.records"} == set()


def splits_at_a_point(code: ast.Module) -> bool:
    return any(
        isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr in ("partition", "rpartition", "split", "rsplit")
        and any(isinstance(each, ast.Constant) and each.value == "." for each in node.args)
        for node in ast.walk(code)
    )


def knows_of_parts(path: Path) -> bool:
    """Whether a file's room stands above the parts or beside them, or is theirs.

    What stands below is imported by them: a point there is one of a key, a number or a language.
    """
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    (layers,) = (each["layers"] for each in project["tool"]["importlinter"]["contracts"]
                 if each["type"] == "layers")  # fmt: skip
    below = {room.strip() for layer in layers[layers.index("parts") + 1 :]
             for room in layer.split("|")}  # fmt: skip
    assert {"errors", "files", "wording"} <= below
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py") not in below


def test_a_terminal_is_taken_apart_in_one_place() -> None:
    """By `split_end`, `part_of` and `terminal_of` of `parts/names.py`, which knows the sign."""
    assert splits_at_a_point(ast.parse("part, _, terminal = wire.start.partition('.')"))
    assert not splits_at_a_point(ast.parse("part, terminal = split_end(wire.start)"))
    files = [path for path in PACKAGE.rglob("*.py") if knows_of_parts(path)]
    assert len(files) > 500
    assert [name_of(path) for path in files if splits_at_a_point(tree_of(path))] == []
