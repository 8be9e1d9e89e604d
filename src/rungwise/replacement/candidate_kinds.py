"""What a candidate may be, which parts it may stand in for, and what its label must say.

Most candidates are of a part kind that is bought; a few come as a package of two parts. What
either must tell stands with the kind (`rungwise.parts.trade.Label`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeVar

from rungwise.parts import (
    KINDS,
    PACKAGES,
    Facet,
    Label,
    LabelFigure,
    Package,
    PackagePart,
    Parameter,
    PartKind,
)

LABEL = "on the part's label"

F = TypeVar("F", bound=Facet)


@dataclass(frozen=True)
class CandidateKind:
    """A sort of candidate.

    replaces: kinds of the part, or parts, in whose place it may be asked for. told: what its label
    says. beside_motor: whether it is also put beside a motor that has none.
    """

    name: str
    title: str
    pieces: tuple[PackagePart, ...]
    replaces: frozenset[str]
    told: Label
    beside_motor: bool = False

    @property
    def label(self) -> tuple[str, ...]:
        """Keys that the file must give, because a rating is never guessed."""
        return self.told.stated

    @property
    def texts(self) -> Mapping[str, tuple[str, ...]]:
        """What the label says in words, each with its choices."""
        return self.told.words

    def parameters(self) -> dict[str, Parameter]:
        """What a file may say of it, by the file's key."""
        found = {
            key: KINDS[piece.kind].parameter(name)
            for piece in self.pieces
            for key, name in piece.keys.items()
        }
        return found | {each.name: _parameter(each) for each in self.told.figures}

    def kinds(self) -> tuple[PartKind, ...]:
        """The kinds of the parts that it becomes."""
        return tuple(KINDS[piece.kind] for piece in self.pieces)

    def facets(self, sort: type[F]) -> tuple[F, ...]:
        """The facets of this sort that its parts have."""
        told = (kind.facet(sort) for kind in self.kinds())
        return tuple(each for each in told if each is not None)


def _parameter(figure: LabelFigure) -> Parameter:
    return Parameter(
        figure.name, figure.unit, float("nan"), figure.low, figure.high, figure.what, source=LABEL
    )


def bought(kind: PartKind) -> CandidateKind | None:
    """The candidate that a part kind is; None where the kind says that it is never bought."""
    label = kind.facet(Label)
    if label is None:
        return None
    keys = {p.name: p.name for p in kind.parameters if not p.hidden}
    family = _family(label.stands_in) | {kind.name}
    return CandidateKind(kind.name, kind.title, (PackagePart(kind.name, keys),), family, label)


def _package(package: Package) -> CandidateKind:
    replaces = _family(package.label.stands_in).union(package.also_for)
    return CandidateKind(
        package.name,
        package.title,
        package.pieces,
        replaces,
        package.label,
        package.beside_motor,
    )


def _family(name: str) -> frozenset[str]:
    """The kinds that are asked for in each other's place."""
    labels = {kind.name: kind.facet(Label) for kind in KINDS.values()}
    return frozenset(
        kind for kind, label in labels.items() if name and label and label.stands_in == name
    )


_BOUGHT = (bought(KINDS[name]) for name in sorted(KINDS))

CANDIDATE_KINDS: Mapping[str, CandidateKind] = {
    **{kind.name: kind for kind in _BOUGHT if kind is not None},
    **{package.name: _package(package) for package in PACKAGES},
}
"""Every sort of candidate by its name."""


def standing_in_for(part_kind: str) -> tuple[str, ...]:
    """Names of the candidate kinds that may be asked for in place of a part of `part_kind`."""
    return tuple(name for name, kind in CANDIDATE_KINDS.items() if part_kind in kind.replaces)
