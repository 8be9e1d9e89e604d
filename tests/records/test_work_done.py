"""What else is told of a call: parts, wires, steps, verdicts, visits, the truth, practice."""

from __future__ import annotations

import pytest
from tests.records.maple_hollow import Shop

from rungwise import __version__
from rungwise.errors import BadRecord

CANDIDATE = {"name": "40 A", "for": "contactor", "kind": "contactor_2p", "price": 21.4}


def test_a_part_fitted_can_be_changed_and_taken_back(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        book.fitted.fit(shop.call, "contactor", CANDIDATE)
        book.fitted.fit(shop.call, "capacitor", {"name": "45+5", "terminals": {"C": ["tab"]}})
        last = book.fitted.last(shop.call)
        assert last is not None
        assert last.candidate == {"name": "45+5", "terminals": {"C": ["tab"]}}
        book.fitted.fit(shop.call, "capacitor", None)
        last = book.fitted.last(shop.call)
        assert last is not None
        assert last.candidate == CANDIDATE
        assert len(book.fitted.history(shop.call)) == 3


def test_wires_are_recorded_as_found_and_as_left(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        book.wires.record(shop.call, "as found", "part = 'contactor'\n")
        book.wires.record(shop.call, "as left", "half of it", refusal="not TOML")
        found, left = (book.wires.now(shop.call, stage) for stage in ("as found", "as left"))
        assert found is not None
        assert left is not None
        assert (found.refusal, left.refusal) == ("", "not TOML")
        with pytest.raises(BadRecord, match="as found, as left"):
            book.wires.record(shop.call, "as hoped", "")


def test_steps_are_ticked_with_who_when_and_what_was_read(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        book.steps.tick(shop.call, "outdoor", 2, "Measure.", typed="0.2", reading=0.2, unit="V")
        book.steps.tick(shop.call, "outdoor", 1, "Open the breaker.")
        book.steps.tick(shop.call, "indoor", 1, "Open the breaker.")
    with shop.store.writing(shop.okoro) as book:
        book.steps.tick(shop.call, "outdoor", 1, "Open the breaker.", done=False)
    with shop.store.reading() as book:
        told = [
            (each.number, each.done, each.reading, each.person.name)
            for each in book.steps.now(shop.call, "outdoor") if each.person
        ]  # fmt: skip
        assert told == [(1, False, None, "S. Okoro"), (2, True, 0.2, "R. Amari")]
        assert len(book.steps.history(shop.call)) == 4


def test_the_last_verdict_stands_with_the_engine_that_gave_it(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        book.verdicts.give(shop.call, "open", "Two causes remain.")
        book.verdicts.give(shop.call, "found", "The coil is open.", suspect="contactor.coil_open",
                           part="contactor", probability=0.97)  # fmt: skip
        last = book.verdicts.last(shop.call)
        assert last is not None
        assert (last.kind, last.probability, last.engine) == ("found", 0.97, __version__)
        assert len(book.verdicts.history(shop.call)) == 2


def test_a_sign_off_says_who_took_it(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        assert book.sign_offs.last(shop.call) is None
        book.sign_offs.sign(shop.call, "It cools.", received_by="Mrs. Finch", facts={"split_f": 18})
        last = book.sign_offs.last(shop.call)
        assert last is not None
        assert (last.received_by, last.facts) == ("Mrs. Finch", {"split_f": 18})


def test_the_truth_of_closed_calls_is_there_to_learn_from(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        book.truths.tell(shop.call, "contactor")
        assert book.truths.known() == []
        book.truths.tell(shop.call, "float_switch", suspect="float_switch.open", how="runs since")
        book.calls.close(shop.call)
        (known,) = book.truths.known()
        assert (known.call_id, known.unit_id) == (shop.call, shop.unit)
        assert (known.part, known.suspect) == ("float_switch", "float_switch.open")
        assert len(book.truths.history(shop.call)) == 2


def test_the_mark_of_what_is_known_follows_every_change(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        marks = [book.truths.mark()]
        book.truths.tell(shop.call, "float_switch", suspect="float_switch.open")
        book.calls.close(shop.call)
        marks.append(book.truths.mark())
        book.units.leave(shop.unit, "installed", "2014-06-01")
        marks.append(book.truths.mark())
        book.truths.tell(shop.call, "contactor")
        marks.append(book.truths.mark())
        book.calls.start(shop.call)
        assert book.truths.known() == []
        assert book.truths.mark() == marks[0]
    assert len(set(marks)) == len(marks)


def test_a_visit_goes_on_until_it_ends(shop: Shop) -> None:
    with shop.store.writing(shop.amari) as book:
        first = book.visits.arrive(shop.call)
        assert book.visits.arrive(shop.call).id == first.id
        book.visits.depart(first.id)
        assert book.visits.arrive(shop.call).id != first.id
        assert [each.left_at is None for each in book.visits.of_call(shop.call)] == [False, True]


def test_a_practice_call_hides_one_fault_and_is_scored_once(shop: Shop) -> None:
    with shop.store.writing(shop.okoro) as book:
        call = book.calls.open(shop.unit, kind="practice", technician_id=shop.okoro)
        book.practice.hide(call.id, "contactor.coil_open", 2**60)
        for right, score in ((True, 0.9), (False, 0.1)):
            book.practice.finish(
                call.id, named="contactor", right=right, checks=5, wrong_parts=0, score=score
            )
        ((_, held),) = book.practice.of_person(shop.okoro)
        assert (held.seed, held.right, held.score) == (2**60, True, 0.9)
        with pytest.raises(BadRecord, match="already"):
            book.practice.hide(call.id, "fan.seized", 1)
        with pytest.raises(BadRecord, match="customer's call"):
            book.practice.hide(shop.call, "fan.seized", 1)
        with pytest.raises(BadRecord, match="hides no fault"):
            book.practice.finish(
                shop.call, named="fan", right=True, checks=1, wrong_parts=0, score=1.0
            )
