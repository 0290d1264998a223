"""Shift output and scrap, foretold by runs of the scenario with what the rows not held back say of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from linesim.records.reading import Record
from linesim.study.crew.crew import Crew
from linesim.study.doubt.draws import draw_factors, with_lives
from linesim.study.options import StudyOptions
from linesim.study.proof.cutters import day_of
from linesim.study.proof.judged import Foretold
from linesim.study.search.common.opening import opened
from linesim.study.search.common.trials import Trial
from linesim.words import keep
from linesim.works import Works

__all__ = ["counted_rows", "foretell_counts"]

WORLDS, RUNS = 16, 6
"""Draws of what is not known, and runs of each."""
_DRAWS = 2000


def counted_rows(works: Works, rows: Sequence[Record]) -> dict[str, list[Record]]:
    """By line: rows of counts that can be foretold, with running minutes.

    A row is of the line whose last operation, or whose own name, stands as its machine, if only one line has it; in a
    works with one line also where no machine is named.
    """
    ends: dict[str, list[str]] = {}
    for line, of in works.lines.items():
        for name in {line, list(of.operations)[-1]} | ({""} if len(works.lines) == 1 else set()):
            ends.setdefault(name, []).append(line)
    answer: dict[str, list[Record]] = {}
    for row in rows:
        lines = ends.get(row.name("machine"), []) if row.kind == "counts" else []
        if len(lines) == 1 and (row.number("running minutes") or 0.0) > 0.0:
            answer.setdefault(lines[0], []).append(row)
    return answer


def foretell_counts(
    works: Works, line: str, held: Sequence[Record], options: StudyOptions
) -> list[tuple[str, Foretold]]:
    """Foretell good parts and scrap of a line's rows held back.

    Parameters
    ----------
    works : Works
        With what was fitted; it runs under today's practice, for so long as the rows count in the middle.
    line : str
        Whose rows they are.
    held : sequence of Record
        Rows of counts, from `counted_rows`.
    options : StudyOptions
        How runs are carried out.
    """
    minutes = np.array([row.number("running minutes") for row in held], float)
    run = works.run.model_copy(update={"length": float(np.median(minutes))})
    works = works.model_copy(update={"run": run})
    policy = works.todays_policy
    here = replace(options, crew=Crew(1))  # runs of one shift are over sooner than a worker has started
    trials, _ = opened(works, policy, here)
    factors = draw_factors(works, WORLDS, trials.seed)
    every = [Trial(at, with_lives(works, each), policy) for at, each in enumerate(factors)]
    for _ in trials.run(every, range(RUNS)):
        pass
    good, scrap = (
        np.array([trials.of_line(at, name, line, range(RUNS)) for at in range(WORLDS)])
        for name in ("good_per_hour", "scrap_share")
    )
    return _drawn(held, minutes, good, scrap, np.random.default_rng(trials.seed))


def _drawn(
    held: Sequence[Record], minutes: np.ndarray, good: np.ndarray, scrap: np.ndarray, chance: np.random.Generator
) -> list[tuple[str, Foretold]]:
    """Counts drawn: a world for each draw, a run of it for each row; scrap by binomial chance from its share."""
    world = chance.integers(WORLDS, size=(_DRAWS, 1))
    run = chance.integers(RUNS, size=(_DRAWS, len(held)))
    names = tuple(day_of(row) or keep("proof.row", row=row.row) for row in held)
    answer = []
    for what, column in (("shift output", "good"), ("scrap", "scrap")):
        at = [number for number, row in enumerate(held) if row.number(column) is not None]
        if not at:
            continue
        seen = np.array([held[number].number(column) for number in at], float)
        if what == "scrap":
            parts = np.array(
                [(held[number].number("good") or 0.0) + (held[number].number("scrap") or 0.0) for number in at]
            )
            share = np.broadcast_to(scrap.mean(axis=1)[world], (_DRAWS, len(at)))
            draws = chance.binomial(parts.astype(int), np.clip(np.nan_to_num(share), 0.0, 1.0)).astype(float)
        else:
            draws = np.round(good[world, run][:, at] * minutes[at] / 60.0)
        draws = draws + chance.uniform(-0.5, 0.5, size=draws.shape)
        answer.append((what, Foretold(tuple(names[number] for number in at), draws, seen - 0.5, seen + 0.5)))
    return answer
