"""The customer's page in another language: whole, or it is no page for that customer."""

from __future__ import annotations

from tests.report.reading_back import text_of

from rungwise.report import Extras, Layout, Worked, customer_page, customer_paper
from rungwise.wording import Said, is_known

SPANISH = Layout(language="es")


def test_every_sentence_of_the_page_is_told_in_spanish(worked: Worked) -> None:
    page = customer_page(worked, Extras(phone="555 0142"))
    rows = [page.headline, page.run, *page.found, *page.done, *page.next_step, *page.watch,
            *page.not_measured, page.call_us, page.warning]  # fmt: skip
    rows += [text for row in page.checked for text in (row.title, row.text)]
    assert [text for text in rows if not isinstance(text, Said)] == []
    assert [text for text in rows if not is_known(text, "es")] == []


def test_the_pdf_is_in_spanish_with_its_fixed_words(worked: Worked) -> None:
    told = text_of(customer_paper(worked, Extras(), SPANISH).pdf())
    for word in ("Informe de servicio", "Qué encontramos", "firma del cliente", "página"):
        assert word in told
    assert "What we found" not in told


def test_the_same_call_in_english_says_what_it_said(worked: Worked) -> None:
    english = customer_paper(worked, Extras(), Layout()).as_json()
    spanish = customer_paper(worked, Extras(), SPANISH).as_json()
    assert english["headline"] != spanish["headline"]
    labels = ("plate",)  # what stands on the plate is the same, what it is called is told
    for head in (english["head"], spanish["head"]):
        head["values"] = [value for _, value in head.pop(*labels)]
    assert english["head"] == spanish["head"]
