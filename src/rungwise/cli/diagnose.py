"""`rungwise diagnose`: the cause and the next check of one call."""

from __future__ import annotations

import typer

from rungwise.cli.options import AsJson, CallFile, Complaint


def diagnose(call: CallFile, complaint: Complaint = None, as_json: AsJson = False) -> None:
    """Say what is wrong as far as the readings tell, and which check to make next.

    Exit code 1 while there is no answer to act on.

    Example: rungwise diagnose examples/maple-hollow/call-02-no-call.toml
    """
    from rungwise.cli.printing import waiting
    from rungwise.services import answered

    answer = answered(call, waiting, complaint or ())
    if as_json:
        from rungwise.cli.printing import print_json
        from rungwise.services import diagnosis_json

        print_json(diagnosis_json(answer))
    else:
        from rungwise.cli.page import Page
        from rungwise.cli.telling import tell_answer

        tell_answer(Page(), answer)
    if not answer.decided:
        raise typer.Exit(1)
