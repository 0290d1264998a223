"""What decisions are worth, worked out by hand on a shift of one mill (see `tests.training.one_mill`).

All figures here were worked out before the debrief was asked. Minutes are those of the run; the shift is 1.5 to 22.5.
An edge's n-th part loses 0.1 (n - 1)²; the sums of the first 4, 5, 7 and 9 parts are 1.4, 3.0, 9.1 and 20.4. The wear
that an edge has when the shift ends, the part on the machine counted, is charged at 0.1 of 15 for a part's minute, less
the 0.2 that it had at the beginning: 12 for the mill, and 2 minutes of machine and setter at 90 an hour together.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from linesim.plan.build import make_plan
from linesim.training.binding import Looks
from linesim.training.carrying import Case, EdgeSeen, renewal_price
from linesim.training.debrief import Debrief, look_back
from linesim.training.policies import outcome_of
from linesim.training.shift import Shift
from tests.floors import a_blade, a_cut, a_shop
from tests.training import one_mill

CHANGE = {"do": "change", "machine": "Op 10", "set": "mill"}
LEAVE = {"do": "leave", "machine": "Op 10", "set": "mill", "parts": 4}
LOOK = {"do": "look", "machine": "Op 10", "set": "mill"}


def played(folder: Path, *orders: dict[str, object]) -> Shift:
    shift = Shift(one_mill(folder), 1, list(orders))
    while not shift.is_over:
        shift.decide({"do": "run"})
    return shift


@pytest.fixture
def changed_and_left(tmp_path: Path) -> Shift:
    """The mill is changed before its third part at 9, and the next left in at 14 for four parts more than three.

    Parts: 4 of the first mill, 2 to 9, 7 from 11 to 18, 2 from 20 to 22; a third lies on the machine at the end.
    """
    to_eight = [{"do": "run"}, {"do": "run", "minutes": 3.5}]
    return played(tmp_path, *to_eight, CHANGE, {"do": "run", "minutes": 5}, LEAVE)


@pytest.fixture
def debrief(changed_and_left: Shift) -> Debrief:
    return look_back(changed_and_left)


def test_a_shift_earns_worth_less_every_cost_and_the_wear_handed_over(debrief: Debrief) -> None:
    # 15 parts of 10; 21 min at 60; three changes; losses 3.0 + 0.1 + 9.1 + 0.1; wear 0.3 - 0.2.
    assert debrief.figures["you"]["earned"] == pytest.approx(150 - 21 - 3 - 36 - 12.3 - 1.5)
    spent = {item: money for item, money in debrief.items["you"].items() if money}
    assert spent == pytest.approx(
        {"machine hours": 21.0, "setters": 3.0, "new cutters": 36.0, "quality loss": 12.3, "wear handed over": 1.5}
    )
    assert debrief.figures["you"] == pytest.approx(
        {
            "earned": 76.2, "good parts": 15, "parts in limits": 15, "share in limits": 1, "scrapped": 0, "salvaged": 0,
            "quality loss": 12.3, "quality loss per part": 0.82, "cost per part": 73.8 / 15, "changes": 3,
            "broken edges": 0, "looks": 0, "minutes changing": 6, "minutes waiting for a setter": 0,
            "minutes waiting for a sharp cutter": 0,
        }
    )  # fmt: skip


def test_policies_earn_on_the_same_shift_what_they_do_by_hand(debrief: Debrief) -> None:
    # The plan: 4, 5, 5 and 1 parts; losses 9.0; the wear is what it was. Best: 6, 7 and 4 parts; losses 9.1, 9.1, 1.4;
    # wear 0.5 - 0.2. Until it breaks: 21 parts of one mill; losses 331.1; wear 1.0 - 0.2, as no more than all is lost.
    assert {name: figures["earned"] for name, figures in debrief.figures.items()} == pytest.approx(
        {
            "you": 76.2,
            "run until it breaks": 210 - 21 - 331.1 - 12,
            "the plan": 150 - 21 - 3 - 36 - 9,
            "best": 170 - 21 - 2 - 24 - 19.6 - 4.5,
        }
    )


def test_a_decision_is_taken_out_alone_and_all_others_stay(debrief: Debrief) -> None:
    # Without the change the four parts more are given to the second mill at its sixth: 4, 9 and 4 parts, two changes,
    # losses 3.0 + 20.4 + 1.4, wear 0.5 - 0.2. Without the leave: 4, 2, 5 and 4 parts, losses 3.0 + 0.1 + 3.0 + 1.4.
    change, leave = 170 - 21 - 2 - 24 - 24.8 - 4.5, 150 - 21 - 3 - 36 - 7.5 - 4.5
    assert [(entry.number, entry.worth) for entry in debrief.weighed] == [
        (0, pytest.approx(76.2 - change)),
        (1, pytest.approx(76.2 - leave)),
    ]
    assert [entry.words for entry in debrief.weighed] == [
        "Op 10: changed the mill when the edge truly stood at 0.20 of its life",
        "Op 10: left the mill in for 4 more parts when the edge truly stood at 0.30 of its life",
    ]
    assert debrief.weighed[0].reason.startswith("2 good parts fewer (−20 EUR of worth); quality loss −1")
    assert debrief.weighed[0].reason.endswith("; new cutters +12 EUR.")
    assert debrief.weighed[1].reason == "quality loss +5 EUR; wear handed over −3 EUR."
    assert debrief.not_weighed == 0


def test_what_was_not_done_goes_over_orders_on_the_same_set(debrief: Debrief) -> None:
    (undone,) = debrief.undone
    assert undone.worth == pytest.approx(98.9 - 76.2)
    assert undone.words == "Op 10: have the mill changed after 7 parts"
    assert debrief.try_next == "Op 10: have the mill changed after 7 parts. By itself it would have earned 23 EUR."


def test_what_was_not_done_is_weighed_beside_orders_on_other_matters(tmp_path: Path) -> None:
    """A look before the eighth part takes a minute, in the plan's shift from 9 to 10.

    The plan with it: 4, 5 and 5 parts, and the last change ends at 22; wear 0.1 - 0.2. Seven parts to a mill with it:
    6, 7 and 3 parts; losses 9.1 + 9.1 + 0.5; wear 0.4 - 0.2.
    """
    answer = look_back(played(tmp_path, {"do": "run"}, {"do": "run", "minutes": 3.5}, LOOK))
    own = 140 - 21 - 3 - 36 - 9 + 1.5
    assert answer.figures["you"]["earned"] == pytest.approx(own)
    assert [entry.worth for entry in answer.weighed] == [pytest.approx(own - 81)]
    assert [entry.worth for entry in answer.undone] == [pytest.approx(160 - 21 - 2 - 24 - 18.7 - 3 - own)]


def test_the_way_in_which_the_line_is_set_up_is_a_decision_too(tmp_path: Path) -> None:
    answer = look_back(played(tmp_path, {"do": "set up", "way": "dear"}))
    (way,), (undone,) = answer.weighed, answer.undone
    assert (way.number, way.worth) == (-1, pytest.approx(-10.5))
    assert way.words == 'Set the line up: "dear" (On the dear machine)'
    assert undone.worth == pytest.approx(10.5)
    assert undone.words.startswith('set the line up "as planned"')


def test_the_mark_is_set_against_the_shift_itself(debrief: Debrief, changed_and_left: Shift) -> None:
    ((mark, value, wanted, is_reached),) = debrief.marks
    assert (mark.figure, value, wanted, is_reached) == ("earned", pytest.approx(76.2), 80.0, False)
    assert not debrief.is_passed
    outcome = outcome_of(changed_and_left)
    assert outcome["share_of_best"] == pytest.approx(76.2 / 98.9)
    assert (outcome["earned"], outcome["is_passed"], outcome["decisions"]) == (pytest.approx(76.2), False, 2)


def test_edges_are_told_with_the_wear_that_they_came_off_with(debrief: Debrief) -> None:
    def edge(minute: float | None, why: str, parts: int, share: float) -> EdgeSeen:
        off = None if minute is None else pytest.approx(minute)
        return EdgeSeen("Op 10", "mill", off, why, parts, pytest.approx(share), pytest.approx(0.3 * share), None)

    assert debrief.edges == [
        edge(3.5, "due", 5, 0.5),
        edge(7.5, "due", 2, 0.2),
        edge(16.5, "due", 7, 0.7),
        edge(None, "still in", 2, 0.3),
    ]


@pytest.mark.parametrize(
    ("renewal", "price"),
    [
        ({"bought": {}}, 21 + 100),
        ({"indexed": {"edges": 4, "cost": 2.0}}, 21 + 100 / 4 + 2),
        ({"dressed": {"dressings": 9, "cost": 3.0}}, 21 + 100 / 10 + 3),
        ({"reground": {"stock": 2.0, "margin": 0.1, "minutes": 12.0, "cost": 5.0}}, 21 + 5 + 9 + 100 * 0.4 / 2),
    ],
)
def test_a_set_is_made_sharp_again_at_a_price(renewal: dict[str, object], price: float) -> None:
    """6 min of the change and 3 of access, at 60 + 2 * 20 + 40 an hour: 21; grinding 12 min at 45: 9."""
    operation = {
        "strokes": {"face": {"cuts": {"face": a_cut()}}},
        "setters": "setters", "rate": 60.0, "operators": 2, "access": 3.0,
    }  # fmt: skip
    works = a_shop(
        {"Op 10": operation},
        line={"features": {"face": {"size": {"limits": [29.9, 30.1], "loss_at_limit": 1.0}}}},
        cutters={"blade": a_blade(price=100.0, change=6.0, renewal=renewal)},
        people={"setters": {"count": 1, "rate": 40.0}},
        prices={"labour_rate": 20.0},
        crib={"grinders": 1, "rate": 45.0},
    )
    assert make_plan(works, "as stated").mounts.kind.tolist() == [0]
    assert renewal_price(Case(works, "as stated", ("Op 10",), Looks(), 1), 0, 0) == pytest.approx(price)
