"""What a run leaves behind: sums over the counted time, without money and without judgement."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np

from linesim.cutting.component import Component
from linesim.plan.plan import Plan
from linesim.plan.states import Cause, State
from linesim.plan.tables import Floats, Ints

__all__ = ["Cause", "State", "Tally", "empty_tally"]


@dataclass
class Tally:
    """Sums over the counted minutes of one run; shapes in the comments, all indices are the plan's."""

    counted_min: float
    # by machine
    state_min: Floats  # (machines, states)
    worked: Ints  # parts whose work was finished
    passed: Ints  # parts passed on
    first_pass: Ints  # passed on at the first try, neither recut nor salvaged
    scrapped: Ints  # (machines, causes)
    recut: Ints  # (machines, causes)
    recut_min: Floats  # minutes of cutting again
    breakdowns: Ints
    overhauls: Ints
    stops: Ints  # stops for cutters
    scrapped_castings: Ints  # parts scrapped here
    scrapped_min: Floats  # (machines scrapping, operations whose minutes are lost)
    turned_bad: Ints  # hidden faults that began
    faults_found: Ints
    unfound_min: Floats  # from turning bad until found, of those that were found
    made_bad: Ints  # parts cut while bad
    first_gauged: Ints  # first pieces gauged after a change
    first_corrected: Ints  # of these, pieces whose reading moved an offset
    first_salvaged: Ints  # (machines, causes): of these, pieces that went to the salvage bench
    first_scrapped: Ints  # of these, pieces that were scrapped for what was read
    batches_begun: Ints  # batches begun, where several parts are taken at once
    room_read: Ints  # its parts that were read in the measuring room
    room_bad: Ints  # of these, parts that were turned down
    room_min: Floats  # from its machine to the answer, summed over these parts
    room_work_min: Floats  # minutes of reading there, of parts sorted as well
    sorted: Ints  # its parts that were sorted after a bad answer
    sorted_bad: Ints  # of these, parts that were turned down
    held_min: Floats  # its parts in quarantine, summed over them
    # by mount
    planned: Ints  # sets changed by a rule
    unplanned: Ints  # sets changed because they broke
    joined: Ints  # sets changed early because another one was due
    in_place: Ints  # of all these: indexed or dressed where they were
    taken_over: Ints  # of all these: the next sister took over, without the setter
    load_alarms: Ints  # readings of the spindle's load past the figure of the rule
    load_false: Ints  # of these, while a reading without heats and noise would not have been
    load_missed: Ints  # readings below it while one without heats and noise would have been past it
    looks: Ints
    edge_parts: Ints  # parts done by the edges that were changed
    edge_life: Floats  # sum of their life shares
    edge_min: Floats  # cutting minutes of the edges that were changed
    saved: Ints  # parts in which the set broke and that went on
    rubbed: Ints  # places at which an edge met less metal than it can cut
    sand_hits: Ints  # edges chipped or broken by sand in a casting's skin
    broke_unseen: Ints  # edges that broke unseen
    cut_unseen: Ints  # parts cut with them until that was known
    probe_found: Ints  # of these edges: found by the probe for broken cutters
    # by machine
    break_probes: Ints  # looks of that probe
    # by kind
    regrinds: Ints
    bought: Ints
    set_claims: Ints
    set_waited_min: Floats
    sharp_min: Floats  # sharp sets on the shelf, integrated over time
    fewest_sharp: Ints
    presettings: Ints  # sets that a presetter took in hand
    preset_min: Floats  # minutes of presetting them
    preset_waited_min: Floats  # until he did
    # by pool of people, the grinders last
    busy_min: Floats
    jobs: Ints
    waited_min: Floats
    queue_min: Floats
    # by operation (the buffer before it)
    stock_min: Floats
    most_stock: Ints
    taken: Ints
    had_to_wait: Ints
    stood_min: Floats
    moving_min: Floats  # on the way to the operation, if nothing stands in the way
    carrying_min: Floats  # carriers busy, back again and waiting with their part included
    bad_shipped: Ints  # parts shipped that a bad machine of the operation has cut
    bad_shipped_out: Ints  # of these: out of limits
    # by line
    castings: Ints
    shipped: Ints
    shipped_first_pass: Ints  # without a recut or salvage anywhere
    scrapped_parts: Ints
    turned_away: Ints
    in_line_min: Floats  # parts in the line, integrated over time
    in_line_at_end: Ints
    lead_min: Floats  # sum over shipped parts
    lead_square_min2: Floats
    # by gauge
    readings: Ints
    salvaged: Ints  # (gauges, causes)
    judged: Ints  # (gauges, true good / true bad, passed / turned down)
    corrections: Ints
    masterings: Ints
    found_by: Ints  # (gauges, operations): hidden faults of machines there that the gauge found
    charged: Ints  # (gauges, suspects): parts turned down; cuts, then faults of operations, last castings and others
    # by feature and component, over the places of shipped parts; position, tilt and form only where they are carried
    places: Ints  # (features,)
    total: Floats  # (features, components)
    square: Floats  # (features, components)
    capped: Floats  # (features, components): squares of the distance from the aim, each no more than its cap
    least: Floats  # (features, components)
    greatest: Floats  # (features, components)
    below: Ints  # (features, components): under the lower limit
    above: Ints  # (features, components): over the upper limit
    unclean: Ints  # (features,)
    parts_out: Ints  # by line: shipped parts with something out of limits
    range_total: Floats  # (features,): largest minus least error among the places of a part, summed over parts
    # by test of an operation or failure in the field
    tested: Ints
    repair_min: Floats  # minutes at the benches
    # by term of a test
    turned_down: Ints
    repairs: Ints
    given_up: Ints  # scrapped as no repair is left
    field_chance: Floats  # sum over shipped parts of the chance that they fail in the field
    # by machine
    changeovers: Ints  # from one part type to another
    # by part type, of lines that make several
    castings_of_type: Ints
    shipped_of_type: Ints
    first_pass_of_type: Ints
    scrapped_of_type: Ints  # (machines, part types)
    out_of_type: Ints
    lead_of_type: Floats  # sum of the lead times of shipped parts, minutes
    # by pool of people, the grinders last, and shift of the day; only where not always as many attend
    shift_attended_min: Floats  # (pools, shifts): minutes of people as the staffing has them
    shift_beyond_min: Floats  # (pools, shifts): at work with jobs in hand beside those who attend
    shift_busy_min: Floats  # (pools, shifts)
    shift_queue_min: Floats  # (pools, shifts): minutes of waiting for them
    # by machine
    nobody_min: Floats  # waited for people while nobody of them attended
    # by join of a line to an operation of another
    fellows_joined: Ints  # its parts that were joined
    left_over: Ints  # its parts that were thrown out, as what they were taken off is scrap
    fellows_min: Floats  # its finished parts that stand, integrated over time
    fit_total: (
        Floats  # where they are matched by classes: difference of the two deviations as the drawing reads them, um
    )
    fit_square: Floats
    fit_least: Floats
    fit_greatest: Floats
    # how the run went
    is_stuck: bool
    """Nothing can move any more although the time is not over."""
    stuck_at_min: float
    # by machine, of lines that still have parts to make
    stuck_from_min: Floats
    """Since when it can never move again; infinite where it may."""
    stuck_state: Ints
    """What it does for ever, a member of `State`; ``NONE`` where it may move."""
    stuck_for: Ints
    """Kind of cutter set that never comes for it, or ``NONE``."""


