"""What counts as agreement between a simulated mean and an exact value.

A case is run in at least 20 replications (40 unless the test says otherwise) under a seed fixed before any run was
looked at: 20261125 and the case's number. A figure agrees if its mean lies within four standard errors of the exact
value and the half-width of its 95 % interval is below 1 % of that value (for a share of a machine's time below 1 % of
the value or 0.3 % of the time, whichever is more).

A sound simulation fails four standard errors with a chance of 6e-5 per check for normal means; with 40 replications
the standard error is itself estimated and the chance is 3e-4 (Student's t with some 37 degrees of freedom). A rerun
after a failure needs a new seed and a stated reason.

The cases run on the compiled engine, which gives the floor's figures to the last bit (`tests/agree`); of each case the
floor is asked too, for a short run, and must leave the same tally.

Slow-mixing figures are sharpened by control variates with known means: minutes of cutting less the parts done times
their mean minutes, castings come less rate times minutes, failures less rate times cutting minutes, and so on. Each
has mean 0 in a stationary run whatever the simulated line does with the parts. The estimate is the intercept of the
least-squares regression over the replications, with the standard error and degrees of freedom of that intercept.
Source: S. S. Lavenberg and P. D. Welch, "A perspective on the use of control variables to increase the efficiency of
Monte Carlo simulations", Management Science 27 (1981), 322-335.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import fields
from typing import NamedTuple

import numpy as np
from scipy import stats

from linesim.result import Result
from linesim.study import run
from linesim.works import Works, changed, works_from_text

__all__ = ["REPLICATIONS", "Estimate", "agree", "estimate", "flat", "replicate"]

SHORT_MIN = 1_000.0

REPLICATIONS = 40
"""Unless a test says otherwise."""

STANDARD_ERRORS = 4.0
HALF_WIDTH = 0.01
OF_THE_TIME = 0.003
SHARES_OF_TIME = ("working", "blocked", "starved", "down", "tool_change", "frac_", "prob_no_item")

Figures = Mapping[str, float]


class Estimate(NamedTuple):
    """A mean over replications with its standard error and the half-width of its 95 % interval."""

    mean: float
    standard_error: float
    half_width: float


def replicate(
    text: str,
    seed: int,
    figures_of: Callable[[Result], Figures],
    controls_of: Callable[[Result], Sequence[float]] | None = None,
    replications: int = REPLICATIONS,
    trace: bool = False,
) -> tuple[list[Figures], list[Sequence[float]]]:
    """Run a scenario file again and again; figures and control variates of each run."""
    works = works_from_text(text)
    _ask_the_floor(works, seed)
    figures: list[Figures] = []
    controls: list[Sequence[float]] = []
    for replication in range(replications):
        result = run(works, seed=seed, replication=replication, trace=trace, engine="fast")
        figures.append(figures_of(result))
        controls.append(controls_of(result) if controls_of is not None else ())
    return figures, controls


def _ask_the_floor(works: Works, seed: int) -> None:
    """Both engines leave the same tally of a short run of the works."""
    short_min, warm_up_min = min(works.run.length, SHORT_MIN), min(works.run.warm_up, SHORT_MIN / 20.0)
    short = changed(works, {"run": {"length": short_min, "warm_up": warm_up_min}})
    floor, fast = (run(short, seed=seed, engine=engine) for engine in ("simpy", "fast"))
    assert (floor.engine, fast.engine) == ("simpy", "fast")
    for field in fields(floor.tally):
        np.testing.assert_array_equal(getattr(floor.tally, field.name), getattr(fast.tally, field.name), field.name)


def estimate(values: Sequence[float], controls: Sequence[Sequence[float]]) -> Estimate:
    """Intercept of the regression of the values on control variates of mean 0; the plain mean without any."""
    outcome = np.asarray(values, dtype=np.float64)
    columns = np.column_stack([np.ones(len(outcome)), np.asarray(controls, dtype=np.float64).reshape(len(outcome), -1)])
    # A control that never moves (a machine that never fails) tells nothing and would make the equations singular.
    kept = [0, *(at for at in range(1, columns.shape[1]) if np.ptp(columns[:, at]) > 0.0)]
    columns = columns[:, kept] / np.maximum(np.abs(columns[:, kept]).max(axis=0), 1e-300)
    freedom = len(outcome) - columns.shape[1]
    inverse = np.linalg.pinv(columns.T @ columns)
    fitted = inverse @ columns.T @ outcome
    spread = float(np.sum((outcome - columns @ fitted) ** 2)) / freedom
    error = math.sqrt(max(spread * float(inverse[0, 0]), 0.0))
    return Estimate(float(fitted[0]), error, float(stats.t.ppf(0.975, freedom)) * error)


def flat(expected: Mapping[str, object], names: Iterable[str]) -> dict[str, float]:
    """Expected values by name, lists as name[0], name[1] ..."""
    found: dict[str, float] = {}
    for name in names:
        value = expected[name]
        if isinstance(value, list):
            found |= {f"{name}[{at}]": float(item) for at, item in enumerate(value)}
        else:
            found[name] = float(str(value))
    return found


def _most_half_width(name: str, value: float) -> float:
    is_share = name.startswith(SHARES_OF_TIME)
    return max(HALF_WIDTH * abs(value), OF_THE_TIME if is_share else 0.0)


def agree(expected: Mapping[str, float], figures: Sequence[Figures], controls: Sequence[Sequence[float]] = ()) -> None:
    """Compare all figures with their exact values; prints both, and fails with all that disagree."""
    assert len(figures) >= 20
    wrong = []
    for name, value in expected.items():
        found = estimate([each[name] for each in figures], controls or [()] * len(figures))
        off = abs(found.mean - value)
        line = f"{name}: {found.mean:.6g} ± {found.half_width:.2g} (s.e. {found.standard_error:.2g}), exact {value:.6g}"
        print(line)
        # Rounding of sums alone, where the figure is the same in every run.
        if off > STANDARD_ERRORS * found.standard_error + 1e-9 * max(1.0, abs(value)):
            wrong.append(f"{line}: {off / max(found.standard_error, 1e-300):.1f} standard errors off")
        elif found.half_width > _most_half_width(name, value) + 1e-12:
            wrong.append(f"{line}: half-width {100.0 * found.half_width / abs(value or 1.0):.2f} % of the value")
    assert not wrong, "\n".join(wrong)
