"""Wires that changed places with one another, or one that is off, added or moved alone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from rungwise.rewiring.wirings import Ends, Wiring, oriented, same_ends
from rungwise.unit import Unit


@dataclass(frozen=True)
class WireGroup:
    """Wires whose places belong together. meant: where they belong; left: where they are."""

    meant: Wiring
    left: Wiring

    @property
    def wires(self) -> tuple[str, ...]:
        """Their names."""
        return tuple(self.left)

    def moves(self) -> Iterator[tuple[str, str, str]]:
        """Each end that is elsewhere: wire, where it belongs, where it is ("" where nowhere)."""
        for wire, left in self.left.items():
            meant = self.meant[wire]
            if left is None or meant is None:
                for end in meant or left or ():
                    yield (wire, end, "") if left is None else (wire, "", end)
                continue
            for belongs, is_on in zip(meant, oriented(left, meant), strict=True):
                if belongs != is_on:
                    yield wire, belongs, is_on


def wire_groups(unit: Unit, left: Wiring, added: frozenset[str]) -> tuple[WireGroup, ...]:
    """The wires that are not where `unit` has them, those together that changed places.

    `added`: wires of `unit` that do not belong in it at all.
    """
    meant: dict[str, Ends | None] = {
        name: None
        if name in added
        else (unit.wire_by_name[name].start, unit.wire_by_name[name].end)
        for name in left
    }
    moved = [name for name in left if not same_ends(left[name], meant[name])]
    singles = {name: WireGroup({name: meant[name]}, {name: left[name]}) for name in moved}
    groups = {name: {name} for name in moved}
    for cycle in _cycles([move for each in singles.values() for move in each.moves()]):
        together = set().union(*(groups[wire] for wire in cycle))
        groups |= dict.fromkeys(together, together)
    unique = {id(each): each for each in groups.values()}.values()
    return tuple(joined([singles[name] for name in moved if name in each]) for each in unique)


def joined(groups: Iterable[WireGroup]) -> WireGroup:
    """Several groups as one."""
    held = tuple(groups)
    return WireGroup(
        {wire: ends for each in held for wire, ends in each.meant.items()},
        {wire: ends for each in held for wire, ends in each.left.items()},
    )


Move = tuple[str, str, str]


def _cycles(moves: Sequence[Move]) -> Iterator[list[str]]:
    """Rings of wires each of which took the place of the next, the smallest rings first."""
    left = [move for move in moves if move[1] and move[2]]
    for length in range(2, len(left) + 1):
        while ring := next(filter(None, (_ring([move], left, length) for move in left)), None):
            left = [move for move in left if move not in ring]
            yield [wire for wire, _, _ in ring]


def _ring(chain: list[Move], moves: Sequence[Move], length: int) -> list[Move] | None:
    """The chain made a ring of this many moves, each onto the terminal that the next has left."""
    if len(chain) == length:
        return chain if chain[-1][2] == chain[0][1] else None
    for move in moves:
        if move not in chain and move[1] == chain[-1][2]:
            found = _ring([*chain, move], moves, length)
            if found:
                return found
    return None
