"""Studies: single runs and traces, comparisons with shared chance, and sentences no bolder than the data."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest

from linesim.ask import compare
from linesim.errors import ScenarioError, StudyError
from linesim.floor.rules import change_rule
from linesim.plan.tally import State
from linesim.store import open_store
from linesim.study import MEASURES, WHOLE_WORKS, Comparison, Crew, load_rules, run
from linesim.study.comparing.tables import finding_table, time_table
from linesim.study.comparing.words import amount, policy_words
from linesim.study.crew.outcome import Outcome
from linesim.works import Works, changed
from linesim.works.policies import Policy
from tests.builders import a_works, flow_line

BLADE = {"life": 60, "change": 4, "sets": 4, "renewal": {"bought": {}}, "price": 20, "breaking": "never"}
POLICIES = {"half": {"default": {"life": 0.5}}, "full": {"default": {"life": 1}}, "run out": None}


def blades(policies: dict[str, Any] | None = None, minutes: Any = 3.0, **entries: Any) -> Works:
    """Two operations; the second wears blades. Nothing is random unless the minutes are."""
    return flow_line(
        [2.0, minutes],
        [2],
        None,
        {"Op 20": {"sets": ["blade"], "access": 2, "rate": 60}},
        {
            "cutters": {"blade": BLADE},
            "policies": POLICIES if policies is None else policies | {"run out": None},
        },
        {"worth": 100, "casting": {"price": 40}},
        length=4800,
        warm_up=480,
        replications=4,
        **entries,
    )


def short_block(**run_entries: Any) -> Works:
    """The small block line, run for a few shifts, with blades enough."""
    length = {"length": "4 shifts", "warm_up": "1 shift", "replications": 4}
    return a_works(run=length | run_entries, cutters={"rough blade": {"sets": 12, "lead_time": "1 h", "change": 5}})


def invented(values: dict[str, Sequence[float]], works: Works | None = None, confidence: float = 0.95) -> Comparison:
    """A comparison whose runs gave these contributions per hour; every other measure is 1 everywhere."""
    others: dict[str, Any] = {"line": WHOLE_WORKS} | {measure.name: 1.0 for measure in MEASURES}
    outcomes = [
        Outcome([others | {"policy": name, "replication": at, "contribution_per_hour": value}], [], [], [])
        for name, found in values.items()
        for at, value in enumerate(found)
    ]  # fmt: skip
    count = len(next(iter(values.values())))
    policies = {name: {"default": {"parts": at + 1}} for at, name in enumerate(values)}
    return Comparison(works or blades(policies), tuple(values), 1, count, confidence, outcomes)


# one run


def test_a_run_takes_the_first_policy_and_the_scenarios_seed_unless_told() -> None:
    result = run(short_block(seed=11), engine="simpy")
    assert (result.plan.policy, result.seed, result.replication, result.engine) == (
        "by parts",
        11,
        0,
        "simpy",
    )


def test_a_run_can_be_told_policy_seed_and_replication() -> None:
    result = run(short_block(), "run out", seed=5, replication=3, engine="simpy")
    assert (result.plan.policy, result.seed, result.replication) == ("run out", 5, 3)


@pytest.mark.parametrize(
    ("options", "error", "words"),
    [
        ({"policy": "weekly"}, ScenarioError, 'no policy "weekly"'),
        ({"engine": "steam"}, StudyError, 'there is no engine "steam"'),
        ({"seed": -1}, StudyError, "a seed of -1 cannot be"),
        ({"seed": 2**63}, StudyError, "0 to 2\\*\\*63 - 1 was expected"),
        ({"replication": -1}, StudyError, "a replication of -1 cannot be"),
    ],
)
def test_what_a_run_cannot_do_is_said(options: dict[str, Any], error: type[Exception], words: str) -> None:
    with pytest.raises(error, match=words):
        run(short_block(), **options)


def test_watching_and_telling_leave_a_run_as_it_is() -> None:
    plain, watched = run(short_block(), engine="simpy"), run(short_block(), trace=True, engine="simpy")
    told: list[tuple[int, int]] = []
    stepped = run(short_block(), progress=lambda done, total: told.append((done, total)), engine="simpy")
    for other in (watched, stepped):
        for name, value in vars(plain.tally).items():
            assert np.array_equal(value, getattr(other.tally, name)), name
    assert told[0] == (1, 200)
    assert told[-1] == (200, 200)
    assert plain.trace is None


def test_a_trace_fills_every_machines_time_without_gap_or_overlap() -> None:
    result = run(short_block(), trace=True, engine="simpy")
    assert result.trace is not None
    states = result.trace.states
    for machine, own in states.groupby("machine"):
        assert own["start_min"].iloc[0] == 0.0, machine
        assert own["end_min"].iloc[-1] == 2400.0, machine
        assert (own["start_min"].to_numpy()[1:] == own["end_min"].to_numpy()[:-1]).all(), machine


def test_a_trace_agrees_with_what_the_run_counted() -> None:
    result = run(short_block(), trace=True, engine="simpy")
    assert result.trace is not None
    counted = result.trace.states[result.trace.states["start_min"] >= 480.0]
    cutting = counted[(counted["machine"] == "Op 20") & (counted["state"] == State.CUTTING.words)]
    machine = result.machines[result.machines["machine"] == "Op 20"]
    minutes = float((cutting["end_min"] - cutting["start_min"]).sum())
    assert minutes == pytest.approx(float(machine["cutting_min"].iloc[0]), abs=3.0)  # one cut across the warm-up's end
    parts = result.trace.parts
    shipped = parts[(parts["outcome"] == "shipped") & (parts["left_min"] >= 480.0)]
    assert len(shipped) == int(result.tally.shipped.sum())
    assert shipped["bores 3 ra_um"].notna().all()
    changes = result.trace.changes
    of_run = changes[changes["now_min"] >= 480.0]
    assert len(of_run) == int((result.tally.planned + result.tally.unplanned + result.tally.joined).sum())
    assert set(changes["why"]) <= {"due", "joined", "broken"}


def test_parts_pass_their_operations_in_order_in_a_trace() -> None:
    result = run(short_block(), trace=True, engine="simpy")
    assert result.trace is not None
    for _, own in result.trace.parts.groupby("serial"):
        assert own["operation"].to_list() == ["Op 10", "Op 20", "Op 40", "Op 50"][: len(own)]
        assert own["loaded_min"].is_monotonic_increasing


# comparisons


def test_a_comparison_has_a_row_for_every_policy_replication_and_line() -> None:
    found = compare(short_block(), replications=3, workers=1)
    rows = found.replications
    assert len(rows) == 2 * 3 * 2
    assert rows.groupby(["policy", "replication"]).size().eq(2).all()
    assert list(dict.fromkeys(rows["policy"])) == ["by parts", "run out"]
    single = run(short_block(), "run out", replication=2, engine="simpy").lines.iloc[0]
    row = rows[(rows["policy"] == "run out") & (rows["replication"] == 2) & (rows["line"] == "block")].iloc[0]
    assert row["cost_per_good_part"] == single["cost_per_good_part"]
    assert row["good_per_hour"] == single["good_per_hour"]


@pytest.mark.late
def test_the_number_of_workers_changes_nothing() -> None:
    works = short_block(length="1 shift")
    alone, spread_out = (compare(works, replications=2, workers=workers) for workers in (1, 2))
    assert json.dumps(alone.as_dict()) == json.dumps(spread_out.as_dict())


def test_the_whole_works_adds_up_its_lines() -> None:
    head = {"operations": {"Op 10": {"minutes": 4}}, "casting": {"price": 10}, "worth": 30}
    works = changed(flow_line([3.0], length=600, warm_up=0), {"lines": {"head": head}})
    rows = compare(works, replications=1, workers=1).replications.set_index("line")
    assert rows.loc[WHOLE_WORKS, "good_per_hour"] == pytest.approx(20 + 15, abs=0.3)
    shipped = rows["shipped"]
    money = sum(shipped[line] * rows.loc[line, "cost_per_good_part"] for line in ("line", "head"))
    assert rows.loc[WHOLE_WORKS, "cost_per_good_part"] == pytest.approx(money / shipped[WHOLE_WORKS])


def test_policies_that_do_the_same_differ_by_exactly_nothing() -> None:
    same = {"one": {"default": {"life": 0.5}}, "other": {"default": {"minutes": 30}}}
    found = compare(blades(same, {"exponential": {"mean": 3}}), replications=3, workers=1)
    assert found.differences["mean"].eq(0.0).all()
    assert found.differences["half_width"].eq(0.0).all()
    assert found.differences["p_value"].eq(1.0).all()
    assert not found.best.is_clear
    assert found.best.not_significant == ("other",)
    assert 'exactly the same contribution per hour as "one"' in " ".join(found.sentences)


def test_a_line_without_chance_gives_exact_figures_and_a_clear_best() -> None:
    found = compare(blades(), workers=1)
    assert found.policies["half_width"].eq(0.0).all()
    assert found.differences["half_width"].eq(0.0).all()
    assert not found.policies["mean"].isna().any()
    assert found.best.policy == "full"
    assert found.best.is_clear
    assert "best of the two by contribution per hour" in found.sentences[0]


def test_one_replication_gives_no_interval_and_no_best_and_says_so() -> None:
    found = compare(blades(), replications=1, workers=1)
    assert found.policies["half_width"].isna().all()
    assert not found.best.is_clear
    assert "there is one replication of each, so that no interval and no best" in found.sentences[0]
    assert "±" not in " ".join(found.sentences)


def test_one_policy_has_nothing_to_be_set_against() -> None:
    found = compare(blades(), ["half"], replications=2, workers=1)
    assert found.differences.empty
    assert "there is no other policy" in found.sentences[0]


def test_replications_may_share_chance_but_are_not_the_same() -> None:
    found = compare(blades(minutes={"exponential": {"mean": 3}}), replications=3, workers=1)
    own = found.replications[(found.replications["policy"] == "half") & (found.replications["line"] == "line")]
    assert own["good_per_hour"].nunique() == 3


def test_ledger_items_add_up_to_the_cost_per_good_part() -> None:
    found = compare(short_block(), replications=3, workers=1)
    for policy in found.names:
        for line in ("block", WHOLE_WORKS):
            own = found.ledger[(found.ledger["policy"] == policy) & (found.ledger["line"] == line)]
            assert own["per_good_part"].sum() == pytest.approx(found.mean(policy, "cost_per_good_part", line)[0])


def test_changes_are_counted_for_each_hundred_good_parts() -> None:
    # Both blades leave together: one is due after ten parts, the other joins it long before its fifteen.
    policy = {"default": {"parts": 10}, "exceptions": {"other": {"parts": 15}}, "group_past": 0.5}
    works = flow_line(
        [2.0],
        operations={"Op 10": {"sets": ["blade", "other"]}},
        works={"cutters": {"blade": BLADE, "other": BLADE}, "policies": {"run out": policy}},
        length=2000,
        warm_up=0,
    )
    row = compare(works, replications=1, workers=1).replications.set_index("line").loc["line"]
    assert row["planned_per_100"] == pytest.approx(20.0, rel=0.02)
    assert row["unplanned_per_100"] == 0.0


def test_every_machines_shares_add_up_and_one_operation_holds_the_line_back() -> None:
    found = compare(short_block(), replications=2, workers=1)
    sums = found.times.groupby(["policy", "machine"])["share"].sum()
    assert sums.to_numpy() == pytest.approx(1.0)
    holding = found.times[found.times["is_constraint"]]
    assert holding["operation"].nunique() == 1


def test_the_constraint_is_the_operation_left_waiting_least() -> None:
    rows = [
        {"policy": "p", "replication": 0, "line": "l", "operation": operation, "machine": operation,
         "state": state, "share": share}
        for operation, waits, held in (("a", 0.0, 0.5), ("b", 0.1, 0.1), ("c", 0.6, 0.0))
        for state, share in (("waiting for a part", waits), ("held up", held), ("cutting", 1 - waits - held))
    ]  # fmt: skip
    table = time_table(pd.DataFrame(rows))
    assert set(table.loc[table["is_constraint"], "operation"]) == {"b"}


def test_a_policy_that_ships_nothing_is_left_out_of_the_running() -> None:
    works = blades({"half": {"default": {"life": 0.5}}, "never": {"default": {"parts": 1}}})
    stuck = a_works(
        run={"length": "1 shift", "warm_up": 0},
        lines={"block": {"casting": {"limit": 1, "arrivals": {"between": "1 week"}}, "worth": 0}},
    )
    assert compare(works, replications=2, workers=1).best.policy == "half"
    found = compare(stuck, replications=2, workers=1)
    assert found.best.policy is None
    assert found.sentences == ("No policy shipped a good part in every replication, so that none can be judged.",)
    assert found.findings["is_problem"].any()
    json.dumps(found.as_dict(), allow_nan=False)


def test_progress_is_told_up_to_the_last_run() -> None:
    told: list[tuple[int, int]] = []
    compare(blades(), replications=3, workers=1, progress=lambda done, total: told.append((done, total)))
    assert told == [(done, 6) for done in range(7)]


def test_stopping_a_comparison_is_not_swallowed() -> None:
    def stop(done: int, total: int) -> None:
        if done == 2:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        compare(blades(), replications=3, workers=1, progress=stop)


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ({"replications": 0}, "0 replications were asked for"),
        ({"confidence": 1.0}, "a confidence of 1 cannot be"),
        ({"confidence": -0.5}, "a confidence of -0.5 cannot be"),
        ({"workers": 0}, "0 workers were asked for"),
        ({"seed": -3}, "a seed of -3 cannot be"),
        ({"policies": ["half", "half"]}, 'policy "half" is named twice'),
        ({"policies": []}, "no policy is named"),
    ],
)
def test_what_cannot_be_compared_is_said(options: dict[str, Any], words: str) -> None:
    with pytest.raises(StudyError, match=words):
        compare(blades(), **options)


# the verdict


NOISE = [0.3, -0.8, 0.5, 1.1, -0.2, -0.9, 0.4, -0.4]


def test_a_best_is_called_only_where_every_other_is_apart() -> None:
    base = [100 + noise for noise in NOISE]
    clear = invented({"a": base, "b": [v - 20 + n for v, n in zip(base, NOISE[::-1], strict=True)]})
    assert clear.best.is_clear
    assert clear.sentences[0].endswith("best of the two by contribution per hour, with 95 % confidence.")
    unclear = invented({"a": base, "b": [v - 0.01 + n for v, n in zip(base, NOISE[::-1], strict=True)]})
    assert not unclear.best.is_clear
    assert unclear.best.not_significant == ("b",)
    assert 'not significantly ahead of "b"' in unclear.sentences[0]


def test_the_more_policies_the_wider_the_intervals() -> None:
    base = [100 + noise for noise in NOISE]
    near = [v - 0.75 + n for v, n in zip(base, NOISE[::-1], strict=True)]
    far = [v - 50 for v in base]
    two = invented({"a": base, "b": near})
    many = invented({"a": base, "b": near} | {f"far {at}": far for at in range(8)})
    asked = "policy == 'b' and against == 'a' and measure == 'contribution_per_hour'"
    widths = [float(found.differences.query(asked)["half_width"].iloc[0]) for found in (two, many)]
    assert widths[1] > 1.3 * widths[0]
    assert two.best.is_clear
    assert many.best.not_significant == ("b",)


def test_a_winner_by_chance_alone_is_rarely_called() -> None:
    # Five policies that do not differ: at 95 % confidence about one study in twenty may name a best.
    rng = np.random.default_rng(20)
    called = sum(
        invented({f"p{at}": rng.normal(100, 5, 10).tolist() for at in range(5)}).best.is_clear for _ in range(40)
    )
    assert called <= 2


def test_without_a_worth_the_cheapest_part_wins() -> None:
    works = flow_line(
        [2.0], None, None, {"Op 10": {"sets": ["blade"], "access": 2, "rate": 60}},
        {"cutters": {"blade": BLADE}, "policies": POLICIES}, length=4800, replications=2,
    )  # fmt: skip
    found = compare(works, workers=1)
    assert found.judged_by.name == "cost_per_good_part"
    assert found.best.policy == "full"


def test_the_sentence_says_more_fewer_saves_and_adds_as_the_figures_have_it() -> None:
    works = changed(short_block(length="3 weeks"), {"today": "run out"})
    found = compare(works, ["by parts", "run out"], replications=4, workers=1)
    assert found.base == "run out"
    difference = found.differences.query("policy == 'by parts' and against == 'run out'").set_index("measure")["mean"]
    first = found.sentences[0]
    if found.best.policy == "run out":
        difference = -difference
    if "more good parts per hour" in first:
        assert difference["good_per_hour"] > 0
    if "fewer good parts per hour" in first:
        assert difference["good_per_hour"] < 0
    if "saves" in first:
        assert difference["quality_loss_per_good_part"] < 0
    if "adds" in first:
        assert difference["quality_loss_per_good_part"] > 0
    assert any(word in first for word in ("more", "fewer", "saves", "adds", "makes no difference"))


def test_the_frontier_holds_the_policies_not_beaten_in_both() -> None:
    points = {"a": (10.0, 5.0), "b": (12.0, 7.0), "c": (11.0, 8.0), "d": (9.0, 5.0)}
    others: dict[str, Any] = {"replication": 0, "line": WHOLE_WORKS} | {each.name: 1.0 for each in MEASURES}
    rows = [
        others | {"policy": name, "good_per_hour": good, "quality_loss_per_good_part": loss}
        for name, (good, loss) in points.items()
    ]
    outcomes = [Outcome([row], [], [], []) for row in rows]
    works = blades({name: {"default": "run out"} for name in points})
    assert Comparison(works, tuple(points), 1, 1, 0.95, outcomes).frontier == ("a", "b")


def test_findings_that_differ_in_figures_alone_are_told_once() -> None:
    rows = [
        ("a", 0, "waited 12.5 % of 3", False),
        ("a", 1, "waited 9 % of 3", False),
        ("a", 1, "stuck", True),
    ]
    told = finding_table(pd.DataFrame(rows, columns=["policy", "replication", "text", "is_problem"]))
    assert told["text"].to_list() == ["stuck", "waited 12.5 % of 3"]
    assert told["runs"].to_list() == [1, 2]


# rules of one's own


RULES = """
from linesim import change_rule

