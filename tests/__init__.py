"""Tests of linesim, grouped by what they hold it to."""
