"""What holds on every page: it can be read, hit with a glove, and loaded with little signal."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page
from tests.browser.conftest import DESK, PHONE, Phone
from tests.browser.practised import practice_call
from tests.camera.told import PAIRS, words_of
from tests.services.yard import visit
from tests.web.mill_street import Shop
from tests.web.test_read_photo import photo_of
from tests.wide import WIDE as WIDE_RUN
from tests.wide import some

from rungwise.records import Store
from rungwise.web import photo_reading

PATHS = (
    "/day", "/new-call", "/units", "/units/1", "/units/1/plate", "/new-unit", "/person",
    "/new-unit?sort=cooling", "/new-unit/unit?sort=cooling&poles=2&heater=line&board=delay",
    "/new-unit/unit?sort=cooling&poles=none", "/new-unit/label?sort=cooling",
    "/new-unit/unlike?supply=240&supply=24", "/arrangements", "/units/1/wiring",
    "/units/1/wiring?out=high_pressure",
    "/calls/1", "/calls/1?check=volts-coil", "/calls/1/dead", "/calls/1/part", "/calls/1/wires",
    "/calls/1/lost", "/calls/1/proof", "/calls/1/sign-off", "/calls/1/paper",
    "/van", "/van?kind=dual_capacitor", "/stickers?unit=1", "/calls/1/wires/photo/1",
    "/units/1/plate-photo/1",
    "/practice", "/practice/2", "/practice/3/score", "/ahead?wait=60", "/units/1/ahead?wait=60",
    "/calls/999",
)  # fmt: skip
BY_AXE = some(
    PATHS, "/day", "/new-call", "/units/1", "/new-unit?sort=cooling", "/units/1/wiring",
    "/new-unit/label?sort=cooling", "/calls/1?check=volts-coil", "/calls/1/dead", "/calls/1/part",
    "/calls/1/proof", "/calls/1/sign-off", "/van", "/practice/2", "/calls/999",
)  # fmt: skip
"""Which axe-core judges too: a second of processor each, so one page of each form."""
AT_DESK = ("/calls/1?check=volts-coil", "/calls/1/dead")
"""Pages that are laid out otherwise at a desk."""
MOST_BYTES = 200_000
"""The app's budget for a first load as sent, a unit's table left out; modules for work without
signal are in it, which every page about a call now asks for."""
LEAST_TARGET_PX = 56
LEAST_LETTERS_PX = 14
AAA = 7.0

TARGETS = """() => [...document.querySelectorAll('a, button, input, select, textarea, summary')]
  .filter(e => e.offsetParent && e.type !== 'hidden' && !e.classList.contains('skip'))
  .filter(e => e.tagName !== 'A' || getComputedStyle(e).display !== 'inline')
  .map(e => { const around = e.closest(e.type === 'checkbox' ? 'label' : '.window');
    const box = (around || e).getBoundingClientRect();
    return [e.outerHTML.slice(0, 120), box.width, box.height] })
  .filter(([, w, h]) => h < LEAST - 0.5 || w < LEAST - 0.5)""".replace(
    "LEAST", str(LEAST_TARGET_PX)
)
"""Links in running text are left out, as WCAG 2.2 leaves them out of its target sizes."""

CONTRASTS = """() => {
  const rgb = text => text.match(/[\\d.]+/g).map(Number);
  const light = ([r, g, b]) => { const [x, y, z] = [r, g, b].map(c => c / 255)
    .map(c => c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4);
    return 0.2126 * x + 0.7152 * y + 0.0722 * z };
  const behind = e => { for (; e; e = e.parentElement) {
    const c = rgb(getComputedStyle(e).backgroundColor);
    if (c.length < 4 || c[3] === 1) return c } return [255, 255, 255] };
  return [...document.querySelectorAll('.figure, .window input, .signal b, .signal span')]
    .filter(e => e.offsetParent)
    .map(e => { const a = light(rgb(getComputedStyle(e).color)), b = light(behind(e));
      return [e.textContent || e.name,
              (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05)] }) }"""
"""Contrast by the formula of WCAG 2.2, from linearised sRGB (published-checks 13, W3C, memory)."""


WIDE = """() => document.documentElement.scrollWidth <= innerWidth ? [] :
  [...document.querySelectorAll('body *')]
  .filter(e => e.getBoundingClientRect().right > innerWidth + 0.5)
  .map(e => e.outerHTML.slice(0, 120)).slice(0, 4)"""


SQUEEZED = """() => [...document.querySelectorAll('.facts dd')].filter(e => e.offsetParent)
  .filter(e => e.getBoundingClientRect().width < 96).map(e => e.textContent)"""
"""Values whose letters would stand one below the other."""


LETTERS = """() => [...document.querySelectorAll('body *')]
  .filter(e => e.checkVisibility())
  .filter(e => [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim()))
  .filter(e => !e.closest('.unseen, .skip, option'))
  .map(e => { const svg = e.ownerSVGElement;
    const by = svg ? svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : 1;
    const size = by * parseFloat(getComputedStyle(e).fontSize);
    return [e.textContent.trim().slice(0, 40), Math.round(10 * size) / 10] })
  .filter(([, size]) => size < LEAST).slice(0, 5)""".replace("LEAST", str(LEAST_LETTERS_PX - 0.05))
"""Letters too small to be read at arm's length, those of the drawings as they come out."""


