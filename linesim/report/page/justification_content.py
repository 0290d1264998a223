"""What stands on a justification sheet: one content, laid out as a page and as a workbook.

Figures keep their value, their half width and the places shown, so that a page can print them and a workbook can
calculate with them. Money is turned into the reader's currency and sizes into the reader's units here, and only here.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from linesim.report.theme.cautions import CAUTIONS
from linesim.report.theme.shown import number
from linesim.routing.answer import Made, RoutingAnswer
from linesim.routing.breakeven import Even
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

__all__ = ["Amount", "Block", "Measured", "Reader", "SheetContent", "justification"]

_UM_PER_INCH = 25_400.0
_ABREAST = 3
"""Variants that stand side by side with their spread; with more, the sheet has room for capability and loss only."""


@dataclass(frozen=True)
class Reader:
    """In whose currency and units a sheet is written.

    Attributes
    ----------
    is_inch : bool
        Inches, thousandths and microinches in place of millimetres and micrometres.
    currency : str or None
        The reader's; the scenario's unless given.
    per_unit : float
        How much of it one unit of the scenario's currency is.
    """

    is_inch: bool = False
    currency: str | None = None
    per_unit: float = 1.0

    def small(self, value_um: float) -> float:
        """A value in µm, or in millionths of an inch."""
        return value_um / _UM_PER_INCH * 1e6 if self.is_inch else value_um

    @property
    def small_unit(self) -> str:
        """Unit of roughness, spread and scratch."""
        return "µin" if self.is_inch else "µm"


@dataclass(frozen=True)
class Amount:
    """A figure with the places shown, its half width if there is one, and a mark if it is not significant."""

    value: float
    decimals: int = 2
    half_width: float = math.nan
    is_open: bool = False


Measured = str | Amount


@dataclass(frozen=True)
class Block:
    """A table of the sheet.

    Attributes
    ----------
    title : str
        What it shows.
    heads : tuple of str
        One per column.
    rows : tuple of tuples
        Texts and amounts.
    """

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[Measured, ...], ...]


@dataclass(frozen=True)
class SheetContent:
    """Everything on a justification sheet.

    Attributes
    ----------
    title, works, question : str
        Head.
    answer : str
        The verdict in a sentence.
    is_clear : bool
        Whether the data carry it.
    certainty : str
        How sure it is.
    remarks : tuple of str
        Quality, minutes and the line, variant by variant.
    blocks : tuple of Block
        Tables: minutes and money, capability, what would change the answer, where the error comes from.
    shares : mapping
        By variant: standard deviation (reader's small unit) and share of the variance by source.
    account_of : str
        The feature whose account it is; empty if none was made.
    assumptions, sources, cautions : tuple of str
        What it stands on, and what must be said.
    provenance : tuple of pairs of str
        What is needed to make it again.
    small_unit : str
        Unit of the spreads.
    """

    title: str
    works: str
    question: str
    answer: str
    is_clear: bool
    certainty: str
    remarks: tuple[str, ...]
    blocks: tuple[Block, ...]
    shares: Mapping[str, tuple[float, Mapping[str, float]]]
    account_of: str
    assumptions: tuple[str, ...]
    sources: tuple[str, ...]
    cautions: tuple[str, ...]
    provenance: tuple[tuple[str, str], ...]
    small_unit: str = field(default="µm")
    long_capability: Block | None = None
    """The capability once more, one row for each characteristic and variant, for a workbook."""


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
    others = answer.made[1:]
    purse = Purse(_currency(answer, of), of.per_unit)
    remarks = [text for made in others for text in (quality_sentence(answer, made, purse), line_sentence(answer, made))]
    unheld = [text for made in answer.made if (text := drawing_sentence(answer, made))]
    own = histories or {}
    return SheetContent(
        title=variants.name,
        works=variants.base.name,
        question=variants.question,
        answer=verdict_sentence(answer, purse),
        is_clear=answer.is_clear and answer.holds_drawing(answer.leader),
        certainty=certainty_sentence(answer),
        remarks=(*remarks, *unheld, *problem_sentences(answer)),
        blocks=(_money(answer, of), _capability(answer, of), _even(answer, of)),
        shares=_shares(own, of),
        account_of=next((history.feature for history in own.values()), ""),
        assumptions=_assumptions(answer, of, warnings or {}),
        sources=_SOURCES,
        cautions=(CAUTIONS[2], CAUTIONS[0], CAUTIONS[-1]),
        provenance=(*((name, _said(value)) for name, value in answer.provenance.items()), ("command", command)),
        small_unit=of.small_unit,
        long_capability=_long_capability(answer, of),
    )


_SOURCES = (
    "Copying and deflection: Sokolovsky, Matalin (from memory). Tool life: Taylor 1907, extended in feed and depth.",
    "Quality loss: Taguchi, Elsayed and Hsiang 1989 (from memory). Break-even intervals: Fieller 1954 (from memory).",
    "Least stock: Kovan (from memory). Coefficients: the handbook's, each with its source in linesim check.",
)


def _said(value: object) -> str:
    return (
        ", ".join(map(str, value))
        if isinstance(value, list)
        else f"{value:g}"
        if isinstance(value, float)
        else str(value)
    )


def _currency(answer: RoutingAnswer, of: Reader) -> str:
    return of.currency or answer.currency


def _measured(answer: RoutingAnswer, made: Made, name: str, factor: float, decimals: int) -> Amount:
    """A measure of a variant with its half width."""
    own = made.sample.interval(name, answer.confidence)
    return Amount(factor * own.mean, decimals, factor * own.half_width)


def _money(answer: RoutingAnswer, of: Reader) -> Block:
    """Minutes, machines, output and money, variant by variant."""
    money = _currency(answer, of)
    heads = (
        "variant", "cuts", "cutting min/part", "machine min/part", "machines", "changed at share of life",
        "good parts/h", f"cost {money}/part", f"of it loss {money}/part", f"contribution {money}/h", "first pass %",
    )  # fmt: skip
    rows = []
    for made, content in zip(answer.made, answer.content.to_dict(orient="records"), strict=True):
        shares = made.intervals.shares
        changed: Measured = f"{min(shares.values()):g} to {max(shares.values()):g}" if shares else "as the policy"
        if shares and min(shares.values()) == max(shares.values()):
            changed = Amount(min(shares.values()))
        rows.append(
            (
                _mark(answer, made), Amount(content["cuts"], 0), Amount(content["cut_min"]),
                Amount(content["operation_min"]), Amount(content["machines"], 0), changed,
                _measured(answer, made, "good_per_hour", 1.0, 2),
                _measured(answer, made, "cost_per_good_part", of.per_unit, 2),
                _measured(answer, made, "quality_loss_per_good_part", of.per_unit, 2),
                _measured(answer, made, "contribution_per_hour", of.per_unit, 1),
                _measured(answer, made, "first_pass_yield", 100.0, 1),
            )
        )  # fmt: skip
    level = f"{100.0 * answer.confidence:g} %, {answer.n_replications} runs of each"
    return Block(f"Minutes, machines and money (mean ± half width at {level}; * best)", heads, tuple(rows))


def _mark(answer: RoutingAnswer, made: Made) -> str:
    """Name of a variant, starred if it is clearly best."""
    star = "* " if answer.is_clear and made is answer.leader and answer.holds_drawing(made) else ""
    return f"{star}{made.variant.name}"


def _capability(answer: RoutingAnswer, of: Reader) -> Block:
    """Spread, Cpk and loss of each characteristic, variants side by side."""
    table = answer.capability
    heads = ["characteristic", "limits"]
    is_narrow = len(answer.variants.names) <= _ABREAST
    for name in answer.variants.names:
        heads += (
            [f"{name}: sd {of.small_unit}", "Cpk", f"loss {_currency(answer, of)}/part"]
            if is_narrow
            else ([f"{name}: Cpk", f"loss {_currency(answer, of)}"])
        )
    rows = []
    cells = {(row["feature"], row["characteristic"], row["variant"]): row for row in table.to_dict(orient="records")}
    for feature, what in dict.fromkeys((key[0], key[1]) for key in cells):
        first = next(row for key, row in cells.items() if key[:2] == (feature, what))
        row: list[Measured] = [f"{feature}, {what}", _limits(first, of)]
        for name in answer.variants.names:
            own = cells.get((feature, what, name))
            cells_of = [Amount(math.nan)] * 3 if own is None else _of_one(own, of)
            row += cells_of if is_narrow else cells_of[1:]
        rows.append(tuple(row))
    return Block("Capability of the shipped parts, true values", tuple(heads), tuple(rows))


def _long_capability(answer: RoutingAnswer, of: Reader) -> Block:
    """Spread, Cpk and loss, one row for each characteristic and variant."""
    rows = answer.capability.sort_values(["feature", "characteristic"], kind="stable").to_dict(orient="records")
    body = [
        (f"{row['feature']}, {row['characteristic']}", str(row["variant"]), _limits(row, of), *_of_one(row, of))
        for row in rows
    ]
    heads = ("characteristic", "variant", "limits", f"sd {of.small_unit}", "Cpk", f"loss {_currency(answer, of)}/part")
    return Block("Capability of the shipped parts, true values", heads, tuple(body))


def _of_one(row: Mapping[Hashable, Any], of: Reader) -> list[Measured]:
    """Spread, Cpk and loss of one characteristic of one variant."""
    scale = 1000.0 if row["unit"] == "mm" else 1.0
    spread, width = (of.small(scale * float(row[name])) for name in ("sd", "sd_half_width"))
    return [
        Amount(spread, 0 if of.is_inch else 2, width),
        Amount(float(row["cpk"]), 2, float(row["cpk_half_width"])),
        Amount(of.per_unit * float(row["loss_per_part"]), 2, of.per_unit * float(row["loss_half_width"])),
    ]


def _limits(row: Mapping[Hashable, Any], of: Reader) -> str:
    """Limits as the drawing gives them."""
    low, high = float(row["lower"]), float(row["upper"])
    if row["unit"] == "mm":
        low, high = (low / 25.4, high / 25.4) if of.is_inch else (low, high)
        unit, places = ("in", 5) if of.is_inch else ("mm", 3)
    else:
        low, high, unit, places = of.small(low), of.small(high), of.small_unit, 0 if of.is_inch else 1
    return f"up to {high:.{places}f} {unit}" if math.isnan(low) else f"{low:.{places}f} to {high:.{places}f} {unit}"


def _even(answer: RoutingAnswer, of: Reader) -> Block:
    """Differences from the first variant, and where the two would be even."""
    money, first = _currency(answer, of), answer.made[0].variant.name
    heads = (
        f'against "{first}"', "cutting min/part", "good parts/h", f"loss {money}/part", f"contribution {money}/h",
        "even at loss factors times", "even at parts/h sold", f"even at a machine rate of {money}/h",
        f"even at an hour worth {money} elsewhere",
    )  # fmt: skip
    rows: list[tuple[Measured, ...]] = []
    for made in answer.made[1:]:
        minutes = made.content.cut_min - answer.made[0].content.cut_min
        volume = answer.even_volume(made)
        rows.append(
            (
                made.variant.name, Amount(minutes), _less(answer, made, "good_per_hour", 1.0, 3),
                _less(answer, made, "quality_loss_per_good_part", of.per_unit, 2),
                _less(answer, made, "contribution_per_hour", of.per_unit, 1), _even_words(answer.even_loss(made), 1.0),
                "at none" if math.isnan(volume) else Amount(volume),
                "as many machines" if math.isnan(answer.even_rate(made).value)
                else _even_words(answer.even_rate(made), of.per_unit),
                _even_words(answer.even_hour(made), of.per_unit),
            )
        )  # fmt: skip
    title = "Differences (paired, hold together; ~ not significant), and what would make the two even"
    return Block(title, heads, tuple(rows))


def _less(answer: RoutingAnswer, made: Made, name: str, factor: float, decimals: int) -> Amount:
    """A difference from the first variant."""
    found = answer.difference(made, answer.made[0], name)
    return Amount(factor * found.mean, decimals, factor * found.half_width, not found.is_apart)


def _even_words(even: Even, factor: float) -> str:
    """A break-even with its interval, in words where there is none."""
    if math.isnan(even.value):
        return "at none"
    if not even.is_bounded or even.low <= 0.0 < even.high:
        return "not significant"
    if even.value <= 0.0:
        return "at none"
    value, low, high = (number(factor * each, 2) for each in (even.value, even.low, even.high))
    return f"{value} ({low} to {high})"


def _shares(histories: Mapping[str, History], of: Reader) -> dict[str, tuple[float, dict[str, float]]]:
    """By variant: standard deviation, and share of the variance by source."""
    found = {}
    for name, history in histories.items():
        parts = history.arising.groupby("source")["variance_um2"].sum()
        whole = float(parts.sum())
        shares = {source.words: float(parts.get(source.words, 0.0)) / whole for source in Source} if whole else {}
        found[name] = (of.small(math.sqrt(max(whole, 0.0))), {key: value for key, value in shares.items() if value})
    return found


def _assumptions(answer: RoutingAnswer, of: Reader, warnings: Mapping[str, Sequence[str]]) -> tuple[str, ...]:
    """What the figures stand on."""
    base = answer.variants.base
    told = [
        (
            f"Counted {base.run.length / 60.0:.0f} h of worked time after {base.run.warm_up / 60.0:.0f} h that were "
            f'not counted; other sets by the policy "{answer.variants.policy}".'
        ),
        (
            "Machines and operators are charged for the whole time, whether they work or wait; minutes saved at a "
            "machine with time to spare therefore save nothing by themselves."
        ),
        "Wear, force and roughness coefficients are estimates; the shop's own records are better.",
    ]
    if of.currency is not None and of.currency != answer.currency:
        told.append(f"Money at {of.per_unit:g} {of.currency} for 1 {answer.currency}.")
    return (*told, *_common(warnings))


def _common(warnings: Mapping[str, Sequence[str]]) -> list[str]:
    """Each warning once, with the variants that it holds for, or none where it holds for all."""
    texts = dict.fromkeys(text for own in warnings.values() for text in own)
    names = {text: [name for name, own in warnings.items() if text in own] for text in texts}
    return [text if len(names[text]) == len(warnings) else f"{', '.join(names[text])}: {text}" for text in texts]
