"""Claims on what a cut leaves: finish and form of one cut and of several, and bores on a soft head."""

from __future__ import annotations

from collections.abc import Iterator

from linesim.handbook import machine_stiffness
from linesim.handbook.processes import usual
from linesim.study.practice.alter import METAL, metal_cuts, only_cuts, unsorted, with_cuts
from linesim.study.practice.claim import Claim, Pair
from linesim.study.practice.draw import Draw
from linesim.study.practice.seen import Seen
from linesim.words import keep
from linesim.works import Works
from linesim.works.features import Feature
from linesim.works.operations import Cut
from linesim.works.walks import CutPlace

__all__ = ["FINISH", "SOFT_HEAD", "SOFT_N_UM"]

SOFT_N_UM = 10.0
"""A head up to this stiffness is soft, N/µm; old unit heads have 3 to 8 (from memory)."""

_TEN_TIMES = 10.0
_PLACING = ("position", "tilt", "form")

Where = tuple[str, str]


# --- a finish cut leaves a better finish ------------------------------------------------------------------------------


def _many_cuts(works: Works) -> dict[Where, list[CutPlace]]:
    """Features with a finish to hold that are made in two cuts or more."""
    return {
        where: cuts
        for where, cuts in metal_cuts(works).items()
        if len(cuts) > 1 and _of(works, where).roughness is not None
    }


def _of(works: Works, where: Where) -> Feature:
    return works.lines[where[0]].features[where[1]]


def first_cuts(works: Works) -> Works:
    """The routing that ends with the first cut of each feature."""
    first = {cuts[0].path for cuts in metal_cuts(works).values()}
    return only_cuts(unsorted(works), lambda at: at.cut if at.path in first else None)


def metal_only(works: Works) -> Works:
    """The routing up to the last cut that makes a surface of its own: no reaming, honing or grinding."""
    having = set(metal_cuts(works))
    kept = unsorted(works)
    return only_cuts(kept, lambda at: at.cut if at.cut.process in METAL or _where(at) not in having else None)


def _where(at: CutPlace) -> Where:
    return at.at.line_name, at.cut.feature


def one_heavy_cut(works: Works) -> Works:
    """The routing in which the last cut of each feature takes all the metal in its one stroke; what follows stays."""
    cuts = metal_cuts(works)
    last = {each[-1].path: _heavy(each) for each in cuts.values()}

    def keep(at: CutPlace) -> Cut | None:
        return last.get(at.path) if at.cut.process in METAL else at.cut

    return only_cuts(unsorted(works), keep)


def _heavy(cuts: list[CutPlace]) -> Cut:
    """The last of some cuts, as deep as all of them together, in the skin if the first one is."""
    depth_mm = sum(at.cut.depth for at in cuts)
    return cuts[-1].cut.model_copy(update={"depth": depth_mm, "in_skin": cuts[0].cut.in_skin})


def _finish(draw: Draw) -> Iterator[Pair]:
    first = draw.seen("first cuts only", first_cuts)
    several = draw.seen("cuts with edges only", metal_only)
    heavy = draw.seen("one heavy cut, and no more", lambda works: one_heavy_cut(metal_only(works)))
    for where in _many_cuts(draw.works):
        name = " / ".join(where)
        last_um = several.figure(*where, "roughness", "mean")
        first_um, heavy_um = (seen.figure(*where, "roughness", "mean") for seen in (first, heavy))
        yield Pair(name, keep("practice.what_last_cut"), "µm", last_um, first_um)
        yield Pair(name, keep("practice.what_heavy"), "µm", last_um, heavy_um)
        if _of(draw.works, where).form is not None:
            forms = [seen.figure(*where, "form", "mean") for seen in (several, heavy)]
            yield Pair(name, keep("practice.what_heavy_form"), "µm", *forms)


def _no_finish(works: Works) -> str:
    return "" if _many_cuts(works) else keep("practice.no_finish")


FINISH = Claim(
    "a",
    _no_finish,
    _finish,
)


# --- bores on a soft head ---------------------------------------------------------------------------------------------


def _placed_bores(works: Works) -> dict[Where, list[CutPlace]]:
    """Bores with a limit on position, squareness or form that are made in two cuts or more."""
    return {
        where: cuts
        for where, cuts in metal_cuts(works).items()
        if len(cuts) > 1 and _of(works, where).kind == "bore" and _limited(_of(works, where))
    }


def _limited(feature: Feature) -> list[str]:
    """Which of position, tilt and form the drawing limits."""
    return [name for name in _PLACING if getattr(feature, name) is not None]


def stiffness_of(at: CutPlace) -> float:
    """Static stiffness at a cut, N/µm: its own, its operation's, or the handbook's for that kind of machine."""
    own = at.cut.stiffness if at.cut.stiffness is not None else at.at.operation.stiffness
    return float(machine_stiffness()[usual(at.cut.process).machine].value if own is None else own)


def two_cuts(works: Works) -> Works:
    """The routing in which the first cut takes all but what the last one leaves for itself, in each placed bore."""
    changed, gone = {}, set()
    for cuts in _placed_bores(works).values():
        rest_mm = sum(at.cut.depth for at in cuts[:-1])
        changed[cuts[0].path] = {"depth": rest_mm}
        gone |= {at.path for at in cuts[1:-1]}
    return only_cuts(with_cuts(unsorted(works), changed), lambda at: None if at.path in gone else at.cut)


def on_stiff_heads(works: Works) -> Works:
    """The works with the cuts of placed bores on heads ten times as stiff."""
    changed = {
        at.path: {"stiffness": _TEN_TIMES * stiffness_of(at)} for cuts in _placed_bores(works).values() for at in cuts
    }
    return with_cuts(works, changed)


def _least_cpk(seen: Seen, where: Where, of: list[str]) -> float:
    return min(seen.figure(*where, name, "cpk") for name in of)


def _soft_head(draw: Draw) -> Iterator[Pair]:
    for where, cuts in _placed_bores(draw.works).items():
        name, of = " / ".join(where), _limited(_of(draw.works, where))
        if stiffness_of(cuts[-1]) > SOFT_N_UM:
            two = draw.seen("two cuts", two_cuts)
            yield Pair(name, keep("practice.what_two"), keep("practice.cpk"), 1.0, _least_cpk(two, where, of))
            continue
        one = draw.seen("one heavy cut, gauges only note", one_heavy_cut)
        stands = draw.seen("gauges only note", unsorted)
        stiff = draw.seen("two cuts on a stiff head", lambda works: two_cuts(on_stiff_heads(works)))
        yield Pair(name, keep("practice.what_one"), keep("practice.cpk"), _least_cpk(one, where, of), 1.0)
        yield Pair(name, keep("practice.what_stands"), keep("practice.cpk"), 1.0, _least_cpk(stands, where, of))
        yield Pair(name, keep("practice.what_stiff"), keep("practice.cpk"), 1.0, _least_cpk(stiff, where, of))


def _no_bores(works: Works) -> str:
    return "" if _placed_bores(works) else keep("practice.no_bores")


SOFT_HEAD = Claim(
    "b",
    _no_bores,
    _soft_head,
    figures={"stiffness": SOFT_N_UM},
)
