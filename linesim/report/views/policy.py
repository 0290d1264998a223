"""All policies of a works on one sheet: output against quality loss, what is recommended, and the rules of each."""

from __future__ import annotations

import math
from typing import Any

import pandas as pd
import plotly.graph_objects as go

from linesim.desk.sets import set_table
from linesim.plan.build import make_plan
from linesim.report.charts.figures import finish
from linesim.report.theme.colours import DAY, PALETTE, Light
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Picture, Sheet
from linesim.report.theme.safe import in_picture
from linesim.report.theme.shown import interval, number
from linesim.rules import rule_words
from linesim.study.comparing.comparison import Comparison
from linesim.study.questions.frontier import Frontier
from linesim.study.statistics.pareto import BEATEN, ON, OPEN
from linesim.works import Works
from linesim.works.policies import Policy, Rule

__all__ = ["policies_note", "policies_picture", "recommendation", "rule_for", "rules_sheet"]

_PLACES: dict[str, tuple[str, str, str]] = {
    ON: ("on the frontier, surely", "diamond", PALETTE["blue"]),
    OPEN: ("place not settled by the runs", "circle-open", PALETTE["orange"]),
    BEATEN: ("beaten in both by another one", "x", ""),
}
"""What is said of a place, its mark and its colour; the rule of the page where there is none."""

_NO_PLACE = "no good part shipped"


def recommendation(found: Comparison) -> tuple[str, ...]:
    """The recommendation with its certainty first, then the others against it."""
    first, *others = found.sentences
    best = found.best
    if best.policy is None:
        return found.sentences
    named = f'Take "{best.policy}".' if best.is_clear else f'"{best.policy}" is ahead, but not beyond doubt.'
    return f"{named} {first}", *others


def policies_note(found: Comparison) -> str:
    """How the figures are to be read, and what a point means."""
    run = found.works.run
    return (
        f"Means of {found.n_replications} runs of {number(run.length, 0)} worked minutes each, bars the "
        f"{100.0 * found.confidence:g} % interval; the same castings, edges and breakdowns under every policy. Right "
        f"and down is better. Seed {found.seed}."
    )


def policies_picture(found: Comparison, light: Light = DAY) -> Picture:
    """Output against quality-loss cost of all policies, with interval bars and the frontier.

    Parameters
    ----------
    found : Comparison
        The runs of the policies.
    light : Light
        Colours of the page.

    Returns
    -------
    Picture
        Each point bears the number of its policy in the table behind it; its mark says how surely it stands there.
    """
    frontier = Frontier(found)
    rows = _rows(frontier)
    figure = go.Figure()
    joined = [row for row in frontier.table.to_dict(orient="records") if row["is_in_line"]]
    if len(joined) > 1:
        figure.add_trace(
            go.Scatter(
                x=[row["good_per_hour"] for row in joined], y=[row["quality_loss_per_good_part"] for row in joined],
                mode="lines", hoverinfo="skip", line={"color": light.faint, "width": 1.5, "dash": "dot"},
                name="frontier: not beaten in the mean",
            )
        )  # fmt: skip
    for place, (words, symbol, colour) in _PLACES.items():
        own = [row for row in rows if row["place"] == place]
        if own:
            figure.add_trace(_points(own, words, symbol, colour or light.faint, light))
    money = in_picture(found.works.currency)
    figure.update_xaxes(title="good parts per hour")
    figure.update_yaxes(title=f"quality loss per good part, {money}")
    finish(figure, light, 470)
    words = f"{' '.join(frontier.sentences)} The table behind the picture has every policy by number."
    return Picture(figure, words, _sheet(found, rows))


def _rows(frontier: Frontier) -> list[dict[str, Any]]:
    """Every policy with its number, place and figures; twins stand where their first one does."""
    found = frontier.found
    table = frontier.table.set_index("policy").to_dict(orient="index") if len(frontier.table) else {}
    rows = []
    for at, name in enumerate(found.names, start=1):
        twin = frontier.twins.get(name)
        own = table.get(name) or table.get(twin or "", {})
        row: dict[str, Any] = {"number": at, "policy": name, "words": found.words[name], "twin": twin or ""}
        row["place"] = own.get("place", "")
        for measure in ("good_per_hour", "quality_loss_per_good_part", "cost_per_good_part", "contribution_per_hour"):
            row[measure], row[f"{measure}_half_width"] = found.mean(name, measure)
        rows.append(row)
    return rows


