"""Would the tests notice? Small plausible mistakes are put in one at a time, and the tests of the room are run.

``python -m tests.benchmarks.mutation [--rooms plan ledger report training] [--sample N] [--seed S] [--minutes M]``.
``--sample 0`` tries every mistake (over night), ``--smoke`` three of the ledger's in seconds. ``--root FOLDER`` judges
another copy of the repository, such as an older one; a room's files and tests are those that it has there.

A mistake is another operator, a constant one more, two arguments or two branches swapped, or another column of the same
file. What survives is listed: some change nothing that can be seen, the others want a test. A room's tests run without
the compiled laws (``LINESIM_PLAIN=1``), which none of these rooms holds, and up to the first that fails.
"""

from __future__ import annotations

import argparse
import ast
import compileall
import importlib
import multiprocessing
import os
import random
import shutil
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[2]

ROOMS = {
    "plan": ("linesim/plan", "plan_* desk floor_gauging floor_mishaps floor_crib"),
    "ledger": ("linesim/ledger", "ledger*"),
    "report": (
        "linesim/report",
        "cells_* view_cells_* report trouble_tables lesson_* study_views routing_sheet dashboard_views",
    ),
    "training": ("linesim/training", "training_worth cells_lesson training_shift lesson_* training_debrief"),
}
"""By room: its folder, and the tests nearest to it, those that are quick or strict first."""

HEAVY = ("numpy", "pandas", "plotly.graph_objects", "pydantic", "openpyxl", "pytest", "rich", "simpy", "sqlalchemy")
"""Libraries that are fetched once, so that every run has them at hand."""

SWAPS: dict[type[ast.AST], type[ast.AST]] = {
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.Lt: ast.LtE, ast.LtE: ast.Lt,
    ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq, ast.And: ast.Or, ast.Or: ast.And,
    ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.In: ast.NotIn, ast.NotIn: ast.In,
}  # fmt: skip


class Mistake(NamedTuple):
    """One mistake: the file, its line, what stood there and what stands there now, and the whole text with it."""

    file: str
    line: int
    was: str
    now: str
    text: str


Site = tuple[ast.expr, Callable[[], None]]
"""An expression, and what changes it for the worse."""


def sites(tree: ast.Module) -> list[Site]:
    """Every place of a file at which a mistake can be made, with the mistake."""
    columns = sorted({node.slice.value for node in ast.walk(tree) if _is_column(node)})  # type: ignore[attr-defined]
    return [(node, change) for node in _live(tree) for change in _changes(node, columns)]


def mistake_at(file: str, text: str, number: int) -> Mistake:
    """The mistake of that number that can be made in a file, from 0."""
    tree = ast.parse(text)
    node, change = sites(tree)[number]
    line, was = node.lineno, ast.unparse(node)
    change()
    return Mistake(file, line, was, ast.unparse(node), ast.unparse(tree))


def _live(tree: ast.Module) -> Iterator[ast.expr]:
    """Expressions that are carried out: within functions and constants, without annotations, decorators, docstrings."""
    waiting: list[ast.AST] = list(tree.body)
    while waiting:
        node = waiting.pop(0)
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            waiting += [*node.args.defaults, *filter(None, node.args.kw_defaults), *node.body]
        elif isinstance(node, ast.ClassDef):
            waiting += node.body
        elif isinstance(node, ast.Import | ast.ImportFrom) or (
            isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
        ):
            continue
        else:
            if isinstance(node, ast.expr):
                yield node
            left_out = getattr(node, "annotation", None)
            waiting += [child for child in ast.iter_child_nodes(node) if child is not left_out]


def _is_column(node: ast.AST) -> bool:
    return (
        isinstance(node, ast.Subscript) and isinstance(node.slice, ast.Constant) and isinstance(node.slice.value, str)
    )


def _has_order(call: ast.Call) -> bool:
    """Whether it matters which argument stands first."""
    name = ast.unparse(call.func).rpartition(".")[2]
    is_symmetric = name in ("min", "max", "minimum", "maximum", "hypot", "isclose")
    return not is_symmetric and not any(isinstance(each, ast.Starred) for each in call.args)


def _changes(node: ast.expr, columns: list[str]) -> Iterator[Callable[[], None]]:
    """What can be changed for the worse at one expression; each change is made in place."""
    if isinstance(node, ast.BinOp | ast.BoolOp) and type(node.op) in SWAPS:
        yield lambda: setattr(node, "op", SWAPS[type(node.op)]())
    elif isinstance(node, ast.Compare) and type(node.ops[0]) in SWAPS:
        yield lambda: setattr(node, "ops", [SWAPS[type(node.ops[0])](), *node.ops[1:]])
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        yield lambda: setattr(node, "op", ast.UAdd())
    elif isinstance(node, ast.Constant) and type(node.value) in (int, float, bool):
        yield lambda: setattr(node, "value", not node.value if isinstance(node.value, bool) else node.value + 1)
    elif isinstance(node, ast.Call) and len(node.args) > 1 and _has_order(node):
        yield lambda: setattr(node, "args", [node.args[1], node.args[0], *node.args[2:]])
    elif isinstance(node, ast.IfExp):
        yield lambda: node.__dict__.update(body=node.orelse, orelse=node.body)
    elif _is_column(node) and len(columns) > 1:
        at = columns.index(node.slice.value)  # type: ignore[attr-defined]
        yield lambda: setattr(node, "slice", ast.Constant(columns[(at + 1) % len(columns)]))


