"""Rules of one's own that do harm: whatever they do, the run ends with a sentence, and the command with exit 2."""

from __future__ import annotations

import os
import signal
import subprocess
import textwrap
import time
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from linesim.cli.main import app
from linesim.errors import LinesimError, StudyError
from linesim.floor import own_rules
from linesim.floor.edge import ChangeRule, Edge
from linesim.floor.own_rules import WatchedRule, carried_out, hurry
from linesim.starting import python

ROOT = Path(__file__).resolve().parents[3]

SCENARIO = """
name: bench
run: {length: 60, warm_up: 0}
cutters: {blade: {life: 20, change: 2, sets: 3, renewal: {bought: {}}}}
lines: {block: {operations: {Op 10: {minutes: 1, sets: [blade]}}}}
policies: {mine: {default: {own: {name: mine}}}}
"""


@pytest.fixture
def scenario(tmp_path: Path) -> Path:
    """A bench whose one policy is a rule of one's own."""
    file = tmp_path / "bench.yaml"
    file.write_text(SCENARIO, "utf-8")
    return file


def rule_file(folder: Path, body: str) -> Path:
    """A file with a rule that does this."""
    file = folder / "mine.py"
    text = textwrap.indent(textwrap.dedent(body), "    ")
    head = "import os, sys\nfrom linesim import change_rule\n"
    file.write_text(f"{head}@change_rule('mine')\ndef mine(edge, now_min):\n{text}\n", "utf-8")
    return file


@pytest.mark.parametrize(
    ("body", "words"),
    [
        ("sys.exit()", "wanted to end the program"),
        ("sys.exit(0)", "wanted to end the program"),
        ("os._exit(0)", "wanted to end the program"),
        ("raise KeyboardInterrupt", "it raised KeyboardInterrupt"),
        ("raise GeneratorExit", "GeneratorExit"),
        ("return mine(edge, now_min)", "RecursionError"),
        ("return [0] * 10**13", "MemoryError"),
        ("return 'no'", '"mine" answered "no" to is_due; True or False was expected'),
        ("return float('nan')", '"mine" answered nan to is_due; True or False was expected'),
        ("return 1", '"mine" answered 1 to is_due; True or False was expected'),
        ("pass", '"mine" answered nothing to is_due; True or False was expected'),
        ("edge.parts = 0; return False", "edge.parts can be read, not set"),
        ("edge.put_in(0.0); return False", "can be read, not set"),
        ("edge.something = 0; return False", "edge.something can be read, not set"),
        ("del edge.parts; return False", "can be read, not set"),
    ],
)
def test_every_way_in_which_a_rule_ends_is_told_with_exit_2(scenario: Path, body: str, words: str) -> None:
    done = CliRunner().invoke(app, ["run", str(scenario), "--rules", str(rule_file(scenario.parent, body))])
    shown = " ".join(done.stderr.split())
    assert (done.exit_code, words in shown) == (2, True), done.output
    assert 'policy "mine": a rule of your own' in shown
    assert "Traceback" not in done.output


@pytest.mark.parametrize("ending", ["sys.exit(0)", "os._exit(0)"])
def test_a_file_of_rules_that_ends_the_program_is_told_with_exit_2(scenario: Path, ending: str) -> None:
    file = scenario.parent / "ends.py"
    file.write_text(f"import os, sys\nx = 1\n{ending}\n", "utf-8")
    done = CliRunner().invoke(app, ["run", str(scenario), "--rules", str(file)])
    assert (done.exit_code, "line 3: SystemExit" in " ".join(done.stderr.split())) == (2, True), done.output


