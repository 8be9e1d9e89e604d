"""Compile the loops of the circuit room once, so that nobody waits for it at the first command.

numba keeps what it compiled beside the source, or in the user's cache folder where that cannot be
written.
"""

from __future__ import annotations

from rungwise.circuit import CALLING, Leads, Plan, solve
from rungwise.unit import FIRST_ARRANGEMENTS, arrangement


def main() -> None:
    """Solve one circuit and read it with a meter, which goes through every compiled loop."""
    plan = Plan(arrangement(FIRST_ARRANGEMENTS[0]))
    calling = solve(plan, CALLING)
    pair = plan.nodes[0], plan.nodes[1]
    for together in ((), (pair,)):
        Leads(calling.batch, "ac", together).impedance_ohm(*pair)


if __name__ == "__main__":
    main()
