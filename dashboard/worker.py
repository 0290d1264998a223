"""A process in which orders are carried out, one after another: they come in on stdin, words go out on stdout.

It ends when its stdin is closed, so that none is left behind when the dashboard ends. Started as ``python -m
dashboard.worker WHAT BYTES``: what it carries out (study, reading), and the memory that it may take.
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
from dataclasses import replace
from pathlib import Path
from typing import Any, BinaryIO

from dashboard.bounds import STUDIES, hold_memory
from dashboard.words import Failed, Full, Order, Ready, Step, Stop, Stopped
from linesim.errors import LinesimError
from linesim.study.interim import ended_when

__all__ = ["main"]

_WORD_EVERY_S = 0.1
_ANSWER_EVERY_S = 0.4
_LAST_WORD_S = 1.0
"""How long a search that is stopped may take for its verdict; well below the patience of who stopped it."""
ROOT = Path(__file__).resolve().parents[1]

_ROOM = "linesim."
_STEPS = "_steps"


class _Inbox:
    """Orders as they come, and whether the one under way is to be stopped."""

    def __init__(self, stream: BinaryIO) -> None:
        self.orders: queue.Queue[Order] = queue.Queue()
        self._stopped: set[int] = set()
        threading.Thread(target=self._listen, args=(stream,), daemon=True).start()

    def _listen(self, stream: BinaryIO) -> None:
        while True:
            try:
                word = pickle.load(stream)  # noqa: S301 - written by the dashboard that started this process
            except Exception:  # noqa: BLE001 - whatever ends the stream ends the process
                os._exit(0)
            if isinstance(word, Stop):
                self._stopped.add(word.number)
            else:
                self.orders.put(word)

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


def main(what: str, memory_bytes: int) -> None:
    """Wait for orders and carry them out until stdin is closed.

    Parameters
    ----------
    what : {"study", "reading"}
        What it carries out.
    memory_bytes : int
        What it may take.
    """
    words = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # what a library prints must not stand between the words
    outbox, inbox = _Outbox(words), _Inbox(sys.stdin.buffer)
    hold_memory(memory_bytes)
    with contextlib.suppress(OSError, AttributeError):
        os.nice(5)  # pages answer before studies go on
    if what == STUDIES.what:
        _load_kernels()
    else:
        _load_reader()
    outbox.say(Ready())
    while True:
        order = inbox.orders.get()
        try:
            _carry_out(order.unpacked(), inbox, outbox)
        except MemoryError:
            outbox.say(Full())
            os._exit(0)  # whatever was under way when memory ran out may be in pieces
        except LinesimError as error:
            outbox.say(Failed(str(error)))
        except Exception:  # noqa: BLE001 - told to the dashboard, which writes it to the log
            outbox.say(Failed(traceback.format_exc(), is_fault=True))


def _load_kernels() -> None:
    """Have libraries and kernels in memory, so that a study begins at once."""
    from linesim.fast.choice import prepare  # noqa: PLC0415 - heavy, and not wanted before the streams are set

    importlib.import_module("linesim.study")
    importlib.import_module("linesim.desk")
    importlib.import_module("scipy.stats")
    prepare(lambda _: None)


def _load_reader() -> None:
    """Have in memory what reading needs, some of which is fetched only when a scenario is checked."""
    from linesim.works.load import load_works  # noqa: PLC0415 - as above

    with contextlib.suppress(LinesimError):
        load_works(ROOT / "scenarios" / "smallest.yaml")


def _carry_out(order: Order, inbox: _Inbox, outbox: _Outbox) -> None:
    """Do what an order says; only what is linesim's own."""
    room, _, name = order.study.partition(":")
    if not room.startswith(_ROOM):
        raise ValueError(f"{order.study} is no study of linesim")
    function = getattr(importlib.import_module(room), name)
    if isinstance(function, type) or name.endswith(_STEPS):  # a kind of study, or a generator of its steps
        from dashboard.keeping import kept_steps  # noqa: PLC0415 - heavy, and not wanted where files are read

        _take_steps(kept_steps(function, order.given, order.owner), order, inbox, outbox)
    else:
        began_s = time.monotonic()
        answer = function(**order.given)
        outbox.say(Step(1, 1, time.monotonic() - began_s, 0.0, "", True, answer))


def _take_steps(steps: Iterator[Any], order: Order, inbox: _Inbox, outbox: _Outbox) -> None:
    """Take the steps of a study, and tell of them now and then."""
    word_s, answered_s, unsent, interim = -1.0, -1.0, None, None
    try:
        for interim in ended_when(steps, lambda: inbox.is_stopped(order), _LAST_WORD_S):
            if interim.is_final:
                break
            now_s = time.monotonic()
            unsent = interim.answer if interim.answer is not None else unsent
            is_answer_due = answered_s < 0.0 or now_s - answered_s >= _ANSWER_EVERY_S
            if (is_answer_due and unsent is not None) or now_s - word_s >= _WORD_EVERY_S:
                answer = unsent if is_answer_due else None
                outbox.say(_word(interim, answer))
                word_s = now_s
                if answer is not None:
                    answered_s, unsent = now_s, None
        _say_last(interim, unsent, inbox.is_stopped(order), outbox)
    finally:
        close = getattr(steps, "close", None)
        if close is not None:
            close()


def _say_last(interim: Any, unsent: Any, is_stopped: bool, outbox: _Outbox) -> None:
    """The last word of a study; that of one that was stopped is final to nobody else who asks the same."""
    if interim is not None:
        answer = interim.answer if interim.answer is not None else unsent
        outbox.say(replace(_word(interim, answer), is_final=interim.is_final and not is_stopped))
    if is_stopped:
        outbox.say(Stopped())


def _word(interim: Any, answer: Any) -> Step:
    return Step(interim.done, interim.total, interim.elapsed_s, interim.left_s, interim.words, interim.is_final, answer)


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]))
