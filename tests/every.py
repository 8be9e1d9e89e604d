"""One test for a rule of every part kind: one for each kind takes longer to start than to run."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeVar

__all__ = ["of_every"]

Thing = TypeVar("Thing")


def of_every(
    things: Iterable[Thing], name: Callable[[Thing], str]
) -> Callable[[Callable[[Thing], None]], Callable[[], None]]:
    """Make a test of a rule on one thing: all things are tried, and those that fail it named."""
    every = tuple(things)
    assert every

    def test_of(rule: Callable[[Thing], None]) -> Callable[[], None]:
        def test() -> None:
            broken = {name(each): error for each in every if (error := _broken(rule, each))}
            if broken:
                told = f"{len(broken)} of {len(every)} break the rule: {', '.join(broken)}"
                raise ExceptionGroup(told, [*broken.values()])

        test.__name__, test.__doc__, test.__module__ = rule.__name__, rule.__doc__, rule.__module__
        return test

    return test_of


def _broken(rule: Callable[[Thing], None], thing: Thing) -> Exception | None:
    """What the thing fails with."""
    try:
        rule(thing)
    except Exception as error:  # noqa: BLE001  # each is shown, whatever it is
        return error
    return None
