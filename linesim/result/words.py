"""What a person should be told of a run without asking, in plain sentences."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from linesim.ledger.attendance import attendance_min
from linesim.plan.burning import burns_from
from linesim.plan.plan import Plan
from linesim.plan.tables import UNLIMITED
from linesim.plan.tally import Tally
from linesim.result.arithmetic import per
from linesim.result.crib_tables import GRINDERS, people_table, set_table
from linesim.result.datums import worse_datums
from linesim.result.first_pieces import first_piece_sentences
from linesim.result.joining import join_sentences
from linesim.result.magazine_words import load_sentences, magazine_sentences, unseen_sentences
from linesim.result.measuring import measuring_sentences
from linesim.result.out_of_drawing import out_of_drawing
from linesim.result.staffing import staffing_sentences
from linesim.result.standing import chain_sentences, standstill_sentences
from linesim.result.trouble_tables import blame_sentences, fault_sentences
from linesim.result.type_tables import changeover_sentences
from linesim.words import keep
from linesim.works.model import Works

__all__ = ["BUSY_WORTH_SAYING", "WAIT_WORTH_SAYING", "Finding", "findings_of"]

WAIT_WORTH_SAYING = 0.10
"""Share of their time that machines may wait for one kind of cutter before it is remarked upon (common practice)."""

BUSY_WORTH_SAYING = 0.90
"""Share of their time that people may be busy before it is remarked upon (common practice)."""

PRESETTERS_WORTH_SAYING = 0.2
"""Share of the wait of machines for a kind of cutter from which on its sets' wait for presetters is named (common
practice)."""

_FEWEST_PILED_UP = 20
"""Parts by which a line must fill before it is remarked upon (common practice)."""

_CHANCE_PILES_UP = 4.0
"""A line that only just keeps pace fills or empties by chance; arrivals and work as irregular as exponential ones move
it by the root of twice the castings, and so many times that is remarked upon (three times in 100,000 such lines)."""


@dataclass(frozen=True)
class Finding:
    """One sentence about a run.

    Attributes
    ----------
    text : str
        The sentence.
    is_problem : bool
        The run shows a line that does not work, not merely one that could do better.
    """

    text: str
    is_problem: bool


def findings_of(works: Works, plan: Plan, tally: Tally) -> list[Finding]:
    """Everything worth saying: parts shipped out of the drawing, then problems, then remarks.

    Parameters
    ----------
    works, plan : Works, Plan
        What was run.
    tally : Tally
        What the run left behind.

    Returns
    -------
    list of Finding
        Empty if there is nothing to say.
    """
    out = [Finding(text, False) for text in out_of_drawing(works, tally)]
    problems = [*standstill_sentences(plan, tally), *_output(works, tally)]
    remarks = [
        *fault_sentences(works, plan, tally),
        *blame_sentences(plan, tally),
        *first_piece_sentences(works, plan, tally),
        *changeover_sentences(works, plan, tally),
        *measuring_sentences(works, plan, tally),
        *join_sentences(plan, tally),
        *magazine_sentences(works, plan, tally),
        *load_sentences(works, plan, tally),
        *unseen_sentences(works, plan, tally),
        *_queues(plan, tally),
        *_sets(works, plan, tally),
        *_people(works, plan, tally),
        *staffing_sentences(works, plan, tally),
        *chain_sentences(plan, tally),
        *_carriers(plan, tally),
        *_rubbing(plan, tally),
        *_sand(plan, tally),
        *_burning(works, plan, tally),
        *worse_datums(plan, tally),
    ]
    return out + [Finding(text, True) for text in problems] + [Finding(text, False) for text in remarks]


def _output(works: Works, tally: Tally) -> Iterator[str]:
    """Lines that ship nothing, or less than they scrap."""
    for line, name in enumerate(works.lines):
        shipped, scrapped = int(tally.shipped[line]), int(tally.scrapped_parts[line])
        if shipped == 0:
            castings = int(tally.castings[line])
            minutes = tally.counted_min
            yield keep("findings.nothing_shipped", line=name, minutes=minutes, castings=castings, scrapped=scrapped)
        elif scrapped > shipped:
            yield keep("findings.more_scrapped", line=name, scrapped=scrapped, shipped=shipped)


def _queues(plan: Plan, tally: Tally) -> Iterator[str]:
    """Lines into which parts come faster than they leave, where neither a buffer nor the door puts an end to it."""
    left = tally.shipped + tally.scrapped_parts
    growth = tally.castings - left
    least = np.maximum(_FEWEST_PILED_UP, _CHANCE_PILES_UP * np.sqrt(2.0 * tally.castings))
    lines, has_end = plan.lines, plan.operations.buffer != UNLIMITED
    for line in np.flatnonzero(growth > least).tolist():
        is_here = (plan.operations.line == line) & ~has_end
        is_here[lines.first_operation[line]] |= lines.arrival_time[line] >= 0 and not lines.turn_away[line]
        stock = np.where(is_here, tally.most_stock, -1)
        before = int(stock.argmax())
        # What fills buffers that have an end comes to an end.
        if stock[before] > growth[line] / 2:
            per_hour = 60.0 / tally.counted_min
            yield keep(
                "findings.pile_up", operation=plan.names.operations[before], line=plan.names.lines[line],
                come=tally.castings[line] * per_hour, leave=left[line] * per_hour, stock=stock[before],
                why=keep("findings.wait_outside" if has_end[before] else "findings.no_limit"),
            )  # fmt: skip


def _sets(works: Works, plan: Plan, tally: Tally) -> Iterator[str]:
    """Kinds of cutter for which machines wait much."""
    if not (tally.set_waited_min > 0.99 * WAIT_WORTH_SAYING * tally.counted_min).any():
        return  # not even if one machine waited for all; the table is not needed to know
    table = set_table(works, plan, tally)
    for row in table[table["wait_share"] > WAIT_WORTH_SAYING].itertuples():
        helps = _what_helps(plan, tally, list(works.cutters).index(str(row.cutter)))
        share = 100.0 * float(str(row.wait_share))
        yield keep("findings.set_waited", share=share, cutter=str(row.cutter), helps=helps)


def _what_helps(plan: Plan, tally: Tally, kind: int) -> str:
    """What would shorten the wait for a kind of cutter: it may be the presetters for whom its sets wait."""
    waited_min, preset = float(tally.preset_waited_min[kind]), int(tally.presettings[kind])
    if preset == 0 or waited_min < PRESETTERS_WORTH_SAYING * float(tally.set_waited_min[kind]):
        return keep("findings.more_sets")
    return keep("findings.more_presetters", minutes=waited_min / preset, pool=plan.names.pools[plan.presetters])


def _people(works: Works, plan: Plan, tally: Tally) -> Iterator[str]:
    """Pools that are nearly always busy."""
    if not (per(tally.busy_min, attendance_min(plan, tally)) >= BUSY_WORTH_SAYING).any():
        return
    for row in people_table(works, plan, tally).to_dict("records"):
        share, wait_min = float(row["busy_share"]), float(row["mean_wait_min"])
        if share >= BUSY_WORTH_SAYING:
            is_grinders = row["kind"] == GRINDERS
            who = keep("findings.grinders") if is_grinders else keep("findings.people", pool=row["pool"])
            key = "findings.busy" if math.isnan(wait_min) else "findings.busy_waits"
            yield keep(key, who=who, share=100.0 * share, **({} if math.isnan(wait_min) else {"minutes": wait_min}))


def _carriers(plan: Plan, tally: Tally) -> Iterator[str]:
    """Carriers that are nearly always out."""
    shares = per(tally.carrying_min, plan.moves.carriers * tally.counted_min)
    for operation in np.flatnonzero(shares >= BUSY_WORTH_SAYING).tolist():
        name, share = plan.names.operations[operation], 100.0 * shares[operation]
        yield keep("findings.carriers", operation=name, share=share)


def _rubbing(plan: Plan, tally: Tally) -> Iterator[str]:
    """Edges that met less metal than they can cut."""
    for kind, name in enumerate(plan.names.kinds):
        rubbed = int(tally.rubbed[plan.mounts.kind == kind].sum())
        if rubbed:
            yield keep("findings.rubbed", cutter=name, count=rubbed)


def _sand(plan: Plan, tally: Tally) -> Iterator[str]:
    """Edges that hit sand in the skin of castings."""
    for kind, name in enumerate(plan.names.kinds):
        hits = int(tally.sand_hits[plan.mounts.kind == kind].sum())
        if hits:
            yield keep("findings.sand", cutter=name, count=hits)


def _burning(works: Works, plan: Plan, tally: Tally) -> Iterator[str]:
    """Wheels that were dressed only after they may have burnt the work."""
    for kind, (name, cutter) in enumerate(works.cutters.items()):
        share, limit = burns_from(cutter)
        here = plan.mounts.kind == kind
        changes = int((tally.planned + tally.joined + tally.unplanned)[here].sum())
        reached = float(tally.edge_life[here].sum()) / changes if changes else 0.0
        if reached > share:
            yield keep("findings.burns", cutter=name, reached=reached, share=share, limit=limit)