def _all_of(root: Path, folder: str) -> list[tuple[str, int]]:
    """Every mistake that can be made in a room, as file and number."""
    files = [path for path in sorted((root / folder).rglob("*.py")) if path.name != "__init__.py"]
    counts = {path: len(sites(ast.parse(path.read_text(encoding="utf-8")))) for path in files}
    return [(str(path.relative_to(root)), number) for path, count in counts.items() for number in range(count)]


def _run(root: Path, tests: list[str]) -> None:
    """In a process of its own: run some tests of a copy, and end with their verdict."""
    import pytest  # noqa: PLC0415

    os.chdir(root)
    for name in [name for name in sys.modules if name.split(".")[0] in ("tests", "linesim", "dashboard")]:
        del sys.modules[name]
    sys.path[:0] = [str(root)]
    os.environ.update(PYTHONPATH=str(root), LINESIM_PLAIN="1")
    with Path(os.devnull).open("w") as nowhere:
        os.dup2(nowhere.fileno(), 1)
        os.dup2(nowhere.fileno(), 2)
        os._exit(int(pytest.main(["-x", "-q", "-p", "no:cacheprovider", "-p", "no:xdist", *tests])))


def passes(root: Path, tests: list[str], most_s: float | None = None) -> bool:
    """Whether the tests of a copy pass in time, in a process that has the libraries at hand but not yet linesim."""
    child = multiprocessing.get_context("fork").Process(target=_run, args=(root, tests))
    child.start()
    child.join(most_s)
    if child.is_alive():
        child.kill()
        child.join()
    return child.exitcode == 0


def judge(copy_root: Path, room: str, sample: int, seed: int, until_s: float) -> tuple[int, int, list[Mistake]]:
    """Try a room's mistakes; returns how many were noticed, how many were tried, and those that survived."""
    folder, names = ROOMS[room]
    tests = list(dict.fromkeys(
        str(path) for each in names.split() for path in sorted((copy_root / "tests" / "unit").glob(f"test_{each}.py"))
    ))  # fmt: skip
    begun_s = time.monotonic()
    if not passes(copy_root, tests):
        raise SystemExit(f"{room}: its tests fail as they are; mend them first")
    once_s = time.monotonic() - begun_s
    most_s = 30.0 + 4.0 * once_s  # what lasts longer no longer ends, and is noticed
    every = _all_of(copy_root, folder)
    chosen = random.Random(seed).sample(every, min(sample, len(every))) if sample else every
    survived: list[Mistake] = []
    tried = 0
    for file, number in chosen:
        if time.monotonic() > until_s:
            break
        path = copy_root / file
        right = path.read_text(encoding="utf-8")
        mistake = mistake_at(file, right, number)
        path.write_text(mistake.text, encoding="utf-8")
        survived += [mistake] if passes(copy_root, tests, most_s) else []
        path.write_text(right, encoding="utf-8")
        tried += 1
    noticed = f"{tried - len(survived)} of {tried} noticed"
    print(f"{room}: {noticed} ({len(every)} can be made, seed {seed}; tests {once_s:.0f} s)", flush=True)
    for mistake in survived:
        print(f"  {mistake.file}:{mistake.line}: {mistake.was[:90]}  ->  {mistake.now[:90]}", flush=True)
    return tried - len(survived), tried, survived


def main() -> None:
    """Copy the repository, put mistakes into the copy, and say which were noticed."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("--rooms", nargs="+", choices=list(ROOMS), default=list(ROOMS))
    asked.add_argument("--sample", type=int, default=20, help="mistakes for each room; 0: all of them")
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--minutes", type=float, default=600.0, help="time for each room")
    asked.add_argument("--root", type=Path, default=ROOT, help="the repository that is judged")
    asked.add_argument("--smoke", action="store_true", help="three mistakes of the ledger; fails if none is noticed")
    args = asked.parse_args()
    rooms, sample = (["ledger"], 3) if args.smoke else (args.rooms, args.sample)
    sys.dont_write_bytecode = True  # two mistakes of one second and one length would be taken for each other
    for name in HEAVY:
        importlib.import_module(name)

    with tempfile.TemporaryDirectory() as folder:
        for name in ("linesim", "tests", "dashboard", "scenarios", "pyproject.toml", "README.md", "DEVELOPERS.md"):
            source = args.root / name
            if source.is_dir():
                shutil.copytree(source, Path(folder) / name, ignore=shutil.ignore_patterns("__pycache__"))
            elif source.exists():
                shutil.copy2(source, Path(folder) / name)
        compileall.compile_dir(Path(folder) / "linesim", quiet=1)
        results = [
            judge(Path(folder), room, sample, args.seed, time.monotonic() + 60.0 * args.minutes) for room in rooms
        ]
    noticed, tried = sum(result[0] for result in results), sum(result[1] for result in results)
    print(f"all: {noticed} of {tried} noticed, {100.0 * noticed / max(tried, 1):.0f} %")
    if args.smoke and not noticed:
        raise SystemExit("none of the mistakes was noticed")


if __name__ == "__main__":
    main()
