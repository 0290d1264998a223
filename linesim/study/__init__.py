"""Studies: one run, and many runs that set the policies of a works against each other."""

from linesim.study.answer import Answer
from linesim.study.comparing.alternatives import Alternative, policies_of
from linesim.study.comparing.compare import AlternativeStudy, PolicyStudy
from linesim.study.comparing.comparison import Comparison, Verdict
from linesim.study.comparing.measures import MEASURES, Measure
from linesim.study.crew.crew import Crew
from linesim.study.crew.outcome import WHOLE_WORKS
from linesim.study.crew.own_rules import load_rules
from linesim.study.interim import Interim, Study, last_of
from linesim.study.one.runs import ENGINES
from linesim.study.one.tryout import Tryout, run
from linesim.study.options import USUAL, Settings, StudyOptions
from linesim.study.statistics.selection import BestKnown
from linesim.study.statistics.sequential import HalfWidth

__all__ = [
    "ENGINES",
    "MEASURES",
    "USUAL",
    "WHOLE_WORKS",
    "Alternative",
    "AlternativeStudy",
    "Answer",
    "BestKnown",
    "Comparison",
    "Crew",
    "HalfWidth",
    "Interim",
    "Measure",
    "PolicyStudy",
    "Settings",
    "Study",
    "StudyOptions",
    "Tryout",
    "Verdict",
    "last_of",
    "load_rules",
    "policies_of",
    "run",
]
