"""A shift in the trainee's hands: the plan's run where nothing is decided, and what every order does."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from linesim.floor.run import run_floor
from linesim.plan.build import make_plan
from linesim.plan.plan import Plan
from linesim.training.binding import START, Bound, Looks
from linesim.training.carrying import Case, carry_out
from linesim.training.choices import filled
from linesim.training.orders import TrainingError, order_from
from linesim.training.shift import Shift, policy_script
from linesim.works import changed, load_works
from tests.training import FILES, lesson, one_mill, same_tally

SCENARIOS = Path(__file__).parents[2] / "scenarios"


def played(shift: Shift, *orders: dict[str, object]) -> Shift:
    """A shift with some orders, and then run to its end."""
    for order in orders:
        shift.decide(order)
    while not shift.is_over:
        shift.decide({"do": "run"})
    return shift


def plan_of(shift: Shift) -> Plan:
    return make_plan(shift.lesson.works, shift.lesson.file.plan)


@pytest.mark.parametrize("key", [path.stem[:2] for path in FILES])
def test_deciding_nothing_is_the_plans_run(key: str) -> None:
    shift = Shift(lesson(key), 3)
    while not shift.is_over:
        shift.decide({"do": "run", "minutes": 37})
    works = shift.lesson.works
    assert not same_tally(shift.carried().tally, run_floor(plan_of(shift), works.run.seed, 2))


@pytest.mark.parametrize(("file", "policy"), [("smallest.yaml", "check the edge"), ("head-line.yaml", "by parts")])
def test_any_scenario_runs_in_a_hand_that_orders_nothing(file: str, policy: str) -> None:
    works = changed(load_works(SCENARIOS / file), {"run": {"length": 500, "warm_up": 300}})
    in_hand = tuple(name for line in works.lines.values() for name in line.operations)
    own = policy if policy in works.policies else next(iter(works.policies))
    found = carry_out(Case(works, own, in_hand, Looks(), 11, 4))
    assert not same_tally(found.tally, run_floor(make_plan(works, own), 11, 4))


def test_a_rule_ordered_is_the_policy_that_states_it() -> None:
    works = changed(load_works(SCENARIOS / "smallest.yaml"), {"run": {"length": 600, "warm_up": 0}})
    case = Case(works, "full life", ("Op 10", "Op 20"), Looks(), 5)
    orders = [{"do": "rule", "machine": "all", "rule": {"parts": 60}}]
    found = carry_out(case, policy_script(case, orders))
    assert not same_tally(found.tally, run_floor(make_plan(works, "every 60 parts"), 5, 0))


def test_agreeing_with_the_plan_at_every_question_changes_nothing() -> None:
    shift = Shift(lesson("08"), 2)
    asked = 0
    while not shift.is_over:
        view = shift.decide({"do": "run"})
        question = view["question"]
        asked += question is not None
        if question and question["kind"] == "setter":
            shift.decide({"do": "send", "machine": question["waiting"][0]})
    assert asked > 8
    assert not same_tally(shift.carried().tally, run_floor(plan_of(shift), shift.lesson.works.run.seed, 1))


BUSY = (
    {"do": "rule", "machine": "Op 20", "rule": {"check": {"every": 9, "past_share": 0.9}}},
    {"do": "run", "minutes": 60},
    {"do": "look", "machine": "Op 20", "set": "finish blade"},
    {"do": "run"},
    {"do": "change", "machine": "Op 20", "set": "finish blade"},
    {"do": "offset", "machine": "Op 20", "cut": "finish", "deeper": 6},
    {"do": "gauge", "gauge": "plug gauge"},
    {"do": "run", "parts": 7},
    {"do": "gauge every", "gauge": "plug gauge", "parts": 2},
    {"do": "correct", "gauge": "plug gauge", "share": 0.3, "dead_band": 4},
    {"do": "leave", "machine": "Op 20", "set": "finish blade", "parts": 25},
    {"do": "run", "minutes": 50},
    {"do": "change", "machine": "Op 20", "set": "finish blade", "dull": "given up"},
    {"do": "run", "minutes": 1},
)


def test_the_same_orders_bound_to_their_places_give_the_same_shift() -> None:
    shift = played(Shift(lesson("01"), 5), *BUSY)
    again = carry_out(shift.case, shift.bound)
    assert not same_tally(shift.carried().tally, again.tally)
    assert shift.carried().items == again.items


@pytest.mark.parametrize(("key", "number"), [("08", 1), ("08", 6), ("01", 1)])
def test_answers_to_questions_are_bound_to_their_places_too(key: str, number: int) -> None:
    """Always the answer that the plan would not give; and half-way a standing word to the setter."""
    shift, answered = Shift(lesson(key), number), 0
    while not shift.is_over:
        question = shift.decide({"do": "run", "minutes": 45})["question"]
        if question and question["kind"] == "setter":
            shift.decide({"do": "send", "machine": question["waiting"][-1]})
            answered += 1
        elif question and question["kind"] == "part":
            shift.decide({"do": "verdict", "say": "turn down" if "pass it" in question["words"][0] else "pass"})
            answered += 1
        if key == "08" and answered == 3 and not any(entry["do"] == "first" for entry in shift.history):
            shift.decide({"do": "first", "people": "setters", "machines": ["Op 30", "Op 20"]})
    assert answered > 0
    assert not same_tally(shift.carried().tally, carry_out(shift.case, shift.bound).tally)
    restored = Shift.restored(lesson(key), json.loads(json.dumps(shift.as_dict())))
    assert not same_tally(shift.carried().tally, restored.carried().tally)


def test_a_shift_is_restored_from_what_was_kept_to_the_last_bit() -> None:
    shift = Shift(lesson("01"), 5)
    for order in BUSY:
        shift.decide(order)
    restored = Shift.restored(lesson("01"), json.loads(json.dumps(shift.as_dict())))
    assert restored.view() == shift.view()
    assert restored.choices() == shift.choices()
    assert not same_tally(played(shift).carried().tally, played(restored).carried().tally)


def test_a_step_back_restores_what_was() -> None:
    shift, seen = Shift(lesson("01"), 5), []
    for order in BUSY:
        seen.append((shift.view(), shift.choices()))
        shift.decide(order)
    for before in reversed(seen):
        shift.back()
        assert (shift.view(), shift.choices()) == before
    assert shift.steps_back == len(BUSY)
    with pytest.raises(TrainingError, match="nothing has been decided yet"):
        shift.back()


def test_a_shift_of_another_state_of_the_lesson_is_refused() -> None:
    kept = Shift(lesson("01")).as_dict() | {"digest": "of yesterday"}
    with pytest.raises(TrainingError, match="as it is now was expected"):
        Shift.restored(lesson("01"), kept)


@pytest.mark.parametrize("spoilt", [{"number": "x"}, {"history": None}, {"history": ["run"]}, {"history": [{"do": 3}]}])
def test_a_shift_that_was_kept_badly_is_told_of(spoilt: dict[str, object]) -> None:
    with pytest.raises(TrainingError, match=r"expected|not known"):
        Shift.restored(lesson("01"), Shift(lesson("01")).as_dict() | spoilt)


def test_the_life_share_is_never_shown_and_quality_loss_not_before_the_end() -> None:
    shift = Shift(lesson("01"))
    view = shift.decide({"do": "run", "minutes": 130})
    assert "life_share" not in json.dumps(view)
    assert view["ledger"]["upto_min"] == 60.0 * (view["minute"] // 60.0)
    assert "machine hours" in view["ledger"]["items"]
    assert not {"quality loss", "wear handed over"} & view["ledger"]["items"].keys()


def test_the_ledger_on_the_way_is_that_of_a_shift_that_ends_there() -> None:
    shift = Shift(lesson("01"))
    shift.decide({"do": "run", "minutes": 100})
    _, items = shift.ledger()
    works = changed(shift.lesson.works, {"run": {"length": 60}})
    hour = carry_out(Case(works, "the card", ("Op 20",), Looks(), works.run.seed))
    assert items == {name: money for name, money in hour.items.items() if name in items}


def test_the_load_rises_as_the_edge_wears_and_falls_with_a_fresh_one() -> None:
    shift = Shift(lesson("01"))
    runs = ({"do": "run", "minutes": 15}, {"do": "run", "minutes": 80})
    loads = [shift.decide(order)["machines"][0]["strokes"][0]["load_percent"] for order in runs]
    shift.decide({"do": "change", "machine": "Op 20", "set": "finish blade"})
    shift.decide({"do": "run", "minutes": 14})
    fresh = shift.view()["machines"][0]["strokes"][0]["load_percent"]
    assert loads[1] > loads[0] > 95
    assert fresh < loads[1]
    assert all(load % 5 == 0 for load in (*loads, fresh))


def test_a_look_takes_its_minutes_and_reads_near_the_true_land() -> None:
    shift = Shift(lesson("01"))
    shift.decide({"do": "run", "minutes": 50})
    shift.decide({"do": "look", "machine": "Op 20", "set": "finish blade"})
    view = shift.decide({"do": "run"})
    assert "reads a wear land" in view["question"]["words"][0]
    mount = shift.stand.floor.machines[1].mounts[0]
    assert abs(view["machines"][0]["cutters"][0]["look_mm"] - mount.wear_land_mm) < 4 * 0.02
    assert view["machines"][0]["cutters"][0]["look_parts_ago"] == 0
    ended = played(shift).carried().tally
    assert int(ended.looks.sum()) == 1
    assert float(ended.state_min[1, 4]) == pytest.approx(1.5)


def test_a_rule_with_looks_pays_for_them() -> None:
    shift = played(
        Shift(lesson("01")), {"do": "rule", "machine": "Op 20", "rule": {"check": {"every": 5, "past": 9.0}}}
    )
    tally = shift.carried().tally
    assert int(tally.looks.sum()) > 10
    assert float(tally.state_min[1, 4]) == pytest.approx(1.5 * int(tally.looks.sum()))


def test_an_offset_cuts_deeper_until_the_edge_is_changed() -> None:
    readings = []
    for deeper in (0.0, 20.0):
        shift = Shift(lesson("01"))
        shift.decide({"do": "run", "minutes": 40})
        if deeper:
            shift.decide({"do": "offset", "machine": "Op 20", "cut": "finish", "deeper": deeper})
        shift.decide({"do": "run", "minutes": 30})
        readings.append(shift.stand.hand.readings[0][-1][1].mean_um)
    assert readings[0] - readings[1] == pytest.approx(20.0, abs=1e-9)


def test_an_offset_with_a_change_is_set_on_the_new_edge() -> None:
    shift = Shift(lesson("01"))
    shift.decide({"do": "run", "minutes": 40})
    shift.decide({"do": "change", "machine": "Op 20", "set": "finish blade"})
    shift.decide({"do": "offset", "machine": "Op 20", "cut": "finish", "deeper": 12})
    view = shift.decide({"do": "run", "minutes": 20})
    assert view["machines"][0]["offsets"] == [{"cut": "finish", "deeper_um": 12.0}]
    assert view["machines"][0]["cutters"][0]["parts"] < 6


def test_leaving_a_set_in_keeps_it_in_for_so_many_parts_and_no_longer() -> None:
    shift = Shift(lesson("01"))
    assert "By the plan" in played_to_question(shift)[-1]
    shift.decide({"do": "leave", "machine": "Op 20", "set": "finish blade", "parts": 4})
    played_to_question(shift)
    assert shift.view()["machines"][0]["cutters"][0]["parts"] == 34


def played_to_question(shift: Shift) -> list[str]:
    """Run on to the next question before a part; returns its words."""
    while True:
        question = shift.decide({"do": "run"})["question"]
        if question["kind"] == "machine":
            return list(question["words"])


def test_a_set_given_up_is_bought_anew_and_one_sent_in_is_ground() -> None:
    bought = []
    for dull in ("to the grinder", "given up"):
        order = {"do": "change", "machine": "Op 20", "set": "finish blade", "dull": dull}
        shift = played(Shift(lesson("01")), {"do": "run", "minutes": 30}, order)
        bought.append((int(shift.carried().tally.bought[0]), int(shift.carried().tally.regrinds[0])))
    assert bought[1][0] == bought[0][0] + 1
    assert bought[1][1] == bought[0][1] - 1


def test_gauging_out_of_turn_reads_one_part_more() -> None:
    plain = Shift(lesson("01"))
    plain.decide({"do": "run", "minutes": 30})
    more = Shift(lesson("01"))
    more.decide({"do": "gauge", "gauge": "plug gauge"})
    more.decide({"do": "run", "minutes": 30})
    assert len(more.stand.hand.readings[0]) == len(plain.stand.hand.readings[0]) + 1
    assert more.stand.hand.readings[0][0][0] == 0


def test_brushing_the_faces_costs_minutes_and_spares_parts() -> None:
    brushed = played(Shift(lesson("03")), {"do": "chips", "machine": "Op 20", "clean": True}).carried()
    left = played(Shift(lesson("03")), {"do": "chips", "machine": "Op 20", "clean": False}).carried()
    assert brushed.figures["quality loss per part"] < left.figures["quality loss per part"]
    assert brushed.tally.state_min[1, 1] > left.tally.state_min[1, 1]


def test_a_doubtful_part_is_passed_or_turned_down_as_the_trainee_says() -> None:
    """It has metal left on, so that turned down it is cut again."""
    ends = {}
    for say in (None, "pass", "turn down"):
        shift = Shift(lesson("01"), 1)
        while (question := shift.decide({"do": "run"})["question"])["kind"] != "part":
            pass
        plans = "turn down" if "would turn it down" in question["words"][0] else "pass"
        if say:
            shift.decide({"do": "verdict", "say": say})
        ends[say] = int(played(shift).carried().tally.recut.sum())
    assert ends["turn down"] == ends["pass"] + 1
    assert ends[None] == ends[plans]


def test_a_plain_reading_is_not_the_trainees_to_judge() -> None:
    shift = Shift(lesson("01"))
    shift.decide({"do": "run", "minutes": 30})
    with pytest.raises(TrainingError, match="no part is in doubt at this moment"):
        shift.decide({"do": "verdict", "say": "pass"})


def test_the_setter_goes_where_he_is_sent() -> None:
    shift = Shift(lesson("08"))
    while not (question := shift.decide({"do": "run"})["question"]) or question["kind"] != "setter":
        pass
    assert len(question["waiting"]) > 1
    wanted = question["waiting"][-1]
    shift.decide({"do": "send", "machine": wanted})
    shift.decide({"do": "run", "minutes": 0.5})
    states = {machine["machine"]: machine["state"] for machine in shift.view()["machines"]}
    assert states[wanted] == "changing cutters"
    with pytest.raises(TrainingError, match="no setter has a choice"):
        shift.decide({"do": "send", "machine": wanted})


@pytest.mark.parametrize(
    ("order", "told"),
    [
        ({"do": "jump"}, 'an order that says "jump" is not known; known are "run", "set up"'),
        ({"do": "change", "machine": "Op 20", "set": "finsh blade"}, 'did you mean "finish blade"?'),
        ({"do": "change", "machine": "Op 10"}, 'there is no machine in your hands called "Op 10"'),
        ({"do": "change"}, 'the order "change" needs an entry "machine"'),
        ({"do": "run", "minutes": -3}, "greater than 0"),
        ({"do": "run", "minutes": "soon"}, '"soon"'),
        ({"do": "offset", "machine": "Op 20", "cut": "rough", "deeper": 5}, 'there is no cut on "Op 20"'),
        ({"do": "gauge", "gauge": "thumb"}, 'there is no gauge in your hands called "thumb"'),
        ({"do": "chips", "machine": "Op 20", "clean": True}, "no chips are expected"),
        ({"do": "leave", "machine": "Op 20", "parts": 3, "why": "x"}, 'knows of no entry "why"'),
        ({"do": "set up", "way": "upside down"}, 'there is no way "upside down" to set the line up'),
        ({"do": "first", "people": "cooks", "machines": []}, 'there is no pool of people called "cooks"'),
        ({"do": "rule", "machine": "Op 20", "rule": {"own": {"name": "x"}}}, "one's own in Python cannot be ordered"),
    ],
)
def test_what_cannot_be_ordered_is_refused_in_words_and_changes_nothing(order: dict[str, object], told: str) -> None:
    shift = Shift(lesson("01"))
    shift.decide({"do": "run", "minutes": 20})
    before = json.dumps(shift.view()), list(shift.history)
    with pytest.raises(TrainingError) as refused:
        shift.decide(order)
    assert told in str(refused.value)
    assert (json.dumps(shift.view()), shift.history) == before


def test_the_line_is_set_up_before_anything_else() -> None:
    shift = Shift(lesson("02"))
    shift.decide({"do": "set up", "way": "rough and finish"})
    assert shift.view()["way"] == "rough and finish"
    shift.decide({"do": "run", "minutes": 5})
    with pytest.raises(TrainingError, match="before the shift begins"):
        shift.decide({"do": "set up", "way": "three cuts"})


def test_every_choice_offered_can_be_taken() -> None:
    for key in ("02", "03", "08"):
        shift = Shift(lesson(key))
        shift.decide({"do": "run", "minutes": 20}) if key != "02" else None
        for number in range(len(shift.choices())):
            trial = Shift(lesson(key), 1, shift.history)
            choice = trial.choices()[number]
            trial.decide(filled(choice, {field["name"]: field["usual"] for field in choice["fields"]}))


def test_over_is_over() -> None:
    shift = played(Shift(lesson("01")))
    assert shift.choices() == []
    with pytest.raises(TrainingError, match="the shift is over"):
        shift.decide({"do": "run"})


def test_a_stated_policy_holds_from_the_beginning() -> None:
    case = lesson("01").case(1)
    with pytest.raises(TrainingError, match="holds from the beginning"):
        policy_script(case, [{"do": "look", "machine": "Op 20"}])
    (bound,) = policy_script(case, [{"do": "rule", "machine": "Op 20", "rule": "run out"}])
    wanted = order_from({"do": "rule", "machine": "Op 20", "rule": "run out"})
    assert bound == Bound(START, wanted, 0)


def test_as_many_parts_are_begun_as_were_asked_for(tmp_path: Path) -> None:
    """Taken over at 1.5 min with part 2 on the machine: parts 3 and 4 begin at 2 and 3, and 5 waits for a word at 4."""
    shift = Shift(one_mill(tmp_path), 1)
    view = shift.decide({"do": "run", "parts": 2})
    assert view["question"]["words"] == ["The parts that you asked for are done."]
    assert shift.stand.floor.site.env.now == pytest.approx(4.0)
    assert shift.stand.floor.machines[0].mounts[0].edge.parts == 4


def test_the_least_that_may_be_asked_of_the_line_is_one_minute_and_one_part(tmp_path: Path) -> None:
    fields = {field["name"]: field for choice in Shift(one_mill(tmp_path), 1).choices()
              if choice["order"]["do"] == "run" for field in choice["fields"]}  # fmt: skip
    for name, after_min in (("minutes", 2.5), ("parts", 3.0)):
        shift = Shift(one_mill(tmp_path), 1)
        shift.decide({"do": "run", name: fields[name]["low"]})
        assert shift.stand.floor.site.env.now == pytest.approx(after_min)
        assert fields[name]["low"] < fields[name]["usual"] < fields[name]["high"]
