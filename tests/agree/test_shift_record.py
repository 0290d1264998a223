"""A shift is recorded alike, row by row, whichever engine ran it."""

from __future__ import annotations

from pathlib import Path
from random import Random

import pandas as pd
import pytest

from linesim.errors import StudyError
from linesim.study.one.shift_record import record_shift
from linesim.works import Works, load_works
from tests.agree.together_at_random import works_together
from tests.agree.unseen_at_random import works_with_unseen_breaks
from tests.rounds import some_each_time

SCENARIOS = Path(__file__).resolve().parents[2] / "scenarios"
TABLES = ("states", "stock", "edges", "changes", "parts", "crib", "draws", "breaks", "moments")


def assert_recorded_alike(works: Works, shift: int = 1) -> None:
    fast, simpy = (record_shift(works, shift=shift, engine=engine) for engine in ("fast", "simpy"))
    for name in TABLES:
        pd.testing.assert_frame_equal(getattr(fast, name), getattr(simpy, name), check_exact=True, obj=name)
    assert fast.price_per_minute == simpy.price_per_minute


@pytest.mark.parametrize("name", some_each_time(["block-line", "centres", "crankcase-line", "mixed-line"], "centres"))
def test_a_shift_of_a_scenario(name: str) -> None:
    assert_recorded_alike(load_works(SCENARIOS / f"{name}.yaml"), 2)


# 27, 31 and 38: a sister takes over at the very instant at which a part is complete.
@pytest.mark.parametrize("seed", some_each_time(range(60), 3, 14, 27, 31, 38, 58))
def test_a_shift_of_works_drawn_at_random(seed: int) -> None:
    assert_recorded_alike(works_together(Random(seed)))


# 46: a part is complete at the very instant at which the next one is cut.
@pytest.mark.parametrize("seed", some_each_time(range(60), 2, 46))
def test_a_shift_of_works_whose_edges_break_unseen(seed: int) -> None:
    assert_recorded_alike(works_with_unseen_breaks(Random(seed)))


def test_an_engine_that_is_not_there_is_refused() -> None:
    with pytest.raises(StudyError, match='there is no engine "steam"'):
        record_shift(load_works(SCENARIOS / "smallest.yaml"), engine="steam")
