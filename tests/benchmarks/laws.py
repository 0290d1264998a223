"""Would the outside values notice? Each law of the cut is broken once, and the tests against the outside are run.

``python -m tests.benchmarks.laws [--laws NAME ...] [--tests FOLDER_OR_FILE ...]``.

A broken law gives a number 3 % too large and a little more, a whole number one too large, or the other truth value. The
laws run as plain Python (``LINESIM_PLAIN=1``), each in a process of its own, first against the files that name it, then
against the rest, up to the first test that fails; files that run whole lines, which takes minutes uncompiled, are left
out. What survives is listed, and so are laws that nothing in the program uses. ``LEFT_OUT`` says of which no
outside value can be had, and why.
"""

from __future__ import annotations

import argparse
import ast
import importlib
import multiprocessing
import os
import re
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from types import CodeType
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]

WHERE = ("linesim/cutting/*.py", *(f"linesim/quality/{room}.py" for room in ("consequences", "mastering", "taguchi")))
"""Files with laws that have a value outside."""

RUN_LINES = ("test_study_statistics.py", "test_hidden_faults.py")
"""Files that run whole lines."""

LEFT_OUT: dict[str, str] = {
    "strongest_term": "who is to blame is a convention of the house (tests/unit)",
    "stronger_term": "who is to blame is a convention of the house (tests/unit)",
    "charged_min": "that rubbing costs three times the minutes is assumed (tests/unit)",
    "least_slope_n_um": "a tenth of the specific force is assumed (tests/unit)",
    "_left": "chooses between two figures; at the places that it is used it is noticed",
}
"""Laws without an outside value, and why."""


def broken(value: Any) -> Any:
    """Anything but what a law says; of several numbers each is changed."""
    if isinstance(value, bool):
        return not value
    if isinstance(value, tuple):
        return type(value)(*map(broken, value)) if hasattr(value, "_fields") else tuple(map(broken, value))
    return value + 1 if isinstance(value, int) else 1.03 * value + 0.001


def laws(root: Path = ROOT) -> Iterator[tuple[str, str]]:
    """Module and name of every law that is looked at."""
    for path in (path for pattern in WHERE for path in sorted(root.glob(pattern))):
        module = ".".join(path.relative_to(root).with_suffix("").parts)
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.FunctionDef) and any(ast.unparse(each) == "law" for each in node.decorator_list):
                yield module, node.name


def unused(among: Sequence[tuple[str, str]], root: Path = ROOT) -> list[tuple[str, str]]:
    """Laws that nothing in the program calls or takes over, their own examples and tests left aside."""
    used: set[str] = set()
    for path in sorted((root / "linesim").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Name):
                used.add(node.id)
            elif isinstance(node, ast.ImportFrom):
                used |= {alias.name for alias in node.names}
    return [law for law in among if law[1] not in used]


def broken_code(module: str, name: str) -> CodeType:
    """The code of a law, with every value that it returns broken."""
    path = Path(str(importlib.import_module(module).__file__))
    tree = ast.parse(path.read_text(encoding="utf-8"))
    (law,) = (node for node in tree.body if isinstance(node, ast.FunctionDef) and node.name == name)
    law.decorator_list = []
    for node in ast.walk(law):
        if isinstance(node, ast.Return) and node.value is not None:
            node.value = ast.Call(ast.Name("_broken", ast.Load()), [node.value], [])
    text = ast.unparse(ast.fix_missing_locations(ast.Module([law], [])))
    names: dict[str, Any] = {}
    exec(compile(f"from __future__ import annotations\n{text}", str(path), "exec"), {}, names)
    code: CodeType = names[name].__code__
    return code


def _run(law: tuple[str, str] | None, tests: Sequence[str]) -> None:
    """Break a law in this process and run tests quietly; the exit code is pytest's."""
    with Path(os.devnull).open("w") as nowhere:
        os.dup2(nowhere.fileno(), 1)
        os.dup2(nowhere.fileno(), 2)
        if law is not None:
            module = importlib.import_module(law[0])
            code = broken_code(*law)
            module._broken = broken  # type: ignore[attr-defined]
            getattr(module, law[1]).__code__ = code
        os._exit(int(pytest.main(["-x", "-q", "-p", "no:cacheprovider", "-p", "no:xdist", *tests])))


def passes(law: tuple[str, str] | None, tests: Sequence[str]) -> bool:
    """Whether tests pass with a law broken, or with none."""
    child = multiprocessing.get_context("fork").Process(target=_run, args=(law, tests))
    child.start()
    child.join(600.0)
    if child.is_alive():
        child.kill()
        child.join()
    return child.exitcode == 0


def of_folder(folder: Path) -> list[Path]:
    """Tests of a folder that are quick."""
    return [path for path in sorted(folder.glob("test_*.py")) if path.name not in RUN_LINES]


def survives(law: tuple[str, str], tests: Sequence[Path]) -> bool:
    """Whether no test notices that a law is broken."""
    word = re.compile(rf"\b{law[1]}\b")
    near = [str(path) for path in tests if word.search(path.read_text(encoding="utf-8"))]
    rest = [str(path) for path in tests if str(path) not in near]
    return (not near or passes(law, near)) and (not rest or passes(law, rest))


def main() -> None:
    """Break one law after another and say which nobody misses."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("--laws", nargs="+", default=[], help="names; all of them unless given")
    asked.add_argument("--tests", nargs="+", type=Path, default=[ROOT / "tests" / "outside"])
    args = asked.parse_args()
    os.environ["LINESIM_PLAIN"] = "1"
    tests = [file for path in args.tests for file in ([path] if path.is_file() else of_folder(path))]
    chosen = [law for law in laws() if law[1] in args.laws or not args.laws]
    for module in ("linesim.plan.build", "linesim.study", "linesim.fast.run", *(law[0] for law in chosen)):
        importlib.import_module(module)
    began_s, survived = time.monotonic(), []
    for law in chosen:
        if survives(law, tests):
            survived.append(law)
            print(f"  {law[0]}.{law[1]}: {LEFT_OUT.get(law[1], 'nobody noticed')}", flush=True)
    idle = unused(chosen)
    for law in idle:
        print(f"  {law[0]}.{law[1]}: nothing in the program uses it", flush=True)
    noticed = f"{len(chosen) - len(survived)} of {len(chosen)} noticed"
    print(f"laws: {noticed}, {len(idle)} unused, {time.monotonic() - began_s:.0f} s")
    if any(law[1] not in LEFT_OUT for law in survived):
        raise SystemExit(1)


if __name__ == "__main__":
    main()
