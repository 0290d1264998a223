"""Repeatability and reproducibility of a gauge by crossed analysis of variance, its bias and its drift.

Source: Automotive Industry Action Group, Measurement Systems Analysis, 4th ed. (2010), ch. III B; intervals by
modified large sample: Burdick, Borror and Montgomery, Design and Analysis of Gauge R&R Studies (2005), from memory.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import stats

from linesim.records.coefficient import ESTABLISHED, UNKNOWN, Coefficient, origin_of
from linesim.records.profiles import Interval
from linesim.records.reading import Record
from linesim.words import counted

__all__ = ["GaugeStudy", "anova", "gauge_study"]

_POOLED_FROM = 0.25
"""Probability from which the interaction of part and person is taken for repeatability, as usual."""
_DISTINCT = 1.41
_TAIL = 0.025


@dataclass(frozen=True)
class GaugeStudy:
    """What a study of a gauge gives, as standard deviations in the unit of the readings.

    Attributes
    ----------
    repeatability, reproducibility, both : float
        EV, AV and GRR: of one person reading one part again, from person to person, and together.
    part : float
        PV: from part to part.
    interaction : float
        From part to part for one person beyond that; 0 where it is not told from repeatability.
    interval : Interval
        GRR with its bounds.
    """

    repeatability: float
    reproducibility: float
    both: float
    part: float
    interaction: float
    interval: Interval

    @property
    def percent(self) -> float:
        """GRR in per cent of the whole spread."""
        whole = float(np.hypot(self.both, self.part))
        return 100.0 * self.both / whole if whole > 0.0 else 0.0

    @property
    def distinct(self) -> float:
        """Number of distinct categories that the gauge tells apart."""
        return _DISTINCT * self.part / self.both if self.both > 0.0 else np.inf


def anova(readings: np.ndarray) -> GaugeStudy:
    """Work a study out.

    Parameters
    ----------
    readings : ndarray of shape (parts, persons, repeats)
        At least two of each.
    """
    parts, persons, repeats = readings.shape
    grand, cell = readings.mean(), readings.mean(axis=2)
    of_part, of_person = readings.mean(axis=(1, 2)), readings.mean(axis=(0, 2))
    ss_part = persons * repeats * float(((of_part - grand) ** 2).sum())
    ss_person = parts * repeats * float(((of_person - grand) ** 2).sum())
    ss_both = repeats * float(((cell - of_part[:, None] - of_person[None, :] + grand) ** 2).sum())
    ss_within = float(((readings - cell[:, :, None]) ** 2).sum())
    df_both, df_within = (parts - 1) * (persons - 1), parts * persons * (repeats - 1)
    ms_both, ms_within = ss_both / df_both, ss_within / df_within
    is_pooled = ms_within == 0.0 or float(stats.f.sf(ms_both / ms_within, df_both, df_within)) > _POOLED_FROM
    if is_pooled:
        df_within = df_within + df_both
        ms_within = ms_both = (ss_within + ss_both) / df_within
        df_both = df_within
    ms_part, ms_person = ss_part / (parts - 1), ss_person / (persons - 1)
    interaction = 0.0 if is_pooled else max((ms_both - ms_within) / repeats, 0.0)
    person = max((ms_person - ms_both) / (parts * repeats), 0.0)
    part = max((ms_part - ms_both) / (persons * repeats), 0.0)
    terms = [(1.0 / (parts * repeats), ms_person, persons - 1)]
    terms += (
        [(1.0 - 1.0 / (parts * repeats), ms_within, df_within)]
        if is_pooled
        else [((1.0 - 1.0 / parts) / repeats, ms_both, df_both), (1.0 - 1.0 / repeats, ms_within, df_within)]
    )
    both = ms_within + person + interaction
    return GaugeStudy(
        ms_within**0.5,
        (person + interaction) ** 0.5,
        both**0.5,
        part**0.5,
        interaction**0.5,
        _large_sample(both, terms),
    )


def _large_sample(variance: float, terms: Sequence[tuple[float, float, int]]) -> Interval:
    """Interval of a sum of mean squares with weights above 0, as a standard deviation."""
    low = sum(
        (weight * square * (1.0 - df / float(stats.chi2.ppf(1.0 - _TAIL, df)))) ** 2 for weight, square, df in terms
    )
    high = sum((weight * square * (df / float(stats.chi2.ppf(_TAIL, df)) - 1.0)) ** 2 for weight, square, df in terms)
    whole = sum(weight * square for weight, square, _ in terms)
    bounds = max(whole - low**0.5, 0.0) ** 0.5, (whole + high**0.5) ** 0.5
    return Interval(variance**0.5, min(bounds[0], variance**0.5), max(bounds[1], variance**0.5))


def gauge_study(name: str, rows: Sequence[Record]) -> tuple[list[Coefficient], list[str]]:
    """Figures and words of one gauge's study.

    Parameters
    ----------
    name : str
        The gauge.
    rows : sequence of Record
        Its readings.
    """
    coefficients, sentences = _true_figures(name, rows)
    cube, lacking = _cube(rows)
    if cube is None:
        return coefficients, [*sentences, f"{name}: no repeatability and reproducibility: {lacking}"]
    study = anova(cube)
    origin, grr = origin_of(rows), study.interval.through(lambda value: 1000.0 * value)
    ev, av, pv = (1000.0 * value for value in (study.repeatability, study.reproducibility, study.part))
    parts = f"EV {ev:.4g}, AV {av:.4g}, PV {pv:.4g} µm"
    coefficients.append(
        Coefficient(
            name,
            "gauge error (GRR)",
            grr,
            "µm",
            ESTABLISHED,
            origin,
            parts,
        )
    )
    verdicts = [(10.0, "under 10 %, good"), (30.0, "under 30 %, of use for some matters")]
    verdict = next((words for most, words in verdicts if study.percent < most), "30 % or more, not good enough")
    share = f"repeatability and reproducibility are {study.percent:.2f} % of the whole spread ({verdict})"
    sentences.append(f"{name}: {share}; {study.distinct:.1f} distinct categories, where 5 are usually asked for.")
    return coefficients, [*sentences, *([f"{name}: {lacking}"] if lacking else [])]


def _cube(rows: Sequence[Record]) -> tuple[np.ndarray | None, str]:
    """Readings by part, person and repeat; parts that not everybody read are left out, and surplus repeats."""
    cells: dict[tuple[str, str], list[float]] = defaultdict(list)
    for row in rows:
        cells[row.name("part"), row.name("person")].append(float(row.values["reading"]))
    persons = list(dict.fromkeys(person for _, person in cells))
    parts = list(dict.fromkeys(part for part, _ in cells))
    whole = [part for part in parts if all(len(cells.get((part, person), ())) >= 2 for person in persons)]
    if len(whole) < 2 or len(persons) < 2:
        return None, "two parts or more, each read twice or more by each of two persons or more, were expected."
    repeats = min(len(cells[part, person]) for part in whole for person in persons)
    cube = np.array([[cells[part, person][:repeats] for person in persons] for part in whole])
    surplus = len(rows) - cube.size
    return (
        cube,
        f"{surplus} of {counted(len(rows), 'reading', 'readings')} {'is' if surplus == 1 else 'are'} left out, so that "
        f"each person has read each part {repeats} times."
        if surplus
        else "",
    )


def _true_figures(name: str, rows: Sequence[Record]) -> tuple[list[Coefficient], list[str]]:
    """Bias against true sizes, and drift of it in time."""
    pairs = [
        (row, 1000.0 * (float(row.values["reading"]) - float(row.values["reference"])))
        for row in rows
        if "reference" in row.values
    ]
    if len(pairs) < 3:
        return [], []
    used, misses = [row for row, _ in pairs], np.array([miss for _, miss in pairs])
    half = float(stats.t.ppf(1.0 - _TAIL, misses.size - 1) * misses.std(ddof=1) / misses.size**0.5)
    bias = Interval(float(misses.mean()), float(misses.mean() - half), float(misses.mean() + half))
    answer = [
        Coefficient(name, "bias", bias, "µm", UNKNOWN if bias.low <= 0.0 <= bias.high else ESTABLISHED, origin_of(used))
    ]
    timed = [(row.when.timestamp() / 3600.0, miss) for row, miss in pairs if row.when is not None]
    if len(timed) >= 3 and np.ptp([hour for hour, _ in timed]) > 0.0:
        hours, errors = np.array(timed).T
        line = stats.linregress(hours - hours[0], errors)
        half = float(stats.t.ppf(1.0 - _TAIL, hours.size - 2) * line.stderr)
        drift = Interval(float(line.slope), float(line.slope - half), float(line.slope + half))
        answer.append(
            Coefficient(
                name,
                "drift",
                drift,
                "µm/h",
                UNKNOWN if drift.low <= 0.0 <= drift.high else ESTABLISHED,
                origin_of(used),
                "by the clock",
            )
        )
    return answer, []
