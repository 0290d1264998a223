"""A rule of the user's own is code that nobody has checked: what it is shown, what it may answer, how long it may take.

Whatever way it ends, the run ends with a sentence that names the rule. It is shown each edge to be read and not to be
written, its answers are looked at, ``os._exit`` ends the call and not the process, and a call that goes on too long is
broken off, in the main thread even while it sleeps. Out of reach is a library in C that never comes back.
"""

from __future__ import annotations

import ctypes
import dis
import math
import os
import signal
import threading
import time
from collections.abc import Callable
from numbers import Real
from typing import Any, Final, TypeVar

from linesim.errors import LinesimError, StudyError, quoted
from linesim.floor.edge import ChangeRule, Edge

__all__ = ["LONGEST_CALL_S", "WatchedRule", "carried_out", "hurry"]

LONGEST_CALL_S: Final = 10.0
"""A rule that takes longer for one answer is taken to go on for ever."""

_PATIENCE_S: Final = 0.5
"""What a rule has left for its answer once somebody wants to stop."""

_LOOKS_S = 0.2
_LAST_TURNS = 50
_STOPPED = "Stopped in a rule of your own that did not come back; nothing was kept."
_RAISE = dis.opmap["RAISE_VARARGS"]
Answer = TypeVar("Answer")


class _TooLong(BaseException):
    """Raised within a call that has gone on too long; a rule that catches every Exception does not catch this."""


class _Stopped(KeyboardInterrupt):
    """Somebody wanted to stop, and the rule did not come back."""


class _Watchdog:
    """Breaks off calls that go on too long, from a thread of its own."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._ends: dict[int, float] = {}
        self._broken_off: set[int] = set()
        self._hurried: set[int] = set()
        self._thread: threading.Thread | None = None

    def watches(self, caller: int) -> bool:
        """Whether a thread is within a call."""
        return caller in self._ends

    def begin(self, caller: int) -> None:
        """A call begins in a thread."""
        self._ends[caller] = time.monotonic() + LONGEST_CALL_S
        if self._thread is None or not self._thread.is_alive():
            self._thread = threading.Thread(target=self._look, name="rules of one's own", daemon=True)
            self._thread.start()

    def hurry(self, caller: int) -> None:
        """Somebody wants to stop: a call in this thread has little time left.

        A signal may come while the thread holds the lock, so that none is taken.
        """
        if caller in self._ends:
            self._ends[caller] = min(self._ends[caller], time.monotonic() + _PATIENCE_S)
            self._hurried.add(caller)

    def end(self, caller: int) -> BaseException | None:
        """The call has come back; what is to be raised if it was broken off.

        If that was at this very moment, the exception is still on its way, and is waited for here.
        """
        with self._lock:
            self._ends.pop(caller, None)
            is_broken_off = caller in self._broken_off
            self._broken_off.discard(caller)
        is_hurried = caller in self._hurried
        self._hurried.discard(caller)
        if not is_broken_off:
            return None
        for _ in range(_LAST_TURNS):
            time.sleep(0.001)
        return _Stopped(_STOPPED) if is_hurried else _TooLong()

    def _look(self) -> None:
        while True:
            time.sleep(_LOOKS_S)
            with self._lock:
                for caller in [caller for caller, end in list(self._ends.items()) if time.monotonic() > end]:
                    self._ends[caller] += _LOOKS_S  # again, should the rule have caught this one
                    self._broken_off.add(caller)
                    ctypes.pythonapi.PyThreadState_SetAsyncExc(ctypes.c_ulong(caller), ctypes.py_object(_TooLong))
                    _wake(caller)


def _wake(caller: int) -> None:
    """Let a signal that does nothing end the sleep of the main thread, so that it meets what was raised in it."""
    if caller == threading.main_thread().ident and hasattr(signal, "SIGURG"):
        signal.pthread_kill(caller, signal.SIGURG)


_watchdog = _Watchdog()
_end_process = os._exit


def _exit_or_say(status: int) -> None:
    """End the process at once, unless it is a rule that wants to."""
    if _watchdog.watches(threading.get_ident()):
        raise SystemExit(status)
    _end_process(status)


def _keep_going() -> None:
    """Let a sleep be ended by a signal, and the process only by those who may."""
    os._exit = _exit_or_say  # type: ignore[assignment]
    is_main = threading.current_thread() is threading.main_thread()
    if is_main and hasattr(signal, "SIGURG") and signal.getsignal(signal.SIGURG) in {signal.SIG_DFL, signal.SIG_IGN}:
        signal.signal(signal.SIGURG, lambda *_: None)


def hurry() -> None:
    """Somebody wants to stop: a rule that is being asked in this thread has half a second left for its answer."""
    _watchdog.hurry(threading.get_ident())


def carried_out(call: Callable[..., Answer], *arguments: Any, where: str, **options: Any) -> Answer:
    """Carry out code of the user's own.

    Parameters
    ----------
    call : callable
        What is called.
    *arguments, **options
        What it is given.
    where : str
        What it is, for the sentence: 'policy "mine": a rule of your own'.

    Returns
    -------
    object
        Its answer.

    Raises
    ------
    StudyError
        It raised something, ended the program, or took longer than `LONGEST_CALL_S`.
    KeyboardInterrupt
        Somebody wants to stop.
    """
    caller = threading.get_ident()
    _keep_going()
    try:
        _watchdog.begin(caller)
        try:
            return call(*arguments, **options)
        finally:
            ending = _watchdog.end(caller)
            if ending is not None:
                raise ending
    except _TooLong:
        text = f"{where} took more than {LONGEST_CALL_S:g} s for one answer, and was broken off"
        raise StudyError(f"{text}; one that comes back at once was expected") from None
    except (LinesimError, _Stopped):
        raise
    except SystemExit as error:
        raise StudyError(f"{where} wanted to end the program (SystemExit: {error}); an answer was expected") from error
    except KeyboardInterrupt as error:
        if not _is_raised_by_hand(error):
            raise
        raise StudyError(f"{where} failed: it raised KeyboardInterrupt; an answer was expected") from error
    except BaseException as error:  # the user's own code may fail in any way
        raise StudyError(f"{where} failed in the run: {type(error).__name__}: {error}") from error


def _is_raised_by_hand(error: BaseException) -> bool:
    """Whether an exception comes from a raise in the code itself, and not from somebody's signal."""
    trace = error.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    return trace is not None and trace.tb_frame.f_code.co_code[trace.tb_lasti] == _RAISE


