"""A wire on a wrong terminal that a motor with electronics feels: told in a motor's words."""

from __future__ import annotations

import numpy as np
import pytest

from rungwise.rewiring.yardstick import Yardstick
from rungwise.unit import arrangement
from wiring_trial.misplacement import judged, misplacements


@pytest.mark.parametrize("name", ["air_handler_taps", "air_handler_airflow"])
def test_a_blower_that_stands_or_runs_unasked_is_told_as_a_motor(name: str) -> None:
    """It has no slip and no coil: asked whether it pulls in, it has no answer."""
    unit = arrangement(name)
    every = tuple(misplacements(unit, "indoor"))
    chosen = np.random.default_rng(3).choice(len(every), 60, replace=False)
    found = judged(Yardstick(unit), tuple(every[at] for at in sorted(chosen)))
    worst = [each.worst for each in found if each.worst and each.worst.part == "blower"]
    told = {str(each.text) for each in worst}
    assert any("does not run" in text or "runs where it should not" in text for text in told)
    assert not [text for text in told if "pull" in text or "coil" in text]
