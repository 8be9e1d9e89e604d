"""A text that still knows its message and the values in it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Self

Shape = Callable[[str], str]
"""What is done to a text once it is in its language: a capital, a full stop. A module's own
function, so that a text can be sent to another process."""


class Said(str):
    """English text, with what another language needs to say the same.

    To every program it is the English text: it compares, sorts, joins and is written as that. What
    is made of it in an f-string is a plain `str` and stays English.

    message: as it stands in the catalogs, with `{name}` for each value. values: a value that is
    `Said` too is put into the language with it. shape: applied last. is_name: stands as it is
    where no catalog has it.
    """

    __slots__ = ("is_name", "message", "shape", "values")

    message: str
    values: Mapping[str, str]
    shape: Shape | None
    is_name: bool

    def __new__(
        cls,
        message: str,
        values: Mapping[str, str] | None = None,
        shape: Shape | None = None,
        *,
        is_name: bool = False,
    ) -> Self:
        """The text; raises KeyError for a value that the message asks for and that is missing."""
        held = dict(values or {})
        english = message.format(**held) if held else message
        made = super().__new__(cls, shape(english) if shape else english)
        made.message, made.values, made.shape = message, held, shape
        made.is_name = is_name
        return made

    def __add__(self, other: str) -> str:
        """The two one after the other, each told in the language by itself."""
        return joined("", (self, other))

    def __str__(self) -> str:
        """Itself: what is made a text of is still told in each language."""
        return self

    def __reduce__(self) -> tuple[object, ...]:
        return _again, (self.message, self.values, self.shape, self.is_name)

    def __deepcopy__(self, memo: object) -> Said:
        return self  # nothing in it changes


def _again(
    message: str,
    values: Mapping[str, str],
    shape: Shape | None,
    is_name: bool,  # noqa: FBT001
) -> Said:
    return Said(message, values, shape, is_name=is_name)


def mark(text: str) -> str:
    """A text without values, as the catalogs have it."""
    return text if isinstance(text, Said) else Said(text)


def named(text: str) -> str:
    """What a part is called: by us, and told in each language, or by whoever wrote the file."""
    return text if isinstance(text, Said) else Said(text, is_name=True)


def say(message: str, **values: object) -> str:
    """A message with its values put in: `say("replace the {noun}", noun=...)`.

    A number comes in as it is to be read. Raises KeyError for a value that is missing.
    """
    return Said(message, {k: v if isinstance(v, str) else str(v) for k, v in values.items()})


def joined(between: str, texts: Iterable[str]) -> str:
    """Texts one after another; each goes into the language by itself.

    between: a sign, which is the same in every language.
    """
    held = {f"t{at}": each for at, each in enumerate(texts)}
    sign = between.replace("{", "{{").replace("}", "}}")
    return Said(sign.join(f"{{{name}}}" for name in held), held)


def shaped(text: str, shape: Shape) -> str:
    """The text after `shape`; one that knows its message goes through it in every language."""
    if not isinstance(text, Said):
        return shape(text)
    return Said("{text}", {"text": text}, shape)


def capital(text: str) -> str:
    """The text with a capital first, as a sentence or a heading has it, in every language."""
    return shaped(text, _capital)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
