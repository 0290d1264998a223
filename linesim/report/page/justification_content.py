"""A justification sheet put together from a routing study; it is laid out as a page and as a workbook elsewhere."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping, Sequence

from linesim.desk.assumed import assumed_table
from linesim.report.page.sheet_records import Reader, SheetContent
from linesim.report.page.sheet_tables import (
    capability_block,
    differences_block,
    long_capability_block,
    money_block,
)
from linesim.report.page.trouble_tables import trouble_blocks
from linesim.report.theme.cautions import CAUTIONS
from linesim.routing.answer import RoutingAnswer
from linesim.routing.history import History
from linesim.routing.sentences import (
    Purse,
    certainty_sentence,
    drawing_sentence,
    line_sentence,
    problem_sentences,
    quality_sentence,
    verdict_sentence,
)
from linesim.routing.sources import Source
from linesim.words import ENGLISH, figure, keep
from linesim.works import Works

__all__ = ["justification"]


def justification(
    answer: RoutingAnswer,
    histories: Mapping[str, History] | None = None,
    reader: Reader | None = None,
    warnings: Mapping[str, Sequence[str]] | None = None,
    command: str = "",
) -> SheetContent:
    """Put a justification sheet together.

    Parameters
    ----------
    answer : RoutingAnswer
        What the study found.
    histories : mapping of str to History, optional
        By variant, the account of one feature.
    reader : Reader, optional
        Currency and units.
    warnings : mapping of str to sequence of str, optional
        By variant, where it breaks the rule of the least stock.
    command : str
        The command that made it.

    Returns
    -------
    SheetContent
    """
    of = reader or Reader()
    variants = answer.variants
    others = answer.tried[1:]
    purse = Purse(of.currency_for(answer.currency), of.per_unit)
    remarks = [
        text for built in others for text in (quality_sentence(answer, built, purse), line_sentence(answer, built))
    ]
    unheld = [text for built in answer.tried if (text := drawing_sentence(answer, built))]
    own = histories or {}
    return SheetContent(
        title=variants.name,
        works=variants.base.name,
        question=variants.question,
        answer=verdict_sentence(answer, purse),
        is_clear=answer.is_clear and answer.holds_drawing(answer.leader),
        certainty=certainty_sentence(answer),
        remarks=(*remarks, *unheld, *problem_sentences(answer)),
        blocks=(money_block(answer, of), capability_block(answer, of), differences_block(answer, of)),
        shares=_shares(own, of),
        account_of=next((history.feature for history in own.values()), ""),
        assumptions=_assumptions(answer, of, warnings or {}),
        sources=_SOURCES,
        cautions=(CAUTIONS[2], CAUTIONS[0], CAUTIONS[-1]),
        provenance=tuple(_origin(answer, command)),
        small_unit=of.small_unit,
        long_capability=long_capability_block(answer, of),
        troubles=tuple(trouble_blocks(answer.details, variants.names)),
    )


_SOURCES = (keep("justify.source_laws"), keep("justify.source_money"), keep("justify.source_stock"))


def _origin(answer: RoutingAnswer, command: str) -> Iterator[tuple[str, str]]:
    """What is needed to make it again."""
    for name, value in (*answer.provenance.items(), ("command", command)):
        key = f"origin.{name}"
        yield keep(key) if key in ENGLISH.entries else name, _shown_value(value)


def _shown_value(value: object) -> str:
    return (
        ", ".join(map(str, value))
        if isinstance(value, list)
        else figure(f"{value:g}")
        if isinstance(value, float)
        else str(value)
    )


def _shares(histories: Mapping[str, History], of: Reader) -> dict[str, tuple[float, dict[str, float]]]:
    """By variant: standard deviation, and share of the variance by source."""
    by_variant = {}
    for name, history in histories.items():
        parts = history.arising.groupby("source")["variance_um2"].sum()
        whole = float(parts.sum())
        shares = {source.words: float(parts.get(source.words, 0.0)) / whole for source in Source} if whole else {}
        by_variant[name] = (
            of.small(math.sqrt(max(whole, 0.0))),
            {key: value for key, value in shares.items() if value},
        )
    return by_variant


def _assumptions(answer: RoutingAnswer, of: Reader, warnings: Mapping[str, Sequence[str]]) -> tuple[str, ...]:
    """What the figures stand on."""
    base = answer.variants.base
    hours = {"counted": base.run.length / 60.0, "before": base.run.warm_up / 60.0}
    texts = [
        keep("justify.counted", policy=answer.variants.policy, **hours), keep("justify.charged"),
        keep("justify.estimates"),
    ]  # fmt: skip
    if of.currency is not None and of.currency != answer.currency:
        texts.append(keep("justify.rate", rate=of.per_unit, currency=of.currency, scenarios=answer.currency))
    return (*texts, *_typical(base), *_common(warnings))


_MEASURE = re.compile(r"(\d[\d.]*)( (?:µm|mm|min|m/min|N/mm²|J/mm³|µm/min|mrad|µm/\(m K\)))?")
"""A value that is a figure with a unit and nothing else."""
_TELLING = 6
"""Typical figures that a sheet has room to name."""


def _typical(base: Works) -> Iterator[str]:
    """What stands in for what the scenario does not say, the figures that assumptions alone carry first."""
    table = assumed_table(base)
    if len(table):
        table = table.sort_values("strength", key=lambda each: each != "assumption", kind="stable")
        named = [_named(str(row["figure"]), str(row["value"])) for row in table.to_dict(orient="records")]
        known = [text for text in named if text][:_TELLING]
        yield (
            keep("justify.typical_such", count=len(table), figures=known)
            if known
            else keep("justify.typical", count=len(table))
        )


def _named(figure_words: str, value: str) -> str:
    """A typical figure with its value, as long as both can be said in every language."""
    key, measure = f"typical.{figure_words}", _MEASURE.fullmatch(value)
    if key not in ENGLISH.entries or measure is None:
        return ""
    return keep("justify.typical_figure", name=keep(key), value=figure(measure[1]), unit=measure[2] or "")


def _common(warnings: Mapping[str, Sequence[str]]) -> list[str]:
    """Each warning once, with the variants that it holds for, or none where it holds for all."""
    texts = dict.fromkeys(text for own in warnings.values() for text in own)
    names = {text: [name for name, own in warnings.items() if text in own] for text in texts}
    return [
        text if len(names[text]) == len(warnings) else keep("justify.warning_of", variants=names[text], text=text)
        for text in texts
    ]
