"""`rungwise serve`: the app, for the phone in the yard and the desk in the office."""

from __future__ import annotations

import gc
import re
import signal
import sys
import threading
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NamedTuple
from urllib.parse import urlsplit

import typer

if TYPE_CHECKING:
    import uvicorn
    from fastapi import FastAPI
    from starlette.types import ASGIApp

    from rungwise.web import Secure

_DOMAIN = re.compile(r"\..*")
"""What stands behind a computer's own name."""

EVERYWHERE = ("0.0.0.0", "::")  # noqa: S104  # compared with, and bound only when asked for


ReportsPort = Annotated[
    int | None,
    typer.Option("--reports-port", min=1, max=65535, help="A door that opens shared reports only."),
]
ReportsAddress = Annotated[
    str,
    typer.Option("--reports-address", metavar="URL", help="What links to reports begin with."),
]


def serve(  # noqa: PLR0913, PLR0917  # the options of the command
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
    https: Annotated[
        bool,
        typer.Option("--https", help="With a certificate of the shop's own, for work offline."),
    ] = False,
    authority: Annotated[
        Path | None,
        typer.Option("--authority", metavar="FOLDER", help="Where the shop's authority is kept."),
    ] = None,
    reports_port: ReportsPort = None,
    reports_address: ReportsAddress = "",
) -> None:
    """Show the shop's records as pages, until Ctrl-C.

    Example: rungwise serve --host 0.0.0.0 --https
    """
    from rungwise.records import Store
    from rungwise.services import DiagnosisService, elsewhere_open
    from rungwise.web import create_app

    # The server raises the signal again once it has stopped, and what is open must be closed.
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(0))
    for each in filter(None, (port, port + 1 if https else None, reports_port)):
        _refuse_taken(host, each)
    reports = _reports(host, reports_port, reports_address)
    names = _names(host, [*(host_name or []), *filter(None, [urlsplit(reports).hostname])])
    lock = _lock(authority, host, port, names, host_name or []) if https else None
    store, desk = Store.open(database or None), DiagnosisService(tables)
    _tell_address(host, port, lock)
    app = create_app(store, desk, names, lock and lock.trust, reports)
    # What is loaded by now stays: looking through it for garbage took a page a tenth of a second.
    gc.collect()
    gc.freeze()
    try:
        with elsewhere_open():
            _listen(app, host, port, lock, reports_port)
    finally:
        gc.unfreeze()  # or a library takes what stayed for leaked, and says so
        desk.close()
        store.close()


class _Lock(NamedTuple):
    """What a server needs to speak HTTPS: its certificate and key, and what phones install."""

    certificate: Path
    key: Path
    trust: Secure


def _lock(
    folder: Path | None, host: str, port: int, names: frozenset[str], given: list[str]
) -> _Lock:
    """The shop's authority, made the first time, and what it signs for this server.

    names: all that it answers under; of those the machine has by itself only what it may sign
    for. given: by whoever started it, refused where it may not.
    """
    from rungwise.records import data_folder
    from rungwise.web import Authority, Secure

    kept = Authority.of(folder or data_folder() / "authority")
    own = _own_address() if host in EVERYWHERE else host
    signed = {name for name in names - set(EVERYWHERE) if kept.may_sign(name)}
    certificate, key = kept.server_files({*signed, own, *given})
    trust = Secure(
        kept.der, kept.fingerprint, f"http://{own}:{port + 1}/", f"https://{own}:{port}/"
    )
    return _Lock(certificate, key, trust)


def _listen(
    app: FastAPI, host: str, port: int, lock: _Lock | None, reports_port: int | None
) -> None:
    """Answer until Ctrl-C; with a lock also at the plain door beside it, and at that of reports."""
    import uvicorn

    from rungwise.web import Door, ReportDoor

    doors = [_beside(Door(lock.trust, app), host, port + 1)] if lock else []
    doors += [_beside(ReportDoor(app), host, reports_port)] if reports_port else []
    certificate, key = (lock.certificate, lock.key) if lock else (None, None)
    try:
        uvicorn.run(
            app, host=host, port=port, log_level="warning",
            ssl_certfile=certificate, ssl_keyfile=key,
        )  # fmt: skip
    finally:
        for server, thread in doors:
            server.should_exit = True
            thread.join(5)


def _beside(door: ASGIApp, host: str, port: int) -> tuple[uvicorn.Server, threading.Thread]:
    """A door beside the app, listening in a thread of its own."""
    import uvicorn

    config = uvicorn.Config(door, host=host, port=port, log_level="warning", lifespan="off")
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, daemon=True, name=f"door at {port}")
    thread.start()
    return server, thread


def _reports(host: str, port: int | None, address: str) -> str:
    """What links to shared reports begin with, "" for the address of the pages themselves."""
    if address or port is None:
        return address
    return f"http://{_own_address() if host in EVERYWHERE else host}:{port}"


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
    names = {"localhost", own, f"{_DOMAIN.sub('', own)}.local", host, *given}
    return frozenset(each.lower() for each in names)


def _tell_address(host: str, port: int, lock: _Lock | None) -> None:
    """Where the pages are; for phones as a code to point the camera at."""
    if lock is not None:
        typer.echo(f"The pages are at {lock.trust.address} until Ctrl-C.")
        typer.echo(f"A phone opens {lock.trust.door} once, to trust this server. Compare there:")
        typer.echo(lock.trust.fingerprint)
    elif host not in EVERYWHERE:
        typer.echo(f"The pages are at http://{host}:{port}/ until Ctrl-C.")
    if host not in EVERYWHERE:
        return
    import segno

    address = lock.trust.door if lock else f"http://{_own_address()}:{port}/"
    if lock is None:
        typer.echo(f"The pages are at {address} for everybody in this network, until Ctrl-C.")
        typer.echo("Without --https a phone needs signal for every page.")
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
