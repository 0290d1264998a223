"""What every practitioner knows, asked of a works: claims, draws of its assumed figures, and how often each is so."""

from linesim.study.practice.answer import Practice, Practices
from linesim.study.practice.claim import COMES_OUT
from linesim.study.practice.compared import SO
from linesim.study.practice.study import CLAIMS, PracticeStudy

__all__ = ["CLAIMS", "COMES_OUT", "SO", "Practice", "PracticeStudy", "Practices"]
