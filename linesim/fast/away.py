"""What becomes of a part away from its machine, which has another one at hand: it goes on, is scrap, is gone."""

from __future__ import annotations

from linesim.fast import steps
from linesim.fast.common import tell, tell_part
from linesim.fast.compiled import compiled, inlined
from linesim.fast.drawers import line_at, part_at
from linesim.fast.flow import scrap
from linesim.fast.mishaps import scratch_on_the_way
from linesim.fast.state import Machine, World


@compiled
def complete_away(w: World, m: Machine, home: Machine) -> None:
    """The part at a bench is done at its machine's operation, and is about to move on."""
    home.passed += 1
    home.first_pass += part_at(w.parts, m.part).first_try
    if line_at(w.lines, m.line).n_places > 0:
        scratch_on_the_way(w, m)
    if w.is_traced:
        tell_part(w, steps.PART_COMPLETE, m.home, m.part, m.serial)


@compiled
def scrap_away(w: World, m: Machine, home: Machine, cause: int) -> None:
    """The part at a bench leaves the line as scrap of its machine."""
    at_hand = home.part
    home.part = m.part
    scrap(w, home, cause)
    home.part = at_hand


@inlined
def tell_left(w: World, m: Machine) -> None:
    """The part of a bench is gone from its machine."""
    if w.is_traced:
        tell(w, steps.PART_LEFT, m.home, m.serial)
