"""Studies: one run, and many runs that set the policies of a works against each other."""

from linesim.study.alternatives import Alternative, policies_of
from linesim.study.comparing import compare, compare_alternatives, compare_alternatives_steps, compare_steps
from linesim.study.comparison import Comparison, Verdict
from linesim.study.crew import Crew
from linesim.study.interim import Interim, last_of
from linesim.study.measures import MEASURES, Measure
from linesim.study.outcome import WHOLE_WORKS
from linesim.study.own_rules import load_rules
from linesim.study.runs import ENGINES, run
from linesim.study.selection import BestKnown
from linesim.study.sequential import HalfWidth

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