class _ReadOnlyEdge(Edge):
    """An edge as it is shown to a rule of the user's own."""

    __slots__ = ("_of",)

    def __init__(self, of: Edge) -> None:
        object.__setattr__(self, "_of", of)

    def __getattr__(self, name: str) -> Any:
        """Read what the edge itself has: nothing is ever set here."""
        return getattr(object.__getattribute__(self, "_of"), name)

    def __delattr__(self, name: str) -> None:
        """Refuse."""
        self.__setattr__(name, None)

    def __setattr__(self, name: str, value: object) -> None:
        """Refuse."""
        raise AttributeError(f"edge.{name} can be read, not set: a rule answers, and the floor does the rest")


class WatchedRule(ChangeRule):
    """A rule of the user's own, carried out with care.

    Parameters
    ----------
    rule : ChangeRule
        As the user wrote it.
    name : str
        Under which it was made known.
    policy : str
        Whose rule it is.
    """

    def __init__(self, rule: ChangeRule, name: str, policy: str) -> None:
        self.rule = rule
        self.where = f'policy "{policy}": a rule of your own'
        self.name = name
        self._shown: dict[Edge, Edge] = {}

    def wants_look(self, edge: Edge) -> bool:
        """As the rule says."""
        return self._claim("wants_look", edge)

    def is_due(self, edge: Edge, now_min: float) -> bool:
        """As the rule says."""
        return self._claim("is_due", edge, now_min)

    def share(self, edge: Edge, now_min: float) -> float:
        """As the rule says."""
        answer = self._answer("share", edge, now_min)
        is_number = type(answer) is not bool and isinstance(answer, Real)
        if not is_number or not 0.0 <= float(answer) < math.inf:
            raise self._refused("share", answer, "a number of 0 or more")
        return float(answer)

    def _claim(self, method: str, edge: Edge, *moment: float) -> bool:
        """Ask for True or False."""
        answer = self._answer(method, edge, *moment)
        if answer is True or answer is False:
            return answer
        if type(answer).__module__ == "numpy" and type(answer).__name__.startswith("bool"):
            return bool(answer)
        raise self._refused(method, answer, "True or False")

    def _answer(self, method: str, edge: Edge, *moment: float) -> Any:
        """Ask the rule, and show it the edge."""
        shown = self._shown.get(edge)
        if shown is None:
            shown = self._shown[edge] = _ReadOnlyEdge(edge)
        return carried_out(getattr(self.rule, method), shown, *moment, where=self.where)

    def _refused(self, method: str, answer: object, wanted: str) -> StudyError:
        """Say what was answered and what was expected."""
        return StudyError(f'{self.where} failed in the run: {quoted(self.name)} answered {quoted(answer)} to {method}; '
                          f"{wanted} was expected")  # fmt: skip
