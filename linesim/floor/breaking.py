"""What a breaking cutter does to the part."""

from __future__ import annotations

from linesim.chance import Purpose
from linesim.floor.mount import Mount
from linesim.floor.site import Site
from linesim.plan.tables import Breakage

__all__ = ["is_saved", "leaves_a_mark"]


def is_saved(site: Site, broken: Mount) -> bool:
    """Whether the part goes on in which this edge broke; it is cut again then with the next set."""
    kind = broken.kind
    saved = bool(kind.broken == Breakage.SPARED)
    if kind.broken == Breakage.SALVAGE:
        chance, _, _, _ = site.timing.uniforms(Purpose.SAVING, broken.index, broken.ordinal)
        saved = bool(chance < kind.saved_share)
    site.tally.saved[broken.index] += saved
    return saved


def leaves_a_mark(broken: Mount) -> bool:
    """Whether a saved part counts as salvaged: where it had to be freed of what broke in it."""
    return bool(broken.kind.broken == Breakage.SALVAGE)
