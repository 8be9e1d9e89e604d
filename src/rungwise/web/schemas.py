"""One view model a page, with two faces: HTML, and its JSON twin at the same path + ".json".

This module does without postponed annotations: FastAPI reads the closures' own.
"""

from collections.abc import Callable, Mapping
from typing import Annotated, ParamSpec, Self, TypeVar, get_type_hints

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse
from markupsafe import Markup
from pydantic import (
    ConfigDict,
    PlainSerializer,
    PrivateAttr,
)

from rungwise.parts import Caution
from rungwise.unit import Unit
from rungwise.web.errors import Refused
from rungwise.web.shown import Shown
from rungwise.web.spots import terminal_names
from rungwise.web.templating import render

CautionLine = Annotated[Caution, PlainSerializer(str, return_type=str, when_used="json")]
"""A caution as a page has it; its twin tells it as one line, the signal word first."""

P = ParamSpec("P")
V = TypeVar("V", bound="View")


class View(Shown):
    """What a page shows. Both faces are made of it, and nothing that it lacks is on either."""

    model_config = ConfigDict(extra="forbid")

    title: str
    _names: Mapping[str, str] = PrivateAttr(default_factory=dict)
    _pictures: dict[str, Callable[[], str]] = PrivateAttr(default_factory=dict)

    def about(self, unit: Unit) -> Self:
        """Let the page call the terminals of a unit as a person does; the twin keeps the file's."""
        self._names = terminal_names(unit)
        return self

    @property
    def names(self) -> Mapping[str, str]:
        """What a person calls a terminal, by its name in the file."""
        return self._names

    def draw(self, name: str, make: Callable[[], str]) -> None:
        """Give the page a picture that the twin does not have; made when the page asks for it."""
        self._pictures[name] = make

    def drawn(self, name: str) -> Markup:
        """The picture of that name as it goes into the page."""
        return Markup(self._pictures[name]())  # noqa: S704  # our own drawing, escaped there


def page(router: APIRouter, path: str, template: str) -> Callable[[Callable[P, V]], Callable[P, V]]:
    """Put a page into a router: what it decorates makes the view from path, query and `Here`.

    template: its file below web/templates/; it gets the view as `view`.
    The docstring of what makes the view becomes the twin's description in OpenAPI.
    """

    def put(make: Callable[P, V]) -> Callable[P, V]:
        router.add_api_route(
            f"{path}.json",  # first, or the page's own path would take ".json" for its number
            make,
            response_model=get_type_hints(make)["return"],
            responses={404: {"model": Refused}, 422: {"model": Refused}},
        )

        def html(request: Request, view: Annotated[View, Depends(make)]) -> HTMLResponse:
            return render(request, template, view=view, names=view.names)

        router.add_api_route(
            path, html, response_class=HTMLResponse, include_in_schema=False, name=make.__name__
        )
        return make

    return put
