"""What a run gives: tidy tables, the standard indicators, findings in words, and all of it as plain values."""

from linesim.result.indicators import INDICATORS, STATES_OF_TIME
from linesim.result.result import Result, Trace
from linesim.result.words import Finding

__all__ = ["INDICATORS", "STATES_OF_TIME", "Finding", "Result", "Trace"]
