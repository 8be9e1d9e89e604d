"""Where `rungwise serve` listens, and under which names it answers."""

from __future__ import annotations

import socket

import pytest

from rungwise.cli.program import run
from rungwise.cli.serve import _names


def test_a_port_that_is_taken_is_told_before_any_address(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with socket.socket() as held:
        held.bind(("127.0.0.1", 0))
        held.listen()
        port = str(held.getsockname()[1])
        assert run(["serve", "--port", port]) == 2
    told = capsys.readouterr()
    assert "The pages are at" not in told.out
    assert port in told.err


def test_it_answers_under_its_own_names_and_those_given() -> None:
    names = _names("127.0.0.1", ["Shop.Example"])
    assert {"localhost", "shop.example", socket.gethostname().lower()} <= names
    assert "evil.example" not in names
