"""Tests, repairs and failures in the field: names that lead nowhere, and money that would be counted twice."""

from __future__ import annotations

from statistics import NormalDist

from linesim.errors import quoted
from linesim.works.consequences import Consequence, Test
from linesim.works.features import Feature
from linesim.works.model import Line
from linesim.works.nodes import Path
from linesim.works.rejecting import value_lost
from linesim.works.report import Report
from linesim.works.walks import OperationPlace, operations_of

__all__ = ["MOST_CAUSES", "check_later", "later_cost_at_limit"]

MOST_CAUSES = 60
"""Most causes of a line: a part carries one bit for each."""


def check_later(report: Report) -> None:
    """Look at every test and every failure in the field.

    Parameters
    ----------
    report : Report
        Takes what is found.
    """
    for at in operations_of(report.works):
        if at.operation.test is not None:
            _check_weights(report, at.line_name, (*at.path, "test"), at.operation.test)
            _check_repair(report, at, at.operation.test)
    for name, line in report.works.lines.items():
        for failure, spec in line.later.field.items():
            _check_weights(report, name, ("lines", name, "later", "field", failure), spec)
        _check_causes(report, name, line)


def _check_weights(report: Report, line: str, path: Path, spec: Consequence) -> None:
    """What is weighed is a feature of the line, has a limit, and costs nothing else."""
    features, within = report.works.lines[line].features, ("lines", line, "features")
    for name, row in spec.weights.items():
        if not report.known((*path, "weights", name), name, features, "a feature of this line", within):
            continue
        for component in row:
            here, drawn = (*path, "weights", name, component), (*within, name, component)
            asked = getattr(features[name], component)
            if asked is None:
                text = f"{quoted(name)} has no limit for its {component}; a deviation is measured in units of its limit"
                report.add(here, text, f"give the feature a {component} with a limit", [drawn])
            elif row[component] > 0.0 and (loss := _loss(features[name], component)) > 0.0:
                _refuse_both(report, line, here, drawn, loss)


def _loss(feature: Feature, component: str) -> float:
    """Quality loss of a component at its limit; the greater one of two."""
    asked = getattr(feature, component)
    return max(float(asked.loss_at_limit), float(getattr(asked, "loss_at_low_limit", None) or 0.0))


def _refuse_both(report: Report, line: str, here: Path, drawn: Path, loss: float) -> None:
    """A quality loss and later consequences are the same money seen from two sides."""
    feature, component = str(drawn[3]), str(drawn[4])
    expected = later_cost_at_limit(report.works.lines[line], feature, component)
    factor = f"; the loss is {loss / expected:.3g} times as much" if expected > 0.0 else ""
    text = (
        f"the {component} of {quoted(feature)} has a loss_at_limit of {loss:g} and later consequences, which cost "
        f"{expected:.3g} at the limit{factor}; one of the two was expected, as they are the same money"
    )
    report.add(here, text, "leave out the loss_at_limit, or this weight", [drawn])


def later_cost_at_limit(line: Line, feature: str, component: str) -> float:
    """Expected later cost of a part that is at the limit in one component and on aim in all others.

    Parameters
    ----------
    line : Line
        With its tests and failures in the field.
    feature, component : str
        Names.

    Returns
    -------
    float, money
        Sum of cost times chance over all that weigh the component: of a test the repair's cost, else what is lost
        with the part; floors left out.
    """
    total = 0.0
    for name, operation in line.operations.items():
        if operation.test is not None:
            repair, lost = operation.test.repair, value_lost(line, name)
            total += _chance(operation.test, feature, component) * (lost if repair is None else repair.cost)
    for failure in line.later.field.values():
        total += _chance(failure, feature, component) * failure.cost
    return total


def _chance(spec: Consequence, feature: str, component: str) -> float:
    """Chance of a failure for a component at its limit, without the floor."""
    weight = {str(name): value for name, value in spec.weights.get(feature, {}).items()}.get(component, 0.0)
    if weight <= 0.0:
        return 0.0
    normal = NormalDist()
    first, second = normal.inv_cdf(spec.at_limit), normal.inv_cdf(spec.at_twice)
    # A straight line in probits through the two anchors.
    return normal.cdf(first + (second - first) * (weight - 1.0))


def _check_repair(report: Report, at: OperationPlace, test: Test) -> None:
    """People who repair are a pool; the part goes back to an operation that it has behind it."""
    repair, path = test.repair, (*at.path, "test", "rejected", "repair")
    if repair is None:
        return
    if repair.people is not None:
        report.known((*path, "people"), repair.people, report.works.people, "a pool of people", ("people",))
    names, within = list(at.line.operations), at.path[:-1]
    wanted = at.name if repair.back_to is None else repair.back_to
    if not report.known((*path, "back_to"), wanted, at.line.operations, "an operation of this line", within):
        return
    if report.is_order_gone(within):
        return
    if names.index(wanted) > names.index(at.name):
        text = f"{quoted(wanted)} comes after {quoted(at.name)}; an operation at or before the test was expected"
        report.add((*path, "back_to"), text)
    elif wanted == names[0]:
        text = f"{quoted(wanted)} is the first of its line and takes castings; a later operation was expected"
        report.add((*path, "back_to"), text, "begin the line with an operation that hands parts on to it")


def _check_causes(report: Report, name: str, line: Line) -> None:
    """A part carries one bit for each cause."""
    tests = [operation.test for operation in line.operations.values() if operation.test is not None]
    causes = {spec.cause for spec in (*tests, *line.later.field.values())}
    if len(causes) > MOST_CAUSES:
        text = f"{len(causes)} different causes of failure; up to {MOST_CAUSES} for one line were expected"
        report.add(("lines", name, "later"), text, "give like failures the same cause")
