"""Proof of a fit for the terminal: a verdict for each quantity, the calibration, and what missed its band."""

from __future__ import annotations

from math import isfinite

from rich.console import Group, RenderableType
from rich.padding import Padding
from rich.text import Text

from linesim.report.terminal.records import figure_words
from linesim.report.theme.grid import Column, grid, number_columns, plain
from linesim.study.proof.proof import Proof
from linesim.study.proof.words import UNITS, quantity_words, way_words
from linesim.words import localised, retell, say

__all__ = ["missed_rows", "proof_text", "seen_words", "verdict_rows"]

_MOST_SHOWN = 20


def proof_text(answer: Proof) -> Group:
    """The proof, laid out for a terminal of 100 columns.

    Parameters
    ----------
    answer : Proof
        What to show.
    """
    lines = [plain(sentence) for sentence in answer.sentences]
    head = Text.assemble((plain(answer.works.name), "bold"), *(f"\n{line}" for line in lines))
    parts: list[RenderableType] = [head]
    if answer.proven:
        columns = [Column("of", True, 24), Column("quantity", True, 16), Column("held back", True, 11)]
        columns += [*number_columns("hits", "of", "expected"), Column("verdict", True, 12)]
        rows = [[plain(cell) for cell in row] for row in verdict_rows(answer)]
        parts.append(grid("Foretold from the rows not held back", columns, rows))
    missed = missed_rows(answer)
    if missed:
        heads = [Column("of", True, 20), Column("quantity", True, 14), Column("held back", True, 11)]
        heads += [Column("what", True, 24), Column("seen"), Column("band")]
        title = f"Outside their band ({len(missed)}; all of them: --csv DIR)"
        parts.append(grid(title, heads, [[plain(cell) for cell in row] for row in missed[:_MOST_SHOWN]]))
    parts.append(Text("\n".join(map(plain, answer.method)), style="dim"))
    return Group(*(Padding(part, (0, 0, 1, 0)) for part in parts))


def verdict_rows(answer: Proof) -> list[list[str]]:
    """Of, quantity, how it was held back, hits, count, hits expected, verdict."""
    return [
        [each.of, retell(quantity_words(each.quantity)), retell(way_words(each.way)), str(each.verdict.hits),
         str(each.verdict.count), "{}-{}".format(*each.verdict.likely), say(f"proof.word_{each.verdict.word}")]
        for each in answer.proven
    ]  # fmt: skip


def missed_rows(answer: Proof) -> list[list[str]]:
    """All that lies outside its band: of, quantity, how it was held back, what, seen, band."""
    rows = []
    for each in answer.proven:
        part = each.foretold
        low, _, high = part.bands
        for at in (~part.hits).nonzero()[0]:
            band = say("coming.band", low=_bound(low[at]), high=_bound(high[at]))
            band = say(f"proof.in_{UNITS[each.unit]}", figure=band) if each.unit else band
            seen = seen_words(float(part.seen_low[at]), float(part.seen_high[at]))
            quantity, way = retell(quantity_words(each.quantity)), retell(way_words(each.way))
            rows.append([each.of, quantity, way, retell(part.labels[at]), seen, band])
    return rows


def _bound(value: float) -> str:
    return localised(figure_words(value)) if isfinite(value) else say("proof.open_bound")


def seen_words(low: float, high: float) -> str:
    """What was seen.

    >>> seen_words(3.0, 3.0), seen_words(3.0, float("inf")), seen_words(3.5, 4.5), seen_words(2.0, 9.0)
    ('3', 'over 3', '4', '2 to 9')
    """
    if high == float("inf"):
        return say("proof.over", least=localised(f"{low:.4g}"))
    if high - low == 1.0 and low % 1.0 == 0.5:  # a whole number stands for the span that is rounded to it
        return f"{low + 0.5:.0f}"
    ends = localised(f"{low:.4g}"), localised(f"{high:.4g}")
    return ends[0] if low == high else say("coming.band", low=ends[0], high=ends[1])
