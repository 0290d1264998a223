"""The attacks themselves, in a short form: what is handed over is read or refused, and what must not be is noticed."""

from __future__ import annotations

import pytest

from linesim.errors import ScenarioError
from tests.benchmarks.attack.__main__ import PARTS, main
from tests.benchmarks.attack.outcomes import Outcomes


@pytest.mark.parametrize(("part", "number"), [("books", 40), ("lessons", 20)])
def test_mutated_files_are_read_or_refused(part: str, number: int) -> None:
    outcomes = PARTS[part][0](number, 20261127)
    assert outcomes.faults == []
    assert outcomes.counts["accepted"] + outcomes.counts["refused"] == number
    assert min(outcomes.counts["accepted"], outcomes.counts["refused"]) > 0


def test_what_must_not_be_is_noticed(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    def raises(error: Exception) -> None:
        raise error

    outcomes = Outcomes(most_s=0.01)
    outcomes.read(lambda: raises(KeyError("x")), "first")
    outcomes.read(lambda: raises(ScenarioError([])), "second")
    outcomes.read(lambda: [0 for _ in range(10**6)], "third")
    assert outcomes.faults[:2] == ["first: KeyError: 'x'", "second: refused without a word"]
    assert outcomes.faults[2].startswith("third: 0.")
    assert outcomes.counts == {"tracebacks": 1, "refused": 1, "accepted": 1, "over their time": 1}
    monkeypatch.setitem(PARTS, "books", (lambda _number, _seed: outcomes, 1))
    assert main(["--books", "3"]) == 1
    assert "first: KeyError" in capsys.readouterr().out
