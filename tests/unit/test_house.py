"""The house keeps its order: arrows between rooms, sizes of files and functions, and what stands at the top."""

from __future__ import annotations

import ast
import statistics
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from graphlib import TopologicalSorter
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "linesim"

STOREYS = [
    {"fetching", "folding"},
    {"linking"},
    {"errors", "law", "leader", "starting", "supply", "yaml_text"},
    {"words"},
    {"manual"},
    {"philox", "normal", "unit_table"},
    {"chance", "quantity"},
    {"units", "handbook"},
    {"cutting"},
    {"works"},
    {"quality", "rules"},
    {"plan"},
    {"floor"},
    {"fast"},
    {"ledger"},
    {"result"},
    {"desk"},
    {"records"},
    {"cards"},
    {"store"},
    {"study.interim"},
    {"study.answer"},
    {"study.statistics"},
    {"study.one"},
    {"study.crew"},
    {"study.options"},
    {"study.comparing"},
    {"study.questions"},
    {"study.search.common"},
    {"study.search.intervals"},
    {"study.search.numbers", "study.search.sensitivity"},
    {"study.search"},
    {"study.advice"},
    {"study.doubt"},
    {"study.proof"},
    {"study.toolroom", "study.handover"},
    {"study.watching", "study.trial"},
    {"study.practice"},
    {"study.coming"},
    {"study"},
    {"routing"},
    {"ask"},
    {"training"},
    {"report.theme"},
    {"report.files"},
    {"report.charts"},
    {"report.terminal"},
    {"report.page"},
    {"report.views"},
    {"report"},
    {"cli"},
]
"""Rooms in the order in which data passes through them; a room imports only from rooms above it.

A room within a room has a place of its own; what a room offers to all, its ``__init__``, stands below its rooms.
"""

STOREY_OF = {room: number for number, rooms in enumerate(STOREYS) for room in rooms}
OUTSIDE_THE_ORDER = {"__init__", "__main__", "begin"}

MOST_LINES = 300
MOST_PARAMETERS = 11
MOST_CODE_LINES = 40
COMPILED_MOST_CODE_LINES = 60


@cache
def modules() -> tuple[Path, ...]:
    return tuple(sorted(PACKAGE.rglob("*.py")))


@cache
def tree_of(module: Path) -> ast.Module:
    return ast.parse(module.read_text(encoding="utf-8"))


def room_in_order(dotted: str) -> str:
    """The room of the order that a module belongs to: the innermost that has a place there."""
    parts = dotted.split(".")
    names = [".".join(parts[:length]) for length in range(len(parts), 0, -1)]
    return next((name for name in names if name in STOREY_OF), parts[0])


def room_of(module: Path) -> str:
    return room_in_order(".".join(module.relative_to(PACKAGE).with_suffix("").parts).removesuffix(".__init__"))


