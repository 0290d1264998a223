"""Studies of the dashboard go into the user's store as those of the command line do: their runs and the answer."""

from __future__ import annotations

import dataclasses
import json
import logging
from collections.abc import Callable, Generator, Iterator, Mapping
from functools import cache
from typing import Any

from linesim.errors import StoreError
from linesim.store import OWNER, Store, is_no_store, open_store
from linesim.study.crew.crew import Crew
from linesim.study.crew.recording import recorded
from linesim.study.interim import Ending, Interim, Study
from linesim.study.options import asked
from linesim.works import Works, digest

__all__ = ["kept_steps", "settings_of"]

LOG = logging.getLogger("linesim.dashboard")

_WORKS = "works"


def kept_steps(study: Callable[..., Any], given: Mapping[str, Any], owner: str = "") -> Iterator[Interim[Any]]:
    """A study's steps, recorded in the store if it can give its runs to a crew.

    Parameters
    ----------
    study : callable
        A kind of `linesim.study.Study`, or a generator of `Interim` whose runs stay in this process.
    given : mapping
        What it is given, by name: its own fields, and settings such as the number of replications.
    owner : str
        Whose it is; studies of two owners are two studies, so that neither can take the other's away.

    Yields
    ------
    Interim
        The study goes on without the store where that cannot be had; the log says why.
    """
    if not (isinstance(study, type) and issubclass(study, Study)):
        yield from study(**given)
        return
    if not study.is_stored:
        yield from asked(study, given).steps()
        return
    store = _store()
    settings = settings_of(given) | ({OWNER: owner} if owner else {})
    try:
        yield from _recorded(study, given, settings, Crew(1, store))
    except StoreError:
        if store is None:
            raise
        LOG.exception("the store failed; the study goes on without it")
        yield from _recorded(study, given, settings, Crew(1))


def settings_of(given: Mapping[str, Any]) -> dict[str, Any]:
    """What was asked, as plain values for the store; the works stands there by itself."""
    plain = json.loads(json.dumps({name: given[name] for name in given if name != _WORKS}, default=_plain))
    return dict(plain)


def _plain(value: Any) -> Any:
    if isinstance(value, Works):
        return digest(value)
    return dataclasses.asdict(value) if dataclasses.is_dataclass(value) and not isinstance(value, type) else str(value)


def _recorded(
    study: type[Study[Any]], given: Mapping[str, Any], settings: Mapping[str, Any], crew: Crew
) -> Iterator[Interim[Any]]:
    """The last word comes after the answer is in the store, so that whoever hears it finds it there."""
    last: Interim[Any] | None = None
    with recorded(crew, study.kind, given[_WORKS], settings) as record:
        steps = asked(study, {**given, "crew": record.crew}).steps()
        ending: Ending | None = None
        while (interim := _next(steps, ending)) is not None:
            ending = None
            if interim.is_final:
                last = interim
                record.answer = dict(getattr(interim.answer, "kept", {}))
                continue
            try:
                yield interim
            except Ending as asked_for:
                ending = asked_for
    if last is not None:
        yield last


def _next(steps: Iterator[Interim[Any]], ending: Ending | None) -> Interim[Any] | None:
    """The next word of a study, its last one if that is asked for; None once there is no more."""
    if ending is None:
        return next(steps, None)
    assert isinstance(steps, Generator)
    word: Interim[Any] = steps.throw(ending)
    return word


@cache
def _store() -> Store | None:
    """The user's own store, opened once for the process; None if none is wanted or it cannot be had."""
    if is_no_store():
        return None
    try:
        return open_store()
    except StoreError:
        LOG.exception("the store cannot be opened; studies go on without it")
        return None
