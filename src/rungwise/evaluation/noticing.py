"""Whether a simulated fault is one that somebody would call for.

Faults come in degrees, and are drawn evenly: a joint of a tenth of an ohm in a lead of a third of
an ampere does nothing. Nobody calls for it, and below the limit at which a part is changed there is
nothing to put right: it belongs to maintenance. What is noticed is compared with the same specimen
without its fault.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from rungwise.circuit import Key, Solution
from rungwise.diagnosis import Bench, Check
from rungwise.evaluation.truth import Truth
from rungwise.evaluation.worked_call import free_symptoms
from rungwise.parts import FloatArray

LEAST_WATT = 25.0
"""Heat more or less in the faulty part itself: what browns a joint, or a heater that stays cold."""

LEAST_SHARE = 0.1
"""Change of a motor's watts or of a rotor's speed that is felt as less air or seen on a bill."""

LEAST_KELVIN = 5.0
"""Change of what the coils work at, by which a house cools worse. All three are common practice,
no source."""


def is_noticed(truth: Truth, checks: Mapping[str, Check]) -> bool:
    """Whether the fault changes a symptom, the heat in its own part, or what a motor does."""
    if not truth.suspect.edits:
        return True  # ice, or water: no part of the circuit, and why somebody calls
    bad, good = (_bench(truth, values) for values in (truth.values, truth.good))
    if _symptoms(truth, bad, checks) != _symptoms(truth, good, checks):
        return True
    changes = (
        (_heat(bad.calling, truth), _heat(good.calling, truth), LEAST_WATT),
        (_heat(bad.standby, truth), _heat(good.standby, truth), LEAST_WATT),
        (_coils(bad.calling), _coils(good.calling), LEAST_KELVIN),
    )
    if any(np.any(np.abs(one - other) >= least) for one, other, least in changes):
        return True
    one, other = (np.array(list(_motors(bench.calling))) for bench in (bad, good))
    return bool(np.any(np.abs(one - other) >= LEAST_SHARE * np.maximum(np.abs(other), 1e-9)))


def _bench(truth: Truth, values: Mapping[Key, FloatArray]) -> Bench:
    return Bench(truth.plan, values, 1, np.array([float(truth.still_hot)]))


def _symptoms(truth: Truth, bench: Bench, checks: Mapping[str, Check]) -> list[int]:
    """What is most likely seen and heard of each free symptom."""
    told = free_symptoms(truth.plan.unit, (check.card for check in checks.values()))
    looks = (checks[name].look for name in told)
    return [int(look(bench, [truth.suspect])[0].argmax()) for look in looks if look is not None]


def _heat(solution: Solution, truth: Truth) -> FloatArray:
    """Watts in every two-terminal element of the faulty parts and wires."""
    links = [link for link in solution.plan.links if link.block in truth.faulty_blocks]
    return np.array([float(np.ravel(solution.element_watt(link.key))[0]) for link in links])


def _coils(solution: Solution) -> FloatArray:
    """The temperatures at which the two coils work, °C."""
    batch = solution.batch
    held = [each.held(batch, each.steady(batch)) for each in solution.plan.coolings]
    told = [celsius for each in held for celsius in (each.condensing_c, each.evaporating_c)]
    return np.concatenate(told) if told else np.zeros(2)


def _motors(solution: Solution) -> Iterator[float]:
    """Watts and speed over the synchronous one of every motor."""
    for pair in solution.plan.moving.pairs:
        volts, amps = solution.pair_volt(pair), solution.pair_amp(pair)
        yield float(sum((v * np.conj(a)).real[0] for v, a in zip(volts, amps, strict=True)))
        yield 1.0 - float(solution.state((pair.block, "slip"))[0])
