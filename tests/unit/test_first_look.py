"""A rough first answer by the floor while the fast engine is compiled for the first time."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest

from linesim.fast.kernels import KERNELS
from linesim.study import Crew, StudyOptions
from linesim.study.comparing import ahead, glance
from linesim.study.comparing.alternatives import plans_of, policies_of
from linesim.study.comparing.glance import FIRST_REPLICATIONS, PolicyGlance
from linesim.study.crew import outcome
from linesim.study.one.runs import run_plan
from linesim.works import changed, load_works

SHORT = changed(load_works("scenarios/smallest.yaml"), {"run": {"length": 4800, "warm_up": 480}})


def test_the_floor_gives_a_rough_first_answer_while_the_fast_engine_is_compiled(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Compiling is played by a process that sleeps until it has been waited for; the first look is the floor's."""
    engines: list[str] = []
    played: list[subprocess.Popen[bytes]] = []

    def noted(*given: Any, engine: str) -> Any:
        engines.append(engine)
        return run_plan(*given, engine=engine)

    @contextmanager
    def a_while(tiers: list[str]) -> Iterator[subprocess.Popen[bytes]]:
        assert tiers == ["common"]
        with subprocess.Popen([sys.executable, "-c", "import time; time.sleep(600)"]) as process:
            played.append(process)
            yield process

    monkeypatch.setattr(outcome, "run_plan", noted)
    monkeypatch.setattr(glance, "missing_tiers", lambda plans: ["common"])
    monkeypatch.setattr(glance, "compiling_ahead", a_while)
    steps = []
    for step in PolicyGlance(SHORT, options=StudyOptions(4, crew=Crew(1))).steps():
        steps.append(step)
        if "still being compiled" in step.words:
            played[0].kill()
    rough = FIRST_REPLICATIONS * len(SHORT.policies)
    assert engines == ["simpy"] * rough + ["fast"] * (len(engines) - rough)
    assert len(engines) > rough
    waiting = [step for step in steps if "still being compiled" in step.words]
    assert waiting
    assert all(step.answer is not None for step in waiting)
    assert {step.words for step in steps[: rough - 1]} == {glance._ROUGH_WORDS}
    assert [step.done for step in steps] == sorted(step.done for step in steps)


def test_nothing_is_compiled_ahead_where_kernels_are_at_hand(monkeypatch: pytest.MonkeyPatch) -> None:
    plans = plans_of(policies_of(SHORT))
    monkeypatch.setattr(ahead, "AT_HAND", set())
    monkeypatch.setattr(ahead, "is_kept", lambda tier: True)
    assert ahead.missing_tiers(plans) == []
    monkeypatch.setattr(ahead, "is_kept", lambda tier: False)
    (tier,) = ahead.missing_tiers(plans)
    assert tier in KERNELS


def test_compiling_ends_with_whoever_asked_for_it() -> None:
    with ahead.compiling_ahead([]) as process:
        pass
    assert process.returncode is not None
