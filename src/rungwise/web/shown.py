"""What every piece of a view is: its texts keep their messages on the way to the page."""

from collections.abc import Mapping
from typing import Any, Self

from pydantic import BaseModel, Field, ModelWrapValidatorHandler, model_validator

from rungwise.wording import Said


class Shown(BaseModel):
    """A piece of a view, so that the page can be in any language.

    A model makes a plain text of each; here what knows its message stays as it came, in lists,
    pairs and mappings too.
    """

    @model_validator(mode="wrap")
    @classmethod
    def _kept(cls, given: Any, made: ModelWrapValidatorHandler[Self]) -> Self:
        view = made(given)
        for name, told in given.items() if isinstance(given, Mapping) else ():
            held = getattr(view, name, None)
            kept = _again(held, told)
            if kept is not held:
                object.__setattr__(view, name, kept)  # the same value; also where it is frozen
        return view


class Heard(Shown):
    """What is told once something was entered: in a line at the top, and aloud."""

    text: str
    then: str = Field(
        default="", description="what comes next: it is on the page already, so aloud only"
    )
    good: bool = Field(default=False, description="whether all is as it was meant")


def _again(held: Any, told: Any) -> Any:
    """What a model holds, each text in it as it was told where that knows its message."""
    if isinstance(told, str):
        return told if isinstance(told, Said) and held == told else held
    if isinstance(held, (list, tuple)) and isinstance(told, (list, tuple)):
        if len(held) != len(told) or not any(isinstance(it, (str, list, tuple)) for it in told):
            return held
        pairs = [(it, _again(it, each)) for it, each in zip(held, told, strict=True)]
        same = all(it is again for it, again in pairs)
        return held if same else type(held)(again for _, again in pairs)
    if isinstance(held, Mapping) and isinstance(told, Mapping) and held.keys() == told.keys():
        return {name: _again(it, told[name]) for name, it in held.items()}
    return held
