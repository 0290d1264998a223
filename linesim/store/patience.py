"""Patience with a server that is away for a while: what was under way is done again once it answers."""

from __future__ import annotations

import logging
import time
from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec, Protocol, TypeVar, cast

from linesim.store.failing import AwayError

__all__ = ["LOG", "PATIENCE_S", "Patient", "patient"]

PATIENCE_S = 60.0
"""How long a server may be away; who has waited so long in vain does not wait again until it has answered."""

_LOOK_EVERY_S = 1.0

LOG = logging.getLogger("linesim.store")
"""Says on stderr, unless somebody listens elsewhere, that a server is waited for."""

P = ParamSpec("P")
R = TypeVar("R")


class Patient(Protocol):
    """A store that may have to wait."""

    location: str
    has_given_up: bool


S = TypeVar("S", bound=Patient)


def patient(method: Callable[Concatenate[S, P], R]) -> Callable[Concatenate[S, P], R]:
    """Let a method of a store wait for a server that is away, and be done again from its beginning.

    Parameters
    ----------
    method : callable
        One change that happens whole or not at all, and that makes no difference when it is done twice.

    Returns
    -------
    callable
        Raises AwayError once `PATIENCE_S` has passed.
    """

    @wraps(method)
    def with_patience(self: S, *arguments: P.args, **options: P.kwargs) -> R:
        since = None
        while True:
            try:
                answer = method(self, *arguments, **options)
            except AwayError as error:
                now = time.monotonic()
                if since is None:
                    since = now
                    if not self.has_given_up:
                        LOG.warning("%s: the server does not answer; waiting up to %.0f s", self.location, PATIENCE_S)
                if self.has_given_up or now - since >= PATIENCE_S:
                    self.has_given_up = True
                    raise AwayError(str(error)) from error
                time.sleep(_LOOK_EVERY_S)
                continue
            if since is not None:
                LOG.warning("%s: the server answers again", self.location)
            self.has_given_up = False
            return answer

    return cast("Callable[Concatenate[S, P], R]", with_patience)