def _points(rows: list[dict[str, Any]], words: str, symbol: str, colour: str, light: Light) -> go.Scatter:
    """Policies of one place, with bars both ways and their numbers beside them."""
    bars = {
        axis: {"type": "data", "array": [row[f"{name}_half_width"] for row in rows], "thickness": 1.3, "width": 4,
               "color": colour}
        for axis, name in (("error_x", "good_per_hour"), ("error_y", "quality_loss_per_good_part"))
    }  # fmt: skip
    names = [f"{row['number']} {in_picture(row['policy'], 22)}" for row in rows]
    return go.Scatter(
        x=[row["good_per_hour"] for row in rows],
        y=[row["quality_loss_per_good_part"] for row in rows],
        **bars,
        mode="markers+text",
        marker={"size": 11, "symbol": symbol, "color": colour, "line": {"width": 2, "color": colour}},
        text=names,
        textposition=["top left" if at % 2 else "bottom left" for at in range(len(rows))],
        textfont={"color": light.ink, "size": 12},
        name=words,
        hovertext=[in_picture(row["policy"], 60) for row in rows],
        hovertemplate="%{hovertext}<br>%{x:.3f} good parts/h<br>loss %{y:.2f} per part<extra></extra>",
    )


def _sheet(found: Comparison, rows: list[dict[str, Any]]) -> Sheet:
    cells: list[list[Cell]] = []
    for row in rows:
        place = _PLACES[row["place"]][0] if row["place"] in _PLACES else _NO_PLACE
        place = f'{place}; the same as "{row["twin"]}" in every run' if row["twin"] else place
        figures = [
            interval(row[name], row[f"{name}_half_width"])
            for name in (
                "good_per_hour", "quality_loss_per_good_part", "cost_per_good_part", "contribution_per_hour",
            )
        ]  # fmt: skip
        cells.append([f"{row['number']} {row['policy']}", row["words"], *numbers(*figures), place])
    money = found.works.currency
    heads = [
        "policy", "what it does",
        *numbers("good parts/h", f"quality loss, {money} a part", f"cost, {money} a part", f"contribution, {money}/h"),
        "where it stands",
    ]  # fmt: skip
    caption = f"All policies: mean of {found.n_replications} runs ± half width, {100.0 * found.confidence:g} %"
    return Sheet(caption, heads, cells, pd.DataFrame(rows))


def rule_for(policy: Policy, operation: str, cutter: str) -> Rule:
    """The rule of a policy for one set at one operation."""
    return policy.exceptions.get(f"{operation} / {cutter}", policy.exceptions.get(cutter, policy.default))


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
    rules = works.policies[policy]
    table = set_table(works, make_plan(works, policy), policy)
    cells: list[list[Cell]] = []
    several = len(works.lines) > 1
    said = []
    for row in table.to_dict(orient="records"):
        words = rule_words(rule_for(rules, str(row["operation"]), str(row["cutter"])))
        said.append(words)
        life, between = float(row["parts_per_edge"]), float(row["parts_between"])
        share = between / life if life and math.isfinite(life) and math.isfinite(between) else math.nan
        where = f"{row['line']}: {row['operation']}" if several else str(row["operation"])
        figures = numbers(_parts(between), _parts(life), "–" if math.isnan(share) else f"{100.0 * share:.0f} %")
        cells.append([where, str(row["cutter"]), words, *figures])
    group = "" if rules.group_past is None else f"; what is past {rules.group_past:g} comes off in the same stop"
    caption = f'Rules under "{policy}"{group}; parts as an average edge lasts'
    heads = [
        "operation",
        "cutter set",
        "changed",
        *numbers("about every … parts", "an edge lasts, parts", "of its life"),
    ]
    return Sheet(caption, heads, cells, table.assign(rule=said))


def _parts(value: float) -> str:
    return number(value, 0) if math.isfinite(value) else "no end"
