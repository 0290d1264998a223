"""What the page and its workers say to each other: plain records, pickled on both sides by this program alone."""

from __future__ import annotations

import itertools
import pickle
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

from linesim.plan.same import Same
from linesim.works import Works

__all__ = ["LONG_RUNS", "Failed", "Full", "Order", "Ready", "Step", "Stop", "Stopped"]


LONG_RUNS = 400
"""A question of more runs is a long one; a page's usual questions make half as many."""


@dataclass(frozen=True)
class Order:
    """A study to be carried out, or a file to be read.

    Attributes
    ----------
    study : str
        Where its function stands, as ``linesim.study.comparing.closely:look_steps``: a generator of
        `linesim.study.Interim` if its name ends so, else a plain function that returns the answer.
    given : dict
        What it is given, by name.
    owner : str
        Whose the study is in the store; empty where studies have no owners.
    number : int
        By which it is stopped; no two orders of a server share it.
    runs : int
        How many runs it makes at the most; 0 where that is not known.
    """

    study: str
    given: dict[str, Any] = field(default_factory=dict)
    owner: str = ""
    number: int = field(default_factory=itertools.count(1).__next__)
    runs: int = 0

    @property
    def is_long(self) -> bool:
        """Whether it is a search or the like, which short questions need not wait for."""
        return self.runs > LONG_RUNS

    def packed(self) -> Order:
        """As it is sent: a works that many ask about is written out once."""
        of_works = {name: _packed(Same(value)) for name, value in self.given.items() if isinstance(value, Works)}
        return replace(self, given=self.given | of_works)

    def unpacked(self) -> Order:
        """As it was before it was packed; like works are one and the same."""
        given = {name: _unpacked(value.content) if isinstance(value, _Packed) else value
                 for name, value in self.given.items()}  # fmt: skip
        return replace(self, given=given)


@dataclass(frozen=True)
class _Packed:
    """A works as bytes."""

    content: bytes


@lru_cache(maxsize=16)
def _packed(works: Same[Works]) -> _Packed:
    return _Packed(pickle.dumps(works.thing, protocol=pickle.HIGHEST_PROTOCOL))


@lru_cache(maxsize=2)
def _unpacked(content: bytes) -> Works:
    works: Works = pickle.loads(content)  # noqa: S301 - packed by this program
    return works


@dataclass(frozen=True)
class Stop:
    """The order of this number is to be ended."""

    number: int


@dataclass(frozen=True)
class Ready:
    """The worker has loaded everything and waits for an order."""


@dataclass(frozen=True)
class Step:
    """How far a study is; the answer is None where it is still the one before."""

    done: int
    total: int
    elapsed_s: float
    left_s: float | None
    words: str
    is_final: bool
    answer: Any = None


@dataclass(frozen=True)
class Stopped:
    """The study was ended because somebody asked for it."""


@dataclass(frozen=True)
class Failed:
    """The study cannot be carried out; the text is meant for the user unless it is a fault of the program."""

    text: str
    is_fault: bool = False


@dataclass(frozen=True)
class Full:
    """There is no more memory for the order; the worker ends with this word, as little can be relied on after it."""
