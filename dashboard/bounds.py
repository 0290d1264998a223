"""What a process of the dashboard may take: seconds and memory, and the words where it takes more.

Memory is held by the operating system itself, so that no library has to be trusted with it: on Linux RLIMIT_DATA counts
what a process has taken for its own use (getrlimit(2), Linux 4.7 and later), and an allocation beyond it fails, in
Python as a MemoryError. RLIMIT_AS would count addresses as well, of which compilers and thread pools reserve many times
what they use. macOS and Windows keep no such limit for a process; a line in the log says so.
"""

from __future__ import annotations

import logging
import os
import sys
from dataclasses import dataclass, replace

__all__ = ["READING", "STUDIES", "Bounds", "hold_memory", "shared"]

LOG = logging.getLogger("linesim.dashboard")

_GB = 2**30
_SHARE_OF_MACHINE = 0.7
_LEAST_BYTES = 3 * _GB // 2
"""Below this, compiled kernels and their libraries leave too little room for any study."""

_NOT_HELD = "this system keeps no limit of memory for a process (%s); a study that takes too much is not stopped for it"


@dataclass(frozen=True)
class Bounds:
    """What one order may take.

    Attributes
    ----------
    what : {"study", "reading"}
        What the processes carry out; studies have kernels to load beforehand.
    longest_s : float
        After that it is stopped.
    patience_s : float
        How long a process may take to stop when asked; then it is ended.
    memory_bytes : int
        What its process may take in all.
    answers : int
        Finished answers that are remembered for whoever asks the same.
    too_long, too_large, ended : str
        What the user reads.
    """

    what: str
    longest_s: float
    patience_s: float
    memory_bytes: int
    answers: int
    too_long: str
    too_large: str
    ended: str


STUDIES = Bounds(
    what="study",
    longest_s=3600.0,
    patience_s=2.0,
    memory_bytes=6 * _GB,
    answers=48,
    too_long="The study was stopped after 60 minutes, the most that a page may take. Its answer up to then stands "
    "here; for longer studies there is the command line.",
    too_large="This study needs more memory than a page may take. Ask for less: fewer replications, or a shorter run; "
    "or see whether parts pile up without end in an unlimited buffer.",
    ended="The process that ran this study ended by itself, most likely for want of memory. Ask for less: fewer "
    "replications, or a shorter run.",
)
"""Of a study; `shared` gives the memory of one among several."""

READING = Bounds(
    what="reading",
    longest_s=10.0,
    patience_s=0.0,
    memory_bytes=_GB,
    answers=0,
    too_long="It takes longer than 10 seconds to read, so that reading was given up. An ordinary file takes a fraction "
    "of a second; take parts of it out to see which one it is, or try `linesim check` with it.",
    too_large="It takes more memory to read than a file may, so that reading was given up. Make it shorter.",
    ended="The process that read it ended by itself, most likely for want of memory. Make the file shorter.",
)
"""Of reading a file that a user has sent."""


def shared(bounds: Bounds, workers: int) -> Bounds:
    """Bounds of each of several workers, so that all together leave the machine room to breathe.

    Parameters
    ----------
    bounds : Bounds
        Of one by itself.
    workers : int
        How many work at once, 1 or more.
    """
    share = int(_memory_of_machine() * _SHARE_OF_MACHINE / workers)
    return replace(bounds, memory_bytes=min(bounds.memory_bytes, max(share, _LEAST_BYTES)))


def hold_memory(most_bytes: int) -> bool:
    """Hold this process, and those that it starts, to so much memory; whether the system does so."""
    if sys.platform != "linux":
        LOG.warning(_NOT_HELD, sys.platform)
        return False
    import resource  # noqa: PLC0415 - there is none on Windows

    resource.setrlimit(resource.RLIMIT_DATA, (most_bytes, most_bytes))
    return True


def _memory_of_machine() -> int:
    """Bytes; as good as unlimited where the system does not say."""
    try:
        return os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES")
    except (AttributeError, OSError, ValueError):
        return 2**50