_BY_COMPONENT = ("total", "square", "capped", "least", "greatest", "below", "above")


_LOADS = ("load_alarms", "load_false", "load_missed", "broke_unseen", "cut_unseen", "probe_found")
_BY_MACHINE = (
    "turned_bad", "faults_found", "unfound_min", "made_bad", "changeovers", "batches_begun", "break_probes",
)  # fmt: skip
_IN_ROOM = ("room_read", "room_bad", "room_min", "room_work_min", "sorted", "sorted_bad", "held_min")


_OF_JOINS = ("fellows_joined", "left_over", "fellows_min", "fit_total", "fit_square", "fit_least", "fit_greatest")
_BY_SHIFT = ("shift_attended_min", "shift_beyond_min", "shift_busy_min", "shift_queue_min")


def _by_type(plan: Plan) -> dict[str, tuple[int, ...]]:
    """Shapes of what is counted by part type."""
    types = len(plan.part_types.line)
    shapes: dict[str, tuple[int, ...]] = {"scrapped_of_type": (len(plan.machines.operation), types)}
    by_type = ("castings", "shipped", "first_pass", "out", "lead")
    return shapes | {f"{name}_of_type": (types,) for name in by_type}


def empty_tally(plan: Plan) -> Tally:
    """A tally of the right shapes with nothing in it."""
    machines, mounts, kinds = len(plan.machines.operation), len(plan.mounts.machine), len(plan.kinds.sets)
    operations, lines = len(plan.operations.line), len(plan.lines.castings)
    features, pools, gauges = len(plan.features.places), len(plan.pools.people) + 1, len(plan.gauges.feature)
    states, causes = len(State), len(Cause)
    shapes: dict[str, tuple[int, ...]] = {"state_min": (machines, states), "scrapped_min": (machines, operations)}
    shapes |= dict.fromkeys(("scrapped", "recut", "first_salvaged"), (machines, causes)) | {
        "salvaged": (gauges, causes)
    }
    shapes |= dict.fromkeys(
        ("worked", "passed", "first_pass", "recut_min", "breakdowns", "overhauls", "stops", "scrapped_castings"),
        (machines,),
    )
    shapes |= dict.fromkeys((*_BY_MACHINE, "first_gauged", "first_corrected", "first_scrapped"), (machines,))
    shapes |= dict.fromkeys(_IN_ROOM, (machines,))
    shapes |= dict.fromkeys(("stuck_from_min", "stuck_state", "stuck_for"), (machines,))
    by_mount = ("planned", "unplanned", "joined", "in_place", "taken_over", "looks", "saved", "rubbed", "sand_hits")
    shapes |= dict.fromkeys((*by_mount, "edge_parts", "edge_life", "edge_min", *_LOADS), (mounts,))
    by_kind = ("regrinds", "bought", "set_claims", "set_waited_min", "sharp_min", "fewest_sharp")
    shapes |= dict.fromkeys((*by_kind, "presettings", "preset_min", "preset_waited_min"), (kinds,))
    shapes |= dict.fromkeys(("busy_min", "jobs", "waited_min", "queue_min"), (pools,))
    by_operation = ("stock_min", "most_stock", "taken", "had_to_wait", "stood_min", "moving_min", "carrying_min")
    shapes |= dict.fromkeys((*by_operation, "bad_shipped", "bad_shipped_out"), (operations,))
    by_line = ("castings", "shipped", "shipped_first_pass", "scrapped_parts", "turned_away", "in_line_min")
    shapes |= dict.fromkeys((*by_line, "in_line_at_end", "lead_min", "lead_square_min2", "parts_out"), (lines,))
    shapes |= dict.fromkeys(_BY_COMPONENT, (features, len(Component)))
    shapes |= dict.fromkeys(("readings", "corrections", "masterings"), (gauges,))
    shapes |= {"found_by": (gauges, operations), "judged": (gauges, 2, 2)}
    shapes |= {"charged": (gauges, len(plan.cuts.feature) + operations + 1)}
    shapes |= dict.fromkeys(("places", "unclean", "range_total"), (features,))
    shapes |= dict.fromkeys(("tested", "repair_min"), (len(plan.tests.operation),))
    by_term = ("turned_down", "repairs", "given_up", "field_chance")
    shapes |= dict.fromkeys(by_term, (len(plan.test_terms.feature),))
    shapes |= _by_type(plan) | dict.fromkeys(_BY_SHIFT, (pools, plan.shifts_per_day)) | {"nobody_min": (machines,)}
    shapes |= dict.fromkeys(_OF_JOINS, (len(plan.joins.operation),))
    dtypes = {field.name: np.int64 if field.type == "Ints" else np.float64 for field in fields(Tally)}
    arrays = {name: np.zeros(shape, dtype=dtypes[name]) for name, shape in shapes.items()}
    arrays["least"][:] = arrays["fit_least"][:] = np.inf
    arrays["greatest"][:] = arrays["fit_greatest"][:] = -np.inf
    return Tally(counted_min=0.0, is_stuck=False, stuck_at_min=np.inf, **arrays)  # type: ignore[arg-type]
