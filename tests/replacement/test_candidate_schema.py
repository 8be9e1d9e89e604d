"""The JSON Schema of candidate files takes what the reader takes, and knows every kind."""

from __future__ import annotations

import copy
import tomllib
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from rungwise.replacement.candidate_file import candidate_schema
from rungwise.replacement.candidate_kinds import CANDIDATE_KINDS

EXAMPLES = Path(__file__).parent.parent.parent / "examples" / "maple-hollow"
FILES = sorted(
    file for file in EXAMPLES.glob("*.toml") if "[[candidates]]" in file.read_text(encoding="utf-8")
)


def errors(data: Any) -> list[str]:
    return [each.message for each in Draft202012Validator(candidate_schema()).iter_errors(data)]


def test_the_schema_is_a_schema() -> None:
    Draft202012Validator.check_schema(candidate_schema())


@pytest.mark.parametrize("file", FILES, ids=[file.stem for file in FILES])
def test_the_examples_keep_to_it(file: Path) -> None:
    assert errors(tomllib.loads(file.read_text(encoding="utf-8"))) == []


def test_every_kind_has_its_own_keys() -> None:
    kinds = candidate_schema()["properties"]["candidates"]["items"]["oneOf"]
    assert [each["properties"]["kind"]["const"] for each in kinds] == list(CANDIDATE_KINDS)
    for each in kinds:
        assert set(each["required"]) <= set(each["properties"])


def test_what_the_reader_refuses_in_form_is_refused() -> None:
    good = tomllib.loads(FILES[0].read_text(encoding="utf-8"))
    for change in ({"kind": "lv_fuse"}, {"fla": 30}, {"coil_hz": "55"}, {"for": 3}, {"name": ""}):
        bad = copy.deepcopy(good)
        bad["candidates"][0].update(change)
        assert errors(bad) != [], change
