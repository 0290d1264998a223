"""One verdict for each quantity, in plain words."""

from __future__ import annotations

from linesim.study.proof.judged import FALSE_ALARM, FEWEST, Verdict
from linesim.words import KeptText, keep

__all__ = ["UNITS", "method_words", "over_all_words", "quantity_words", "verdict_words", "way_words"]


UNITS = {"min": "min", "mm": "mm", "µm": "um", "parts": "parts"}
"""Units of what is foretold, as the keys of their words end."""


def quantity_words(quantity: str) -> KeptText:
    """What is foretold."""
    return keep(f"proof.of_{quantity}")


def way_words(way: str) -> KeptText:
    """How rows are held back."""
    return keep(f"proof.way_{way}")


def verdict_words(of: str, quantity: str, way: str, verdict: Verdict) -> KeptText:
    """The verdict on one quantity of one set, held back in one way.

    >>> verdict_words("mill", "edge life", "by time", Verdict("foretells", 18, 20, (17, 20), 0.0))
    'mill, by time: 18 of 20 lives inside their 95 % band: the fit foretells lives.'
    """
    many, (low, high) = keep(f"proof.many_{quantity}"), verdict.likely
    head = keep("proof.head", of=of, way=way_words(way), hits=verdict.hits, count=verdict.count, many=many)
    return keep(f"proof.is_{verdict.word}", head=head, many=many, fewest=FEWEST, low=low, high=high)


def over_all_words(way: str, verdict: Verdict) -> KeptText:
    """The calibration over all quantities held back in one way."""
    (low, high), end = verdict.likely, keep(f"proof.all_{verdict.word}")
    counts = {"hits": verdict.hits, "count": verdict.count, "low": low, "high": high}
    return keep("proof.all", way=way_words(way), end=end, **counts)


def method_words() -> tuple[KeptText, ...]:
    """How this was worked out."""
    return (
        keep("proof.method_band"),
        keep("proof.method_ended"),
        keep("proof.method_wrong", percent=100 * FALSE_ALARM),
        keep("proof.method_hits"),
        keep("proof.method_ways"),
    )
