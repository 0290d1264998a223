"""What a line gives under a policy, in a row of figures and a sentence."""

from __future__ import annotations

from linesim.desk import Desk
from linesim.report.theme.shown import interval, number
from linesim.report.views.routing_picture import MINUTES
from linesim.study.comparing.closely import CloseLook
from linesim.works import Works
from linesim.works.doing import called_at

__all__ = ["before_strip", "operation_words", "run_sentence", "run_strip"]


def run_strip(look: CloseLook, policy: str, line: str) -> list[tuple[str, str, str]]:
    """Output, cost, quality loss, contribution and yield, each with its interval.

    Parameters
    ----------
    look : CloseLook
        A close look at the policy.
    policy, line : str
        Which.

    Returns
    -------
    list of (str, str, str)
        Name, figure, unit.
    """
    money = look.works.currency
    wanted = (
        ("good_per_hour", "output", "good parts per hour", 1.0),
        ("cost_per_good_part", "cost", f"{money} per good part", 1.0),
        ("quality_loss_per_good_part", "quality loss in it", f"{money} per good part", 1.0),
        ("contribution_per_hour", "contribution", f"{money} per hour", 1.0),
        ("first_pass_yield", "right first time", "% of the parts", 100.0),
    )
    strip = []
    for column, name, unit, factor in wanted:
        mean, half_width, _ = look.figure(policy, line, column)
        strip.append((name, interval(factor * mean, factor * half_width), unit))
    return strip


def operation_words(works: Works, desk: Desk, line: str, name: str) -> str:
    """Why an operation takes as long as it does, and how far it is from holding its line back.

    Parameters
    ----------
    works : Works
        The checked scenario.
    desk : Desk
        Its figures on paper.
    line, name : str
        Of the line and of the operation.
    """
    rows = {str(row["operation"]): row for row in desk.operations[desk.operations["line"] == line].to_dict("records")}
    holds = desk.constraints[desk.constraints["line"] == line].iloc[0]
    own, held = rows[name], str(holds["operation"])
    minutes = sorted(((own[column], words) for column, words, *_ in MINUTES if own[column] > 0.0), reverse=True)
    parts = ", ".join(f"{words} {number(value, 1)}" for value, words in minutes)
    takes = f"{called_at(works, line, name)} takes {number(own['minutes_per_part'], 1)} minutes of a part on a machine"
    machines = own["machines"]
    by = "" if machines == 1 else f", and it has {machines} machines"
    if holds["is_way"]:
        return f"{takes}{by}: {parts}."
    if name == held:
        return f"{takes}{by}: {parts}. It holds the line back: what it takes less, the whole line gains."
    spare = rows[held]["minutes_per_part"] / rows[held]["machines"] - own["minutes_per_part"] / machines
    other = called_at(works, line, held)
    return f"{takes}{by}: {parts}. It has {number(max(spare, 0.0), 1)} minutes a part to spare beside {other}."


def before_strip(strip: list[tuple[str, str, str]], before: list[tuple[str, str, str]]) -> list[tuple[str, str, str]]:
    """The row of figures with those from before a change beneath them; the same figures are said to be the same.

    >>> before_strip([("output", "4.1", "parts/h")], [("output", "3.9", "parts/h")])
    [('output', '4.1', 'parts/h; before: 3.9')]
    """
    result = []
    for (name, value, unit), (_, earlier, _) in zip(strip, before, strict=True):
        result.append((name, value, f"{unit}; " + ("as before" if earlier == value else f"before: {earlier}")))
    return result


def run_sentence(look: CloseLook, policy: str, line: str) -> str:
    """How the figures are to be read."""
    run = look.works.run
    return (
        f'{line} under "{policy}": means of {look.n} runs of {run.length:g} worked minutes each, ± half the width of '
        f"their {100.0 * look.confidence:g} % interval. Seed {look.seed}."
    )
