"""The schema of shop files takes what the reader takes, and refuses what it refuses in form."""

from __future__ import annotations

import json
import tomllib

import pytest
from jsonschema import Draft202012Validator
from tests.cli.running import EXAMPLES
from tests.maintenance.test_shop_file import SHOP, WRONG

from rungwise.maintenance.shop_file import shop_schema

IN_FORM = (
    "a mode that the kind does not have", "a failure without its day",
    "a call on a unit of no age", "a key that means nothing", "nothing to tell",
)  # fmt: skip
"""What the reader refuses, and a schema can know."""


def errors(text: str) -> list[str]:
    data = json.loads(json.dumps(tomllib.loads(text), default=str))
    return [each.message for each in Draft202012Validator(shop_schema()).iter_errors(data)]


def test_the_schema_is_a_schema() -> None:
    Draft202012Validator.check_schema(shop_schema())


@pytest.mark.parametrize("text", [SHOP, (EXAMPLES / "shop.toml").read_text(encoding="utf-8")])
def test_what_is_read_keeps_to_it(text: str) -> None:
    assert errors(text) == []


@pytest.mark.parametrize("what", IN_FORM)
def test_what_the_reader_refuses_in_form_is_refused(what: str) -> None:
    assert errors(WRONG[what][0]) != []
