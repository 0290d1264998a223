"""Studies of the dashboard go into the user's store as those of the command line do: their runs and the answer."""

from __future__ import annotations

import dataclasses
import inspect
import json
import logging
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from typing import Any

from linesim.errors import StoreError
from linesim.store import OWNER, Store, open_store
from linesim.study.crew.crew import Crew
from linesim.study.crew.recording import recorded
from linesim.study.interim import Interim

__all__ = ["kept_steps", "settings_of"]

LOG = logging.getLogger("linesim.dashboard")

_CREW, _WORKS = "crew", "works"


def kept_steps(
    study: Callable[..., Iterator[Interim[Any]]], given: Mapping[str, Any], owner: str = ""
) -> Iterator[Interim[Any]]:
    """A study's steps, recorded in the store if the study gives its runs to a crew.

    Parameters
    ----------
    study : callable
        A generator of `Interim`; its name without ``_steps`` is the kind of the study, as the commands have it.
    given : mapping
        What it is given, by name.
    owner : str
        Whose it is; studies of two owners are two studies, so that neither can take the other's away.

    Yields
    ------
    Interim
        The study goes on without the store where that cannot be had; the log says why.
    """
    if _CREW not in inspect.signature(study).parameters:
        yield from study(**given)
        return
    store = _store()
    kind = study.__name__.removesuffix("_steps")
    settings = settings_of(given) | ({OWNER: owner} if owner else {})
    try:
        yield from _recorded(study, kind, given, settings, Crew(1, store))
    except StoreError:
        if store is None:
            raise
        LOG.exception("the store failed; the study goes on without it")
        yield from _recorded(study, kind, given, settings, Crew(1))


def settings_of(given: Mapping[str, Any]) -> dict[str, Any]:
    """What was asked, as plain values for the store; the works stands there by itself."""
    plain = json.loads(json.dumps({name: given[name] for name in given if name != _WORKS}, default=_plain))
    return dict(plain)


def _plain(value: Any) -> Any:
    return dataclasses.asdict(value) if dataclasses.is_dataclass(value) and not isinstance(value, type) else str(value)


def _recorded(
    study: Callable[..., Iterator[Interim[Any]]],
    kind: str,
    given: Mapping[str, Any],
    settings: Mapping[str, Any],
    crew: Crew,
) -> Iterator[Interim[Any]]:
    """The last word comes after the answer is in the store, so that whoever hears it finds it there."""
    last: Interim[Any] | None = None
    with recorded(crew, kind, given[_WORKS], settings) as record:
        for interim in study(**given, crew=record.crew):
            if interim.is_final:
                last = interim
                record.answer = {"sentences": [str(each) for each in getattr(interim.answer, "sentences", ())]}
            else:
                yield interim
    if last is not None:
        yield last


@cache
def _store() -> Store | None:
    """The user's own store, opened once for the process."""
    try:
        return open_store()
    except StoreError:
        LOG.exception("the store cannot be opened; studies go on without it")
        return None
