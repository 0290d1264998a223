"""Queues that start empty: how delays and the number present grow, path by path and in the mean.

Sources with each case in tests/data/line_cases.json. In the stochastic cases sixteen lines of one works run side by
side, each with draws of its own, and count as sixteen replications. They are accepted as told in
`tests.theory.evidence`; control variates are, before the moment looked at, the castings come, the work brought, and the
squares of both, each less its mean.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

import numpy as np
import numpy.typing as npt
import pytest

from linesim.chance import Distribution, Purpose, drawn
from linesim.floor.part import Part
from linesim.plan.build import make_plan
from linesim.plan.tally import State
from linesim.study import run
from linesim.study.one.runs import run_plan
from linesim.works import works_from_text
from tests.theory.evidence import agree, estimate
from tests.theory.lines import Case, case, exponential, scenario, scenario_of_lines

EXACT = 1e-9
LINES = 16
RUNS = 1_500
Floats = npt.NDArray[np.float64]
Moments = dict[tuple[int, int], float]


class Listener:
    """Writes down when each part of each line came, was loaded and left; the lines have one operation each.

    When it came only the floor says.
    """

    def __init__(self) -> None:
        self.came: Moments = {}
        self.loaded: Moments = {}
        self.left: Moments = {}

    def machine_enters(self, now_min: float, machine: int, state: State) -> None:
        """Not listened to."""

    def set_changed(self, now_min: float, machine: int, mount: int, why: str, life_share: float, parts: int) -> None:
        """Not listened to."""

    def part_moves(self, now_min: float, part: Part, operation: int, machine: int, what: str) -> None:
        del operation, machine
        key = (part.line, part.serial)
        if what == "loaded":
            self.came[key], self.loaded[key] = part.came_min, now_min
        elif what == "left":
            self.left[key] = now_min


def listened(of: Case, length: float, limit: dict[str, int], runs: int = RUNS) -> list[Listener]:
    """Run sixteen like queues side by side, again and again; the first of the runs on the floor too, and alike."""
    operation = {"minutes": exponential(1.0 / of.parameters["service_rate"]), "buffer": "unlimited"}
    arrivals = {"between": exponential(1.0 / of.parameters["arrival_rate"])}
    line = {"casting": {"arrivals": arrivals, **limit}, "operations": {"Op 10": operation}}
    text = scenario_of_lines({f"line {number}": line for number in range(LINES)}, length=length)
    plan = make_plan(works_from_text(text), "as stated")
    heard = [Listener() for _ in range(runs)]
    for replication, listener in enumerate(heard):
        run_plan(plan, of.seed, replication, [listener], engine="fast")
    floor = Listener()
    run_plan(plan, of.seed, 0, [floor])
    assert (floor.loaded, floor.left) == (heard[0].loaded, heard[0].left)
    assert all(came == came_min(of, 0, line, part + 1)[part] for (line, part), came in floor.came.items())
    return heard


def came_min(of: Case, replication: int, line: int, parts: int) -> list[float]:
    """When the first castings of a line come: drawn again."""
    mean_min = 1.0 / of.parameters["arrival_rate"]
    law, purpose = int(Distribution.EXPONENTIAL), int(Purpose.ARRIVAL)
    steps = [drawn(law, mean_min, 0.0, 0.0, of.seed, replication, purpose, line, part) for part in range(parts)]
    return list(accumulate(steps))


def matrix(moments: Sequence[Moments], parts: int) -> Floats:
    """Moments of the first parts, one row for each line of each run."""
    return np.array([[each[line, part] for part in range(parts)] for each in moments for line in range(LINES)])


def with_square(sums: Floats, variance: float) -> list[Floats]:
    """Sums of mean 0 and their squares less the variance."""
    return [sums, sums**2 - variance]


@pytest.mark.longer
def test_mean_delays_of_the_first_castings() -> None:
    of = case("mm1_transient_1.0")
    given, customers = of.parameters, of.parameters["customers"]
    between_min, work_min = 1.0 / given["arrival_rate"], 1.0 / given["service_rate"]
    last = max(customers)
    heard = listened(of, 500.0, {"limit": last})
    loaded, left = (matrix([getattr(each, name) for each in heard], last) for name in ("loaded", "left"))
    came = np.array([came_min(of, number, line, last) for number in range(RUNS) for line in range(LINES)])
    delays = loaded - came
    brought = np.cumsum((left - loaded)[:, :-1] - work_min, axis=1)
    passed = np.cumsum(np.diff(came, axis=1) - between_min, axis=1)
    # Column n holds n steps: work of the first n parts, and the time from the first casting to that behind them.
    assert of.expected["mean_delay_of_customer"][0] == 0.0
    assert not delays[:, 0].any()

    def controls(steps: int) -> Floats:
        net = brought[:, steps - 1] - passed[:, steps - 1]
        alone = [*with_square(brought[:, steps - 1], steps * work_min**2), passed[:, steps - 1]]
        return np.column_stack([*alone, net**2 - steps * (work_min**2 + between_min**2)])

    for customer, exact in zip(customers[1:], of.expected["mean_delay_of_customer"][1:], strict=True):
        rows = [{f"delay {customer}": delay} for delay in delays[:, customer - 1]]
        agree({f"delay {customer}": exact}, rows, controls(customer - 1).tolist())
    both = np.column_stack([controls(last // 2), controls(last - 1)])
    rows = [{"mean": delay} for delay in delays.mean(axis=1)]
    agree({"mean": of.expected["mean_of_first_25"]}, rows, both.tolist())


@pytest.mark.longer
def test_mean_number_present_after_a_time() -> None:
    of = case("mm1_transientL_1.0")
    given, times = of.parameters, of.parameters["times"]
    heard = listened(of, max(times) + 0.001, {})
    work_min = 1.0 / given["service_rate"]
    for time_min, exact in zip(times, of.expected["mean_number"], strict=True):
        parts = round(time_min * given["arrival_rate"])
        mean = time_min * given["arrival_rate"]
        present, known = [], []
        for replication, each in enumerate(heard):
            came, left = arrived(of, replication, time_min), by_line(each.left, time_min)
            for line in range(LINES):
                work = brought_by(of, replication, line, parts) - parts * work_min
                more = came[line] - mean
                known.append([more, more**2 - mean, work, work**2 - parts * work_min**2, more * work])
                present.append({f"number at {time_min:g}": came[line] - left[line]})
        agree({f"number at {time_min:g}": exact}, present, known)


def by_line(moments: Moments, until_min: float) -> list[int]:
    """How many of the moments lie before a time, for each line."""
    counts = [0] * LINES
    for (line, _), moment in moments.items():
        counts[line] += moment <= until_min
    return counts


def arrived(of: Case, replication: int, until_min: float) -> list[int]:
    """Castings that have come by a time, those that still wait among them: drawn again."""
    mean_min = 1.0 / of.parameters["arrival_rate"]
    law, purpose = int(Distribution.EXPONENTIAL), int(Purpose.ARRIVAL)
    counts = []
    for line in range(LINES):
        now_min, count = 0.0, 0
        while True:
            now_min += drawn(law, mean_min, 0.0, 0.0, of.seed, replication, purpose, line, count)
            if now_min > until_min:
                break
            count += 1
        counts.append(count)
    return counts


def brought_by(of: Case, replication: int, line: int, parts: int) -> float:
    """Work that the first castings of a line bring, minutes; the line's operation has the line's number."""
    mean_min = 1.0 / of.parameters["service_rate"]
    law, purpose = int(Distribution.EXPONENTIAL), int(Purpose.CYCLE)
    return sum(drawn(law, mean_min, 0.0, 0.0, of.seed, replication, purpose, line, part) for part in range(parts))


def test_two_queues_in_a_row_follow_lindleys_recursion_to_the_last_bit() -> None:
    """A part is loaded when it has come and the one before it has left: D. V. Lindley, Proc. Cambridge Phil. Soc. 48
    (1952), 277-289. What the queues of theory leave to chance is then in the draws alone."""
    work = {"Op 10": {"lognormal": {"mean": 0.9, "cv": 0.7}}, "Op 20": exponential(0.8)}
    laws = {"Op 10": (Distribution.LOGNORMAL, 0.9, 0.7), "Op 20": (Distribution.EXPONENTIAL, 0.8, 0.0)}
    text = scenario(
        {name: {"minutes": minutes, "buffer": "unlimited"} for name, minutes in work.items()},
        line={"casting": {"limit": 3_000, "arrivals": {"between": exponential(1.0)}}},
        length=10_000.0,
    )
    trace = run(works_from_text(text), seed=7, trace=True, engine="fast").trace
    assert trace is not None
    steps = [
        drawn(int(Distribution.EXPONENTIAL), 1.0, 0.0, 0.0, 7, 0, int(Purpose.ARRIVAL), 0, part)
        for part in range(3_000)
    ]
    came_min = list(accumulate(steps))
    for number, (name, (law, p1, p2)) in enumerate(laws.items()):
        rows = trace.parts[trace.parts["operation"] == name].sort_values("serial")
        free_min, left_min = 0.0, []
        for part, (loaded, left) in enumerate(zip(rows["loaded_min"], rows["left_min"], strict=True)):
            begun_min = max(came_min[part], free_min)
            free_min = begun_min + drawn(int(law), p1, p2, 0.0, 7, 0, int(Purpose.CYCLE), number, part)
            assert (loaded, left) == (begun_min, free_min)
            left_min.append(left)
        assert len(left_min) == 3_000
        came_min = left_min


def test_littles_law_holds_on_a_path_that_ends_empty() -> None:
    of = case("little_4")
    given = of.parameters
    between = [float(value) for value in np.diff(given["arrivals"], prepend=0.0)]
    text = scenario(
        {"Op 10": {"minutes": {"in_order": given["services"]}, "buffer": "unlimited"}},
        line={"casting": {"limit": len(between), "arrivals": {"between": {"in_order": between}}}},
        # What is due at the end of a run is no longer counted; the line is empty from the horizon on.
        length=given["horizon"] + 1.0,
    )
    result = run(works_from_text(text), trace=True, engine="fast")
    assert result.trace is not None
    assert result.trace.parts["left_min"].tolist() == of.expected["departures"]
    line = result.lines.iloc[0]
    in_line_min = line["mean_in_line"] * result.tally.counted_min
    assert line["mean_lead_min"] == pytest.approx(of.expected["W"], abs=EXACT)
    assert line["shipped"] / given["horizon"] == pytest.approx(of.expected["throughput"], abs=EXACT)
    assert in_line_min / given["horizon"] == pytest.approx(of.expected["L"], abs=EXACT)
    assert in_line_min == pytest.approx(line["shipped"] * line["mean_lead_min"], abs=EXACT)


def test_the_same_part_takes_the_same_luck_along_to_a_quicker_machine() -> None:
    """Common random numbers: exponential times by inversion, so that one is the other times a constant."""
    of = case("crn_1.0_1.2")
    rates = (of.parameters["rate_1"], of.parameters["rate_2"])

    def times(rate: float, seed: int) -> Floats:
        text = scenario({"Op 10": {"minutes": exponential(1.0 / rate)}}, length=9_000.0)
        trace = run(works_from_text(text), seed=seed, trace=True, engine="fast").trace
        assert trace is not None
        done = trace.parts.dropna(subset="complete_min").sort_values("serial").head(8_000)
        return (done["complete_min"] - done["loaded_min"]).to_numpy(dtype=np.float64)

    slow, quick, other = times(rates[0], of.seed), times(rates[1], of.seed), times(rates[1], of.seed + 1000)
    np.testing.assert_allclose(quick, slow * rates[0] / rates[1], rtol=1e-6)
    assert np.corrcoef(slow, quick)[0, 1] == pytest.approx(of.expected["correlation_crn"], abs=1e-9)
    for name, second in (("crn", quick), ("independent", other)):
        difference = slow - second
        squares = (difference - (1.0 / rates[0] - 1.0 / rates[1])) ** 2
        found = estimate(squares.tolist(), [()] * len(squares))
        exact = of.expected[f"var_difference_{name}"]
        print(f"variance of the difference, {name}: {found.mean:.5f} ± {found.half_width:.5f}, exact {exact:.5f}")
        assert abs(found.mean - exact) <= 4.0 * found.standard_error
