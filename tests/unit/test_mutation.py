"""The benchmark that puts mistakes in: what it changes, and that a file without its mistake is left as it was."""

from __future__ import annotations

import ast

from tests.benchmarks.mutation import ROOMS, ROOT, mistake_at, sites

TEXT = '''\
"""Says 1 + 1."""
from __future__ import annotations
LIMIT: float = 3
def work(row: dict[str, int], n: int = 2) -> bool:
    """Twice."""
    if row["one"] < n and -n == 5:
        return f(n, row["two"]) + 1 > 0
    return True if n else max(n, LIMIT)
'''


def test_each_mistake_changes_one_expression() -> None:
    count = len(sites(ast.parse(TEXT)))
    made = [mistake_at("x.py", TEXT, number) for number in range(count)]
    changes = {(mistake.line, mistake.was, mistake.now) for mistake in made}
    for wanted in (
        (3, "3", "4"),
        (4, "2", "3"),
        (6, "row['one'] < n and -n == 5", "row['one'] < n or -n == 5"),
        (6, "row['one'] < n", "row['one'] <= n"),
        (6, "row['one']", "row['two']"),
        (6, "-n == 5", "-n != 5"),
        (6, "-n", "+n"),
        (7, "f(n, row['two']) + 1", "f(n, row['two']) - 1"),
        (7, "f(n, row['two'])", "f(row['two'], n)"),
        (7, "row['two']", "row['one']"),
        (8, "True if n else max(n, LIMIT)", "max(n, LIMIT) if n else True"),
        (8, "True", "False"),
    ):
        assert wanted in changes, wanted
    assert len(made) == len({mistake.text for mistake in made})
    assert all(mistake.line not in (1, 2, 5) for mistake in made)


def test_every_room_has_files_and_tests() -> None:
    for folder, names in ROOMS.values():
        assert list((ROOT / folder).rglob("*.py"))
        assert all(list((ROOT / "tests" / "unit").glob(f"test_{name}.py")) for name in names.split())
