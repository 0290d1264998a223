"""Studies: one run, and many runs that set the policies of a works against each other."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.fetching import offering

if TYPE_CHECKING:
    from linesim.study.answer import Answer as Answer
    from linesim.study.comparing.alternatives import Alternative as Alternative
    from linesim.study.comparing.alternatives import policies_of as policies_of
    from linesim.study.comparing.compare import AlternativeStudy as AlternativeStudy
    from linesim.study.comparing.compare import PolicyStudy as PolicyStudy
    from linesim.study.comparing.comparison import Comparison as Comparison
    from linesim.study.comparing.comparison import Verdict as Verdict
    from linesim.study.comparing.measures import MEASURES as MEASURES
    from linesim.study.comparing.measures import Measure as Measure
    from linesim.study.crew.crew import Crew as Crew
    from linesim.study.crew.outcome import WHOLE_WORKS as WHOLE_WORKS
    from linesim.study.crew.own_rules import load_rules as load_rules
    from linesim.study.interim import Interim as Interim
    from linesim.study.interim import Study as Study
    from linesim.study.interim import last_of as last_of
    from linesim.study.one.runs import ENGINES as ENGINES
    from linesim.study.one.tryout import Tryout as Tryout
    from linesim.study.one.tryout import run as run
    from linesim.study.options import USUAL as USUAL
    from linesim.study.options import Settings as Settings
    from linesim.study.options import StudyOptions as StudyOptions
    from linesim.study.statistics.selection import BestKnown as BestKnown
    from linesim.study.statistics.sequential import HalfWidth as HalfWidth

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

_ROOMS = {
    "answer": ("Answer",),
    "comparing.alternatives": ("Alternative", "policies_of"),
    "comparing.compare": ("AlternativeStudy", "PolicyStudy"),
    "comparing.comparison": ("Comparison", "Verdict"),
    "comparing.measures": ("MEASURES", "Measure"),
    "crew.crew": ("Crew",),
    "crew.outcome": ("WHOLE_WORKS",),
    "crew.own_rules": ("load_rules",),
    "interim": ("Interim", "Study", "last_of"),
    "one.runs": ("ENGINES",),
    "one.tryout": ("Tryout", "run"),
    "options": ("USUAL", "Settings", "StudyOptions"),
    "statistics.selection": ("BestKnown",),
    "statistics.sequential": ("HalfWidth",),
}  # fmt: skip
"""A worker, which needs the crew alone, starts sooner."""

__getattr__, __dir__ = offering(__name__, _ROOMS)
