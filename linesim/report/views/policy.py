"""All policies of a works on one sheet: output against quality loss, what is recommended, and the rules of each."""

from __future__ import annotations

import math
from typing import Any

import pandas as pd

from linesim.report.charts.output_loss import VERDICTS, output_loss_figure
from linesim.report.theme.colours import DAY, Light
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Picture, Sheet
from linesim.report.theme.shown import interval, number
from linesim.study.advice.remarks import remarks_on
from linesim.study.comparing.comparison import Comparison
from linesim.study.comparing.levers import lever_words
from linesim.study.questions.frontier import Frontier
from linesim.study.questions.policy_rules import policy_rules
from linesim.works import Works
from linesim.works.doing import called_at

__all__ = ["policies_note", "policies_picture", "recommendation", "rules_sheet"]

_NO_GOOD_PART = "no good part shipped"


def recommendation(comparison: Comparison) -> tuple[str, ...]:
    """What must be said before it is praised, the recommendation with its certainty, then the others against it."""
    first, *others = comparison.sentences
    best = comparison.best
    if best.policy is None:
        return comparison.sentences
    named = f'Take "{best.policy}".' if best.is_clear else f'"{best.policy}" is ahead, but not beyond doubt.'
    before = "".join(f"{text} " for text in remarks_on(comparison, best.policy))
    return f"{before}{named} {first}", *others


def policies_note(comparison: Comparison) -> str:
    """How the figures are to be read, and what a point means."""
    run = comparison.works.run
    return (
        f"Means of {comparison.n_replications} runs of {number(run.length, 0)} worked minutes each, bars the "
        f"{100.0 * comparison.confidence:g} % interval; common random numbers: the same castings, edges and breakdowns "
        f"under every policy. Right and down is better. Seed {comparison.seed}."
    )


def policies_picture(comparison: Comparison, light: Light = DAY) -> Picture:
    """Output against quality-loss cost of all policies, with interval bars and the frontier.

    Parameters
    ----------
    comparison : Comparison
        The runs of the policies.
    light : Light
        Colours of the page.

    Returns
    -------
    Picture
        The table behind it has every policy; those that did exactly the same as another one are one point.
    """
    frontier = Frontier(comparison)
    words = f"{' '.join(frontier.sentences)} The table behind the picture has every policy."
    return Picture(output_loss_figure(frontier, light), words, _sheet(comparison, _rows(frontier)))


def _rows(frontier: Frontier) -> list[dict[str, Any]]:
    """Every policy with its verdict and figures; one that did the same as another has that one's."""
    comparison = frontier.comparison
    table = frontier.table.set_index("policy").to_dict(orient="index") if frontier.names else {}
    rows = []
    for name in comparison.names:
        twin = frontier.twins.get(name)
        own = table.get(name) or table.get(twin or "", {})
        row: dict[str, Any] = {"policy": name, "words": comparison.words[name], "twin": twin or ""}
        row["verdict"] = own.get("place", "")
        for measure in ("good_per_hour", "quality_loss_per_good_part", "cost_per_good_part", "contribution_per_hour"):
            row[measure], row[f"{measure}_half_width"] = comparison.mean(name, measure)
        rows.append(row)
    return rows


def _sheet(comparison: Comparison, rows: list[dict[str, Any]]) -> Sheet:
    cells: list[list[Cell]] = []
    for row in rows:
        words = VERDICTS[row["verdict"]].words if row["verdict"] else _NO_GOOD_PART
        words = f'{words}; the same as "{row["twin"]}" in every run' if row["twin"] else words
        figures = [
            interval(row[name], row[f"{name}_half_width"])
            for name in (
                "good_per_hour", "quality_loss_per_good_part", "cost_per_good_part", "contribution_per_hour",
            )
        ]  # fmt: skip
        cells.append([row["policy"], row["words"], *numbers(*figures), words])
    money = comparison.works.currency
    heads = [
        "policy", "what it does",
        *numbers("good parts/h", f"quality loss, {money} a part", f"cost, {money} a part", f"contribution, {money}/h"),
        "where it stands",
    ]  # fmt: skip
    caption = (
        f"All policies: mean of {comparison.n_replications} runs ± half width, {100.0 * comparison.confidence:g} %"
    )
    return Sheet(caption, heads, cells, pd.DataFrame(rows))


def rules_sheet(works: Works, policy: str) -> Sheet:
    """What a policy says of every cutter set, and about how many parts that is.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str
        Which.

    Returns
    -------
    Sheet
        Set by set in the order of the routing; parts between changes with an average edge.
    """
    table = policy_rules(works, policy)
    several, has_aims = len(works.lines) > 1, bool(works.policies[policy].aims)
    cells: list[list[Cell]] = []
    for row in table.to_dict(orient="records"):
        share = row["share_of_life"]
        called = called_at(works, str(row["line"]), str(row["operation"]))
        where = f"{row['line']}: {called}" if several else called
        percent = "–" if math.isnan(share) else f"{100.0 * share:.0f} %"
        figures = numbers(_parts(row["parts_between"]), _parts(row["parts_per_edge"]), percent)
        aimed = [str(row["aimed"])] if has_aims else []
        cells.append([where, str(row["cutter"]), str(row["rule"]), *aimed, *figures])
    group_past = works.policies[policy].group_past
    group = "" if group_past is None else f"; what is past {group_past:g} comes off in the same stop"
    others = lever_words(works.policies[policy].model_copy(update={"aims": {}}))
    beside = "".join(f"; {words}" for words in others)
    caption = f'Rules under "{policy}"{group}{beside}; parts as an average edge lasts'
    heads = ["operation", "cutter set", "changed", *(["aimed"] if has_aims else []),
             *numbers("about every … parts", "an edge lasts, parts", "of its life")]  # fmt: skip
    return Sheet(caption, heads, cells, table)


def _parts(value: float) -> str:
    return number(value, 0) if math.isfinite(value) else "no end"
