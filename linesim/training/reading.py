"""A lesson file becomes a checked lesson; errors name file, line and path, all of them together."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from linesim.errors import LinesimError, Problem, ScenarioError, nearest, quoted
from linesim.training.lesson import AS_PLANNED, Lesson, LessonFile, Stated
from linesim.training.orders import TrainingError
from linesim.training.shift import policy_script
from linesim.training.signs import check_sign
from linesim.training.worked import check_question
from linesim.works import Works, changed
from linesim.works.chain import read_chain
from linesim.works.load import works_from_tree
from linesim.works.merging import merged
from linesim.works.nodes import Node
from linesim.works.nodes import Path as EntryPath
from linesim.works.reading import read_file
from linesim.works.schema import with_standard_bounds
from linesim.works.shape import dotted
from linesim.works.wording import faults_of

__all__ = ["LESSONS", "lesson_files", "lesson_named", "lesson_schema", "lesson_title", "load_lesson"]

LESSONS = Path("scenarios") / "lessons"
"""Where lessons lie, from the folder in which linesim is called."""

_LONGEST_MIN = 1440.0
"""A lesson is one shift in a person's hands, and what it asks is answered by doing that shift over and over."""

_CONTEXT = {"calendar": {"shift": 480.0, "day": 960.0, "week": 4800.0, "year": 230400.0}, "currency": None}


def lesson_files(folder: Path = LESSONS) -> list[Path]:
    """Lesson files of a folder, by name.

    Raises
    ------
    TrainingError
        There are none.
    """
    files = sorted(folder.glob("*.yaml")) if folder.is_dir() else []
    if not files:
        raise TrainingError(f"{folder}: there are no lessons; a folder with lesson files (*.yaml) was expected")
    return files


def load_lesson(path: Path) -> Lesson:
    """Read and check a lesson.

    Parameters
    ----------
    path : pathlib.Path
        A YAML file. A scenario that it extends lies in its folder or in the one above.

    Raises
    ------
    ScenarioError
        With everything that is wrong, each with its file and line.
    """
    problems: list[Problem] = []
    tree = read_file(path, path.name, problems)
    scenario = tree.value.get("scenario")
    works = _works(path, scenario, tree, problems)
    rest = tree.with_value({name: node for name, node in tree.value.items() if name != "scenario"})
    file = _file(rest, problems)
    if problems or works is None or file is None:
        raise ScenarioError(_in_order(problems))
    ways = _ways(file, works, rest, problems)
    lesson = Lesson(path.stem, file, works, rest, ways)
    problems += [*_names(lesson), *_length(lesson)] if not problems else []
    if not problems:
        problems += [*_policies(lesson), *_signs(lesson), *_questions(lesson)]
    if problems:
        raise ScenarioError(_in_order(problems))
    return lesson


def lesson_title(path: Path) -> str:
    """A lesson as it stands in a list: the number of its file, and its name; it is not checked, and may be wrong.

    Parameters
    ----------
    path : pathlib.Path
        Its file.
    """
    try:
        tree: Any = read_file(path, path.name, [])
        name = str(tree.value["name"].value)
    except (LinesimError, KeyError):
        return path.stem
    number = path.stem.partition("-")[0]
    return f"{number}  {name}" if number.isdigit() else name


def lesson_schema() -> dict[str, Any]:
    """The JSON Schema of lesson files; the scenario in it is described by the schema of scenarios."""
    schema = with_standard_bounds(LessonFile.model_json_schema(mode="validation"))
    about = "a scenario: extends: a file, and what differs from it; or a whole one (see linesim schema)"
    schema["properties"]["scenario"] = {"type": "object", "description": about}
    schema["required"] = ["scenario", *schema["required"]]
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema, "title": "linesim lesson"}


def _in_order(problems: list[Problem]) -> list[Problem]:
    return sorted(dict.fromkeys(problems), key=lambda problem: (problem.file, problem.line or 0))


def _file(rest: Node, problems: list[Problem]) -> LessonFile | None:
    """What the file says beside its scenario."""
    try:
        return LessonFile.model_validate(rest.plain(), context=_CONTEXT)
    except ValidationError as error:
        problems += [fault.problem for fault in faults_of(error, rest, LessonFile)]
        return None


def _works(path: Path, scenario: Node | None, tree: Node, problems: list[Problem]) -> Works | None:
    """The scenario of a lesson."""
    if scenario is None or not isinstance(scenario.value, dict):
        fault = "missing; a scenario such as {extends: smallest.yaml} was expected"
        problems.append(Problem(tree.file, None if scenario is None else scenario.line, "scenario", fault))
        return None
    try:
        return works_from_tree(partial(_scenario_tree, path, scenario))
    except ScenarioError as error:
        problems += [_within("scenario", problem, tree.file) for problem in error.problems]
        return None


def _scenario_tree(path: Path, scenario: Node, problems: list[Problem]) -> Node:
    """The scenario's own entries, laid over the file that it extends."""
    own = scenario.with_value({name: node for name, node in scenario.value.items() if name != "extends"})
    extends = scenario.get("extends")
    if extends is None:
        return own
    name = extends.value
    if not isinstance(name, str) or Path(name).name != name:
        fault = f"{quoted(name)} was found; the name of a scenario file here or in the folder above was expected"
        raise ScenarioError([Problem(extends.file, extends.line, "extends", fault)])
    folders = (path.parent, path.resolve().parent.parent)
    base = next((folder / name for folder in folders if (folder / name).is_file()), None)
    if base is None:
        fault = f"there is no file {quoted(name)} here or in the folder above"
        raise ScenarioError([Problem(extends.file, extends.line, "extends", fault)])
    return merged(read_chain(base, problems), own, problems)


