"""Pages in the language and the units of who reads them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

import rungwise.web

WEB = Path(rungwise.web.__file__).parent
PAGES = sorted(WEB.rglob("*.html"))
PATHS = ("/day", "/new-call", "/person", "/units", "/calls/1", "/calls/1/dead", "/calls/1/part",
         "/calls/1/wires", "/calls/1/proof", "/calls/1/sign-off", "/practice",
         "/ahead")  # fmt: skip

_CODE = re.compile(
    r"\{#.*?#\}|\{%.*?%\}|\{\{.*?\}\}|<svg.*?</svg>|<script.*?</script>|<[^<>]*>", re.DOTALL
)
_BLOCK = re.compile(r"\{% block (?:wide|again) %\}.*?\{% endblock %\}")
_TRANS = re.compile(r"\{% trans.*?\{% endtrans %\}", re.DOTALL)
_SIGNS = {"Rungwise", "OL", "PDF", "AWG", "to"}
"""The same in every language, or between two names of terminals."""


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.name)
def test_every_text_of_a_template_is_marked(path: Path) -> None:
    source = _TRANS.sub("", _BLOCK.sub("", path.read_text(encoding="utf-8")))
    words = re.findall(r"[A-Za-z]{2,}", _CODE.sub(" ", source))
    assert set(words) <= _SIGNS


@pytest.fixture(scope="module")
def spanish(shown: TestClient) -> dict[str, str]:
    told = {"cookie": "language=es"}
    return {path: shown.get(path, headers=told).text for path in PATHS}


@pytest.mark.parametrize("path", PATHS)
def test_a_page_says_its_language_and_speaks_it(spanish: dict[str, str], path: str) -> None:
    assert '<html lang="es"' in spanish[path]
    assert "Idioma" in spanish[path]
    assert "\ue000" not in spanish[path]


def test_the_language_is_the_browsers_where_nobody_chose(shown: TestClient) -> None:
    page = shown.get("/day", headers={"accept-language": "es-MX,es;q=0.9"})
    assert page.headers["content-language"] == "es"
    assert '<html lang="en"' in shown.get("/day", headers={"accept-language": "fr"}).text


def test_a_text_without_translation_is_marked_as_english() -> None:
    from rungwise.web.languages import put, told_apart  # noqa: PLC0415  # beside its only use
    from rungwise.wording import mark, speaking  # noqa: PLC0415

    with speaking("es"):
        shown = put(mark("no such message at all"))
        page = told_apart(f'<p title="{shown}">{shown}</p>')
    english = "no such message at all"
    assert page == f'<p title="{english}"><span lang="en">{english}</span></p>'


def test_the_choices_stand_in_a_cookie(shown: TestClient) -> None:
    for path, told in (("/language", {"language": "es"}), ("/measures", {"system": "si"})):
        answer = shown.post(path, data={**told, "back": "/day"}, follow_redirects=False)
        assert answer.status_code == 303
        assert next(iter(told.values())) in answer.headers["set-cookie"]
    shown.cookies.clear()
