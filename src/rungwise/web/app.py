"""The app: its rooms, its doors, and what stands at each of them."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import TYPE_CHECKING

from fastapi import Depends, FastAPI
from fastapi.responses import RedirectResponse
from starlette.middleware.gzip import GZipMiddleware

from rungwise import __version__
from rungwise.web import practice_apart, refusals, sending, statics
from rungwise.web.headers import Guard
from rungwise.web.here import House
from rungwise.web.pages import (
    ahead,
    call,
    day,
    lost_wires,
    make_dead,
    new_unit,
    paper,
    part,
    person,
    photo,
    practice,
    proof,
    sign_off,
    units,
    wires,
)
from rungwise.web.proof_answers import warm_up
from rungwise.web.receipts import Receipts

if TYPE_CHECKING:
    from rungwise.records import Store
    from rungwise.services import Desk

__all__ = ["create_app"]

PAGES = (
    day.router,
    call.router,
    make_dead.router,
    part.router,
    wires.router,
    lost_wires.router,
    proof.router,
    sign_off.router,
    paper.router,
    new_unit.router,
    units.router,
    ahead.router,
    photo.router,
    person.router,
    practice.router,
)
"""One router a noun. A new page is put in here."""


@asynccontextmanager
async def _lifespan(_: FastAPI) -> AsyncIterator[None]:
    """Once the server runs, load what would make the first page about cooling wait."""
    warm_up()
    yield


def create_app(store: Store, desk: Desk, names: frozenset[str] | None = None) -> FastAPI:
    """The app over one shop's records.

    names: under which it answers, besides the addresses of machines; None for any name.

    Every page is at a path, and as JSON at the same path + ".json"; /openapi.json describes those.
    """
    app = FastAPI(
        title="Rungwise", version=__version__, docs_url=None, redoc_url=None, lifespan=_lifespan
    )
    app.state.house = House(store, desk)
    app.add_middleware(GZipMiddleware, minimum_size=800, compresslevel=5)
    app.add_middleware(Guard, names=names)
    app.add_middleware(Receipts)  # outermost: it answers for what the guard turns away too
    refusals.install(app)
    sending.install(app)
    practice_apart.install(app)
    app.include_router(statics.router)
    for router in PAGES:
        app.include_router(router, dependencies=[Depends(practice_apart.keep_apart)])

    @app.get("/", include_in_schema=False)
    def front_door() -> RedirectResponse:
        return RedirectResponse("/day", status_code=307)

    return app
