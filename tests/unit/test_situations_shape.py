"""Two situations of real works, each in a few lines over the smallest scenario: a leak test with its loop, pallets."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from linesim.plan.build import make_plan
from linesim.plan.tally import State
from linesim.works import Works, changed, load_works
from linesim.works.reading import read_text
from tests.agree.twins import assert_twins_agree
from tests.floors import run_shop

SMALLEST = Path(__file__).parents[2] / "scenarios" / "smallest.yaml"
MOST_LINES = 60

LEAK_TEST = """
run: {length: 2 days, warm_up: 0 min}
people: {impregnators: {count: 1, rate: 34 EUR/h}}
lines:
  flange:
    operations:
      Op 40:
        after: Op 30
        about: Leak test; what leaks is impregnated and tested again, twice at most
        minutes: 1 min
        buffer: 12
        test:
          floor: 8 %
          rejected: {repair: {minutes: 25 min, people: impregnators, cost: 9 EUR, succeeds: 85 %, tries: 2}}
"""

PALLETS = """
run: {length: 1 day, warm_up: 0 min}
cutters:
  rough mill: {breaking: never}
  finish mill: {breaking: never}
lines:
  flange:
    pallets: 6
    operations:
      Op 20:
        locating: {on: base, pads: 200 mm}
        fixtures: {count: pallets, position: 20 um}
      Op 30: {batch: {most: 4, least: 4, loaded: together}, load: 1 min, unload: 1 min, minutes: 5 min}
    features:
      base: {size: {limits: [9.9 mm, 10.1 mm]}}
"""


def over_the_base(text: str) -> Works:
    """The smallest scenario with a situation laid over it."""
    assert len(text.strip().splitlines()) <= MOST_LINES
    return changed(load_works(str(SMALLEST)), read_text(text, "the situation").plain())


def test_what_leaks_is_impregnated_and_tested_again_twice_at_most() -> None:
    plan = make_plan(over_the_base(LEAK_TEST), "every 60 parts")
    tally = assert_twins_agree(plan, 7)
    first, repaired, given_up = (int(each.sum()) for each in (tally.turned_down, tally.repairs, tally.given_up))
    assert int(tally.tested.sum()) > 200
    assert 0 < repaired <= first
    # Whoever was turned down is repaired, given up, or still on its way.
    assert 0 <= first - repaired - given_up <= 3
    # Somebody is busy for each of them.
    assert tally.busy_min[plan.names.pools.index("impregnators")] >= 25.0 * repaired


def test_pallets_bring_their_own_error_and_wait_in_the_batch_washer() -> None:
    works = over_the_base(PALLETS)
    seen = run_shop(works)
    errors = {key[1]: each.error_um[0] for key, each in seen.values["complete", "Op 20"].items()}
    assert len(errors) > 100

    def apart(count: int) -> float:
        """How far the means of parts in so many turns lie apart."""
        groups = [[um for serial, um in errors.items() if serial % count == each] for each in range(count)]
        return float(np.std([np.mean(group) for group in groups]))

    # Six pallets come round in turn, so that every sixth part sits on the same one, and every fifth on all of them.
    assert apart(6) > 10.0 > 3.0 * apart(5)
    wash = seen.plan.names.machines.index("Op 30")
    begun, washed = int(seen.tally.batches_begun[wash]), int(seen.tally.worked[wash])
    assert 4 * (begun - 1) <= washed <= 4 * begun
    assert seen.tally.state_min[wash, State.FILLING] > 0.0
    assert_twins_agree(make_plan(works, "every 60 parts"), 7)


def test_more_pallets_never_lower_the_output_before_a_batch_washer() -> None:
    shipped = []
    for pallets in (4, 6, 9):
        of = PALLETS.replace("pallets: 6", f"pallets: {pallets}").replace("position: 20 um", "position: 0 um")
        works = over_the_base(of)
        shipped.append(int(run_shop(works).tally.shipped[0]))
    assert shipped == sorted(shipped)
    assert shipped[0] < shipped[-1]
