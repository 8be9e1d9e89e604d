"""What the golden set asks of the command, and how an answer is kept.

Nothing of rungwise is named here but its command, so that rooms can be renamed around it. A number
in JSON is kept to `DIGITS` digits, and as 0 below `NOTHING`: the order of a sum may change with a
refactoring or a processor, and with it the last digits of a number. Texts and pictures are kept as
they are printed.
"""

from __future__ import annotations

import hashlib
import io
import itertools
import json
import os
import sys
from collections.abc import Iterator
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from unittest.mock import patch

from rungwise.cli import main

__all__ = ["CASES", "KEPT", "Case", "answered", "kept_form"]

ROOT = Path(__file__).parent.parent.parent
KEPT = Path(__file__).parent / "kept"
EXAMPLES = Path("examples") / "maple-hollow"
STOCK = (EXAMPLES / "van-stock.toml").as_posix()

DIGITS = 8
NOTHING = 1e-10
WHOLE = 70_000
"""Characters: a longer answer is kept as hashes of its parts."""
HASHED = ("expect", "isolate", "draw", "fit", "upkeep", "spice")
"""Commands whose JSON or netlist is kept as hashes at any length; their text stands whole."""

ARRANGEMENTS = ("hard_start_delay", "heater_line_side", "one_pole_heater", "two_pole_plain")
PICTURES = (
    "ladder", "panel", "panel-disconnect", "panel-breakers", "panel-indoor", "panel-room",
)  # fmt: skip
HANDS = ("cabinet", "disconnect", "indoor", "everything")
SUSPECTS = (
    "contactor.welded", "contactor.coil_open", "capacitor.herm_weak", "compressor.seized",
    "y_float.open", "transformer.shorted",
)  # fmt: skip
"""Faults that every arrangement has: a welded pole, an open coil, a weak capacitor, a load that
does not turn, a broken wire, and a supply of 24 V that is gone."""
WIRES = {
    "wires-01-contactor": ("rewire", "unit-01-mill-street"),
    "wires-02-contactor-left": ("rewire", "unit-02-orchard-lane"),
    "wires-03-all-off": ("recover", "unit-02-orchard-lane"),
    "wires-04-found-again": ("recover", "unit-02-orchard-lane"),
}
OFTEN = ("call-01", "call-06", "call-13", "call-17")
"""The calls worked by the test: a plain one, a pair, a chatter, and a misbuilt circuit."""


WATCHED = ("two_pole_plain", "hard_start_delay")
"""The arrangements of which the test asks every plan and picture: the plainest and the fullest."""


@dataclass(frozen=True)
class Case:
    """One run of the command.

    often: run by the test too, not only by tools/golden.py. wide: only with its --wide, and with
    every suspect that the unit has.
    """

    name: str
    arguments: tuple[str, ...]
    often: bool = True
    wide: bool = False

    @property
    def is_json(self) -> bool:
        """Whether what it prints is JSON."""
        return "--json" in self.arguments or self.arguments[0] == "schema"

    @property
    def is_hashed(self) -> bool:
        """Whether it is kept as hashes however short it is; a refusal stands whole."""
        command, *others = self.arguments
        if command not in HASHED or any("no_such" in each for each in others):
            return False
        return command == "spice" or self.is_json


def _files(start: str) -> list[str]:
    found = sorted((ROOT / EXAMPLES).glob(f"{start}*.toml"))
    return [path.relative_to(ROOT).as_posix() for path in found]


UNITS = (*ARRANGEMENTS, *_files("unit-"))


def _case(*arguments: str, often: bool = True, wide: bool = False) -> Case:
    words = [word.rpartition("/")[2].removesuffix(".toml") for word in arguments]
    told = "-".join(word.removeprefix("--") for word in words[1:])
    return Case(f"{words[0]}/{told}", arguments, often, wide)


def _both(*arguments: str, often: bool = True) -> Iterator[Case]:
    """The text and the JSON of one answer."""
    yield _case(*arguments, often=often)
    yield _case(*arguments, "--json", often=often)


def _of_unit(unit: str) -> Iterator[Case]:
    watched = unit in WATCHED
    yield _case("expect", unit, "--json")
    yield from _both("plate", unit)
    for way in (*(("--hands", hands) for hands in HANDS), ("--runs-on",)):
        yield _case("isolate", unit, *way, "--json", often=watched)
    for picture in PICTURES:
        yield _case("draw", unit, "--json", "--picture", picture, often=watched)
    for moment in ("calling", "starting", "standby"):
        yield _case("draw", unit, "--json", "--condition", moment, often=watched)
        yield _case(
            "draw", unit, "--json", "--picture", "panel", "--condition", moment, often=False
        )
    yield _case("fit", unit, STOCK, "--all", often=False)
    yield _case("fit", unit, STOCK, "--json", often=watched)
    yield _case("fit", unit, (EXAMPLES / "candidate-two-pole.toml").as_posix(), "--all")