def _within(prefix: str, problem: Problem, file: str) -> Problem:
    """A problem of a scenario at its path in the lesson."""
    if problem.file != file:
        return problem
    path = ".".join(part for part in (prefix, problem.path) if part)
    return Problem(problem.file, problem.line, path, problem.text, problem.hint)


def _problem(rest: Node, path: EntryPath, text: str) -> Problem:
    *_, node = rest.along(path)
    return Problem(node.file, node.line, dotted(LessonFile, path), text)


def _ways(file: LessonFile, works: Works, rest: Node, problems: list[Problem]) -> dict[str, Works]:
    """The works as it is in each of the ways."""
    ways = {}
    for name, way in file.ways.items():
        try:
            ways[name] = changed(works, way.changes, rest.file)
        except ScenarioError as error:
            where = f"ways[{name}].changes"
            *_, node = rest.along(("ways", name, "changes"))
            for problem in error.problems:
                fault = _within(where, problem, rest.file)
                problems.append(Problem(fault.file, fault.line or node.line, fault.path, fault.text, fault.hint))
    return ways


def _names(lesson: Lesson) -> Iterator[Problem]:
    """Names that the lesson uses of its scenario."""
    file, works, rest = lesson.file, lesson.works, lesson.tree
    if AS_PLANNED in file.ways:
        yield _problem(
            rest, ("ways", AS_PLANNED), f'"{AS_PLANNED}" stands for the scenario as it is; another name is needed'
        )
    if file.plan not in works.policies:
        known = ", ".join(quoted(name) for name in works.policies)
        yield _problem(rest, ("plan",), f"there is no policy {quoted(file.plan)}; there are {known}")
    names = [name for line in works.lines.values() for name in line.operations]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        fault = f"{quoted(twice[0])} stands in two lines; operations with names of their own were expected"
        yield _problem(rest, ("in_hand",), fault)
    for at, name in enumerate(file.in_hand):
        if name not in names:
            known = ", ".join(quoted(known) for known in names)
            yield _problem(rest, ("in_hand", at), f"there is no operation {quoted(name)}; there are {known}")


def _length(lesson: Lesson) -> Iterator[Problem]:
    """How long the shift takes: the first way to set the line up in which it takes too long."""
    for way in lesson.ways_to_set_up():
        run = lesson.works_as(way).run
        if run.warm_up + run.length > _LONGEST_MIN:
            took = f"the shift takes {run.warm_up + run.length:g} min with its warm-up"
            path: EntryPath = ("scenario",) if way == AS_PLANNED else ("ways", way, "changes")
            fault = f"run.length: {took}; a lesson is one shift, of {_LONGEST_MIN:g} min at most"
            yield _problem(lesson.tree, path, fault)
            return


def _policies(lesson: Lesson) -> Iterator[Problem]:
    """The stated policies: their ways and their orders."""
    stated: dict[str, Stated] = {"good": lesson.file.good, "bad": lesson.file.bad, "best": lesson.file.best}
    for name, policy in stated.items():
        try:
            case = lesson.case(1, lesson.known_way(policy.way))
        except TrainingError as error:
            yield _problem(lesson.tree, (name, "way"), str(error))
            continue
        for at, entries in enumerate(policy.orders):
            try:
                policy_script(case, [entries])
            except LinesimError as error:
                yield _problem(lesson.tree, (name, "orders", at), str(error))


def _signs(lesson: Lesson) -> Iterator[Problem]:
    """Signs of the lesson's own decision: where they are read."""
    decision = lesson.file.pass_mark.decision
    known = lesson.ways_to_set_up()
    for at, mark in enumerate(decision.shown_by if decision is not None else ()):
        try:
            if mark.is_sign:
                check_sign(lesson.case(1), mark.figure, mark.of, known)
        except LinesimError as error:
            yield _problem(lesson.tree, ("pass_mark", "decision", "shown_by", at), str(error))


def _questions(lesson: Lesson) -> Iterator[Problem]:
    """Questions: every figure found, every answer worked out."""
    for at, question in enumerate(lesson.file.questions):
        for entry, text in check_question(lesson, question):
            yield _problem(lesson.tree, ("questions", at, *entry), text)


def lesson_named(name: str, folder: Path = LESSONS) -> Lesson:
    """A lesson by its file, its key, or the number or words that its key begins with.

    Raises
    ------
    TrainingError
        There is no such lesson, or there are several.
    """
    if name.endswith((".yaml", ".yml")):
        return load_lesson(Path(name))
    files = {path.stem: path for path in lesson_files(folder)}
    matches = [key for key in files if key == name] or [key for key in files if key.startswith(name)]
    if len(matches) != 1:
        near = nearest(name, files)
        meant = f" Did you mean {quoted(near)}?" if near and not matches else ""
        listed = ", ".join(matches or files)
        raise TrainingError(f"there is no one lesson {quoted(name)}; there are: {listed}.{meant}")
    return load_lesson(files[matches[0]])
