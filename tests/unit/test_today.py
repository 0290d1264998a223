"""The policy that is today's practice: named in a scenario, the first unless given, the same for every question."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from linesim import ScenarioError, Works, changed, desk_figures, load_works, run, to_yaml, works_from_dict
from linesim.ask import worth
from linesim.plan.build import make_plan
from linesim.study.one.shift_record import record_shift
from linesim.study.one.wear_trail import trail
from linesim.works import digest

CONTENT: dict[str, Any] = {
    "name": "bench",
    "run": {"length": 240, "warm_up": 0, "replications": 2},
    "calendar": {"shift": 240},
    "cutters": {"blade": {"life": 20, "life_cv": 0.1, "change": 2, "sets": 3, "renewal": {"bought": {}}}},
    "lines": {"block": {"worth": 9, "operations": {"Op 10": {"minutes": 1, "sets": ["blade"]}}}},
    "policies": {
        "until it breaks": {"default": "run out"},
        "ten parts": {"default": {"parts": 10}},
        "full life": {"default": {"life": 1.0}},
    },
}


def works(**entries: Any) -> Works:
    """The bench with other entries."""
    return works_from_dict({**CONTENT, **entries})


def test_the_first_policy_is_todays_unless_another_is_named() -> None:
    assert works().todays_policy == "until it breaks"
    assert works(today="ten parts").todays_policy == "ten parts"


def test_a_question_that_names_a_policy_is_answered_for_it() -> None:
    assert works(today="ten parts").chosen_policy("full life") == "full life"
    assert works(today="ten parts").chosen_policy(None) == "ten parts"


def test_a_policy_that_is_not_there_is_named_with_the_nearest() -> None:
    with pytest.raises(ScenarioError) as refused:
        works().chosen_policy("ten prats")
    assert str(refused.value) == (
        'there is no policy "ten prats" in "bench"; there are: "until it breaks", "ten parts", "full life"\n'
        '    Did you mean "ten parts"?'
    )


def test_today_names_a_policy_that_is_there() -> None:
    with pytest.raises(ScenarioError) as refused:
        works(today="full lief")
    text = str(refused.value)
    assert 'today: "full lief" is not a policy of this works' in text
    assert 'Did you mean "full life"?' in text


def test_a_file_that_takes_todays_policy_away_has_to_name_another() -> None:
    marked = works(today="ten parts")
    with pytest.raises(ScenarioError, match='today: "ten parts" is not a policy'):
        changed(marked, {"policies": {"ten parts": None}})
    assert changed(marked, {"policies": {"ten parts": None}, "today": "full life"}).todays_policy == "full life"
    assert changed(marked, {"policies": {"ten parts": None}, "today": None}).todays_policy == "until it breaks"


def test_a_policy_that_is_refused_for_its_rule_is_not_said_to_be_missing() -> None:
    with pytest.raises(ScenarioError) as refused:
        works(today="ten parts", policies={"ten parts": {"default": {"parts": 0}}, "other": {"default": "run out"}})
    assert "is not a policy" not in str(refused.value)


def test_a_copy_with_other_policies_has_its_own_first_one() -> None:
    marked = works(today="ten parts")
    alone = marked.model_copy(update={"policies": {"trial": marked.policies["full life"]}})
    assert alone.todays_policy == "trial"


@pytest.mark.parametrize(
    "asked",
    [
        lambda of: run(of, engine="simpy").plan.policy,
        lambda of: desk_figures(of).policy,
        lambda of: make_plan(of, of.todays_policy).policy,
        lambda of: worth(of, replications=2, engine="simpy").policy,
        lambda of: trail(of).policy,
        lambda of: record_shift(of).policy,
    ],
    ids=["run", "desk", "plan", "worth", "trail", "shift"],
)
def test_every_question_is_answered_for_todays_policy(asked: Callable[[Works], str]) -> None:
    assert asked(works(today="ten parts")) == "ten parts"
    assert asked(works()) == "until it breaks"


def test_the_desk_says_by_which_policy_it_has_worked() -> None:
    assert 'policy "ten parts"' in desk_figures(works(today="ten parts")).basis
    assert desk_figures(works(today="ten parts"), at_full_life=True).policy is None


def test_the_mark_is_written_and_read_back(tmp_path: Path) -> None:
    file = tmp_path / "bench.yaml"
    file.write_text(to_yaml(works(today="ten parts")), "utf-8")
    assert load_works(file).today == "ten parts"


def test_the_mark_is_part_of_a_scenario_s_fingerprint() -> None:
    content = works().model_dump(mode="json")
    before_the_mark = {name: value for name, value in content.items() if name not in ("engine", "today")}
    assert digest(works()) == hashlib.sha256(json.dumps(before_the_mark, separators=(",", ":")).encode()).hexdigest()
    assert digest(works(today="ten parts")) != digest(works())
