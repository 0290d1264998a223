"""Proof: part of the records is held back, foretold from the rest, and set against what happened."""
