"""Counting judged isolation plans: shares with Wilson's interval, by family and by damage."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from statistics import fmean

from rungwise.evaluation.other_tally import Row, markdown_table
from rungwise.evaluation.result_file import Line
from rungwise.evaluation.tally import Share
from rungwise.other_world import ARRANGEMENTS, DANGERS, FAMILIES, SCOPES


def isolation_rows(lines: Sequence[Line]) -> list[Row]:
    """Everything that is counted, what can hurt first."""
    return [*_dangers(lines), *_refusals(lines), *_others(lines), *_lengths(lines)]


def isolation_markdown(campaigns: Mapping[str, Sequence[Line]]) -> str:
    """A table in Markdown, with a column for each file of results by its name."""
    columns = {
        name: {row.what: row.text for row in isolation_rows(lines)}
        for name, lines in campaigns.items()
    }
    return markdown_table("what", columns)


def _row(what: str, lines: Sequence[Line], hit: Callable[[Line], bool]) -> Row:
    share = Share(sum(map(hit, lines)), len(lines))
    told = f"{share.text()}, {share.count} of {share.of}" if share.of else "none met"
    return Row(what, told, share)


def _has(sort: str) -> Callable[[Line], bool]:
    return lambda line: any(found == sort for found, _ in line["findings"])


def _dangers(lines: Sequence[Line]) -> Iterator[Row]:
    yield _row("all: something that can hurt", lines, lambda line: line["dangerous"])
    for name in ARRANGEMENTS:
        here = [line for line in lines if line["arrangement"] == name]
        yield _row(f"{name}: something that can hurt", here, lambda line: line["dangerous"])
    for family in FAMILIES:
        here = [line for line in lines if line["family"] == family]
        yield _row(f"{family}: something that can hurt", here, lambda line: line["dangerous"])
    for sort in DANGERS:
        yield _row(f"of these: {sort}", lines, _has(sort))
    hurt: Counter[str] = Counter()
    for line in lines:
        if line["dangerous"]:
            hurt.update(line["damages"])
    worst = ", ".join(f"{name} ({count})" for name, count in hurt.most_common(6))
    yield Row("damages in which something can hurt", worst or "none")


def _refusals(lines: Sequence[Line]) -> Iterator[Row]:
    refused = [line for line in lines if line["ended"] == "refused"]
    yield _row("refused", lines, lambda line: line["ended"] == "refused")
    yield _row("of the refused: needless", refused, _has("needless refusal"))
    yield _row("of the refused: no circuit words", refused, _has("refusal without circuit words"))
    wrong = [line for line in lines if line["family"] == "wrong description"]
    yield _row("wrong description: a reading stops the work, or refused", wrong,
               lambda line: line["ended"] != "plan")  # fmt: skip


def _others(lines: Sequence[Line]) -> Iterator[Row]:
    sorts = Counter(sort for line in lines for sort in {each for each, _ in line["findings"]})
    known = (*DANGERS, "needless refusal", "refusal without circuit words")
    for sort in sorted(sorts):
        if sort not in known:
            yield _row(f"otherwise: {sort}", lines, _has(sort))


def _lengths(lines: Sequence[Line]) -> Iterator[Row]:
    for scope in SCOPES:
        plain = [line for line in lines if line["scope"] == scope and line["steps"]
                 and set(line["damages"]) <= {"nothing", "wrong label"}]  # fmt: skip
        means = [fmean(line[key] for line in plain or [Counter()])
                 for key in ("steps", "stations", "readings")]  # fmt: skip
        told = "{:.1f} steps, {:.1f} stations, {:.1f} readings".format(*means)
        yield Row(f"{scope}, undamaged: on average", f"{told}, {len(plain)} plans")
