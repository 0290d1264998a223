"""Cutters foretold: lives, wear lands, changes a week, size errors and roughness, each from the rows not held back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

import numpy as np

from linesim.handbook import Grade
from linesim.plan.tables import Floats
from linesim.records.foretelling import Learnt, learn_rows
from linesim.records.lives import SetLives, lives_from_book, lives_from_wear, minutes_of
from linesim.records.reading import Record
from linesim.study.proof.holding import Held
from linesim.study.proof.judged import Foretold
from linesim.words import keep

__all__ = ["READ", "day_of", "foretell_cutters"]

READ = {"size error": "µm", "roughness": "µm"}
"""Readings that are foretold by a straight line against parts since the change."""
_DRAWS = 2000
_FEWEST = 6


def foretell_cutters(
    name: str, held: Held, limit_mm: float, grade: Grade | None, chance: np.random.Generator
) -> Iterator[tuple[str, Foretold]]:
    """Foretell all that rows held back show of one set.

    Parameters
    ----------
    name : str
        The set.
    held : Held
        Its rows.
    limit_mm : float
        Wear land at the end of life.
    grade : Grade or None
        The handbook's figures, which enter as a prior where fewer than ten edges ended.
    chance : numpy Generator
        What is drawn with.

    Yields
    ------
    tuple of str and Foretold
        The quantity, and what is foretold of it.
    """
    learnt = learn_rows(name, held.known, limit_mm, grade)
    if learnt is not None:
        yield from _lives(learnt, held, chance)
        yield from _lands(learnt, held, chance)
    if held.way == "by time":
        yield from _changes(held, chance)
    for what in READ:
        yield from _read(what, held, chance)


def _lives(learnt: Learnt, held: Held, chance: np.random.Generator) -> Iterator[tuple[str, Foretold]]:
    """Edge lives, as the book tells them or as readings of the wear land do."""
    book = lives_from_book(learnt.name, [row for row in held.held if row.kind == "tool changes"])
    readings = [row for row in held.held if row.kind == "gauge readings"]
    if book is None and not any(row.kind == "tool changes" for row in held.known):
        book = lives_from_wear(learnt.name, readings, learnt.limit_mm, is_between=False)
    if book is None:
        return
    known = learnt.draws.data
    xs = [known.x_of(row) for row in book.rows]
    at = [number for number, x in enumerate(xs) if x is not None]
    if at:
        x = np.array([xs[number] for number in at], float).reshape(len(at), -1)
        groups = [_group(known, book.rows[number]) for number in at]
        draws = learnt.draws.lives(x, groups, chance)
        labels = tuple(_label(book.rows[number]) for number in at)
        yield "edge life", Foretold(labels, draws, book.lives.lower[at], book.lives.upper[at])


def _group(known: SetLives, row: Record) -> str:
    """Whose luck a cutter shares."""
    return row.name(known.group) if known.group else ""


def _label(row: Record) -> str:
    """By what a person knows a row."""
    own = keep("proof.edge", edge=row.name("edge")) if row.name("edge") else keep("proof.row", row=row.row)
    return keep("format.names", names=[each for each in (own, row.name("machine"), day_of(row)) if each])


def day_of(row: Record) -> str:
    """The day of a row as it is written; empty for one without a date."""
    when = row.when
    return "" if when is None else keep("format.date", year=when.year, month=when.month, day=when.day)


def _lands(learnt: Learnt, held: Held, chance: np.random.Generator) -> Iterator[tuple[str, Foretold]]:
    """Wear lands of edges none of which was fitted: one life for each edge."""
    known = {(row.name("machine"), row.name("edge")) for row in held.known}
    if held.way == "by time" or not learnt.curves:
        return
    for (machine, edge), rows in _by_edge(held.held):
        x = learnt.draws.data.x_of(rows[0])
        if (machine, edge) in known or x is None:
            continue
        lives = learnt.draws.lives(np.array([x], float).reshape(1, -1), [""], chance)
        minutes = np.array([minutes_of(row) for row in rows], float)
        lands = learnt.lands(lives, minutes, rows[0].name("material"), chance)
        read = np.array([row.number("wear land") for row in rows], float)
        labels = tuple(
            keep("proof.at_minute", row=_label(row), minute=minute) for row, minute in zip(rows, minutes, strict=True)
        )
        yield "wear land", Foretold(labels, lands, read, read, 0.0)


def _by_edge(rows: Sequence[Record]) -> Iterator[tuple[tuple[str, str], list[Record]]]:
    """Readings of the wear land by edge."""
    used = [row for row in rows if row.number("wear land") is not None and row.name("edge") and minutes_of(row)]
    key = lambda row: (row.name("machine"), row.name("edge"))  # noqa: E731 - used twice
    for edge, own in groupby(sorted(used, key=key), key=key):
        yield edge, list(own)


def _changes(held: Held, chance: np.random.Generator) -> Iterator[tuple[str, Foretold]]:
    """Changes a week, from the minutes cut in that week and how long edges ran under the practice so far.

    Each draw weighs the edges so far anew (the Bayesian bootstrap: D. B. Rubin, Ann. Statist. 9 (1981), 130-134; from
    memory), and takes edges by these weights until the minutes of the week are used up.
    """
    book = [row for row in held.held if row.kind == "tool changes" and minutes_of(row)]
    ran = np.array([minutes_of(row) for row in held.known if row.kind == "tool changes" and minutes_of(row)], float)
    weeks = [(name, list(rows)) for name, rows in groupby(sorted(book, key=_week), key=_week)]
    weeks = weeks[1:-1]  # the first and the last are cut short by the hold-out itself
    if ran.size < _FEWEST or not weeks:
        return
    cut = np.array([sum(minutes_of(row) or 0.0 for row in rows) for _, rows in weeks])
    most = int(np.ceil(4.0 * cut.max() / ran.mean())) + 10
    draws = np.empty((_DRAWS, len(weeks)))
    for number in range(_DRAWS):
        weights = chance.dirichlet(np.ones(ran.size))
        sums = np.cumsum(chance.choice(ran, size=(len(weeks), most), p=weights), axis=1)
        draws[number] = np.abs(sums - cut[:, None]).argmin(axis=1) + 1.0
    draws += chance.uniform(-0.5, 0.5, size=draws.shape)
    count = np.array([len(rows) for _, rows in weeks], float)
    yield "changes a week", Foretold(tuple(name for name, _ in weeks), draws, count - 0.5, count + 0.5)


def _week(row: Record) -> str:
    """The week of a row, so that weeks can be set in order by it; rows held back by time all have a date."""
    assert row.when is not None
    year, week, _ = row.when.isocalendar()
    return keep("proof.in_week", year=year, week=week)


def _read(what: str, held: Held, chance: np.random.Generator) -> Iterator[tuple[str, Foretold]]:
    """Readings by a straight line against parts since the change; readings of one edge share an offset."""
    known, own = ([row for row in rows if what in row.values and "parts" in row.values]
                  for rows in (held.known, held.held))  # fmt: skip
    parts = np.array([row.values["parts"] for row in known], float)
    if len(known) < _FEWEST or not own or np.ptp(parts) == 0.0:
        return
    line, offsets, scatter = _line(parts, known, what, chance)
    at = np.array([row.values["parts"] for row in own], float)
    edges = list(dict.fromkeys(row.name("edge") for row in own))
    luck = chance.normal(size=(_DRAWS, len(edges)))[:, [edges.index(row.name("edge")) for row in own]]
    draws = line[:, [0]] + line[:, [1]] * at + offsets * luck
    draws += scatter[:, None] * chance.normal(size=draws.shape)
    read = np.array([row.values[what] for row in own], float)
    labels = tuple(keep("proof.at_parts", row=_label(row), parts=row.values["parts"]) for row in own)
    yield what, Foretold(labels, draws, read, read)


def _line(
    parts: Floats, rows: Sequence[Record], what: str, chance: np.random.Generator
) -> tuple[Floats, float, Floats]:
    """Start and slope drawn, (draws, 2); spread from edge to edge by moments; scatter of a reading drawn."""
    values = np.array([row.values[what] for row in rows], float)
    x = np.column_stack([np.ones(parts.size), parts])
    best = np.linalg.lstsq(x, values, rcond=None)[0]
    misses = values - x @ best
    spare = parts.size - 2
    edges = [row.name("edge") for row in rows]
    own = [misses[[each == edge for each in edges]] for edge in dict.fromkeys(edges) if edge]
    within = [each - each.mean() for each in own if each.size > 1]
    left = sum(each.size - 1 for each in within)
    pure = sum(float((each**2).sum()) for each in within) / left if left > 0 else float(misses @ misses) / spare
    between = max(float(misses @ misses) / spare - pure, 0.0) if left > 0 else 0.0
    stretch = np.sqrt(spare / chance.chisquare(spare, size=_DRAWS))
    size = float(misses @ misses) / spare * (np.mean([each.size for each in own]) if between else 1.0)
    root = np.linalg.cholesky(np.linalg.inv(x.T @ x) * max(size, 1e-30))
    line = best + stretch[:, None] * (chance.normal(size=(_DRAWS, 2)) @ root.T)
    return line, between**0.5, stretch * max(pure, 1e-30) ** 0.5
