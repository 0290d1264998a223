"""The figures of all cuts of a works, and whether the machines can make them."""

from __future__ import annotations

from linesim.errors import Problem, ScenarioError
from linesim.plan.blades import with_leaders
from linesim.plan.coefficients import coefficients_of
from linesim.plan.cut_setting import CutSetting
from linesim.plan.cuts import CutFigures, figures_of
from linesim.plan.warming import with_heat
from linesim.works.model import Works
from linesim.works.operations import Operation

__all__ = ["CutKey", "cut_figures", "cut_settings"]

CutKey = tuple[str, str, str, str]
"""Line, operation, stroke and cut by name."""


def cut_settings(works: Works) -> dict[CutKey, CutSetting]:
    """Every cut of a works with what surrounds it, by line, operation, stroke and cut.

    The first cut of a feature runs in the casting's skin, unless it is stated otherwise.
    """
    settings: dict[CutKey, CutSetting] = {}
    for line_name, line in works.lines.items():
        cut_before: set[str] = set()
        for operation_name, operation in line.operations.items():
            for stroke_name, stroke in operation.strokes.items():
                for name, cut in stroke.cuts.items():
                    in_skin = cut.feature not in cut_before if cut.in_skin is None else cut.in_skin
                    cut_before.add(cut.feature)
                    settings[line_name, operation_name, stroke_name, name] = CutSetting(
                        line, operation, line.features[cut.feature], works.cutters[cut.cutter], cut, in_skin,
                        (operation_name, stroke_name, name),
                    )  # fmt: skip
    return settings


def cut_figures(works: Works) -> dict[CutKey, CutFigures]:
    """Figures of every cut of a works, by line, operation, stroke and cut.

    Raises
    ------
    ScenarioError
        With all that is wrong with the cuts: missing figures, or more power than the machine has.
    """
    coefficients = coefficients_of(works)
    problems: list[Problem] = []
    of_works: dict[CutKey, CutFigures] = {}
    of_strokes: dict[CutKey, dict[str, CutFigures]] = {}
    settings = cut_settings(works)
    for key, setting in settings.items():
        path = _path(key)

        def complain(entry: str, text: str, at: tuple[str, ...] = (*path, "cuts", key[3])) -> None:
            problems.append(works.problem((*at, entry), text))

        figures = figures_of(setting, coefficients, complain)
        if figures is not None:
            of_strokes.setdefault((*key[:3], ""), {})[key[3]] = figures
    for key, alone in of_strokes.items():
        of_stroke = with_leaders({name: settings[*key[:3], name] for name in alone}, alone)
        problems += _limits(works, works.lines[key[0]].operations[key[1]], _path(key), of_stroke)
        of_works |= {(*key[:3], name): figures for name, figures in of_stroke.items()}
    if problems:
        raise ScenarioError(problems)
    return with_heat(settings, of_works, coefficients)


def _path(key: CutKey) -> tuple[str, ...]:
    """Where the stroke of a cut stands in a scenario."""
    return ("lines", key[0], "operations", key[1], "strokes", key[2])


def _limits(works: Works, operation: Operation, path: tuple[str, ...], figures: dict[str, CutFigures]) -> list[Problem]:
    """Cuts, or the cuts of a stroke together, that ask more of the machine than it has."""
    problems = []
    rating = operation.power
    for name, cut in figures.items():
        if rating is not None and cut.power_kw > rating:
            text = f'the cut "{name}" takes {cut.power_kw:.2f} kW at the motor, but the machine has {rating:g} kW'
            hint = "Take less depth or feed, or divide the stock over more cuts."
            problems.append(works.problem((*path, "cuts", name), text, hint))
        if operation.max_rpm is not None and cut.spindle_rpm > operation.max_rpm:
            text = f"{cut.spindle_rpm:.0f} rev/min are needed, but the spindle turns {operation.max_rpm:g} at most"
            problems.append(works.problem((*path, "cuts", name, "speed"), text))
    total = sum(cut.power_kw for cut in figures.values())
    # A cut that is too heavy by itself has been reported; that the stroke is too heavy as well adds nothing.
    if rating is not None and total > rating >= max(cut.power_kw for cut in figures.values()):
        names = " and ".join(f'"{name}"' for name in figures)
        text = f"the cuts {names} together take {total:.2f} kW at the motor, but the machine has {rating:g} kW"
        problems.append(works.problem(path, text, "Take less depth or feed, or cut in separate strokes."))
    return problems
