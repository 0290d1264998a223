"""What a breaking cutter does to the part."""

from __future__ import annotations

from linesim.fast import codes
from linesim.fast.common import count, four_uniforms
from linesim.fast.compiled import compiled
from linesim.fast.drawers import kind_at, mount_at, part_at
from linesim.fast.state import Machine, World


@compiled
def goes_on(w: World, m: Machine, broken: int) -> bool:
    """Whether the part goes on in which the edge of this mount broke; it is cut again then with the next set."""
    mount = mount_at(w.mounts, broken)
    kind = kind_at(w.kinds, mount.kind)
    if kind.broken == codes.BREAKAGE_SCRAP:
        return False
    if kind.broken == codes.BREAKAGE_SALVAGE:
        if four_uniforms(w, codes.PURPOSE_SAVING, broken, mount.ordinal, 0)[0] >= kind.saved_share:
            return False
        part_at(w.parts, m.part).is_first_pass = m.is_first_try = 0
    count(w.saved, broken)
    return True
