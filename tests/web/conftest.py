"""What the tests of the pages share: one unit solved with few particles, and a shop of its own."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from tests.tables import solved
from tests.web.mill_street import UNIT_TOML, Shop, furnish

from rungwise.records import Store
from rungwise.services import DiagnosisService, unit_from_text
from rungwise.services.runtime.table_store import SUFFIX, digest_of
from rungwise.web.app import create_app

PARTICLES = 2
"""Enough to tell open from closed; the numbers of a verdict are tested where they are made."""


@pytest.fixture(scope="session")
def tables(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the solved unit, made once."""
    folder = tmp_path_factory.mktemp("tables")
    unit = unit_from_text(UNIT_TOML)
    digest = digest_of(unit)
    replace(solved(unit, particles=PARTICLES), digest=digest).save(folder / f"{digest}{SUFFIX}")
    return folder


@pytest.fixture(scope="session")
def desk(tables: Path) -> Iterator[DiagnosisService]:
    made = DiagnosisService(tables)
    made.table(unit_from_text(UNIT_TOML))
    yield made
    made.close()


@pytest.fixture(scope="session")
def empty_database(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database with its tables, copied for each test: making them takes longest."""
    path = tmp_path_factory.mktemp("store") / "empty.sqlite"
    Store.open(f"sqlite:///{path}").close()
    return path


@pytest.fixture(scope="session")
def furnished_shop(empty_database: Path) -> tuple[Path, Shop]:
    """A database with two persons, the unit in Mill Street, and an open call on it."""
    path = empty_database.with_name("furnished.sqlite")
    shutil.copy(empty_database, path)
    made = Store.open(f"sqlite:///{path}")
    shop = furnish(made)
    made.close()
    return path, shop


@pytest.fixture
def store(
    empty_database: Path,
    furnished_shop: tuple[Path, Shop],
    tmp_path: Path,
    request: pytest.FixtureRequest,
) -> Iterator[Store]:
    """A store of the test's own: with the shop in it where the test asks for one, else empty."""
    from_path = furnished_shop[0] if "shop" in request.fixturenames else empty_database
    shutil.copy(from_path, tmp_path / "shop.sqlite")
    made = Store.open(f"sqlite:///{tmp_path / 'shop.sqlite'}")
    yield made
    made.close()


@pytest.fixture
def shop(furnished_shop: tuple[Path, Shop]) -> Shop:
    """Two persons, the unit in Mill Street, and an open call on it."""
    return furnished_shop[1]


@pytest.fixture
def page(store: Store, desk: DiagnosisService, shop: Shop) -> TestClient:
    """A phone in the hand of the first of them."""
    return TestClient(create_app(store, desk), cookies={"person": str(shop.amari)})


@pytest.fixture(scope="module")
def shown(
    empty_database: Path, tmp_path_factory: pytest.TempPathFactory, desk: DiagnosisService
) -> Iterator[TestClient]:
    """A phone that only looks: one shop for all tests of a file that write nothing."""
    path = tmp_path_factory.mktemp("shown") / "shop.sqlite"
    shutil.copy(empty_database, path)
    made = Store.open(f"sqlite:///{path}")
    yield TestClient(create_app(made, desk), cookies={"person": str(furnish(made).amari)})
    made.close()
