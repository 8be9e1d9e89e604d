"""What a phone installs: the manifest, the worker, their files, and how much all of it weighs."""

from __future__ import annotations

import gzip
import json
import plistlib
import re
from io import BytesIO
from pathlib import Path

import pytest
from cryptography import x509
from fastapi.testclient import TestClient
from PIL import Image

from rungwise.errors import BadInput
from rungwise.web import Authority, Secure

MOST_BYTE = 200_000
"""Of a first load, as sent."""


def shell(page: TestClient) -> list[str]:
    """The files that the worker keeps."""
    first = page.get("/service-worker.js").text.partition("\n")[0]
    files: list[str] = json.loads(first.removeprefix("const SHELL = ").rstrip(";"))["files"]
    return files


def as_sent(page: TestClient, path: str) -> int:
    answer = page.get(path)
    assert answer.status_code == 200, path
    return len(gzip.compress(answer.content, 5))


def test_a_first_load_is_under_200_kb_as_sent(page: TestClient) -> None:
    """The day's page, everything that the worker keeps, manifest and worker."""
    own = ["/day", "/manifest.webmanifest", "/service-worker.js", "/phone/no-signal"]
    weights = {path: as_sent(page, path) for path in [*own, *shell(page)]}
    assert sum(weights.values()) < MOST_BYTE, weights


def test_the_worker_keeps_every_file_that_a_page_asks_for(page: TestClient) -> None:
    kept = set(shell(page))
    for path in ("/day", "/units", "/phone", "/person"):
        asked = re.findall(r'(?:href|src)="(/static/[^"]+)"', page.get(path).text)
        assert asked
        assert set(asked) <= kept, path


def test_the_manifest_names_icons_of_the_sizes_that_it_says(page: TestClient) -> None:
    told = page.get("/manifest.webmanifest").json()
    assert told["display"] == "standalone"
    for icon in told["icons"]:
        drawn = Image.open(BytesIO(page.get(icon["src"]).content))
        assert icon["sizes"] == "{}x{}".format(*drawn.size)
    assert {icon["purpose"] for icon in told["icons"]} == {"any", "maskable"}


def test_the_worker_is_asked_for_anew_each_time(page: TestClient) -> None:
    assert page.get("/service-worker.js").headers["cache-control"] == "no-cache"


def test_an_authority_signs_for_this_building_only(tmp_path: Path) -> None:
    made = Authority.of(tmp_path)
    with pytest.raises(BadInput, match="only for this building"):
        made.server_files(["shop.example"])
    with pytest.raises(BadInput, match="only for this building"):
        made.server_files(["192.0.2.7"])
    certificate, _ = made.server_files(["192.168.4.20", "office.local"])
    told = x509.load_pem_x509_certificate(certificate.read_bytes())
    told.verify_directly_issued_by(made.certificate)
    names = told.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    assert "office.local" in names.get_values_for_type(x509.DNSName)
    bounds = made.certificate.extensions.get_extension_for_class(x509.NameConstraints)
    assert bounds.critical


def test_an_authority_is_made_once_and_its_keys_are_the_owners_alone(tmp_path: Path) -> None:
    first = Authority.of(tmp_path)
    certificate, key = first.server_files(["10.0.0.5"])
    held = certificate.read_bytes()
    again = Authority.of(tmp_path)
    assert again.fingerprint == first.fingerprint
    assert again.server_files(["10.0.0.5"]) == (certificate, key)
    assert certificate.read_bytes() == held
    again.server_files(["10.0.0.6"])
    assert certificate.read_bytes() != held
    for each in (tmp_path / "authority.key", key):
        assert each.stat().st_mode & 0o077 == 0


def test_a_damaged_authority_is_told_and_not_replaced(tmp_path: Path) -> None:
    Authority.of(tmp_path)
    (tmp_path / "authority.key").write_text("no key")
    with pytest.raises(BadInput, match="authority cannot be used"):
        Authority.of(tmp_path)


def test_the_profile_holds_the_certificate(tmp_path: Path) -> None:
    made = Authority.of(tmp_path)
    trust = Secure(made.der, made.fingerprint, "http://10.0.0.5:8471/", "https://10.0.0.5:8470/")
    (held,) = plistlib.loads(trust.profile)["PayloadContent"]
    assert held["PayloadContent"] == made.der


def test_without_an_authority_the_page_says_how_to_come_by_one(page: TestClient) -> None:
    assert "rungwise serve --https" in page.get("/phone").text
    assert page.get("/authority.crt").status_code == 404
