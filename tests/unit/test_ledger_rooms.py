"""Who reads in a measuring room is paid where the parts came from."""

from __future__ import annotations

import pytest

from linesim.fast.run import run_fast
from linesim.ledger import ledger_rows
from linesim.plan.build import make_plan
from linesim.works import changed
from tests.unit.test_floor_measuring_room import works


@pytest.mark.parametrize("by", ["inspectors", "menders"])
def test_minutes_of_reading_in_the_room_are_gauging_of_its_operation(by: str) -> None:
    """Parts come at 3, 6 and 9 and are read for two minutes each: six minutes at 60 an hour, of this pool alone."""
    people = {"inspectors": {"rate": 60}, "menders": {"rate": 60}}
    room = {"lines": {"line": {"operations": {"Op 10": {"measuring_room": {"by": by}}}}}}
    shop = changed(changed(works({"carry": 0}, 12.0, gauge={"minutes": 2}), {"people": people}), room)
    plan = make_plan(shop, "as stated")
    rows = ledger_rows(shop, plan, run_fast(plan, 1, 0))
    paid = rows[rows["what"].isin(people)]
    assert paid[["operation", "item", "what", "minor_units"]].to_numpy().tolist() == [["Op 10", "gauging", by, 600]]
