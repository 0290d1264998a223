"""A process in which studies run, one after another: orders come in on stdin, words go out on stdout.

It ends when its stdin is closed, so that none is left behind when the dashboard ends.
"""

from __future__ import annotations

import contextlib
import importlib
import os
import pickle
import queue
import sys
import threading
import time
import traceback
from collections.abc import Iterator
from typing import Any, BinaryIO

from dashboard.keeping import kept_steps
from dashboard.words import Failed, Order, Ready, Step, Stop, Stopped
from linesim.errors import LinesimError

__all__ = ["main"]

_WORD_EVERY_S = 0.1
_ANSWER_EVERY_S = 0.4
_ROOM = "linesim."


class _Inbox:
    """Orders as they come, and whether the one under way is to be stopped."""

    def __init__(self, stream: BinaryIO) -> None:
        self.orders: queue.Queue[Order] = queue.Queue()
        self._stopped: set[int] = set()
        threading.Thread(target=self._listen, args=(stream,), daemon=True).start()

    def _listen(self, stream: BinaryIO) -> None:
        while True:
            try:
                said = pickle.load(stream)  # noqa: S301 - written by the dashboard that started this process
            except Exception:  # noqa: BLE001 - whatever ends the stream ends the process
                os._exit(0)
            if isinstance(said, Stop):
                self._stopped.add(said.number)
            else:
                self.orders.put(said)

    def is_stopped(self, order: Order) -> bool:
        """Whether this order, and not an earlier one, is to be ended."""
        return order.number in self._stopped


class _Outbox:
    """Words to the dashboard."""

    def __init__(self, stream: BinaryIO) -> None:
        self._stream = stream

    def say(self, word: Any) -> None:
        pickle.dump(word, self._stream, protocol=pickle.HIGHEST_PROTOCOL)
        self._stream.flush()


def main() -> None:
    """Wait for orders and carry them out until stdin is closed."""
    words = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # what a library prints must not stand between the words
    outbox, inbox = _Outbox(words), _Inbox(sys.stdin.buffer)
    with contextlib.suppress(OSError, AttributeError):
        os.nice(5)  # pages answer before studies go on
    _make_ready()
    outbox.say(Ready())
    while True:
        order = inbox.orders.get()
        try:
            _carry_out(order, inbox, outbox)
        except LinesimError as error:
            outbox.say(Failed(str(error)))
        except Exception:  # noqa: BLE001 - told to the dashboard, which writes it to the log
            outbox.say(Failed(traceback.format_exc(), is_fault=True))


def _make_ready() -> None:
    """Have libraries and kernels in memory, so that a study begins at once."""
    from linesim.fast.choice import prepare  # noqa: PLC0415 - heavy, and not wanted before the streams are set

    importlib.import_module("linesim.study")
    importlib.import_module("linesim.desk")
    importlib.import_module("scipy.stats")
    prepare(lambda _: None)


def _carry_out(order: Order, inbox: _Inbox, outbox: _Outbox) -> None:
    """Take the steps of a study, and tell of them now and then."""
    steps = _steps(order)
    told_s, answered_s, untold = -1.0, -1.0, None
    try:
        for interim in steps:
            now_s = time.monotonic()
            untold = interim.answer if interim.answer is not None else untold
            is_last = interim.is_final or inbox.is_stopped(order)
            is_answer_due = is_last or answered_s < 0.0 or now_s - answered_s >= _ANSWER_EVERY_S
            if is_last or (is_answer_due and untold is not None) or now_s - told_s >= _WORD_EVERY_S:
                answer = untold if is_answer_due else None
                outbox.say(_word(interim, answer))
                told_s = now_s
                if answer is not None:
                    answered_s, untold = now_s, None
            if inbox.is_stopped(order) and not interim.is_final:
                outbox.say(Stopped())
                return
    finally:
        close = getattr(steps, "close", None)
        if close is not None:
            close()


def _word(interim: Any, answer: Any) -> Step:
    return Step(interim.done, interim.total, interim.elapsed_s, interim.left_s, interim.words, interim.is_final, answer)


def _steps(order: Order) -> Iterator[Any]:
    """The generator that an order names; only linesim's own."""
    room, _, name = order.study.partition(":")
    if not room.startswith(_ROOM):
        raise ValueError(f"{order.study} is no study of linesim")
    return kept_steps(getattr(importlib.import_module(room), name), order.given)


if __name__ == "__main__":
    main()