@pytest.fixture(autouse=True)
def words_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the photo says, without the seconds that reading it takes."""
    monkeypatch.setattr(photo_reading, "words_in", lambda _: words_of(PAIRS))


@pytest.fixture(autouse=True)
def some_readings(store: Store, shop: Shop) -> None:
    """A call with something on it, a practice call that runs, one that has ended, and a past."""
    with store.writing(shop.amari) as book:
        book.photos.add(photo_of(*PAIRS), call_id=shop.call, shows="wires as found")
        book.symptoms.take(shop.call, "look-compressor", "silent", value="silent")
        book.readings.take(shop.call, "volts-coil", "0 V", value=0.0, unit="V")
        book.readings.take(shop.call, "ohms-coil", "13.8 Ω", value=13.8, unit="Ω")
        for number in (2, 3):
            assert number == practice_call(book, shop)
        book.practice.finish(3, named="capacitor", right=True, checks=1, wrong_parts=0, score=97.0)
        book.units.leave(shop.unit, "installed", "2012")
        for day, typed in (("2024-04-10", "40 µF"), ("2025-04-10", "39 µF")):
            visit(book, shop.unit, day, readings={"uf-capacitor-HERM-C": typed})


def seen_by_axe(page: Page, *rules: str) -> list[tuple[str, str]]:
    """What axe-core finds, as axe-playwright-python carries it; no rules named: all its rules."""
    options = {"runOnly": {"type": "rule", "values": list(rules)}} if rules else None
    found = Axe().run(page, options=options).response["violations"]
    return [(each["id"], each["nodes"][0]["html"][:160]) for each in found]


FETCHED = """() => performance.getEntries().map(each => each.encodedBodySize || 0)
  .reduce((one, other) => one + other, 0)"""
"""Bytes over the air of everything that the page fetched; what lies in the cache counts too."""


@dataclass(frozen=True)
class Seen:
    """One page, all that can be opened on it open."""

    axe: list[tuple[str, str]]
    small: list[list[object]]
    contrasts: list[tuple[str, float]]
    wide: list[str]
    letters: list[list[object]]
    transferred_bytes: int


def seen(page: Page, path: str, *, also_dark: bool) -> Seen:
    page.goto(path)
    page.evaluate("document.querySelectorAll('details').forEach(each => { each.open = true })")
    small, contrasts = page.evaluate(TARGETS), page.evaluate(CONTRASTS)
    wide = page.evaluate(WIDE) + page.evaluate(SQUEEZED)
    letters = page.evaluate(LETTERS)
    axe = seen_by_axe(page) if path in BY_AXE else []
    if also_dark:  # which has other colors and no other structure
        page.emulate_media(color_scheme="dark")
        contrasts += page.evaluate(CONTRASTS)
        axe += seen_by_axe(page, "color-contrast") if path in BY_AXE else []
        page.emulate_media(color_scheme="light")
    return Seen(axe, small, contrasts, wide, letters, page.evaluate(FETCHED))


def broken(every: dict[str, Seen]) -> dict[str, dict[str, object]]:
    """By rule and page, what does not hold."""
    told: dict[str, dict[str, object]] = {
        "axe finds no violation": {path: each.axe for path, each in every.items()},
        "every target is big enough for a glove": {
            path: each.small for path, each in every.items()
        },
        "readings have a contrast for the sun": {
            path: [one for one in each.contrasts if one[1] < AAA] for path, each in every.items()
        },
        "nothing scrolls sideways or is squeezed": {
            path: each.wide for path, each in every.items()
        },
        "letters can be read at arm's length": {
            path: each.letters for path, each in every.items() if WIDE_RUN
        },
        "a first load takes little signal": {
            path: each.transferred_bytes
            for path, each in every.items()
            if not 0 < each.transferred_bytes < MOST_BYTES
        },
    }
    found = {rule: {path: what for path, what in of.items() if what} for rule, of in told.items()}
    return {rule: of for rule, of in found.items() if of}


MODES: dict[str, tuple[dict[str, int], dict[str, str], tuple[str, ...], bool]] = {
    "phone in light and dark": (PHONE, {}, PATHS, True),
    "desk": (DESK, {}, AT_DESK, False),
    "sun": (PHONE, {"light": "sun"}, PATHS, False),
    "night": (PHONE, {"light": "night"}, PATHS, False),
    "Spanish": (PHONE, {"language": "es"}, PATHS, False),
}
"""Size, cookies, pages, and whether they are seen in the dark too."""


@pytest.mark.parametrize("mode", some([*MODES], "phone in light and dark", "desk"))
def test_every_page_can_be_read_hit_with_a_glove_and_loaded_with_little_signal(
    phone: Phone, address: str, mode: str
) -> None:
    size, cookies, paths, also_dark = MODES[mode]
    page = phone(size=size)
    page.context.add_cookies([{"name": n, "value": v, "url": address} for n, v in cookies.items()])
    every = {path: seen(page, path, also_dark=also_dark) for path in paths}
    assert broken(every) == {}
    assert sum(len(each.contrasts) for each in every.values()) > 2 * len(AT_DESK)


def test_nothing_moves_when_the_card_changes(phone: Phone, shop: Shop) -> None:
    """Layout shift as the browser itself counts it, shifts after a touch included."""
    page = phone()
    page.goto(f"/calls/{shop.call}?check=volts-board-Y-C#check")
    page.evaluate(
        "() => { window.moved = 0; new PerformanceObserver(list => { for (const each of"
        " list.getEntries()) window.moved += each.value }).observe({type: 'layout-shift'}) }"
    )
    before = page.locator("#check").bounding_box()
    page.locator("section.check input[name=typed]").fill("27 A")
    page.locator("section.check").get_by_role("button", name="Save").click()
    page.locator("section.check .wrong").wait_for()
    assert page.evaluate("window.moved") < 0.02
    assert before


def test_a_signed_call_prints_as_a_record(phone: Phone, shop: Shop) -> None:
    """On paper there is what was measured and no key to press."""
    page = phone()
    page.goto(f"/calls/{shop.call}/sign-off")
    page.emulate_media(media="print")
    for gone in (".strip", ".head .who", "nav.keys", "#add-photo"):
        for each in page.locator(gone).all():
            assert not each.is_visible(), gone
    assert "13.8" in page.locator("main").inner_text()
    assert page.locator("main").evaluate("e => getComputedStyle(e).color") in {
        "rgb(0, 0, 0)", "rgb(20, 24, 26)", "rgb(17, 17, 17)",
    }  # fmt: skip
