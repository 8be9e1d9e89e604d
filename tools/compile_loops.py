"""Compile all loops once, so that nobody waits for it at the first command.

numba keeps what it compiled beside the source, or in the user's cache folder where that cannot be
written.
"""

from __future__ import annotations

from rungwise.circuit import CALLING, Leads, Plan, solve
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
    calling = solve(plan, CALLING)
    Leads(calling.batch, "ac").impedance_ohm(*plan.nodes[:2])
    suspects = SuspectSet(unit)
    table = table_of(suspects, checks_of(unit), FEW, chosen=tuple(suspects)[:FEW])
    belief = Belief.start(ReadingModel(table))
    next_check(belief)
    next_check(belief.observe("volts-coil", 27.0))


if __name__ == "__main__":
    main()
