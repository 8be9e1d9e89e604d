"""Names that SPICE can read for the nodes and branches of a plan.

SPICE knows no capitals and few signs, so every name is folded to small letters, digits and dots;
where two would then be the same, the later one gets a number.
"""

from __future__ import annotations

import re
from functools import lru_cache

from rungwise.circuit.elimination import EARTH_INDEX
from rungwise.circuit.netlist import Key, Plan
from rungwise.parts import split_end

EARTH_NODE = "0"

_STRANGE = re.compile(r"[^a-z0-9]+")


class SpiceNames:
    """Nodes by index, branches by (block, element), and the two ports of coupled elements.

    A branch's name is also that of the source that measures its amps, less its letter V.
    """

    def __init__(self, plan: Plan) -> None:
        nodes: set[str] = set()
        self.node = tuple(_unique(split_end(name), nodes) for name in plan.nodes)
        taken: set[str] = set()
        self.link: dict[Key, str] = {link.key: _unique(link.key, taken) for link in plan.links}
        self.pair: dict[Key, str] = {pair.key: _unique(pair.key, taken) for pair in plan.pairs}
        self.ports: dict[Key, tuple[str, str]] = {}
        for pair in plan.pairs:
            first, second = pair.element.port_names
            name = self.pair[pair.key]
            self.ports[pair.key] = (f"{name}.{first}", f"{name}.{second}")

    def at(self, index: int) -> str:
        """The name of the node at `index` in the plan, or of earth."""
        return EARTH_NODE if index == EARTH_INDEX else self.node[index]


@lru_cache(maxsize=8)
def names_of(plan: Plan) -> SpiceNames:
    """The names of `plan`, made once."""
    return SpiceNames(plan)


def _unique(parts: tuple[str, ...], taken: set[str]) -> str:
    plain = ".".join(_STRANGE.sub("_", part.lower()) for part in parts)
    name, number = plain, 2
    while name in taken:
        name, number = f"{plain}_{number}", number + 1
    taken.add(name)
    return name
