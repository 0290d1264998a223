"""Studies: one run, and many runs that set the policies of a works against each other."""

from linesim.study.comparing import compare
from linesim.study.comparison import Comparison, Verdict
from linesim.study.crew import Crew
from linesim.study.interim import Interim, last_of
from linesim.study.measures import MEASURES, Measure
from linesim.study.outcome import WHOLE_WORKS
from linesim.study.own_rules import load_rules
from linesim.study.runs import ENGINES, run

__all__ = [
    "ENGINES",
    "MEASURES",
    "WHOLE_WORKS",
    "Comparison",
    "Crew",
    "Interim",
    "Measure",
    "Verdict",
    "compare",
    "last_of",
    "load_rules",
    "run",
]
