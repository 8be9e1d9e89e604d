"""`rungwise work`: a whole call, from the cause to the dead unit, the part and the wires."""

from __future__ import annotations

from typing import TYPE_CHECKING

import typer

from rungwise.cli.options import AsJson, CallFile, Complaint

if TYPE_CHECKING:
    from rungwise.services import CallDiagnosis, Isolation


def work(call: CallFile, complaint: Complaint = None, as_json: AsJson = False) -> None:
    """Work a call: the cause, the next check and why, how to make the unit dead, part and wires.

    Exit code 1 while there is no answer to act on, when the part fitted does not serve, or when a
    wire has to be put right.

    Example: rungwise work examples/maple-hollow/call-01-suspected-contactor.toml
    """
    from rungwise.cli.printing import waiting
    from rungwise.services import answered, isolation_of

    answer = answered(call, waiting, complaint or ())
    unit = answer.opened.unit
    with waiting(f"opening the devices of {unit.name} in turn"):
        isolation = isolation_of(unit, "cabinet", answer)
    serves = _print_json(answer, isolation) if as_json else _tell(answer, isolation)
    if not (answer.decided and serves):
        raise typer.Exit(1)


def _print_json(answer: CallDiagnosis, isolation: Isolation) -> bool:
    from rungwise.cli.printing import print_json
    from rungwise.services import diagnosis_json, fitted_part, wired

    fitted, wires = fitted_part(answer), wired(answer)
    print_json(
        {
            **diagnosis_json(answer),
            "isolation": isolation.as_json(),
            "fitted": fitted.as_json() if fitted else None,
            "wires": wires.as_json() if wires else None,
        }
    )
    return (fitted is None or fitted.served) and (wires is None or wires.good)


def _tell(answer: CallDiagnosis, isolation: Isolation) -> bool:
    from rungwise.cli.fitting_told import tell_fitted
    from rungwise.cli.isolation_told import tell_isolation
    from rungwise.cli.page import Page
    from rungwise.cli.recovering_told import tell_wired
    from rungwise.cli.telling import tell_answer
    from rungwise.services import fitted_part, wired

    page = Page()
    tell_answer(page, answer)
    tell_isolation(page, isolation)
    # Last, so that a slip about part or wires costs nothing of what the readings said.
    fitted = fitted_part(answer)
    if fitted:
        tell_fitted(page, fitted)
    wires = wired(answer)
    if wires:
        tell_wired(page, wires)
    return (fitted is None or fitted.served) and (wires is None or wires.good)
