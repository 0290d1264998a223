"""Tables of a justification sheet, in the reader's currency and units: it is here that they are converted."""

from __future__ import annotations

import math
from collections.abc import Hashable, Mapping
from typing import Any

from linesim.report.page.sheet_records import Amount, Block, Measured, Reader
from linesim.report.theme.shown import beyond_capability
from linesim.routing.answer import RoutingAnswer, Tried
from linesim.routing.breakeven import Even
from linesim.study.comparing.words import whose_words
from linesim.words import figure, keep

__all__ = ["capability_block", "differences_block", "long_capability_block", "money_block"]

_ABREAST = 3
"""Variants that stand side by side with their spread; with more, the sheet has room for capability and loss only."""


def _measured(answer: RoutingAnswer, built: Tried, name: str, factor: float, decimals: int) -> Amount:
    """A measure of a variant with its half width."""
    own = built.sample.interval(name, answer.confidence)
    return Amount(factor * own.mean, decimals, factor * own.half_width)


def money_block(answer: RoutingAnswer, of: Reader) -> Block:
    """Minutes, machines, output and money, variant by variant."""
    money = of.currency_for(answer.currency)
    names = ("variant", "cuts", "cut_min", "machine_min", "machines", "changed_at", "good", "cost", "of_it_loss",
             "contribution", "first_pass")  # fmt: skip
    heads = tuple(keep(f"justify.head_{name}", currency=money) for name in names)
    rows = []
    for built, content in zip(answer.tried, answer.content.to_dict(orient="records"), strict=True):
        shares = built.intervals.shares
        changed: Measured = keep("justify.as_policy")
        if shares:
            changed = keep("justify.shares", least=min(shares.values()), most=max(shares.values()))
        if shares and min(shares.values()) == max(shares.values()):
            changed = Amount(min(shares.values()))
        rows.append(
            (
                _mark(answer, built), Amount(content["cuts"], 0), Amount(content["cut_min"]),
                Amount(content["operation_min"]), Amount(content["machines"], 0), changed,
                _measured(answer, built, "good_per_hour", 1.0, 2),
                _measured(answer, built, "cost_per_good_part", of.per_unit, 2),
                _measured(answer, built, "quality_loss_per_good_part", of.per_unit, 2),
                _measured(answer, built, "contribution_per_hour", of.per_unit, 1),
                _measured(answer, built, "first_pass_yield", 100.0, 1),
            )
        )  # fmt: skip
    level = figure(f"{100.0 * answer.confidence:g}")
    return Block(keep("justify.money", level=level, count=answer.n_replications), heads, tuple(rows))


def _mark(answer: RoutingAnswer, built: Tried) -> str:
    """Name of a variant, starred if it is clearly best."""
    star = "* " if answer.is_clear and built is answer.leader and answer.holds_drawing(built) else ""
    return f"{star}{built.variant.name}"


def capability_block(answer: RoutingAnswer, of: Reader) -> Block:
    """Spread, Cpk and loss of each characteristic, variants side by side."""
    table = answer.capability
    heads: list[str] = [keep("justify.head_characteristic"), keep("justify.head_limits")]
    money = of.currency_for(answer.currency)
    is_narrow = len(answer.variants.names) <= _ABREAST
    for name in answer.variants.names:
        heads += (
            [keep("justify.sd_of", variant=name, unit=of.small_unit), keep("justify.head_cpk"),
             keep("justify.head_loss", currency=money)]
            if is_narrow
            else [keep("justify.cpk_of", variant=name), keep("justify.loss", currency=money)]
        )  # fmt: skip
    rows = []
    cells = {(row["feature"], row["characteristic"], row["variant"]): row for row in table.to_dict(orient="records")}
    for feature, what in dict.fromkeys((key[0], key[1]) for key in cells):
        first = next(row for key, row in cells.items() if key[:2] == (feature, what))
        row: list[Measured] = [whose_words(str(feature), str(what)), _limits(first, of)]
        for name in answer.variants.names:
            own = cells.get((feature, what, name))
            cells_of = [Amount(math.nan)] * 3 if own is None else _of_one(own, of)
            row += cells_of if is_narrow else cells_of[1:]
        rows.append(tuple(row))
    return Block(keep("justify.capability"), tuple(heads), tuple(rows))


