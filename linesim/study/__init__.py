"""Studies: one run, and many runs that set the policies of a works against each other."""

from linesim.study.comparing.alternatives import Alternative, policies_of
from linesim.study.comparing.compare import compare, compare_alternatives, compare_alternatives_steps, compare_steps
from linesim.study.comparing.comparison import Comparison, Verdict
from linesim.study.comparing.measures import MEASURES, Measure
from linesim.study.crew.crew import Crew
from linesim.study.crew.outcome import WHOLE_WORKS
from linesim.study.crew.own_rules import load_rules
from linesim.study.interim import Interim, last_of
from linesim.study.one.runs import ENGINES, run
from linesim.study.statistics.selection import BestKnown
from linesim.study.statistics.sequential import HalfWidth

__all__ = [
    "ENGINES",
    "MEASURES",
    "WHOLE_WORKS",
    "Alternative",
    "BestKnown",
    "Comparison",
    "Crew",
    "HalfWidth",
    "Interim",
    "Measure",
    "Verdict",
    "compare",
    "compare_alternatives",
    "compare_alternatives_steps",
    "compare_steps",
    "last_of",
    "load_rules",
    "policies_of",
    "run",
]
