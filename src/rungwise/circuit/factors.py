"""An eliminated network that is solved again and again, for currents into any of its nodes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from rungwise.circuit import elimination_kernel as kernel
from rungwise.circuit.elimination import ComplexArray, EliminationOrder
from rungwise.circuit.kernel_arrays import Eliminated, Ints
from rungwise.errors import FloatingNode


class Factors:
    """The eliminated numbers of a batch, ready for any number of right-hand sides.

    `entries` holds one array per slot of `order`, each a scalar or one value a variant.
    Raises FloatingNode when a node is tied to nothing in some variant; `names` names nodes.
    """

    def __init__(
        self,
        order: EliminationOrder,
        entries: Sequence[ComplexArray | None],
        names: Sequence[str],
    ) -> None:
        self.order = order
        self._shape = np.broadcast_shapes(*(e.shape for e in entries if e is not None))
        """Of one number of the batch: none for a single network."""
        slots, given = laid_out(entries, self._shape)
        held, work = kernel.laid(given, slots, len(order.slots))
        inverse = np.empty((len(work), order.size, *work.shape[2:]))
        self._eliminated = Eliminated(order.flat, held, work, inverse)
        loose = kernel.factor(self._eliminated)
        if loose >= 0:
            raise FloatingNode.of(names[order.steps[loose].node])

    def solve(self, injected: Mapping[int, ComplexArray]) -> ComplexArray:
        """Node voltages for currents injected into nodes: [nodes], or [nodes, variants]."""
        shape = np.broadcast_shapes(self._shape, *(amp.shape for amp in injected.values()))
        flows = np.zeros((self.order.size, *(shape or (1,))), complex)
        for node, amp in injected.items():
            flows[node] = amp
        volts = np.empty_like(flows)
        kernel.substitute(self._eliminated, flows, volts)
        return volts.reshape(self.order.size, *shape)

    def port_volts(self, ports: Sequence[tuple[int, int]], driven: int) -> ComplexArray:
        """Volts across every port for 1 A driven through port `driven` (earth is -1).

        [ports], or [ports, variants].  Only the nodes on the elimination tree above the ports are
        visited.
        """
        reach = self.order.reach(node for port in ports for node in port if node >= 0)
        count = self._shape[0] if self._shape else 1
        found = kernel.port_volts(
            self._eliminated,
            count,
            np.array(reach, dtype=np.int64),
            np.array(ports, dtype=np.int64),
            driven,
        )
        return found.reshape(len(ports), *self._shape)


def laid_out(
    entries: Sequence[ComplexArray | None], shape: tuple[int, ...]
) -> tuple[Ints, ComplexArray]:
    """The slots that hold anything, and their entries as one array [those slots, variants]."""
    slots = [slot for slot, entry in enumerate(entries) if entry is not None]
    given = np.empty((len(slots), *(shape or (1,))), complex)
    for at, slot in enumerate(slots):
        given[at] = entries[slot]
    return np.array(slots, dtype=np.int64), given