def _of_arrangement(name: str) -> Iterator[Case]:
    yield _case("expect", name)
    yield _case("expect", name, "--list-suspects")
    for way in (*(("--hands", hands) for hands in HANDS), ("--runs-on",)):
        yield _case("isolate", name, *way, often=name in WATCHED)
    with_faults = list(itertools.chain(*(("--suspect", each) for each in SUSPECTS)))
    for form in ((), ("--json",)):
        arguments = ("expect", name, *with_faults, *form)
        told = "-".join(("expect/" + name, "faults", *form)).replace("--", "")
        yield Case(told, arguments, often=bool(form))
    yield _case("draw", name, "--json", "--condition", "calling", "--suspect", "contactor.welded")
    yield _case("spice", name)
    yield _case("spice", name, "--condition", "standby", "--suspect", "contactor.welded")
    yield _case("expect", name, "--json", "--suspect", "each", often=False, wide=True)


def _of_call(call: str) -> Iterator[Case]:
    often = any(each in call for each in OFTEN)
    yield _case("work", call, often=False)
    yield _case("work", call, "--json", often=often)
    yield from _proof_of(call)


def _proof_of(call: str) -> Iterator[Case]:
    if "\n[proof]" in (ROOT / call).read_text(encoding="utf-8"):
        yield from _both("prove", call, often=False)


def _cases() -> Iterator[Case]:
    for unit in UNITS:
        yield from _of_unit(unit)
    for name in ARRANGEMENTS:
        yield from _of_arrangement(name)
    for wires, (command, unit) in WIRES.items():
        folder = EXAMPLES.as_posix()
        yield from _both(command, f"{folder}/{unit}.toml", f"{folder}/{wires}.toml")
    for call in _files("call-"):
        yield from _of_call(call)
    for paper in _files("papers/"):
        yield from _proof_of(paper)
        for kind in ("customer", "technician"):
            yield _case("report", paper, "--json", "--kind", kind, often=False)
    yield from _both("isolate", _files("call-15")[0])
    yield from _both("upkeep", (EXAMPLES / "shop.toml").as_posix())
    for which in ("unit", "call", "candidates", "wires", "shop"):
        yield _case("schema", which)
    yield _case("isolate", "no_such_unit", "--json")
    yield _case("expect", "one_pole_heater", "--suspect", "contactor.no_such_fault", "--json")
    yield _case("fit", "one_pole_heater", STOCK, "--for", "no_such_part", "--json")


CASES = tuple(_cases())


def answered(case: Case) -> str:
    """The whole answer: the exit code, what was printed, and what went to the error stream."""
    arguments = case.arguments
    if case.wide:
        arguments = (*arguments[:3], *_every_suspect(arguments[1]))
    code, out, err = _ran(arguments)
    told = _rounded(out) if case.is_json else out
    return f"exit {code}\n{told}" + (f"--- error stream\n{err}" if err else "")


def kept_form(case: Case, answer: str) -> str:
    """The answer as the set keeps it: itself, or the hashes of its parts where it is long."""
    if len(answer) <= WHOLE and not case.is_hashed:
        return answer
    told = [f"{answer.splitlines()[0]}, {len(answer)} characters, {_hash(answer)}"]
    if case.is_json:
        told += _hashes(json.loads(answer.partition("\n")[2].partition("--- error stream")[0]))
    return "\n".join(told) + "\n"


def _every_suspect(unit: str) -> Iterator[str]:
    listed = json.loads(_ran(("expect", unit, "--list-suspects", "--json"))[1])
    for each in listed:
        yield from ("--suspect", each["id"])


def _ran(arguments: tuple[str, ...]) -> tuple[object, str, str]:
    """Run the command in this process, on a page 100 columns wide, from the root of the tree."""
    out, err, code = io.StringIO(), io.StringIO(), None
    before = Path.cwd()
    os.chdir(ROOT)
    try:
        with (
            patch.object(sys, "argv", ["rungwise", *arguments]),
            patch.dict(os.environ, {"COLUMNS": "100", "TERM": "dumb", "NO_COLOR": "1"}),
            redirect_stdout(out),
            redirect_stderr(err),
        ):
            main()
    except SystemExit as end:
        code = end.code
    finally:
        os.chdir(before)
    return code, out.getvalue(), err.getvalue()


def _rounded(out: str) -> str:
    told = json.loads(out, parse_float=_number)
    return json.dumps(told, ensure_ascii=False, indent=1) + "\n"


def _number(told: str) -> float:
    value = float(told)
    return 0.0 if abs(value) < NOTHING else float(f"{value:.{DIGITS}g}")


def _hashes(told: Any, indent: str = "") -> Iterator[str]:
    """A line for each value of an object, and below it for each named item of a list."""
    for name, value in told.items() if isinstance(told, dict) else [("list", told)]:
        yield f"{indent}{name}: {_hash(value)}"
        for item in value if isinstance(value, list) else ():
            if not isinstance(item, dict):
                continue
            if "id" in item or "name" in item:
                yield f"{indent}  {item.get('id', item.get('name'))}: {_hash(item)}"
            else:
                yield from _hashes_of_lists(item, indent + "  ")


def _hashes_of_lists(item: dict[str, Any], indent: str) -> Iterator[str]:
    """Lines for the lists in an item without a name, such as the candidates for a part."""
    lists = {name: value for name, value in item.items() if isinstance(value, list)}
    if any(isinstance(each, dict) for value in lists.values() for each in value):
        yield from _hashes(lists, indent)


def _hash(value: object) -> str:
    told = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
    return hashlib.sha256(told.encode()).hexdigest()[:16]
