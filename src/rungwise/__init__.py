"""Rungwise: work a no-cool call by solving the unit's circuit.

The library, told with examples in `docs/library.md`:

- `load` opens a unit: a file, or a shipped arrangement by its name;
- `solve` gives the volts at every terminal, the amps, and what each load does;
- `expect` gives what every check should read, healthy and with a fault;
- `diagnose` gives the cause and the next check from readings;
- `isolate`, `fit`, `rewire`, `recover` and `prove` answer the work that follows.

Importing the package loads nothing heavy; each of these is imported when it is first used.
"""

from rungwise.version import __version__

TYPE_CHECKING = False
"""True to a type checker alone; `typing` itself takes as long as all the rest of this file."""

if TYPE_CHECKING:
    from rungwise.library import (
        UnitModel,
        diagnose,
        expect,
        fit,
        isolate,
        load,
        prove,
        recover,
        rewire,
        solve,
    )


__all__ = [
    "UnitModel",
    "__version__",
    "diagnose",
    "expect",
    "fit",
    "isolate",
    "load",
    "prove",
    "recover",
    "rewire",
    "solve",
]


if not TYPE_CHECKING:  # or a checker would take any name

    def __getattr__(name: str) -> object:
        """One of the library's names, imported when it is first asked for (PEP 562)."""
        if name not in __all__:
            raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
        from rungwise import library  # noqa: PLC0415  # so that the import loads nothing heavy

        found = globals()[name] = getattr(library, name)
        return found


def __dir__() -> list[str]:
    """Its own names and the library's."""
    return sorted({*globals(), *__all__})
