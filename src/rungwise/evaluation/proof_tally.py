"""Counting proofs of the other world: wrongly proved, needlessly refused, and what they cost."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from statistics import fmean

from rungwise.evaluation.other_tally import Row, markdown_table, row
from rungwise.evaluation.result_file import Line
from rungwise.evaluation.tally import Share


def wrongly(line: Line) -> bool:
    """Whether the unit was proved to do its work though a fault past its limit was left in."""
    return bool(line["past_limit"]) and line["standing"] == "proved" and bool(line["whole"])


def unnamed(line: Line) -> bool:
    """The same where nothing that the sentence calls not measured would have shown the fault."""
    return wrongly(line) and not line["named"]


def proof_rows(lines: Sequence[Line]) -> list[Row]:
    """Everything that is counted, each share with its 95% interval (Wilson)."""
    return [*_left_in(lines), *_good(lines), *_work(lines)]


def proof_markdown(campaigns: Mapping[str, Sequence[Line]]) -> str:
    """The table as Markdown, for a page of docs: a column for each campaign by its name."""
    return markdown_table(
        "what", {name: {it.what: it.text for it in proof_rows(lines)}
                 for name, lines in campaigns.items()},
    )  # fmt: skip


def _stands(standing: str) -> Callable[[Line], bool]:
    return lambda line: line["standing"] == standing


def _in_part(line: Line) -> bool:
    return line["standing"] == "proved" and not line["whole"]


def _whole(line: Line) -> bool:
    return bool(line["whole"])


def _left_in(lines: Sequence[Line]) -> Iterator[Row]:
    past = [line for line in lines if line["past_limit"]]
    hidden = [line for line in past if not line["noticed"]]
    slight = [line for line in lines if line["fault"] and not line["past_limit"]]
    front = "a second fault left in"
    yield row(f"{front}: proved to do its work, and what shows it not named", past, unnamed)
    yield row(f"{front}: proved to do its work, named or not", past, wrongly)
    yield row(f"{front}: the repair alone proved, the rest named", past, _in_part)
    yield row(f"{front}: refused", past, _stands("refused"))
    yield row(f"{front}: not yet", past, _stands("not yet"))
    yield row("one that nobody notices: proved to do its work, named or not", hidden, wrongly)
    yield row("one below every limit: proved to do its work", slight, _whole)


def _good(lines: Sequence[Line]) -> Iterator[Row]:
    good = [line for line in lines if not line["fault"]]
    yield row("nothing left in: proved to do its work", good, _whole)
    yield row("nothing left in: the repair alone proved", good, _in_part)
    yield row("nothing left in: refused", good, _stands("refused"))
    yield row("nothing left in: not yet", good, _stands("not yet"))


def _work(lines: Sequence[Line]) -> Iterator[Row]:
    for what, told in (
        ("readings until proved, nothing left in", [it for it in lines if it["whole"]]),
        ("readings until refused", [it for it in lines if it["standing"] == "refused"]),
    ):
        mean = f"{fmean(line['readings'] for line in told):.1f}" if told else "none met"
        yield Row(f"{what}, mean", mean)
    again = sum(line["again"] for line in lines)
    yield _shared_again(again, sum(line["readings"] for line in lines))


def _shared_again(again: int, of: int) -> Row:
    share = Share(again, of)
    return Row("readings taken again", f"{share.text()}, {again} of {of}", share)
