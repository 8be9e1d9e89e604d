"""Constants of the electrical figures, each with its source and how sure it is.

Where a part is watched and changed is in `rungwise.parts.limits`, for all rooms alike.
"""

from __future__ import annotations

from typing import Final

BRANCH_DROP: Final = (0.03, "NEC 210.19(A) informational note: 3% on the branch circuit; advice")
"""Largest sag from idle to running that is not remarked on."""

JOINT_KELVIN_PER_WATT: Final = 15.0
"""How much warmer a push-on or lug gets for each watt in it (order of magnitude, no source)."""

WARM_COPPER: Final = 1.2
"""Resistance of copper in a hot cabinet over that at 20 °C: 0.39% a kelvin, some 50 K."""

CONTACT_LORENZ_V2_K2: Final = 2.4e-8
"""Lorenz number in Holm's voltage-temperature relation, V²/K² (R. Holm, Electric Contacts)."""

INSULATION_BY_HEAT: Final = "halving per 10 K: IEEE 43; check your own copy"
