"""How the server is: whether its records can be reached, and how much it keeps at hand."""

from __future__ import annotations

from http import HTTPStatus

from fastapi import APIRouter, Request, Response
from pydantic import BaseModel, Field

from rungwise.errors import StoreError
from rungwise.services import RESULTS
from rungwise.web.deps import AppState

router = APIRouter()


class KindUsage(BaseModel):
    """Results of one kind, such as fault tables or pictures."""

    results: int
    used_byte: int


class CacheHealth(BaseModel):
    """What is kept at hand. used_byte is over limit_byte only where one result alone is larger."""

    used_byte: int
    limit_byte: int
    by_kind: dict[str, KindUsage]


class Health(BaseModel):
    """How the server is."""

    database: bool = Field(description="whether the records can be read now")
    trouble: str = Field(description="why they cannot, empty where they can")
    tables: int = Field(description="units whose fault table is at hand or under way")
    cache: CacheHealth


@router.get("/health", include_in_schema=False)
@router.get("/health.json")
def health(request: Request, response: Response) -> Health:
    """Whether the records can be read, and how full the cache is; 503 where they cannot."""
    state: AppState = request.app.state.house  # who asks is no person of the shop
    trouble = ""
    try:
        with state.store.reading():
            pass
    except StoreError as error:
        trouble = str(error.args[0])
        response.status_code = HTTPStatus.SERVICE_UNAVAILABLE
    usage = RESULTS.usage()
    kinds = {
        kind: KindUsage(results=count, used_byte=size)
        for kind, (count, size) in sorted(usage.by_kind.items())
    }
    return Health(
        database=not trouble,
        trouble=trouble,
        tables=kinds["fault tables"].results if "fault tables" in kinds else 0,
        cache=CacheHealth(used_byte=usage.used_byte, limit_byte=usage.limit_byte, by_kind=kinds),
    )
