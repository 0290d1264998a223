"""What a user of the package meets: its public names, one call for each question, and objects that print themselves."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import linesim
from linesim import Crew, StudyOptions, Tryout
from linesim.ask import alternatives, compare, frontier, intervals, worth
from linesim.errors import StudyError
from linesim.study import Alternative, PolicyStudy, run
from linesim.study.one import tryout as tryouts
from linesim.study.options import asked
from linesim.study.questions.worth import WorthStudy
from linesim.study.search import SearchPlan
from linesim.works import Works, changed, load_works

SMALLEST = load_works("scenarios/smallest.yaml")
SHORT = changed(SMALLEST, {"run": {"length": "1 day", "warm_up": "1 h", "replications": 2}})


def test_only_public_names_are_listed_and_every_one_is_there() -> None:
    listed = dir(linesim)
    assert set(linesim.__all__) | {"__version__"} == set(listed)
    assert {"frontier", "intervals", "sets", "worth", "routing", "history", "compare", "run", "Tryout"} <= set(listed)
    assert all(getattr(linesim, name) is not None for name in listed)


def test_a_mistyped_name_is_answered_with_the_nearest() -> None:
    with pytest.raises(AttributeError, match=r'Did you mean "frontier"\?'):
        _ = linesim.fronteer  # type: ignore[attr-defined]
    with pytest.raises(AttributeError, match="no attribute 'zzz'; public names: ChangeRule"):
        _ = linesim.zzz  # type: ignore[attr-defined]


# options


def test_settings_become_options_and_what_a_study_takes_itself_does_not() -> None:
    given = {"works": SHORT, "policy": "every 60 parts", "replications": 3, "seed": 5, "workers": 2}
    study = asked(WorthStudy, given)
    assert study == WorthStudy(study.works, study.policy, study.options) or study.works is SHORT
    assert (study.policy, study.options) == ("every 60 parts", StudyOptions(3, 5, crew=Crew(2)))
    assert study.but(seed=7).options == StudyOptions(3, 7, crew=Crew(2))


@pytest.mark.parametrize(
    ("settings", "words"),
    [
        ({"workers": 0}, "0 workers were asked for; at least 1 was expected"),
        ({"replications": 0}, "0 replications were asked for; at least 1 was expected, and 2 for an interval"),
        ({"confidence": 1.0}, "a confidence of 1 cannot be"),
        ({"seed": -1}, "a seed of -1 cannot be"),
    ],
)
def test_options_that_cannot_be_are_refused(settings: dict[str, Any], words: str) -> None:
    with pytest.raises(StudyError, match=words):
        compare(SHORT, **settings)


def test_an_option_that_is_none_is_a_mistake_of_the_caller() -> None:
    with pytest.raises(TypeError, match="replicatons"):
        compare(SHORT, replicatons=3)  # type: ignore[call-arg]


# one run, and many of the same


def test_a_tryout_is_laid_out_once_and_gives_the_runs_that_stand_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    laid_out: list[str] = []

    def make_plan(works: Works, policy: str) -> Any:
        laid_out.append(policy)
        return plan_of(works, policy)

    plan_of = tryouts.make_plan
    monkeypatch.setattr(tryouts, "make_plan", make_plan)
    chosen: list[str] = []
    choose = tryouts.choose_engine
    monkeypatch.setattr(tryouts, "choose_engine", lambda plan, engine: (chosen.append(engine), choose(plan, engine))[1])
    works = changed(SHORT, {"run": {"seed": 11}})
    tryout = Tryout(works, "every 60 parts")
    many = list(tryout.runs(3))
    again = [run(works, "every 60 parts", replication=at) for at in range(3)]
    assert laid_out == ["every 60 parts"]
    assert chosen == ["fast"]  # whether its kernels are kept is looked up once
    assert [(each.seed, each.replication) for each in many] == [(11, 0), (11, 1), (11, 2)]
    assert [each.tally.shipped.tolist() for each in many] == [each.tally.shipped.tolist() for each in again]
    floor = Tryout(works, "every 60 parts", "simpy").run(2)
    assert floor.engine == "simpy"
    assert np.array_equal(floor.tally.state_min, many[2].tally.state_min)
    assert repr(tryout) == '<Tryout of Rocker-cover flange under "every 60 parts", fast engine>'


def test_a_tryout_is_of_todays_practice_unless_told_otherwise() -> None:
    works = changed(SHORT, {"today": "every 60 parts"})
    assert Tryout(works).policy == "every 60 parts"
    assert run(works).plan.policy == "every 60 parts"


# today's practice is what the others replace


def test_policies_are_set_against_todays_practice() -> None:
    names = list(SHORT.policies)
    works = changed(SHORT, {"today": names[-1]})
    answer = compare(works)
    assert answer.base == answer.provenance["base"] == names[-1]
    assert set(answer.differences["against"]) == {answer.best.policy, names[-1]}
    without = compare(works, names[:-1])
    assert without.base == names[0]
    rows = [Alternative(f"as {name}", works, name) for name in names]
    assert alternatives(rows, replications=2).base == f"as {names[0]}"


# how answers print themselves


def test_answers_print_on_one_line() -> None:
    answers = [
        compare(SHORT),
        worth(SHORT, replications=2),
        frontier(SHORT, ("life",), (0.5, 1.0)),
        intervals(SHORT, plan=SearchPlan(runs=50, replications=4, fresh=2)),
    ]
    for answer in answers:
        shown = repr(answer)
        assert shown.startswith(f"<{type(answer).__name__} of Rocker-cover flange: {answer.sentences[0][:60]}")
        assert len(shown) <= 300
        assert "\n" not in shown


def test_a_notebook_sees_sentences_and_the_first_table_without_a_name_that_is_markup() -> None:
    hostile = "<script>alert(1)</script>"
    policies = {hostile: {"default": {"parts": 40}}, "b": {"default": {"parts": 60}}}
    answer = compare(changed(SHORT, {"policies": policies}), [hostile, "b"])
    shown = answer._repr_html_()
    assert "<script>" not in shown
    assert "&lt;script&gt;" in shown
    value = answer.policies["mean"].iloc[0]
    assert f"{value:.6f}"[:6] in shown


def test_a_works_prints_itself() -> None:
    assert (
        repr(SMALLEST) == '<Works "Rocker-cover flange": 1 line, 3 operations; today\'s practice "run until it breaks">'
    )
    html = SMALLEST._repr_html_()
    assert "<td>Op 20</td>" in html
    assert html.count("<tr") == 1 + 3


def test_a_study_is_a_record_that_runs_nothing_by_itself() -> None:
    study = PolicyStudy(SHORT, ["no such policy"])
    with pytest.raises(linesim.ScenarioError, match="no such policy"):
        study.run()
