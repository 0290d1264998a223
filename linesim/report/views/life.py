"""The life history of a feature, its stock plan, and speed and feed of a cut, as pictures and tables of a page."""

from __future__ import annotations

from linesim.cutting.component import Component
from linesim.report.charts.error_history import (
    error_history_figure,
    figure_columns,
    per_side,
    sources_in,
    step_names,
)
from linesim.report.theme.colours import DAY, Light
from linesim.report.theme.markup import Cell, numbers
from linesim.report.theme.picture import Picture, Sheet
from linesim.report.theme.shown import System, converted, interval, number, unit_shown
from linesim.routing import History, SpeedAnswer, StockPlan
from linesim.study.comparing.measures import measure, with_unit
from linesim.works.doing import called_at

__all__ = ["arising_sheet", "life_picture", "speed_sheets", "stock_sheets"]

_UM = "µm"


def life_picture(answer: History, system: System = "metric", light: Light = DAY) -> Picture:
    """Spread of an error (of form its root mean square) after each step, each bar divided by the sources of its square.

    Parameters
    ----------
    answer : History
        The history.
    system : {"metric", "inch"}
        Units.
    light : Light
        Colours of the page.

    Returns
    -------
    Picture
        The casting's bar is cut off where it is far longer than the rest; each bar bears its figure.
    """
    figure = error_history_figure(answer, system, light)
    return Picture(figure, " ".join(answer.sentences), _steps_sheet(answer, system))


def _steps_sheet(answer: History, system: System) -> Sheet:
    """Step by step, with the share of each source."""
    names, used, of, columns = step_names(answer), sources_in(answer), answer.measured, figure_columns(answer)
    table = answer.table.to_dict(orient="records")
    parts = {(row["operation"], row["step"], row["source"]): float(row[of.shared]) for row in table}
    rows: list[list[Cell]] = []
    for name, row in zip(names, answer.totals.to_dict(orient="records"), strict=True):
        whole = float(row[of.shared])
        shares = [parts.get((row["operation"], row["step"], source)) for source in used]
        percent = ["" if share is None or not whole else f"{100.0 * share / whole:.1f}" for share in shares]
        figures = [number(converted(row[each], _UM, system)) for each in columns.values()]
        rows.append([name, *numbers(*figures, *percent)])
    unit = unit_shown(_UM, system)
    heads = ["after", *numbers(*(f"{head}, {unit}" for head in columns), *(f"{source}, %" for source in used))]
    what = "Error" if answer.of is Component.SIZE else answer.of.words.capitalize()
    caption = f"{what}{per_side(answer)} step by step, and the share of each source in its {of.shared_words}"
    return Sheet(caption + (" (a minus takes variance out)" if answer.of.is_signed else ""), heads, rows, answer.table)


def arising_sheet(answer: History) -> Sheet:
    """Where each part of the final variance (of form, of its mean square) arose; shares with their intervals."""
    table, of = answer.arising, answer.measured
    whole = float(table[of.shared].sum())
    ordered = table.sort_values(of.shared, ascending=False, key=abs, kind="stable")
    rows: list[list[Cell]] = []
    for row in ordered.to_dict(orient="records"):
        half = 100.0 * row[f"{of.shared}_half_width"] / whole if whole else float("nan")
        where = [called_at(answer.works, answer.line, str(row["operation"])), str(row["step"]), str(row["source"])]
        rows.append([*where, *numbers(interval(100.0 * row["share"], half))])
    minus = "; a minus takes variance out" if answer.of.is_signed else ""
    caption = f"Where each part of the final {of.shared_words} arose, in per cent{minus}"
    return Sheet(caption, ["arose at", "in", "source", *numbers("share, %")], rows, ordered)


