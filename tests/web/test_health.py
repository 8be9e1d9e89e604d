"""A monitor asks one address how the server is."""

from __future__ import annotations

import pytest
from fastapi.testclient import TestClient
from tests.web.mill_street import Shop

from rungwise.errors import StoreError
from rungwise.records import Store
from rungwise.services.runtime.result_cache import LIMIT_BYTE


def test_health_tells_the_database_the_tables_and_the_bytes_kept(
    page: TestClient, shop: Shop
) -> None:
    assert page.get(f"/calls/{shop.call}").status_code == 200
    told = page.get("/health").json()
    assert told["database"] is True
    assert told["trouble"] == ""
    assert told["tables"] >= 1
    cache = told["cache"]
    assert cache["limit_byte"] == LIMIT_BYTE
    assert 0 < cache["used_byte"] <= LIMIT_BYTE
    assert cache["used_byte"] == sum(each["used_byte"] for each in cache["by_kind"].values())
    assert cache["by_kind"]["answers"]["used_byte"] > 10_000
    assert page.get("/health.json").json().keys() == told.keys()


def test_records_that_cannot_be_read_are_told_with_503(
    page: TestClient, store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    def gone(*_: object, **__: object) -> None:
        raise StoreError("The file of the records is gone.", next_step="put it back")

    monkeypatch.setattr(store, "reading", gone)
    answer = page.get("/health")
    assert answer.status_code == 503
    assert answer.json()["database"] is False
    assert "gone" in answer.json()["trouble"]
