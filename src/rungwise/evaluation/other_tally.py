"""Counting calls of the other world: shares with intervals, claims against hits, and a table."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from statistics import fmean
from typing import Any

from rungwise.evaluation.tally import Share
from rungwise.faults import repair_steps
from rungwise.parts import Families, Family
from rungwise.unit import arrangement

Line = dict[str, Any]

BINS = (0.0, 0.3, 0.5, 0.7, 0.8, 0.9, 0.95, 0.99, 1.0001)
"""Edges of the bins of the reliability curve."""

CLAIMED_WRONG = 0.9
WATCHED: dict[str, set[Family]] = {
    "compressor": {"compressor"},
    "contactor": {"contactor"},
    "motor": {"fan motor"},
    "board": {"electronics", "transformer"},
}
"""Parts whose needless replacement hurts, by the families of their kinds; the first holds."""


@dataclass(frozen=True, slots=True)
class Row:
    """One thing counted. text: the share with its interval, or a mean."""

    what: str
    text: str
    share: Share | None = None


def right(line: Line) -> bool:
    """Whether the end of a call is right: nothing where nothing is, else the fault's own place.

    Where only air or charge are wrong and nothing has opened, the circuit has nothing.
    """
    whole = "unit:look_elsewhere" in line["right"] and not line["opened"]
    if line["class"] in ("healthy", "intermittent") or (whole and line["nothing_first"]):
        return bool(line["nothing_first"])
    return bool(line["right_first"])


def claim_right(line: Line) -> bool:
    """Whether what is claimed is right: of a stranger also that it is none of the known."""
    return right(line) or (line["class"] == "stranger" and line["verdict"] == "none_of_these")


def rows(lines: Sequence[Line]) -> list[Row]:
    """Everything that is counted."""
    return [*_by_class(lines), *_claims(lines), *_condemned(lines), *_strangers(lines),
            *_effects(lines), *_healthy(lines), *_work(lines)]  # fmt: skip


def row(what: str, lines: Sequence[Line], hit: Callable[[Line], bool]) -> Row:
    """How many of the lines it is so of."""
    return _shared(what, Share(sum(map(hit, lines)), len(lines)))


def _shared(what: str, share: Share) -> Row:
    told = share.text() if share.of else "none met"
    return Row(what, f"{told}, {share.count} of {share.of}", share)


def _of(lines: Sequence[Line], *kinds: str) -> list[Line]:
    return [line for line in lines if line["class"] in kinds]


def _by_class(lines: Sequence[Line]) -> Iterator[Row]:
    yield row("listed single faults: culprit first", _of(lines, "listed"), right)
    yield row("effect with a cause behind: culprit first", _of(lines, "effect"), right)
    yield row("two at once: one of them first", _of(lines, "two"), right)
    for name in sorted({line["arrangement"] for line in lines}):
        here = [line for line in _of(lines, "listed", "effect") if line["arrangement"] == name]
        yield row(f"{name}: culprit first", here, right)


def _claims(lines: Sequence[Line]) -> Iterator[Row]:
    for low in (0.9, 0.99):
        made = [line for line in lines if line["claimed"] and line["probability"] >= low]
        yield row(f"claimed at {100 * low:.0f}% or more: right", made, claim_right)
    for kind in sorted({line["verdict"] for line in lines}):
        made = [line for line in lines if line["verdict"] == kind]
        yield row(f"ended as {kind.replace('_', ' ')}: right", made, claim_right)
    told = f"{brier(lines):.3f}"
    yield Row("Brier score of the first answer's probability", told)


@cache
def _watched(arrangement_name: str) -> dict[str, str]:
    """What each part of an arrangement that is watched counts as."""
    return {
        part.name: next(name for name, watched in WATCHED.items() if watched & families.names)
        for part, families in arrangement(arrangement_name).having(Families)
        if families.names & set().union(*WATCHED.values())
    }


def _counted_as(line: Line, blocks: Iterable[str]) -> set[str]:
    watched = _watched(line["arrangement"])
    return {watched[block] for block in blocks if block in watched}


def condemned(line: Line) -> set[str]:
    """What the healthy parts count as of the watched ones that a claim would replace."""
    if not line["claimed"]:
        return set()
    replaced = {work.block for work in repair_steps(line["answer"]) if work.act == "replace"}
    return _counted_as(line, replaced.difference(line["faulty"]))


def _condemned(lines: Sequence[Line]) -> Iterator[Row]:
    for what in WATCHED:
        good = [line for line in lines if what not in _counted_as(line, line["faulty"])]
        share = Share(sum(what in condemned(line) for line in good), len(good))
        yield _shared(f"healthy {what} condemned", share)
    unseen = [line for line in lines if condemned(line) and not line["direct"]]
    yield Row("of these without a direct reading on the part", f"{len(unseen)}")


def admits(line: Line) -> bool:
    """Whether the call ends by naming nothing, or by saying that no known way fits."""
    return not line["claimed"] or line["verdict"] == "none_of_these" or not line["answer"]


def confidently_wrong(line: Line) -> bool:
    """Whether something else is claimed, surely, than what is so."""
    sure = line["claimed"] and line["probability"] >= CLAIMED_WRONG
    return bool(sure and not right(line) and not admits(line))


def _strangers(lines: Sequence[Line]) -> Iterator[Row]:
    strange = _of(lines, "stranger")
    yield row("strangers: right part or wire first", strange, right)
    yield row(
        "strangers: right, or said to be none of the known", strange,
        lambda line: right(line) or line["verdict"] == "none_of_these",
    )  # fmt: skip
    yield row("strangers: undecided, and not right", strange,
               lambda line: not line["claimed"] and not right(line))  # fmt: skip
    yield row("strangers: confidently wrong", strange, confidently_wrong)


def _effects(lines: Sequence[Line]) -> Iterator[Row]:
    opened = [line for line in _of(lines, "listed", "effect", "two", "stranger") if line["opened"]]
    yield row(
        "something opened by a cause: cause named, or asked for before stopping", opened,
        lambda line: right(line) or line["behind_asked"],
    )  # fmt: skip


def _healthy(lines: Sequence[Line]) -> Iterator[Row]:
    good = _of(lines, "healthy", "intermittent")
    yield row("nothing wrong now: said", good, right)
    said = [line["checks"] for line in good if right(line)]
    yield Row("nothing wrong now: checks until it is said", f"{fmean(said):.1f}" if said else "-")
    yield row("nothing wrong now: something condemned at 90% or more", good, confidently_wrong)


def _work(lines: Sequence[Line]) -> Iterator[Row]:
    common = _of(lines, "listed")
    yield Row("listed: checks on average", f"{fmean([li['checks'] for li in common] or [0]):.2f}")
    yield Row("all: live checks on average", f"{fmean([li['live'] for li in lines] or [0]):.2f}")
    yield row("never stops in 25 checks", lines, lambda line: not line["stopped"])
    held = [li["ngspice_apart_v"] for li in lines if li["ngspice_apart_v"] is not None]
    told = f"{max(held):.2g} V at most, {len(held)} calls" if held else "not held against it"
    yield Row("the world's own volts against ngspice's", told)


def brier(lines: Sequence[Line]) -> float:
    """Mean square of what is claimed for the first answer, less whether it is right."""
    return fmean([(line["probability"] - claim_right(line)) ** 2 for line in lines] or [0.0])


def reliability(lines: Sequence[Line]) -> list[tuple[str, str, Share]]:
    """Bins of the first answer's probability: the bin, its mean, and how many were right."""
    found = []
    for low, high in pairwise(BINS):
        here = [line for line in lines if low <= line["probability"] < high]
        if here:
            mean = fmean(line["probability"] for line in here)
            share = Share(sum(map(claim_right, here)), len(here))
            found.append((f"{low:.2f} to {min(high, 1.0):.2f}", f"{mean:.3f}", share))
    return found