def stock_sheets(answer: StockPlan, system: System = "metric") -> list[Sheet]:
    """The routing as it stands, the best choice for each number of cuts, and the plan.

    Parameters
    ----------
    answer : StockPlan
        On paper.
    system : {"metric", "inch"}
        Units.

    Returns
    -------
    list of Sheet
        Two of them where no choice meets the drawing.
    """
    um = unit_shown(_UM, system)
    rows: list[list[Cell]] = []
    for row in answer.choices.to_dict(orient="records"):
        small = [number(converted(row[name], _UM, system), 2) for name in ("sd_um", "ra_um")]
        figures = numbers(small[0], number(row["cpk"], 2), small[1], number(row["ra_cpk"], 2))
        rows.append([str(row["cuts"]), str(row["which"]), *figures, str(row["lacks"]) or "nothing"])
    heads = ["cuts", "which", *numbers(f"sd, {um}", "Cpk", f"Ra, {um}", "Ra Cpk"), "what it lacks"]
    sheets = [
        Sheet("The best choice of the routing's cuts for each number of them, on paper", heads, rows, answer.choices)
    ]
    if len(answer.plan):
        sheets.append(_cuts_sheet(answer, f"The plan: fewest cuts for a Cpk of {answer.wanted_cpk:.2f}", True, system))
    sheets.append(_cuts_sheet(answer, "The routing as it stands", False, system))
    return sheets


def _cuts_sheet(answer: StockPlan, caption: str, is_plan: bool, system: System) -> Sheet:
    table = answer.plan if is_plan else answer.as_it_stands
    rows: list[list[Cell]] = []
    for row in table.to_dict(orient="records"):
        deep = [number(converted(row[name], "mm", system), 3) for name in ("depth_mm", "least_mm")]
        small = [number(converted(row[name], _UM, system), 1) for name in ("mean_um", "sd_um", "ra_um")]
        power = number(converted(row["power_kw"], "kW", system), 1)
        at = called_at(answer.works, answer.line, str(row["operation"]))
        rows.append([at, str(row["cut"]), *numbers(*deep, *small, power)])
    mm, um, kw = (unit_shown(unit, system) for unit in ("mm", _UM, "kW"))
    heads = [
        "operation",
        "cut",
        *numbers(f"depth, {mm}", f"least stock, {mm}", f"mean, {um}", f"sd, {um}", f"Ra, {um}", kw),
    ]
    return Sheet(f"{caption}; per side, state after each cut", heads, rows, table)


def speed_sheets(answer: SpeedAnswer, system: System = "metric") -> list[Sheet]:
    """Speeds and feeds on paper, and what the line makes of them.

    Parameters
    ----------
    answer : SpeedAnswer
        On paper and in the line.
    system : {"metric", "inch"}
        Units.

    Returns
    -------
    list of Sheet
    """
    money = answer.paper.works.currency
    rows: list[list[Cell]] = []
    for row in answer.paper.table.to_dict(orient="records"):
        figures = numbers(
            number(converted(row["speed_m_min"], "m/min", system), 1),
            number(converted(row["feed_mm"], "mm", system), 4),
            number(row["cut_min"], 2), number(row["life_min"], 0), number(row["cost_at_rate"], 2),
            number(row["edge_cost"], 2),
        )  # fmt: skip
        rows.append([str(row["conditions"]), *figures, str(row["bound_by"]) or "nothing"])
    units = [unit_shown(unit, system) for unit in ("m/min", "mm")]
    heads = ["conditions", *numbers(f"speed, {units[0]}", f"feed, {units[1]}", "min a part", "edge life, min",
                                    f"at the machine's rate, {money}", f"edges alone, {money}"), "held by"]  # fmt: skip
    paper = Sheet("On paper, per part; the blades of one stroke go together", heads, rows, answer.paper.table)
    names = ("good_per_hour", "cost_per_good_part", "contribution_per_hour")
    table = {(row["conditions"], row["measure"]): row for row in answer.table.to_dict(orient="records")}
    body: list[list[Cell]] = []
    for name in answer.samples:
        figures = numbers(*(interval(table[name, each]["mean"], table[name, each]["half_width"]) for each in names))
        last = table[name, "contribution_per_hour"]
        less = interval(last["less_as_it_stands"], last["less_half_width"])
        body.append([name, *figures, *numbers(less if name != next(iter(answer.samples)) else "–"),
                     "significant" if last["is_apart"] else ""])  # fmt: skip
    heads = [
        "conditions",
        *numbers(*(with_unit(measure(name), money) for name in names), "contribution less as it stands"),
        "",
    ]
    caption = f"In the line: mean of {answer.n_replications} runs ± half width, {100.0 * answer.confidence:g} %"
    return [paper, Sheet(caption, heads, body, answer.table)]