def imported_rooms(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("linesim."):
            yield room_in_order(str(node.module).removeprefix("linesim."))
        elif isinstance(node, ast.Import):
            dotted = [name.name for name in node.names if name.name.startswith("linesim.")]
            yield from (room_in_order(name.removeprefix("linesim.")) for name in dotted)


def test_a_room_imports_only_from_rooms_above_it() -> None:
    rooms = {module: room for module in modules() if (room := room_of(module)) not in OUTSIDE_THE_ORDER}
    assert set(rooms.values()) <= set(STOREY_OF), "a room has no place in the order"
    upwards = [
        f"{module.relative_to(PACKAGE)} imports from {other}"
        for module, room in rooms.items()
        for other in imported_rooms(tree_of(module))
        if other != room and STOREY_OF[other] >= STOREY_OF[room]
    ]
    assert not upwards


def test_files_stay_short() -> None:
    too_long = {
        str(module.relative_to(ROOT)): lines
        for module in (*modules(), *(ROOT / "dashboard").rglob("*.py"))
        if (lines := len(module.read_text(encoding="utf-8").splitlines())) > MOST_LINES
    }
    assert not too_long


def code_lines(function: ast.FunctionDef | ast.AsyncFunctionDef, source: list[str]) -> int:
    """Lines of a function's body without docstring, blanks and comments."""
    body = function.body[1:] if ast.get_docstring(function) else function.body
    if not body:
        return 0
    lines = source[body[0].lineno - 1 : function.end_lineno]
    return sum(1 for line in lines if line.strip() and not line.strip().startswith("#"))


@cache
def functions() -> list[tuple[Path, ast.FunctionDef | ast.AsyncFunctionDef, int]]:
    return list(measured())


def measured() -> Iterator[tuple[Path, ast.FunctionDef | ast.AsyncFunctionDef, int]]:
    for module in modules():
        lines = module.read_text(encoding="utf-8").splitlines()
        for node in ast.walk(tree_of(module)):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                yield module, node, code_lines(node, lines)


def test_functions_stay_short() -> None:
    too_long = [
        f"{module.relative_to(ROOT)}: {function.name} has {lines}"
        for module, function, lines in functions()
        if lines > (COMPILED_MOST_CODE_LINES if room_of(module) == "fast" else MOST_CODE_LINES)
    ]
    assert not too_long
    lengths = sorted(lines for _, _, lines in functions())
    assert statistics.median(lengths) <= 6
    assert lengths[int(0.9 * len(lengths))] <= 20


def test_signatures_stay_short() -> None:
    """Typed records carry what belongs together; a command's options come as records too."""
    too_many = [
        f"{module.relative_to(ROOT)}: {function.name} takes {count}"
        for module, function, _ in functions()
        if (count := parameters(function)) > MOST_PARAMETERS
    ]
    assert not too_many


def parameters(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    of = function.args
    return len(of.posonlyargs) + len(of.args) + len(of.kwonlyargs)


def test_no_modules_import_each_other_in_a_circle() -> None:
    """Every import counts, also one within a function or for types alone."""
    order = TopologicalSorter({name: imported_modules(name) for name in dotted_names()})
    order.prepare()


@cache
def dotted_names() -> set[str]:
    return {".".join(module.relative_to(ROOT).with_suffix("").parts) for module in modules()}


def imported_modules(name: str) -> set[str]:
    tree = tree_of((ROOT / name.replace(".", "/")).with_suffix(".py"))
    known = dotted_names()
    named = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module:
            named |= {node.module} | {f"{node.module}.{each.name}" for each in node.names}
        elif isinstance(node, ast.Import):
            named |= {each.name for each in node.names}
    return (named & known) - {name}


NO_NAMES = {"found", "told", "said", "made", "pence", "manieth", "reckoned", "casts"}
"""Participles that say nothing of what a thing is, and words with a better one in the trade."""


def assigned_names(tree: ast.AST) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            yield node.name
        elif isinstance(node, ast.arg):
            yield node.arg
        elif isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
            yield node.id


def test_names_say_what_a_thing_is() -> None:
    wrong = {
        (str(module.relative_to(PACKAGE)), name)
        for module in modules()
        for name in assigned_names(tree_of(module))
        if name.lower().strip("_") in NO_NAMES
    }
    assert not wrong


def is_public(name: str) -> bool:
    return not name.startswith("_")


def test_every_public_name_is_described() -> None:
    trees = {module: tree_of(module) for module in modules()}
    bare = [str(module) for module, tree in trees.items() if ast.get_docstring(tree) is None]
    bare += [
        f"{module}: {node.name}"
        for module, tree in trees.items()
        for node in tree.body
        if isinstance(node, ast.FunctionDef | ast.ClassDef)
        if is_public(node.name) and not ast.get_docstring(node)
    ]
    assert not bare


def test_nothing_else_stands_at_the_top() -> None:
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "linesim", "dashboard", "tests", "scenarios"}
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    top = {line.split("/")[0] for line in listed.splitlines()}
    assert {name for name in top if not name.startswith(".")} <= allowed


def test_importing_linesim_fetches_no_heavy_library() -> None:
    heavy = ["numba", "pandas", "scipy", "pint", "plotly", "numpy", "pydantic", "simpy", "sqlalchemy", "streamlit"]
    code = f"import linesim, sys; print([name for name in {heavy!r} if name in sys.modules])"
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)
    assert told.stdout.strip() == "[]"
