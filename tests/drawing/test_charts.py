"""Charts: every figure in words, no words on one another, scales that hold what they show."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rungwise.drawing.charts import (
    BeliefRow,
    Limit,
    Visit,
    belief_bars,
    odds_words,
    trend,
)
from rungwise.drawing.charts_sheet import scale_for
from rungwise.drawing.ink import PAPER
from rungwise.drawing.lettering import SMALLEST
from rungwise.drawing.picture import Picture, overlaps
from shop_trial.reliability import Share, reliability

SVG = "{http://www.w3.org/2000/svg}"

SUSPECTS = [
    BeliefRow("float_switch.open", "The condensate float switch is open", 0.81),
    BeliefRow("y_field", "A break in the yellow wire between the air handler and the unit", 0.12),
    BeliefRow("contactor.coil", "The contactor's coil is open", 0.004),
    BeliefRow("none", "none of these", 0.066, beside=True),
]
VISITS = [
    Visit("4 Jun 2023", 0, 44.1, 43.2, 45.0),
    Visit("9 May 2024", 340, 42.9, 42.0, 43.8),
    Visit("11 May 2024", 342, 42.8, 41.9, 43.7),
    Visit("2 Jul 2025", 759, 40.6, 39.7, 41.5),
]
SHARES = [
    Share(0.05, 0.04, 0.02, 0.08, 210),
    Share(0.31, 0.36, 0.22, 0.52, 40),
    Share(0.93, 0.95, 0.91, 0.98, 160),
]


def charts() -> dict[str, Picture]:
    return {
        "belief": belief_bars(SUSPECTS),
        "trend": trend(
            VISITS, "µF", title="Capacitor, HERM side", limits=[Limit(42.3, "6% under nameplate")]
        ),
        "reliability": reliability(SHARES),
        "no suspects": belief_bars([]),
        "foretold": trend(VISITS[:-1], "µF", title="Capacitor", foretold=VISITS[-1:]),
        "no visits": trend([], "V", title="Nothing yet"),
        "no forecasts": reliability([]),
    }


@pytest.fixture(params=sorted(charts()))
def chart(request: pytest.FixtureRequest) -> Picture:
    return charts()[request.param]


def test_no_words_lie_on_others_and_all_are_on_the_sheet(chart: Picture) -> None:
    assert overlaps(chart.labels) == ()
    assert [label for label in chart.labels if not label.within(chart.width, chart.height)] == []
    assert chart.width == 390


def test_every_text_is_noted_and_large_enough(chart: Picture) -> None:
    texts = list(ET.fromstring(chart.svg).iter(f"{SVG}text"))  # noqa: S314 - our own picture
    assert [each.text for each in texts] != [] or chart.labels == ()
    assert sorted(each.text or "" for each in texts) == sorted(each.text for each in chart.labels)
    assert all(float(each.get("font-size") or 0) >= SMALLEST for each in texts)


def told(picture: Picture) -> set[str]:
    return {label.text for label in picture.labels}


def test_each_suspect_has_its_percent_and_odds_beside_its_bar() -> None:
    words = told(belief_bars(SUSPECTS))
    assert {"81%, 4.3 to 1 for", "12%, 7.3 to 1 against"} <= words
    assert "under 1%, over 200 to 1 against" in words


def bar_widths(picture: Picture) -> list[float]:
    root = ET.fromstring(picture.svg)  # noqa: S314 - our own picture
    bars = [r for r in root.iter(f"{SVG}rect") if r.get("stroke-width") == "1.6"]
    return [float(bar.get("width") or 0) for bar in bars]


def test_bars_are_as_long_as_the_belief() -> None:
    widths = bar_widths(belief_bars(SUSPECTS))
    assert widths == pytest.approx([150 * row.belief for row in SUSPECTS], abs=0.06)


@pytest.mark.parametrize(
    ("belief", "words"),
    [
        (0.75, "3 to 1 for"),
        (0.1, "9 to 1 against"),
        (0.5, "even"),
        (0.0, "over 200 to 1 against"),
        (1.0, "over 200 to 1 for"),
    ],
)
def test_odds_say_for_or_against(belief: float, words: str) -> None:
    assert odds_words(belief) == words


@given(st.lists(st.floats(1e-3, 1e9), min_size=1, max_size=8))
@settings(max_examples=60)
def test_a_scale_keeps_order_and_holds_every_figure(figures: list[float]) -> None:
    scale = scale_for(figures, 100, 300)
    places = [scale.at(figure) for figure in sorted(figures)]
    assert places == sorted(places)
    assert all(100 - 1e-6 <= place <= 300 + 1e-6 for place in places)
    assert scale.log == (max(figures) / min(figures) >= 25 and len(figures) > 1)


def test_a_scale_over_decades_gives_each_decade_the_same_room() -> None:
    scale = scale_for([20.0, 5e5], 0, 100)
    steps = [scale.at(10.0**n) for n in range(1, 7)]
    assert steps == pytest.approx([0, 20, 40, 60, 80, 100])


def test_a_trend_writes_the_limit_and_each_visit_in_its_title() -> None:
    picture = charts()["trend"]
    assert "6% under nameplate: 42.3 µF" in told(picture)
    assert "2 Jul 2025: 40.6 µF, 39.7 µF to 41.5 µF" in picture.svg


def test_what_is_foretold_is_hollow_and_on_a_dashed_line() -> None:
    """Nobody must take it for a reading; all else of the picture is as if it were one."""
    measured, foretold = trend(VISITS, "µF", title="Capacitor"), charts()["foretold"]
    assert foretold.labels == measured.labels
    assert told(foretold) == told(measured)
    assert measured.svg.count("stroke-dasharray") + 1 == foretold.svg.count("stroke-dasharray")
    assert measured.svg.count("<polygon") == foretold.svg.count("<polygon")
    assert measured.svg.count(f'fill="{PAPER}"') + 1 == foretold.svg.count(f'fill="{PAPER}"')


def test_reliability_lists_every_share_with_its_interval_and_count() -> None:
    assert "forecast 31%, true 36% (22 to 52%) of 40" in told(reliability(SHARES))


def test_everything_shown_has_an_id_and_a_title() -> None:
    svg = belief_bars(SUSPECTS, prefix="b").svg
    wanted = [f"b-suspect-{row.name}" for row in SUSPECTS]
    assert [each for each in wanted if f'id="{each}"' not in svg] == []