def calls_markdown(campaigns: Mapping[str, Sequence[Line]]) -> str:
    """Both tables as Markdown, for a page of docs: a column for each campaign by its name."""
    counted = {
        name: {each.what: each.text for each in rows(lines)} for name, lines in campaigns.items()
    }
    curves = {
        name: {each: f"{share.text()} of {share.of}, mean {mean}"
               for each, mean, share in reliability(lines)}
        for name, lines in campaigns.items()
    }  # fmt: skip
    return markdown_table("what", counted) + "\n" + markdown_table("claimed", curves)


def markdown_table(first: str, columns: Mapping[str, Mapping[str, str]]) -> str:
    """Columns of the same rows; a dash where a column lacks one."""
    text = [f"| {' | '.join([first, *columns])} |", f"|{'---|' * (1 + len(columns))}"]
    every = [name for column in columns.values() for name in column]
    for name in dict.fromkeys(sorted(every) if first == "claimed" else every):
        cells = [column.get(name, "-") for column in columns.values()]
        text.append(f"| {' | '.join([name, *cells])} |")
    return "\n".join(text) + "\n"


ARRANGEMENT_COLUMNS = (
    "calls", "culprit first", "claimed at 90%: right", "claimed at 99%: right",
    "healthy parts condemned", "strangers: right, or none of the known", "confidently wrong",
    "nothing wrong: said", "checks",
)  # fmt: skip


def arrangement_cells(lines: Sequence[Line]) -> tuple[str, ...]:
    """One arrangement's figures, in the order of `ARRANGEMENT_COLUMNS`.

    Culprit first and checks are of listed faults and effects with a cause behind; condemned is a
    healthy compressor, contactor, motor or board that a claim would replace.
    """
    common = [line for line in lines if line["class"] in ("listed", "effect")]
    strange = [line for line in lines if line["class"] == "stranger"]
    good = [line for line in lines if line["class"] in ("healthy", "intermittent")]
    claims = [line for line in lines if line["claimed"]]
    checks = f"{fmean(line['checks'] for line in common):.1f}" if common else "-"
    return (
        f"{len(lines)}",
        _share(common, right),
        *(_share([c for c in claims if c["probability"] >= p], claim_right) for p in (0.9, 0.99)),
        f"{sum(bool(condemned(line)) for line in lines)} of {len(lines)}",
        _share(strange, lambda line: right(line) or line["verdict"] == "none_of_these"),
        _share(lines, confidently_wrong),
        _share(good, right),
        checks,
    )  # fmt: skip


def _share(lines: Sequence[Line], hit: Callable[[Line], bool]) -> str:
    if not lines:
        return "none met"
    share = Share(sum(map(hit, lines)), len(lines))
    return f"{share.text()}, {share.count} of {share.of}"
