"""The recipe "A rule" of DEVELOPERS.md, walked to the letter in a copy of the package, and with a step left out."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]

ENTRY = '''
    time: Annotated[Minutes, Field(gt=0)] | None = None
    """After so many minutes on the machine, whether it cut or stood."""
'''
NUMBER = "    TIME = 8\n"
KIND = '''
class AfterTime(RuleKind):
    """After so many minutes on the machine."""

    entry, way, label = "time", RuleWay.TIME, "after so many minutes on the machine"

    def figures(self, value: Any, expected_life_min: float, wear_limit_mm: float) -> Figures:
        """The minutes are the interval."""
        return Figures(self.way, value)

    def words(self, value: Any) -> str:
        """After so many minutes."""
        return f"after {value:g} minutes on the machine"

    def between(self, figures: RuleFigures, desk: AtDesk) -> Interval:
        """As many parts as it makes meanwhile."""
        return Interval(figures.interval / desk.cycle_min, f"after {figures.interval:g} minutes on the machine")

    @staticmethod
    def is_due(rule: RuleFigures, edge: EdgeSeen, now_min: float, shift_min: float) -> bool:
        """Due once they have passed."""
        return now_min - edge.mounted_min >= rule.interval


'''
ROW = "    AfterTime(),\n"

USE = """
from dashboard.forms.trial_fields import trial_rows, with_trial
from linesim.desk.sets import set_table
from linesim.fast.run import run_fast
from linesim.floor.run import run_floor
from linesim.plan.build import make_plan
from linesim.rules import rule_words
from linesim.study.comparing.words import policy_words
from linesim.training.telling import rule_words as order_words
from tests.builders import flow_line

tool = {"sets": 1, "renewal": {"indexed": {"edges": 1000}}, "life": 60, "change": 1, "breaking": "never"}
works = flow_line(
    [2], operations={"Op 10": {"sets": ["tool"], "load": 1}}, length=101, warm_up=0,
    works={"cutters": {"tool": tool}, "policies": {"one": {"default": {"time": 30}}}},
)
plan = make_plan(works, "one")
# Ten parts of three minutes, a change of one, and so on: 30, 61, 92.
print([run(plan, 1, 0).planned.tolist() for run in (run_floor, run_fast)])
print(set_table(works, plan, "one")["parts_between"].tolist())
print(policy_words(works.policies["one"]), "/", order_words({"time": 30}))
rows = trial_rows(works, "one")
print(rows[0].kind, rows[0].interval)
again = with_trial(works, "one", rows, {row.key: (row.kind, row.interval) for row in rows}, "trial", "")
print(rule_words(again.policies["trial"].default))
"""


def _copy(tmp_path: Path, *steps: str) -> Path:
    """A copy of the package with some of the recipe's steps done."""
    for folder in ("linesim", "dashboard", "tests"):
        shutil.copytree(ROOT / folder, tmp_path / folder, ignore=shutil.ignore_patterns("__pycache__"))
    last = "\n    run_out: bool | None = None"
    edits = {
        "entry": ("linesim/works/policies.py", last, f"{ENTRY}{last[1:]}"),
        "number": ("linesim/rules/ways.py", "    LOAD = 7\n", f"    LOAD = 7\n{NUMBER}"),
        "kind": ("linesim/rules/kinds.py", "class RunOut(", f"{KIND.lstrip()}class RunOut("),
        "row": ("linesim/rules/kinds.py", "    RunOut(),\n", f"    RunOut(),\n{ROW}"),
    }  # fmt: skip
    for step in steps:
        name, old, new = edits[step]
        text = (tmp_path / name).read_text(encoding="utf-8")
        assert text.count(old) == 1
        (tmp_path / name).write_text(text.replace(old, new), encoding="utf-8")
    return tmp_path


def _python(folder: Path, code: str) -> subprocess.CompletedProcess[str]:
    """Run Python in the copy, uncompiled, so that no kernel has to be made for it."""
    environment = {**os.environ, "LINESIM_PLAIN": "1", "PYTHONPATH": str(folder)}
    return subprocess.run(
        [sys.executable, "-c", code], env=environment, cwd=folder, capture_output=True, text=True, check=False
    )


def test_a_rule_added_by_the_recipe_is_right_on_both_engines_at_the_desk_and_on_the_form(
    tmp_path: Path,
) -> None:
    done = _python(_copy(tmp_path, "entry", "number", "kind", "row"), USE)
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines() == [
        "[[3], [3]]",
        "[10.0]",
        "changing the cutters after 30 minutes on the machine / after 30 minutes on the machine",
        "after so many minutes on the machine 30",
        "after 30 minutes on the machine",
    ]


@pytest.mark.parametrize("forgotten", ["entry", "row"])
def test_a_step_left_out_stops_the_program_at_once(tmp_path: Path, forgotten: str) -> None:
    steps = [step for step in ("entry", "number", "kind", "row") if step != forgotten]
    done = _python(_copy(tmp_path, *steps), "import linesim.rules")
    assert done.returncode != 0
    assert "needs its kind in KINDS" in done.stderr


def test_a_rule_that_is_not_drawn_for_the_engines_is_noticed(tmp_path: Path) -> None:
    done = _python(
        _copy(tmp_path, "entry", "number", "kind", "row"),
        "from tests.agree.test_twins_at_random import test_the_works_draw_every_kind_of_rule as test; test()",
    )
    assert done.returncode != 0
    assert "no such draw: {'time'}" in done.stderr


def test_the_recipe_names_files_that_are_there() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    recipe = text[text.index("**A rule for changing cutters**") : text.index("**A kind of cut**")]
    named = [word for word in recipe.split("`") if "/" in word and word.endswith(".py")]
    assert len(named) >= 4
    for name in named:
        assert (ROOT / name).is_file() or (ROOT / "linesim" / name).is_file(), name