def long_capability_block(answer: RoutingAnswer, of: Reader) -> Block:
    """Spread, Cpk and loss, one row for each characteristic and variant."""
    rows = answer.capability.sort_values(["feature", "characteristic"], kind="stable").to_dict(orient="records")
    body = [
        (
            whose_words(str(row["feature"]), str(row["characteristic"])),
            str(row["variant"]),
            _limits(row, of),
            *_of_one(row, of),
        )
        for row in rows
    ]
    heads = (
        keep("justify.head_characteristic"), keep("justify.head_variant"), keep("justify.head_limits"),
        keep("justify.head_sd", unit=of.small_unit), keep("justify.head_cpk"),
        keep("justify.head_loss", currency=of.currency_for(answer.currency)),
    )  # fmt: skip
    return Block(keep("justify.capability"), heads, tuple(body))


def _of_one(row: Mapping[Hashable, Any], of: Reader) -> list[Measured]:
    """Spread, Cpk and loss of one characteristic of one variant."""
    scale = 1000.0 if row["unit"] == "mm" else 1.0
    spread, width = (of.small(scale * float(row[name])) for name in ("sd", "sd_half_width"))
    return [
        Amount(spread, 0 if of.is_inch else 2, width),
        beyond_capability(row["cpk"]) or Amount(float(row["cpk"]), 2, float(row["cpk_half_width"])),
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
    least, most = figure(f"{low:.{places}f}"), figure(f"{high:.{places}f}")
    if math.isnan(low):
        return keep("justify.up_to", most=most, unit=unit)
    return keep("justify.between", least=least, most=most, unit=unit)


def differences_block(answer: RoutingAnswer, of: Reader) -> Block:
    """Differences from the first variant, and where the two would be even."""
    money, first = of.currency_for(answer.currency), answer.tried[0].variant.name
    names = (
        "against",
        "cut_min",
        "good",
        "loss",
        "contribution",
        "even_factors",
        "even_sold",
        "even_rate",
        "even_hour",
    )
    heads = tuple(keep(f"justify.head_{name}", first=first, currency=money) for name in names)
    rows: list[tuple[Measured, ...]] = []
    for built in answer.tried[1:]:
        minutes = built.content.cut_min - answer.tried[0].content.cut_min
        volume = answer.even_volume(built)
        rows.append(
            (
                built.variant.name, Amount(minutes), _less(answer, built, "good_per_hour", 1.0, 3),
                _less(answer, built, "quality_loss_per_good_part", of.per_unit, 2),
                _less(answer, built, "contribution_per_hour", of.per_unit, 1),
                _even_words(answer.even_loss(built), 1.0),
                keep("justify.at_none") if math.isnan(volume) else Amount(volume),
                keep("justify.as_many") if math.isnan(answer.even_rate(built).value)
                else _even_words(answer.even_rate(built), of.per_unit),
                _even_words(answer.even_hour(built), of.per_unit),
            )
        )  # fmt: skip
    return Block(keep("justify.differences"), heads, tuple(rows))


def _less(answer: RoutingAnswer, built: Tried, name: str, factor: float, decimals: int) -> Amount:
    """A difference from the first variant."""
    study = answer.difference(built, answer.tried[0], name)
    return Amount(factor * study.mean, decimals, factor * study.half_width, not study.is_apart)


def _even_words(even: Even, factor: float) -> str:
    """A break-even with its interval, in words where there is none."""
    if math.isnan(even.value):
        return keep("justify.at_none")
    if not even.is_bounded or even.low <= 0.0 < even.high:
        return keep("justify.not_significant")
    if even.value <= 0.0:
        return keep("justify.at_none")
    return keep("justify.range", value=factor * even.value, low=factor * even.low, high=factor * even.high)
