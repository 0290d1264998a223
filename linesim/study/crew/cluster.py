"""Workers on other machines, led by a Dask scheduler that the user has started; linesim schedules nothing itself."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from concurrent.futures import CancelledError, Future
from pathlib import Path
from typing import Any, Self

from linesim.errors import LinesimError, StudyError
from linesim.study.crew.parcels import Done, Parcel, carry_parcel
from linesim.study.crew.version import model_version

__all__ = ["ClusterTeam"]

_PATIENCE_S = 10
"""How long a scheduler may take to answer, and a first worker to come."""

_RETRIES = 2
"""Times that the scheduler tries a parcel again whose worker failed in another way than by being lost."""


_GONE = (
    "the scheduler of the cluster has gone away. Every run that had ended is safe in the store if there is one; start "
    "the scheduler and its workers again, and the same command goes on from there"
)


class ClusterTeam:
    """The workers of a Dask scheduler.

    Parameters
    ----------
    location : str or pathlib.Path
        Address such as ``tcp://host:8786``, or the path of a scheduler file.

    Raises
    ------
    StudyError
        The package is missing, the scheduler does not answer, or no worker is there.
    """

    def __init__(self, location: str | Path) -> None:
        self.location = str(location)
        self._client = self._joined()
        self._executor = self._client.get_executor(pure=False, retries=_RETRIES)
        self.workers = max(1, self._threads())

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        self._client.close()

    def submit(self, parcel: Parcel) -> Future[Done]:
        """Send a parcel; if its worker is lost, the scheduler gives it to another.

        Raises
        ------
        StudyError
            The scheduler has gone away.
        """
        try:
            sent: Future[Done] = self._executor.submit(carry_parcel, parcel, model_version())
        except Exception as error:
            raise self.failed(error) from error
        return sent

    def end(self, sent: Sequence[Future[Done]]) -> None:
        """Give up what has been sent; a worker finishes the parcel that it is at."""
        for future in sent:
            future.cancel()
        self._executor.shutdown(wait=False)

    def failed(self, error: BaseException) -> LinesimError:
        """What it means that a parcel came back with an error that is none of linesim's."""
        if self._client.status != "running" or isinstance(error, CancelledError | OSError):
            return StudyError(f"{self.location}: {_GONE}")
        name = type(error).__name__
        if isinstance(error, ModuleNotFoundError | ImportError | AttributeError):
            missing = f"its workers cannot load linesim {model_version()} ({name}: {error})"
            return StudyError(f"{self.location}: {missing}; install the same version there and start them anew")
        text = str(error).splitlines()[0][:200] if str(error) else name
        return StudyError(f"{self.location}: the cluster has given up a part of the study ({name}: {text})")

    def _joined(self) -> Any:
        """A client of the scheduler, with a worker at least behind it."""
        try:
            import distributed  # noqa: PLC0415 - an extra of its own
        except ImportError as error:
            missing = "a cluster needs the package distributed; install linesim with the extra cluster"
            raise StudyError(f"{self.location}: {missing}: pip install 'linesim[cluster]'") from error
        _hush()
        is_address = "://" in self.location
        if not is_address and not Path(self.location).is_file():
            expected = "an address such as tcp://host:8786, or the scheduler file of a Dask scheduler, was expected"
            raise StudyError(f"{self.location}: there is no such file; {expected}")
        where = {"address": self.location} if is_address else {"scheduler_file": self.location}
        try:
            client: Any = distributed.Client(**where, timeout=_PATIENCE_S, set_as_default=False, name="linesim")  # type: ignore[no-untyped-call]
        except Exception as error:
            text = str(error).splitlines()[0][:160] if str(error) else type(error).__name__
            raise StudyError(
                f"{self.location}: no Dask scheduler answers there ({text}); start one, or correct it"
            ) from error
        try:
            client.wait_for_workers(1, timeout=_PATIENCE_S)
        except TimeoutError as error:
            client.close()
            raise StudyError(
                f"{self.location}: the scheduler has no workers; start some (dask worker ADDRESS)"
            ) from error
        return client

    def _threads(self) -> int:
        return sum(int(count) for count in self._client.nthreads().values())


def _hush() -> None:
    """Let linesim say in one line what the library says of a lost connection in thirty; each log has its own level."""
    for name in ("distributed", *logging.root.manager.loggerDict):
        if name.split(".")[0] == "distributed":
            logging.getLogger(name).setLevel(logging.CRITICAL)
