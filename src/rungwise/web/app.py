"""The app: its rooms, its doors, and what stands at each of them."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from functools import cache
from typing import TYPE_CHECKING

from fastapi import APIRouter, Depends, FastAPI
from fastapi.responses import RedirectResponse
from starlette.middleware.gzip import GZipMiddleware
from starlette.routing import BaseRoute

from rungwise.version import __version__
from rungwise.web import errors, installed, secure, statics, submission
from rungwise.web.deps import AppState
from rungwise.web.middleware import Guard, Receipts, Speaks
from rungwise.web.pages.ahead.route import router as ahead
from rungwise.web.pages.along.route import router as along_work
from rungwise.web.pages.call.along import router as along
from rungwise.web.pages.call.route import router as call
from rungwise.web.pages.day.route import router as day
from rungwise.web.pages.demo.route import router as demo
from rungwise.web.pages.demo.shop import DemoShop
from rungwise.web.pages.health.route import router as health
from rungwise.web.pages.lost_wires.route import router as lost_wires
from rungwise.web.pages.make_dead.route import router as make_dead
from rungwise.web.pages.new_unit.route import router as new_unit
from rungwise.web.pages.paper.route import router as paper
from rungwise.web.pages.part.route import router as part
from rungwise.web.pages.person.route import router as person
from rungwise.web.pages.phone.route import router as phone
from rungwise.web.pages.photo.route import router as photo
from rungwise.web.pages.practice import deps
from rungwise.web.pages.practice.route import router as practice
from rungwise.web.pages.proof.results import warm_up
from rungwise.web.pages.proof.route import router as proof
from rungwise.web.pages.read_photo.route import router as read_photo
from rungwise.web.pages.shape.own import router as own
from rungwise.web.pages.shape.route import router as shape
from rungwise.web.pages.shape.route import warm_up as arrangements_warm_up
from rungwise.web.pages.share.route import router as share
from rungwise.web.pages.sign_off.route import router as sign_off
from rungwise.web.pages.sticker.route import router as sticker
from rungwise.web.pages.timer.route import router as timer
from rungwise.web.pages.undo.route import router as undo
from rungwise.web.pages.units.route import router as units
from rungwise.web.pages.van.route import router as van
from rungwise.web.pages.wire_photo.route import router as wire_photo
from rungwise.web.pages.wires.route import router as wires

if TYPE_CHECKING:
    from rungwise.records import Store
    from rungwise.services import DiagnosisService
    from rungwise.web.secure import Secure

PAGES = (
    day,
    demo,
    along,
    along_work,
    call,
    make_dead,
    part,
    van,
    wires,
    wire_photo,
    lost_wires,
    proof,
    sign_off,
    paper,
    share,
    shape,
    own,
    new_unit,
    read_photo,
    sticker,
    timer,
    undo,
    units,
    ahead,
    photo,
    phone,
    person,
    practice,
    health,
)
"""One router a noun. A new page is put in here."""


@asynccontextmanager
async def _lifespan(app: FastAPI) -> AsyncIterator[None]:
    """Once the server runs, load what would make the first page about cooling wait."""
    warm_up()
    arrangements_warm_up()
    yield
    app.state.demo.close()


def create_app(
    store: Store,
    desk: DiagnosisService,
    names: frozenset[str] | None = None,
    trust: Secure | None = None,
    reports: str = "",
) -> FastAPI:
    """The app over one shop's records.

    names: under which it answers, besides the addresses of machines; None for any name. trust:
    what phones install to trust it, where it is served with a certificate of the shop's own.
    reports: what links to customer reports begin with, where that is not this app's own address.

    Every page is at a path, and as JSON at the same path + ".json"; /openapi.json describes those.
    """
    app = FastAPI(
        title="Rungwise", version=__version__, docs_url=None, redoc_url=None, lifespan=_lifespan,
        routes=[*_doors()],
    )  # fmt: skip
    app.state.house = AppState(store, desk, trust, reports.rstrip("/"))
    app.state.demo = DemoShop(desk)
    app.add_middleware(GZipMiddleware, minimum_size=800, compresslevel=5)
    app.add_middleware(Speaks)
    app.add_middleware(Guard, names=names)
    app.add_middleware(Receipts)  # outermost: it answers for what the guard turns away too
    errors.install(app)
    submission.install(app)
    deps.install(app)
    return app


@cache
def _doors() -> tuple[BaseRoute, ...]:
    """Where each page is found: FastAPI reads the forms of all once, not once for each app."""
    doors = APIRouter()
    for plain in (statics.router, secure.router, installed.router):
        doors.include_router(plain)
    for router in PAGES:
        doors.include_router(router, dependencies=[Depends(deps.keep_apart)])

    @doors.get("/", include_in_schema=False)
    def front_door() -> RedirectResponse:
        return RedirectResponse("/day", status_code=307)

    return tuple(doors.routes)
