"""Compile all loops once, so that nobody waits for it at the first command.

What is compiled is kept beside the source, or in the user's cache folder where that cannot be
written.
"""

from __future__ import annotations

import numpy as np

from rungwise.circuit import CALLING, Leads, Plan, solve
from rungwise.circuit.assemble import Assembly
from rungwise.circuit.factors import Factors
from rungwise.circuit.machine_code import NAMES, entry
from rungwise.circuit.mending import mended
from rungwise.diagnosis import Belief, ReadingModel, next_check
from rungwise.diagnosis.build import table_of
from rungwise.diagnosis.checks import checks_of
from rungwise.faults import SuspectSet
from rungwise.unit import FIRST_ARRANGEMENTS, arrangement

FEW = 3
"""Suspects and particles of each."""


def main() -> None:
    """Read one circuit with a meter and work a call of a few suspects: every compiled loop."""
    unit = arrangement(FIRST_ARRANGEMENTS[0])
    plan = Plan(unit)
    batch = solve(plan, CALLING).batch
    Leads(batch, "ac").impedance_ohm(*plan.nodes[:2])
    mended(Assembly.of(batch, "ac"), np.zeros((len(plan.nodes) + 1, batch.size), complex))
    Factors(plan.order, Assembly.of(batch, "dc").entries, plan.nodes).port_volts([(0, 1)], 0)
    for name in NAMES:
        entry(name)
    suspects = SuspectSet(unit)
    table = table_of(suspects, checks_of(unit), FEW, chosen=tuple(suspects)[:FEW])
    belief = Belief.start(ReadingModel(table))
    next_check(belief)
    next_check(belief.observe("volts-coil", 27.0))


if __name__ == "__main__":
    main()
