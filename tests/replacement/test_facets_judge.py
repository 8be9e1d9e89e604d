"""Candidates are judged by what they are: a new kind by its ratings, and a part by any name."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace

import pytest
from tests.unit.test_roles import renamed

from rungwise.parts import KINDS
from rungwise.parts.kind import PartKind
from rungwise.parts.trade import Against, Label, Ratings, Wear
from rungwise.replacement import Candidate, Fit, Verdict, Weight, fit
from rungwise.replacement.candidate_kinds import CANDIDATE_KINDS, bought
from rungwise.unit.unit_file import arrangement

STRONG = {"coil_volt": 24.0, "fla_a": 40.0, "lra_a": 240.0, "resistive_a": 50.0}
WEAK = STRONG | {"fla_a": 1.0, "lra_a": 6.0, "resistive_a": 1.0}
THREE_POLE = KINDS["contactor_3p"]


@pytest.fixture
def known() -> Iterator[pytest.MonkeyPatch]:
    with pytest.MonkeyPatch.context() as patched:
        yield patched


def made_known(patched: pytest.MonkeyPatch, kind: PartKind) -> PartKind:
    """A kind that stands in no file, as if it did."""
    patched.setitem(KINDS, kind.name, kind)
    patched.setitem(CANDIDATE_KINDS, kind.name, bought(kind))
    return kind


def contactor(kind: PartKind, figures: dict[str, float], part: str = "contactor") -> Candidate:
    return Candidate("new", (part,), kind.name, figures)


def without(kind: PartKind, *ratings: Against) -> PartKind:
    """The kind with these ratings untold; all of them where none is named."""
    told = kind.facet(Ratings)
    assert told is not None
    left = tuple(each for each in told.ratings if ratings and each.against not in ratings)
    others = tuple(each for each in kind.facets if each != told)
    if left:
        return replace(kind, facets=(*others, Ratings(left)))
    return replace(kind, facets=others, lacks=kind.lacks | {Ratings})


def told(found: Fit, weight: Weight) -> set[str]:
    return {each.rule for each in found.told(weight)}


def test_a_three_pole_contactor_is_judged_like_a_two_pole_one(known: pytest.MonkeyPatch) -> None:
    made_known(known, THREE_POLE)
    unit = arrangement("two_pole_plain")
    two = KINDS[unit.part("contactor").kind]
    given = [contactor(kind, figures) for kind in (two, THREE_POLE) for figures in (STRONG, WEAK)]
    strong, weak, three_strong, three_weak = fit(unit, given)
    assert three_strong.verdict is strong.verdict is Verdict.SERVES
    assert three_weak.verdict is weak.verdict is Verdict.NOT
    assert {"contactor.fla", "contactor.lra"} <= told(three_weak, Weight.BARS)
    for two_poles, three_poles in ((strong, three_strong), (weak, three_weak)):
        assert [each.rule for each in three_poles.reasons] == [r.rule for r in two_poles.reasons]


def test_a_kind_without_ratings_is_not_judged(known: pytest.MonkeyPatch) -> None:
    kind = made_known(known, without(THREE_POLE))
    (found,) = fit(arrangement("two_pole_plain"), [contactor(kind, STRONG)])
    assert found.verdict is Verdict.UNJUDGED
    assert "strength.unjudged" in told(found, Weight.UNJUDGED)


@pytest.mark.parametrize(
    "against", [Against.RUNNING_MOTORS, Against.LOCKED_MOTORS, Against.COIL_VOLTS]
)
def test_a_rating_that_a_kind_does_not_tell_is_not_judged(
    against: Against, known: pytest.MonkeyPatch
) -> None:
    kind = made_known(known, without(THREE_POLE, against))
    (found,) = fit(arrangement("two_pole_plain"), [contactor(kind, STRONG)])
    assert found.verdict is Verdict.UNJUDGED
    assert any(against.value in each.text for each in found.told(Weight.UNJUDGED))


def test_a_new_kind_stands_in_for_its_family(known: pytest.MonkeyPatch) -> None:
    kind = made_known(known, THREE_POLE)
    label, wear = kind.facet(Label), kind.facet(Wear)
    assert label is not None
    assert wear is not None
    same = {name for name, each in KINDS.items() if (has := each.facet(Label))
            and has.stands_in == label.stands_in}  # fmt: skip
    assert same == CANDIDATE_KINDS[kind.name].replaces
    assert {wear.way(f"pole{n}_pitted").measure for n in (1, 2, 3)} == {"contact_drop"}


GIVEN = {
    "contactor": ("contactor_2p", STRONG),
    "capacitor": ("two_run_capacitors",
                  {"herm_uf": 45.0, "herm_volt": 440.0, "fan_uf": 5.0, "fan_volt": 440.0}),
    "compressor": ("hard_start_kit", {"start_uf": 189.0, "volt": 330.0, "pick_up_volt": 180.0}),
    "outdoor_breaker": ("breaker_2p", {"rating_a": 50.0}),
    "transformer": ("transformer", {"primary_volt": 240.0, "va": 40.0}),
}  # fmt: skip


def test_renaming_every_part_changes_the_names_in_a_fit_and_nothing_else() -> None:
    unit = other = arrangement("one_pole_heater")
    given = [Candidate(part, (part,), *what) for part, what in GIVEN.items()]
    names = {part.name: f"zz{at}zz" for at, part in enumerate(unit.parts)}
    for old, new in names.items():
        other = renamed(other, old, new)
    again = [replace(each, parts=(names[each.parts[0]],)) for each in given]
    before, after = (
        [_plain(each) for each in fit(*told)] for told in ((unit, given), (other, again))
    )
    old_of = {new: old for old, new in names.items()}
    assert [(*told, sorted(_back(text, old_of) for text in texts)) for *told, texts in after] == [
        (*told, sorted(texts)) for *told, texts in before
    ]


def _plain(found: Fit) -> tuple[Verdict, float, list[str]]:
    reasons = [f"{each.weight} {each.rule} {each.text}" for each in found.reasons]
    return found.verdict, round(found.off_by, 9), reasons


def _back(text: str, old_of: Mapping[str, str]) -> str:
    return re.sub(r"zz\d+zz", lambda new: old_of[new[0]], text)
