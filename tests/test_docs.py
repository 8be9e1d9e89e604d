"""The documentation keeps up: a command, option or page without its words fails the build."""

from __future__ import annotations

import re
import runpy
from pathlib import Path
from typing import Any

import pytest
import typer

from rungwise.cli import app

ROOT = Path(__file__).parent.parent
DOCS = ROOT / "docs"
PAGES = sorted([*ROOT.glob("*.md"), *DOCS.rglob("*.md")])


@pytest.fixture(scope="module")
def commands() -> dict[str, Any]:
    """Each command of the program by its full name, "rungwise work" for example."""
    found: dict[str, Any] = {}

    def walk(name: str, command: Any) -> None:
        children = getattr(command, "commands", {})
        for child_name, child in children.items():
            walk(f"{name} {child_name}", child)
        if not children:
            found[name] = command

    walk("rungwise", typer.main.get_command(app))
    return found


def sections() -> dict[str, str]:
    """What docs/commands.md says under each heading such as ## `rungwise work`."""
    text = (DOCS / "commands.md").read_text(encoding="utf-8")
    parts = re.split(r"(?m)^#+ `(rungwise[^`]*)`.*$", text)
    return dict(zip(parts[1::2], parts[2::2], strict=True))


def links(page: Path) -> list[str]:
    """Link and picture targets inside the repository, code blocks left out."""
    text = re.sub(r"(?ms)^```.*?^```", "", page.read_text(encoding="utf-8"))
    targets = re.findall(r"""\]\(([^)\s]+)|(?:src|href)="([^"]+)\"""", text)
    joined = ["".join(pair) for pair in targets]
    return [target for target in joined if not re.match(r"\w+:", target)]


def test_every_command_has_its_section(commands: dict[str, Any]) -> None:
    told = {heading: body.strip() for heading, body in sections().items()}
    assert [name for name in commands if not told.get(name)] == []


def test_no_section_tells_of_a_command_that_is_gone(commands: dict[str, Any]) -> None:
    assert set(sections()) - set(commands) - {"rungwise"} == set()


def test_every_option_is_described_with_its_command(commands: dict[str, Any]) -> None:
    said = sections()
    silent = [
        f"{name} {option}"
        for name, command in commands.items()
        for parameter in command.params
        for option in parameter.opts
        if option.startswith("--") and option != "--help"
        if option not in said.get(name, "")
    ]
    assert silent == []


def test_no_link_is_broken() -> None:
    broken = [
        f"{page.relative_to(ROOT)}: {target}"
        for page in PAGES
        for target in links(page)
        if target.partition("#")[0] and not (page.parent / target.partition("#")[0]).exists()
    ]
    assert broken == []


def test_the_index_leads_to_every_page() -> None:
    index = DOCS / "index.md"
    reached = {(DOCS / target.partition("#")[0]).resolve() for target in links(index)}
    pages = {page.resolve() for page in DOCS.rglob("*.md")} - {index.resolve()}
    assert sorted(str(page.relative_to(ROOT)) for page in pages - reached) == []


@pytest.mark.parametrize(
    ("page", "tool"),
    [
        ("customer-sentences", "list_sentences"),
        ("rules-of-thumb", "list_rules"),
        ("files", "list_file_keys"),
    ],
)
def test_a_page_that_a_tool_writes_is_as_it_writes_it_now(page: str, tool: str) -> None:
    """Customer's sentences, figures that rest on no source, every key of the files."""
    lines = list(runpy.run_path(str(ROOT / "tools" / f"{tool}.py"))["page"]())
    assert "\n".join(lines) + "\n" == (DOCS / f"{page}.md").read_text(encoding="utf-8")


def test_every_code_file_that_a_page_names_is_there() -> None:
    """A page may name a file by the end of its path."""
    homes = ("src", "tools", "tests", "benchmarks")
    there = [path.as_posix() for home in homes for path in (ROOT / home).rglob("*.*")]
    named = {
        (page.name, name)
        for page in PAGES
        if page.name != "CHANGELOG.md"
        for name in re.findall(r"`([\w./]+\.(?:py|css|typ))`", page.read_text(encoding="utf-8"))
    }
    assert len(named) > 50
    gone = {each for each in named if not any(path.endswith(f"/{each[1]}") for path in there)}
    assert gone == set()
