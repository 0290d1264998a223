"""Answers worked out from the model: figures by where they stand, and formulas of them, never typed in blindly."""

from __future__ import annotations

import ast
import math
import operator
import string
from collections.abc import Callable, Iterator, Mapping
from functools import lru_cache

import numpy as np

from linesim.cutting.form import copying_factor
from linesim.cutting.life import wear_growth
from linesim.desk import Desk, desk_figures
from linesim.errors import LinesimError, nearest, quoted
from linesim.quality.engine import clearance_volume_cm3, compression_ratio, cylinder_volume_cm3
from linesim.training.lesson import FIGURES, Lesson, Question
from linesim.training.orders import TrainingError
from linesim.training.policies import mean_figures

__all__ = ["FORMS", "check_question", "figure_at", "value_of", "worked_answer"]

FORMS = (
    "cut / OPERATION / CUT / FIGURE",
    "set / OPERATION / SET / FIGURE",
    "operation / OPERATION / FIGURE",
    "feature / FEATURE / FIGURE",
    "shift / POLICY / FIGURE",
)
"""Where a figure of the model can be found; before the first four "WAY : " names another set-up."""

_OPERATORS: dict[type[ast.AST], Callable[..., float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
    ast.USub: operator.neg,
    ast.UAdd: operator.pos,
}
_FUNCTIONS: dict[str, Callable[..., float]] = {
    "min": min,
    "max": max,
    "abs": abs,
    "sqrt": math.sqrt,
    "exp": math.exp,
    "log": math.log,
    "floor": math.floor,
    "ceil": math.ceil,
    "wear_growth": wear_growth,
    "copying_factor": copying_factor,
    "cylinder_volume_cm3": cylinder_volume_cm3,
    "clearance_volume_cm3": clearance_volume_cm3,
    "compression_ratio": compression_ratio,
}


def worked_answer(lesson: Lesson, question: Question) -> tuple[float, str]:
    """Work a question's answer out.

    Returns
    -------
    (float, str)
        The answer, and how it is worked out in words, with all figures in their places.

    Raises
    ------
    TrainingError
        A figure is not there, or the formula cannot be worked out.
    """
    given = {name: figure_at(lesson, where) for name, where in question.given.items()}
    answer = value_of(question.answer, given)
    shown = {name: f"{value:.4g}" for name, value in given.items()}
    answer_words = f"{answer:.{question.decimals}f} {question.unit}".strip()
    return answer, _filled_in(question.worked, {**shown, "answer": answer_words})


def _filled_in(text: str, words: Mapping[str, str]) -> str:
    """A text with names in braces filled in; names alone, and nothing of what else Python could be asked for there."""
    try:
        names = {name for _, name, _, _ in string.Formatter().parse(text) if name is not None}
    except ValueError as error:
        raise TrainingError(f"the worked text has a brace too many or too few: {error}") from error
    unknown = sorted(names - words.keys())
    if unknown:
        raise TrainingError(f"the worked text uses {quoted(unknown[0])}; known are {', '.join(words)}")
    try:
        return text.format_map(words)
    except ValueError as error:
        raise TrainingError(f"the worked text cannot be filled in: {error}") from error


def check_question(lesson: Lesson, question: Question) -> Iterator[tuple[tuple[str, ...], str]]:
    """What is wrong with a question: the entry, and the words."""
    for name, where in question.given.items():
        try:
            figure_at(lesson, where)
        except LinesimError as error:
            yield ("given", name), str(error)
            return
    try:
        value, _ = worked_answer(lesson, question)
    except LinesimError as error:
        yield ("answer",), str(error)
        return
    if not math.isfinite(value):
        yield ("answer",), f"the answer comes to {value}; a finite figure was expected"


# --- figures ---------------------------------------------------------------------------------------------------------


def figure_at(lesson: Lesson, where: str | float) -> float:
    """A figure of the model by where it stands, such as ``cut / Op 20 / finish / life_min``.

    Raises
    ------
    TrainingError
        There is no such place; says which there are.
    """
    if not isinstance(where, str):
        return float(where)
    head, colon, rest = where.rpartition(" : ")
    way = lesson.known_way(head.strip()) if colon else "as planned"
    kind, *names = [part.strip() for part in rest.split(" / ")]
    if kind == "shift" and len(names) == 2:
        return _shift_figure(lesson, names[0], names[1])
    tables = {"cut": ("operation", "cut"), "set": ("operation", "cutter"), "operation": ("operation",)}
    if kind in tables and len(names) == len(tables[kind]) + 1:
        return _desk_figure(lesson, way, kind, tables[kind], names)
    if kind == "feature" and len(names) == 2:
        return _feature_figure(lesson, way, names[0], names[1])
    raise TrainingError(f"{quoted(where)} leads nowhere; expected is one of {'; '.join(FORMS)}")


def _shift_figure(lesson: Lesson, policy: str, figure: str) -> float:
    """Mean of a figure over the first shifts of the lesson under a stated policy."""
    if figure not in FIGURES:
        raise TrainingError(_not_there("figure", figure, list(FIGURES)))
    return mean_figures(lesson, policy)[figure]


@lru_cache(maxsize=32)
def _desk(lesson: Lesson, way: str) -> Desk:
    return desk_figures(lesson.works_as(way), lesson.file.plan)


def _desk_figure(lesson: Lesson, way: str, kind: str, keys: tuple[str, ...], names: list[str]) -> float:
    """A figure of the desk's tables, or of the law of a cut."""
    desk = _desk(lesson, way)
    table = {"cut": desk.cuts, "set": desk.sets, "operation": desk.operations}[kind]
    for key, name in zip(keys, names, strict=False):
        known = list(dict.fromkeys(map(str, table[key])))
        if name not in known:
            raise TrainingError(_not_there(key, name, known))
        table = table[table[key] == name]
    column = names[-1]
    if column in table.columns and isinstance(table.iloc[0][column], (int, float, np.number)):
        return float(table.iloc[0][column])
    law = _law_of_cut(lesson, way, names) if kind == "cut" else {}
    if column in law:
        return law[column]
    known = [str(name) for name in table.columns if isinstance(table.iloc[0][name], (int, float, np.number))]
    raise TrainingError(_not_there("figure", column, [*known, *law]))


def _law_of_cut(lesson: Lesson, way: str, names: list[str]) -> dict[str, float]:
    """All that the law of a cut needs, by the names of the plan."""
    case = lesson.case(1, way)
    plan = case.plan
    machine = next(m for m in range(len(plan.machines.operation)) if case.directory.operation_name(m) == names[0])
    cut = case.directory.cut(machine, names[1])
    return {name: float(column[cut]) for name, column in plan.cuts._asdict().items()}


def _feature_figure(lesson: Lesson, way: str, feature: str, figure: str) -> float:
    """A figure of a feature as the plan has it."""
    plan = lesson.case(1, way).plan
    if feature not in plan.names.features:
        raise TrainingError(_not_there("feature", feature, list(plan.names.features)))
    columns = plan.features._asdict()
    if figure not in columns:
        raise TrainingError(_not_there("figure", figure, list(columns)))
    return float(columns[figure][plan.names.features.index(feature)])


def _not_there(what: str, name: str, known: list[str]) -> str:
    near = nearest(name, known)
    meant = f"did you mean {quoted(near)}? " if near else ""
    return f"there is no {what} {quoted(name)}; {meant}known are {', '.join(known)}"


# --- formulas --------------------------------------------------------------------------------------------------------


def value_of(formula: str, given: Mapping[str, float]) -> float:
    """Work out a formula of named figures: + - * / **, brackets and a few functions.

    Raises
    ------
    TrainingError
        It is no such formula, uses a name that is not given, or cannot be worked out.

    >>> value_of("k / (k + m)", {"k": 1.0, "m": 3.0})
    0.25
    """
    if len(formula) > 400:
        raise TrainingError("the formula is longer than 400 signs")
    try:
        return float(_walk(ast.parse(formula, mode="eval").body, given))
    except SyntaxError as error:
        raise TrainingError(f"{quoted(formula)} is no formula; such as k / (k + m) was expected") from error
    except (ArithmeticError, ValueError, TypeError, RecursionError, MemoryError) as error:
        raise TrainingError(f"{quoted(formula)} cannot be worked out: {error}") from error


def _walk(node: ast.AST, given: Mapping[str, float]) -> float:
    if isinstance(node, ast.Constant) and isinstance(node.value, (int, float)) and not isinstance(node.value, bool):
        return float(node.value)
    if isinstance(node, ast.Name):
        if node.id not in given:
            raise TrainingError(f"the formula uses {quoted(node.id)}; given are {', '.join(given) or 'no figures'}")
        return given[node.id]
    if isinstance(node, ast.BinOp) and type(node.op) in _OPERATORS:
        return _OPERATORS[type(node.op)](_walk(node.left, given), _walk(node.right, given))
    if isinstance(node, ast.UnaryOp) and type(node.op) in _OPERATORS:
        return _OPERATORS[type(node.op)](_walk(node.operand, given))
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and not node.keywords:
        if node.func.id not in _FUNCTIONS:
            raise TrainingError(f"there is no function {quoted(node.func.id)}; there are {', '.join(_FUNCTIONS)}")
        return float(_FUNCTIONS[node.func.id](*(_walk(argument, given) for argument in node.args)))
    raise TrainingError("a formula holds names, numbers, + - * / **, brackets and functions, and nothing else")
