"""What further cutters will do, by the records of some: life and wear land from their conditions, with bands.

    from linesim.records.foretelling import learn
    learnt = learn(records, "face mill")
    learnt.life({"feed": 0.25, "depth": 0.75, "material": "steel"})        # minutes
    learnt.wear({"feed": 0.25, "depth": 0.75, "material": "steel"}, [5.0, 10.0])  # mm

A band holds what is not known of the fit and the scatter of cutters, and the reading's own scatter too where it is of
a reading. A life ends where a straight line between two readings passes the wear limit, or as the tool-change book
says; a wear land follows the wear curve of `linesim.cutting.life.wear_growth`, each edge with its own life.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from linesim.errors import StudyError, listed, quoted
from linesim.handbook import Grade
from linesim.plan.tables import Floats
from linesim.records.lives import SetLives, lives_from_book, lives_from_wear, minutes_of
from linesim.records.predictive import LifeDraws, draw_lives
from linesim.records.reading import Record, Records
from linesim.records.squares import least
from linesim.records.wear_curve import CURVE_HIGH, CURVE_LOW, CURVE_START, USUAL_LAND_MM, grown

__all__ = ["Band", "Curve", "Learnt", "band_of", "learn", "learn_rows"]

_FEWEST = 6
"""Readings with which a wear curve of its own is fitted to a material."""
_SEED = 20_310


@dataclass(frozen=True)
class Band:
    """What is foretold of one figure.

    Attributes
    ----------
    middle, low, high : float
        As often above as below; the bounds of the band.
    """

    middle: float
    low: float
    high: float

    def holds(self, value: float) -> bool:
        """Whether a value lies inside."""
        return self.low <= value <= self.high


def band_of(draws: Floats, confidence: float = 0.95) -> Band:
    """The band of one figure from draws of it."""
    tail = 0.5 - 0.5 * confidence
    low, middle, high = np.quantile(draws, [tail, 0.5, 1.0 - tail])
    return Band(float(middle), float(low), float(high))


@dataclass(frozen=True)
class Curve:
    """A wear curve, drawn.

    Attributes
    ----------
    figures : ndarray of shape (draws, 3)
        Break-in share and length, power; see `linesim.cutting.life.wear_growth`.
    scatter : ndarray of shape (draws,)
        Standard deviation of a reading about its curve, over the limit.
    """

    figures: Floats
    scatter: Floats

    def lands(self, shares: Floats, chance: np.random.Generator) -> Floats:
        """Readings over the limit at life shares of shape (draws, n)."""
        b, tau, gamma = (self.figures[:, [at]] for at in range(3))
        return grown(shares, b, tau, gamma) + self.scatter[:, None] * chance.normal(size=shares.shape)


@dataclass(frozen=True)
class Learnt:
    """What the records of some cutters of a set say of further ones.

    Attributes
    ----------
    name : str
        The set.
    draws : LifeDraws
        Of their lives.
    limit_mm : float
        Wear land at the end of life.
    curves : mapping of str to Curve
        By material; under "" for all together. Empty where no wear lands were read.
    """

    name: str
    draws: LifeDraws
    limit_mm: float
    curves: Mapping[str, Curve]

    def life(self, conditions: Mapping[str, float | str], confidence: float = 0.95) -> Band:
        """Cutting minutes of one further edge.

        Parameters
        ----------
        conditions : mapping
            Speed (m/min), feed (mm), depth (mm) as far as the lives hang on them, and the material if several were cut.
        confidence : float
            Of the band.

        Raises
        ------
        StudyError
            A condition that the lives hang on is missing.
        """
        lives = self.draws.lives(self.conditions(conditions), [""], np.random.default_rng(_SEED))
        return band_of(lives[:, 0], confidence)

    def wear(
        self, conditions: Mapping[str, float | str], minutes: Sequence[float], confidence: float = 0.95
    ) -> list[Band]:
        """Wear land of one further edge as it will be read, mm.

        Parameters
        ----------
        conditions, confidence
            As for `life`.
        minutes : sequence of float
            Cutting minutes of each reading, 0 or more.

        Raises
        ------
        StudyError
            As for `life`; also where no wear curve could be fitted.
        """
        chance = np.random.default_rng(_SEED)
        lives = self.draws.lives(self.conditions(conditions), [""], chance)
        lands = self.lands(lives, np.array(minutes, float), str(conditions.get("material", "")), chance)
        lands = np.maximum(lands, 0.0)
        return [band_of(lands[:, at], confidence) for at in range(lands.shape[1])]

    def lands(self, lives: Floats, minutes: Floats, material: str, chance: np.random.Generator) -> Floats:
        """Wear lands that will be read, mm: (draws, n) at lives of shape (draws, 1 or n) and n cutting minutes.

        Where hardly anything is worn they scatter to below 0 too, as the curve leaves out that no land reads below it.
        """
        curve = self.curves.get(material, self.curves.get(""))
        if curve is None:
            need = f"edges with numbers and at least {_FEWEST} readings of the wear land between them were expected"
            raise StudyError(f"{self.name}: no wear curve can be fitted to its records; {need}")
        return self.limit_mm * curve.lands(minutes[None, :] / lives, chance)

    def conditions(self, given: Mapping[str, float | str]) -> Floats:
        """Conditions as a row of what the lives hang on."""
        values: dict[str, Any] = dict(given)
        x = self.draws.data.x_of(Record("", 0, "", values))
        if x is None:
            need = [*self.draws.data.hangs_on, *(["material"] if self.draws.data.materials else [])]
            kinds = f", one of {listed(self.draws.data.materials)} as material" if self.draws.data.materials else ""
            raise StudyError(
                f"the lives of {quoted(self.name)} hang on {', '.join(need)}, and of these {listed(list(values))} "
                f"{'was' if len(values) == 1 else 'were'} given; all of them{kinds} were expected"
            )
        return np.array([x], float).reshape(1, -1)


def learn(records: Records, name: str, limit_mm: float = USUAL_LAND_MM, grade: Grade | None = None) -> Learnt:
    """Learn from the records of some cutters of a set what further ones will do.

    Parameters
    ----------
    records : Records
        Tool changes, or readings of the wear land on numbered edges.
    name : str
        The set, as the records name it.
    limit_mm : float
        Wear land at the end of life.
    grade : Grade, optional
        The handbook's figures, which enter as a prior where fewer than ten edges ended.

    Raises
    ------
    StudyError
        The records know no such set, or set no estimate of its lives.
    """
    rows = [row for row in records.of("tool changes", "gauge readings") if row.name("set") == name]
    if not rows:
        known = list(dict.fromkeys(row.name("set") for row in records.of("tool changes", "gauge readings")))
        raise StudyError(f"the records know no set {quoted(name)}; one of {listed(known)} was expected")
    answer = learn_rows(name, rows, limit_mm, grade)
    if answer is None:
        raise StudyError(f"{name}: its lives are not established: more ends of life than figures to fit were expected")
    return answer


def learn_rows(name: str, rows: Sequence[Record], limit_mm: float, grade: Grade | None = None) -> Learnt | None:
    """The same from the rows of one set; None where they set no estimate."""
    chance = np.random.default_rng(_SEED)
    readings = [row for row in rows if row.kind == "gauge readings"]
    book = lives_from_book(name, [row for row in rows if row.kind == "tool changes"])
    by_wear = lives_from_wear(name, readings, limit_mm, is_between=False)
    data = book if book is not None else by_wear
    draws = None if data is None else draw_lives(data, grade, chance)
    if draws is None:
        return None
    return Learnt(name, draws, limit_mm, {} if by_wear is None else _curves(by_wear, readings, limit_mm, chance))


def _curves(
    by_wear: SetLives, readings: Sequence[Record], limit_mm: float, chance: np.random.Generator
) -> dict[str, Curve]:
    """The wear curve of all edges whose life was seen to end, and of each material with enough readings."""
    life = {
        (row.name("machine"), row.name("edge")): low
        for row, low, high in zip(by_wear.rows, by_wear.lives.lower, by_wear.lives.upper, strict=True)
        if low == high
    }
    points = [
        (row.name("material"), minutes / life[edge], land / limit_mm)
        for row in readings
        if (edge := (row.name("machine"), row.name("edge"))) in life
        and (land := row.number("wear land")) is not None
        and (minutes := minutes_of(row) or 0.0) > 0.0
    ]
    answer = {}
    for material in dict.fromkeys(["", *by_wear.materials]):
        own = np.array([point[1:] for point in points if material in ("", point[0])], float).reshape(-1, 2)
        if len(own) >= _FEWEST:
            answer[material] = _curve(own[:, 0], own[:, 1], chance)
    return answer


def _curve(shares: Floats, lands: Floats, chance: np.random.Generator, count: int = 2000) -> Curve:
    """A wear curve by least squares, drawn by its curvature; the scatter by chi-square."""

    def misses(theta: Floats) -> Floats:
        return grown(shares, *theta) - lands

    fit = least(misses, np.array(CURVE_START), np.array(CURVE_LOW), np.array(CURVE_HIGH))
    spare = max(lands.size - 3, 1)
    scatter = np.sqrt(fit.total / chance.chisquare(spare, size=count))
    values, vectors = np.linalg.eigh(fit.covariance)
    measure = vectors * np.sqrt(np.clip(values, 0.0, None))
    figures = fit.values + scatter[:, None] * (chance.normal(size=(count, 3)) @ measure.T)
    return Curve(np.clip(figures, CURVE_LOW, CURVE_HIGH), scatter)
