"""`rungwise serve`: the app, for the phone in the yard and the desk in the office."""

from __future__ import annotations

import gc
import signal
import sys
from pathlib import Path
from typing import Annotated

import typer

__all__ = ["serve"]

EVERYWHERE = ("0.0.0.0", "::")  # noqa: S104  # compared with, and bound only when asked for


def serve(  # the options of the command
    host: Annotated[
        str,
        typer.Option("--host", help="Address to listen on; 0.0.0.0 lets phones in."),
    ] = "127.0.0.1",
    port: Annotated[int, typer.Option("--port", min=1, max=65535, help="Port.")] = 8470,
    database: Annotated[
        str,
        typer.Option(
            "--database",
            metavar="URL",
            help="Where the records are; RUNGWISE_DATABASE or a file of the user's otherwise.",
        ),
    ] = "",
    host_name: Annotated[
        list[str] | None,
        typer.Option(
            "--host-name",
            metavar="NAME",
            help="A name of this machine, or of a proxy before it; may be repeated.",
        ),
    ] = None,
    tables: Annotated[
        Path | None,
        typer.Option("--tables", metavar="FOLDER", help="Where solved units are kept."),
    ] = None,
) -> None:
    """Show the shop's records as pages, until Ctrl-C.

    Example: rungwise serve --host 0.0.0.0
    """
    import uvicorn

    from rungwise.records import Store
    from rungwise.services import DiagnosisService, elsewhere_open
    from rungwise.web import create_app

    # The server raises the signal again once it has stopped, and what is open must be closed.
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(0))
    _refuse_taken(host, port)
    store, desk = Store.open(database or None), DiagnosisService(tables)
    _tell_address(host, port)
    app = create_app(store, desk, _names(host, host_name or []))
    # What is loaded by now stays: looking through it for garbage took a page a tenth of a second.
    gc.collect()
    gc.freeze()
    try:
        with elsewhere_open():
            uvicorn.run(app, host=host, port=port, log_level="warning")
    finally:
        gc.unfreeze()  # or a library takes what stayed for leaked, and says so
        desk.close()
        store.close()


def _refuse_taken(host: str, port: int) -> None:
    """Raise BadInput before anything is told of an address that cannot be listened on."""
    import socket

    from rungwise.errors import BadInput

    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError as fault:
            raise BadInput(
                what=f"The pages cannot be at this address: {fault.strerror or fault}.",
                value=f"{host}:{port}",
                next_step="name another with --port or --host",
            ) from fault


def _names(host: str, given: list[str]) -> frozenset[str]:
    """The names under which it answers: its own, what it listens on, and those that were given."""
    import socket

    own = socket.gethostname().lower()
    names = {"localhost", own, f"{own.partition('.')[0]}.local", host, *given}
    return frozenset(each.lower() for each in names)


def _tell_address(host: str, port: int) -> None:
    """Where the pages are; for phones as a code to point the camera at."""
    if host not in EVERYWHERE:
        typer.echo(f"The pages are at http://{host}:{port}/ until Ctrl-C.")
        return
    import segno

    address = f"http://{_own_address()}:{port}/"
    typer.echo(f"The pages are at {address} for everybody in this network, until Ctrl-C.")
    segno.make(address, micro=False).terminal(compact=True)


def _own_address() -> str:
    """This machine's address as others in the network see it."""
    import socket

    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # reserved for examples; nothing is sent to it
        except OSError:
            return socket.gethostname()
        return str(probe.getsockname()[0])