@pytest.mark.parametrize(
    "body",
    [
        "while True: pass",
        "import time; time.sleep(1e6)",
        "while True:\n    try:\n        x = 1\n    except Exception:\n        pass",
        "try:\n    while True: pass\nexcept BaseException:\n    return False",
    ],
)
def test_a_rule_that_never_comes_back_is_broken_off(scenario: Path, body: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(own_rules, "LONGEST_CALL_S", 0.5)
    began = time.monotonic()
    done = CliRunner().invoke(app, ["run", str(scenario), "--rules", str(rule_file(scenario.parent, body))])
    assert (done.exit_code, "took more than 0.5 s for one answer" in " ".join(done.stderr.split())) == (2, True)
    assert time.monotonic() - began < 60.0


@pytest.mark.late
@pytest.mark.parametrize(
    "body",
    ["import time; time.sleep(1e6)", "try:\n    while True: pass\nexcept BaseException: pass"],
)
def test_ctrl_c_in_a_rule_that_never_comes_back_ends_the_run_within_a_second_or_so(scenario: Path, body: str) -> None:
    rules = rule_file(scenario.parent, f"print('asked', flush=True)\n{body}")
    surroundings = os.environ | {"PYTHONPATH": str(ROOT)}
    command = python("-m", "linesim", "run", str(scenario), "--rules", str(rules))
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=surroundings) as run:
        assert run.stdout is not None
        assert run.stdout.readline() == "asked\n"
        began = time.monotonic()
        run.send_signal(signal.SIGINT)
        _, complaint = run.communicate(timeout=30)
    assert time.monotonic() - began < 8.0  # one second, and what a busy machine adds; unhurried it is ten
    assert (run.returncode, "did not come back; nothing was kept" in complaint) == (130, True), complaint


def test_a_rule_that_comes_back_in_time_is_let_finish_when_somebody_wants_to_stop() -> None:
    def asked() -> int:
        hurry()
        time.sleep(0.1)
        return 7

    assert carried_out(asked, where="here") == 7
    assert carried_out(time.sleep, 0.8, where="the next call has its full time again") is None


def test_a_call_broken_off_as_it_comes_back_leaves_nothing_behind(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(own_rules, "LONGEST_CALL_S", 0.0)
    monkeypatch.setattr(own_rules, "_LOOKS_S", 0.0005)
    broken_off, began = 0, time.monotonic()
    while broken_off < 60 and time.monotonic() - began < 60.0:
        try:
            carried_out(time.sleep, 0.0005, where="here")
        except StudyError:
            broken_off += 1
    assert broken_off == 60
    time.sleep(0.3)  # an exception that was left behind would come here


class _Answers(ChangeRule):
    """Answers what it is told to."""

    def __init__(self, answer: object) -> None:
        self.answer = answer

    def is_due(self, edge: Edge, now_min: float) -> bool:  # noqa: ARG002 - every rule is asked so
        """The answer."""
        return self.answer  # type: ignore[return-value]

    def share(self, edge: Edge, now_min: float) -> float:  # noqa: ARG002 - every rule is asked so
        """The same."""
        return self.answer  # type: ignore[return-value]


@pytest.mark.parametrize("answer", [True, False, np.bool_(True), np.bool_(False)])
def test_true_and_false_are_answers(answer: object) -> None:
    assert WatchedRule(_Answers(answer), "mine", "p").is_due(Edge("x", 1.0, 1.0), 0.0) is bool(answer)


@pytest.mark.parametrize("answer", [0, 0.5, 3, np.float64(0.25)])
def test_numbers_are_shares(answer: float) -> None:
    assert WatchedRule(_Answers(answer), "mine", "p").share(Edge("x", 1.0, 1.0), 0.0) == float(answer)


@pytest.mark.parametrize("answer", [True, None, "0.5", float("nan"), float("inf"), -0.1, 1j])
def test_anything_else_is_no_share(answer: object) -> None:
    with pytest.raises(LinesimError, match="a number of 0 or more was expected"):
        WatchedRule(_Answers(answer), "mine", "p").share(Edge("x", 1.0, 1.0), 0.0)


def test_a_rule_sees_the_edge_as_it_is_at_each_moment() -> None:
    edge, seen = Edge("blade", 20.0, 0.3), []

    class _Looks(ChangeRule):
        def is_due(self, edge: Edge, now_min: float) -> bool:
            del now_min
            seen.append((edge.set_name, edge.parts, edge.wear_read_mm, isinstance(edge, Edge)))
            return False

    rule = WatchedRule(_Looks(), "mine", "p")
    for parts in (0, 7):
        edge.parts = parts
        rule.is_due(edge, 1.0)
    assert seen == [("blade", 0, None, True), ("blade", 7, None, True)]
