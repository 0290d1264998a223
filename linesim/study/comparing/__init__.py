"""Alternatives set against each other, with intervals and paired differences."""
