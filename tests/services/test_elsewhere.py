"""Heavy work in a process of its own: the same answers, the same errors, and none left behind."""

from __future__ import annotations

import os
import signal
import time
from pathlib import Path

import pytest

from rungwise.errors import UnknownName
from rungwise.isolation import isolate
from rungwise.services.isolate import isolation_of
from rungwise.services.runtime.worker_pool import elsewhere, elsewhere_open
from rungwise.unit.unit_file import arrangement


def test_without_another_process_work_is_done_here() -> None:
    assert elsewhere(os.getpid) == os.getpid()


def test_work_done_elsewhere_gives_the_same_and_raises_the_same() -> None:
    """Also once the other process was killed: then the work is done here."""
    unit = arrangement("one_pole_heater")
    here = isolation_of(unit, "cabinet").as_json()
    with elsewhere_open():
        there = elsewhere(os.getpid)
        assert there != os.getpid()
        assert isolation_of(unit, "cabinet").as_json() == here
        with pytest.raises(UnknownName, match="attic"):
            elsewhere(isolate, unit, scope="attic")
        os.kill(there, signal.SIGKILL)
        assert elsewhere(round, 1.2) == 1
        assert elsewhere(os.getpid) == os.getpid()


def test_no_process_is_left_behind() -> None:
    with elsewhere_open():
        there = elsewhere(os.getpid)
    until = time.monotonic() + 20.0
    while Path(f"/proc/{there}").exists() and time.monotonic() < until:
        time.sleep(0.05)
    assert not Path(f"/proc/{there}").exists()
