"""A question on its way to an answer."""

from __future__ import annotations

import threading
import time
from collections.abc import Hashable
from dataclasses import dataclass, field
from typing import Any, Literal

from dashboard.words import Order, Step

__all__ = ["Job", "State"]

State = Literal["waiting", "running", "stopping", "done", "stopped", "failed"]


@dataclass(eq=False)
class Job:
    """One question on its way to an answer; read it freely, the board alone writes.

    Attributes
    ----------
    id : str
        What it is known by; nobody can guess it.
    owner : str
        Whose it is.
    slot : str
        What it is for on the owner's desk; a new question for the same slot stops this one.
    key : hashable
        The question in full: two questions with equal keys have equal answers.
    state : str
        waiting, running, stopping, done, stopped or failed.
    step : Step or None
        The last word from the study.
    answer : object or None
        The last answer; it stays when the study is stopped.
    error : str
        What went wrong, for the user.
    """

    id: str
    owner: str
    slot: str
    key: Hashable
    order: Order
    state: State = "waiting"
    step: Step | None = None
    answer: Any = None
    error: str = ""
    n_answers: int = 0
    began_s: float = 0.0
    stopped_s: float = 0.0
    changed: threading.Condition = field(default_factory=threading.Condition)

    @property
    def is_over(self) -> bool:
        """Whether nothing more will come."""
        return self.state in ("done", "stopped", "failed")

    def wait(self, seconds: float, for_end: bool = False) -> bool:
        """Wait until there is an answer (or the end), for so long at most; whether there is."""
        end_s = time.monotonic() + seconds
        with self.changed:
            while not (self.is_over or (self.answer is not None and not for_end)):
                left_s = end_s - time.monotonic()
                if left_s <= 0.0:
                    return False
                self.changed.wait(left_s)
        return True

    def take_down(self, step: Step) -> None:
        """The study has got so far."""
        with self.changed:
            self.step = step
            if step.answer is not None:
                self.answer = step.answer
                self.n_answers += 1
            self.changed.notify_all()

    def settle(self, state: State, error: str = "") -> None:
        """The job is over."""
        with self.changed:
            self.state = state
            self.error = error or self.error
            self.changed.notify_all()
