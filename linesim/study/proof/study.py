"""Holding back, fitting, foretelling and judging, as a study."""

from __future__ import annotations

import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from linesim.records.fitted import fit_records, limit_of
from linesim.records.handbook_prior import grade_of
from linesim.records.overlay import overlay_of
from linesim.records.reading import Record, Records
from linesim.study.comparing.said import quoted
from linesim.study.interim import Interim, Study
from linesim.study.options import USUAL, StudyOptions
from linesim.study.proof.counts import counted_rows, foretell_counts
from linesim.study.proof.cutters import READ, foretell_cutters
from linesim.study.proof.holding import WAYS, Held, held_back
from linesim.study.proof.judged import Foretold, joined, verdict_of
from linesim.study.proof.proof import Proof, Proven
from linesim.words import keep
from linesim.works import Works, changed

__all__ = ["ProofStudy"]

_UNITS = {"edge life": "min", "wear land": "mm", "changes a week": "", "shift output": "parts", "scrap": "parts"} | READ
_FEWEST_COUNTS = 6


@dataclass(frozen=True, eq=False)
class ProofStudy(Study[Proof]):
    """How well the fit foretells what it has not seen.

    Attributes
    ----------
    works : Works
        The scenario, whose handbook enters as a prior where few edges wore out.
    records : Records
        What the shop has recorded.
    options : StudyOptions
        How runs for output and scrap are carried out.
    """

    kind = "prove"
    is_stored = False
    works: Works
    records: Records
    options: StudyOptions = USUAL

    def steps(self) -> Iterator[Interim[Proof]]:
        """Carry it out, with a word after every part held back.

        Raises
        ------
        ScenarioError, StudyError, RunError
            As for every study.
        """
        began = time.monotonic()
        seed = self.options.seed_for(self.works)
        chance = np.random.default_rng([seed % 2**32, 20_313])
        of_sets = _by_set(self.records)
        jobs = [(name, held) for name, rows in of_sets.items() for held in _held(rows)]
        parts: dict[tuple[str, str, str], list[Foretold]] = {}
        for at, (name, held) in enumerate(jobs):
            yield Interim(at, len(jobs) + 1, time.monotonic() - began, words=f"{name}, {held.way}")
            grade = grade_of(self.works, name)
            for quantity, foretold in foretell_cutters(name, held, limit_of(self.works, name), grade, chance):
                parts.setdefault((name, held.way, quantity), []).append(foretold)
        for of, quantity, foretold in self._counts():
            parts[of, "by time", quantity] = [foretold]
        asked = {"seed": seed, "files": list(self.records.files)}
        answer = Proof(self.works, _proven(parts), tuple(_remarks(self.works, self.records, of_sets)), asked)
        yield Interim(len(jobs) + 1, len(jobs) + 1, time.monotonic() - began, answer, is_final=True)

    def _counts(self) -> Iterator[tuple[str, str, Foretold]]:
        """Output and scrap of the last third of each line's counts, by runs with what the rows before say."""
        for line, counted in counted_rows(self.works, self.records.rows).items():
            rows = sorted(counted, key=lambda row: str(row.when))
            if len(rows) < _FEWEST_COUNTS:
                continue
            held = rows[len(rows) - len(rows) // 3 :]
            first = str(held[0].when)
            known = tuple(row for row in self.records.rows if row.when is not None and str(row.when) < first)
            entries = overlay_of(fit_records(Records(known), self.works), self.works).tree()
            fitted = changed(self.works, entries) if entries else self.works
            of = line if len(self.works.lines) > 1 else self.works.name
            for quantity, foretold in foretell_counts(fitted, line, held, self.options):
                yield of, quantity, foretold


def _by_set(records: Records) -> dict[str, list[Record]]:
    """Rows of tool changes and readings by set."""
    answer: dict[str, list[Record]] = {}
    for row in records.of("tool changes", "gauge readings"):
        answer.setdefault(row.name("set"), []).append(row)
    return answer


def _held(rows: Sequence[Record]) -> Iterator[Held]:
    """Ways to hold back the changes of a set and its readings, which are parted each by itself."""
    kinds = [[row for row in rows if row.kind == kind] for kind in ("tool changes", "gauge readings")]
    for own in kinds:
        yield from held_back(own)


def _proven(parts: dict[tuple[str, str, str], list[Foretold]]) -> tuple[Proven, ...]:
    """Verdicts in the order of the ways."""
    answer = []
    for (of, way, quantity), several in sorted(parts.items(), key=lambda each: WAYS.index(each[0][1])):
        foretold = joined(several)
        answer.append(Proven(of, quantity, _UNITS[quantity], way, foretold, verdict_of(foretold)))
    return tuple(answer)


def _remarks(works: Works, records: Records, of_sets: dict[str, list[Record]]) -> Iterator[str]:
    """What could not be foretold, and why."""
    for name, rows in of_sets.items():
        if any(row.when is None for row in rows):
            yield keep("proof.no_dates", set=name)
        if name not in works.cutters:
            yield keep("proof.no_set", set=name)
    counts = records.of("counts")
    usable = counted_rows(works, counts)
    short = [line for line in works.lines if len(usable.get(line, ())) < _FEWEST_COUNTS]
    if not counts:
        yield keep("proof.no_counts")
    elif short:
        serve = sum(len(usable.get(line, ())) for line in short)
        key = "proof.few_counts_of" if len(works.lines) > 1 else "proof.few_counts"
        yield keep(key, lines=[*quoted(short)], serve=serve, count=len(counts), fewest=_FEWEST_COUNTS)
    if len(short) < len(works.lines):
        yield keep("proof.by_runs")