@change_rule("as often as I say")
def as_often(edge, now_min, parts=10):
    return edge.parts >= parts
"""


def own_policies() -> dict[str, Any]:
    own = {"name": "as often as I say", "options": {"parts": 6}}
    return {"own": {"default": {"own": own}}, "parts": {"default": {"parts": 6}}}


def test_a_file_of_own_rules_works_here_and_in_workers(tmp_path: Path) -> None:
    file = tmp_path / "my rules.py"
    file.write_text(RULES, encoding="utf-8")
    works = blades(own_policies(), {"exponential": {"mean": 3}})
    for workers in (1, 2):
        found = compare(works, replications=2, workers=workers, rules=[file])
        assert found.differences["mean"].eq(0.0).all()


@pytest.mark.parametrize("workers", [1, 2])
def test_an_edited_rule_file_is_not_answered_with_the_runs_of_the_old_rule(tmp_path: Path, workers: int) -> None:
    file, works = tmp_path / "rules.py", blades(own_policies(), {"exponential": {"mean": 3}})
    store = open_store(tmp_path / "runs.sqlite")
    crew = Crew(workers, store)

    def changes(parts: int, crew: Crew) -> list[float]:
        file.write_text(RULES.replace("edge.parts >= parts", f"edge.parts >= {parts}"), encoding="utf-8")
        found = compare(works, ["own"], replications=2, rules=[file], crew=crew)
        return [float(value) for value in found.replications["planned_per_100"]]

    often, seldom = changes(3, crew), changes(12, crew)
    assert (often, seldom) == (changes(3, Crew(1)), changes(12, Crew(1)))
    # Changed after every third part and after every twelfth: a third and a twelfth of a hundred, but for the ends.
    assert all(30.0 < each < 36.0 for each in often)
    assert all(6.0 < each < 11.0 for each in seldom)
    assert store.count_runs() == 4
    assert changes(3, crew) == often
    assert store.count_runs() == 4
    store.close()


def test_a_rule_known_in_this_process_only_is_run_in_this_process() -> None:
    @change_rule("known here only")
    def _rule(edge: Any, now_min: float) -> bool:
        return bool(edge.parts >= 6)

    policies = {"own": {"default": {"own": {"name": "known here only"}}}, "parts": {"default": {"parts": 6}}}
    found = compare(blades(policies), replications=2, workers=2)
    assert found.differences["mean"].eq(0.0).all()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("x = 1\ny = x / 0\n", r"bad.py, line 2: ZeroDivisionError: division by zero"),
        ("def f(:\n", r"bad.py, line 1: SyntaxError"),
    ],
)
def test_a_file_of_rules_that_fails_names_its_line(tmp_path: Path, text: str, words: str) -> None:
    file = tmp_path / "bad.py"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(StudyError, match=words):
        load_rules(file)


def test_a_missing_file_of_rules_is_said() -> None:
    with pytest.raises(StudyError, match=r"there is no such file; a Python file with rules was expected"):
        load_rules("no-rules.py")


# words and workers


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ({"default": "run out"}, "running the cutters out"),
        ({"default": {"parts": 300}}, "changing the cutters after 300 parts"),
        ({"default": {"minutes": 45}}, "changing the cutters after 45 cutting minutes"),
        ({"default": {"shift": 2}}, "changing the cutters every 2 shifts"),
        (
            {"default": {"check": {"every": 20, "past": 0.25}}},
            "changing the cutters when a look every 20 parts finds them worn past 0.25 mm",
        ),
        (
            {"default": {"gauge": {"size": 8, "roughness": 1.2}}},
            "changing the cutters when a gauge reads past 8 µm or Ra 1.2 µm",
        ),
        ({"default": {"own": {"name": "mine"}}}, 'changing the cutters by the own rule "mine"'),
        (
            {"default": {"life": 0.8}, "exceptions": {"a": "run out", "b": "run out"}, "group_past": 0.9},
            "changing the cutters at 0.8 of their life (with two exceptions, grouped past 0.9)",
        ),
    ],
)
def test_policies_are_put_into_words(content: dict[str, Any], words: str) -> None:
    assert policy_words(Policy.model_validate(content)) == words


@pytest.mark.parametrize(
    ("mean", "half_width", "text"),
    [
        (0.8123, 0.2345, "0.81 ± 0.23"),
        (3.1, 0.0004, "3.1000 ± 0.0004"),
        (-5.0, math.nan, "-5.00"),
        (math.nan, math.nan, "none"),
        (123456.0, 7890.0, "123456 ± 7890"),
    ],
)
def test_amounts_show_the_figures_that_matter(mean: float, half_width: float, text: str) -> None:
    assert amount(mean, half_width) == text


def test_a_rule_that_fails_in_the_run_is_named() -> None:
    @change_rule("stumbles")
    def _rule(edge: Any, now_min: float) -> bool:
        return bool(edge.no_such_thing)

    works = blades({"own": {"default": {"own": {"name": "stumbles"}}}})
    with pytest.raises(StudyError, match='policy "own": a rule of your own failed in the run: AttributeError'):
        run(works, engine="simpy")
