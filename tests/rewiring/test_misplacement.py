"""Every single misplacement of a wire in the outdoor unit of arrangement (a)."""

from __future__ import annotations

from collections import Counter
from functools import cache

import numpy as np
from tests.rewiring.cabinet import unit, yardstick
from tests.wide import WIDE

from rungwise.rewiring.shape import Shape, why_alike
from rungwise.rewiring.wirings import rewired
from wiring_trial.misplacement import Finding, judged, misplacements
from wiring_trial.second_opinion import opinions

SHAPED_STEP = 1 if WIDE else 4
"""Every so-manieth of all is looked at by its shape too."""
SAMPLE_STEP = 9
"""Every so-manieth of those that are found is solved again by ngspice: more than 100 of them."""


@cache
def findings() -> tuple[Finding, ...]:
    return judged(yardstick(), tuple(misplacements(unit())))


def test_every_end_and_every_swap_is_there() -> None:
    """30 ends in the cabinet on each of its 22 other terminals, and each pair of ends."""
    inside = [part.name for part in unit().parts if part.place == "outdoor"]
    terminals = [t for t in unit().terminals() if t.partition(".")[0] in inside]
    ends = [(w.name, t) for w in unit().wires for t in (w.start, w.end) if t in terminals]
    pairs = sum(a[0] != b[0] and a[1] != b[1] for i, a in enumerate(ends) for b in ends[:i])
    many = Counter(len(each.misplacement.moves) for each in findings())
    assert many == {1: len(ends) * (len(terminals) - 1), 2: pairs}
    texts = {each.misplacement.text for each in findings()}
    assert len(texts) == len(findings())


def test_each_is_found_by_a_consequence_or_proved_harmless_by_a_reason() -> None:
    """None is without explanation, and the shape never says alike where the solution does not."""
    assert [f.misplacement.text for f in findings() if f.alike and not f.why] == []
    assert all(each.worst.text for each in findings() if each.worst)
    shape = Shape(unit())
    wrong = [
        each.misplacement.text
        for each in findings()[::SHAPED_STEP]
        if not each.alike and each.worst and "carries" not in each.worst.text
        if why_alike(shape, Shape(rewired(unit(), each.misplacement.wiring(unit()))))
    ]
    assert wrong == []
    assert 0 < sum(each.alike for each in findings()) < 0.1 * len(findings())


def test_ngspice_agrees_on_what_comes_of_them() -> None:
    """Volts to 0.1% or 1 mV, amps to 0.1% or 1 µA, in the situation of the worst consequence.

    The wires are really moved for it; ngspice's own amps must open what is said to open, and hold
    every rotor at the speed that is said.  What the loads do must be what the one plan of all
    misplacements says.
    """
    found = [each for each in findings() if each.worst][::SAMPLE_STEP]
    assert len(found) >= 100
    situations = yardstick().situations
    cases = [
        (each.misplacement.wiring(unit()), situations[each.worst.situations[0]])
        for each in found
        if each.worst
    ]
    told = opinions(unit(), cases)
    assert [
        (f.misplacement.text, o.wrong[0]) for f, o in zip(found, told, strict=True) if o.wrong
    ] == []
    together = yardstick().compare([wiring for wiring, _ in cases], surge_in=()).seen.load_states
    for at, (opinion, (_, situation)) in enumerate(zip(told, cases, strict=True)):
        row = situations.index(situation)
        assert opinion.loads == together.loads
        assert np.array_equal(opinion.code, together.code[row, :, at]), found[at].misplacement.text
        harmed = {
            (harm.part, harm.what)
            for k, harm in enumerate(together.harms)
            if together.harmed[row, k, at]
        }
        assert opinion.harmed == harmed, found[at].misplacement.text
