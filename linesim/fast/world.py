"""The one record that compiled code is given, from which it reaches all others.

Minutes count from the start of the run. Links and indices are ``NONE`` (-1) where there is no such thing.
"""

from __future__ import annotations

from linesim.fast.sums import Sums

__all__ = ["World"]


class World(Sums):
    """The one record that compiled code is given: the clock, the key of chance, and where all else lies."""

    now: float
    until: float
    shift_min: float
    group_past: float
    seed: int
    replication: int
    instant: float
    """The moment at which things were last given out."""
    rounds: int
    """How often they were given out at that moment."""

    n_lines: int
    n_pools: int
    n_people: int
    """Groups of people, with the grinders."""
    n_machines: int
    n_mounts: int
    n_sets: int
    n_operations: int
    n_causes: int
    n_gauges: int
    n_states: int
    n_cuts: int
    most_places: int
    most_operations: int
    n_benches: int
    """Benches for repairs; they stand behind the real ones among the machines."""

    agenda: int
    first_slot: int
    next_slot: int
    end_of_slots: int
    final: int
    """What is due when: see `linesim.fast.agenda`; its first round, of which slots before ``next_slot`` have been
    used, and those before ``end_of_slots`` lead up to the final."""
    vacant: int
    wiped_out: int
    """The slot of who acted last, while nobody has entered there again; and the last of those that were wiped out."""
    trouble: int
    culprit: int
    """Why the run stops: parts want more room, or something keeps it from ever ending, and the line or machine that
    does; 0 if nothing does."""
    ready: int
    ready_first: int
    ready_end: int
    ready_last: int
    """Who has been given what it waited for, and acts before anything more is given out: a ring."""
    called: int
    n_called: int
    """Pools with a new claim or something new to give."""
    notes: int
    n_notes: int
    counter: int
    n_counter: int
    """Sets handed in at the crib and not yet dealt with."""

    pools: int
    claims: int
    machines: int
    mounts: int
    sets: int
    lines: int
    parts: int
    part_places: int
    visits: int
    offsets: int
    first_marks: int
    first_offs: int
    gauged: int
    read_since: int
    mastered: int
    masterings_so_far: int
    """Of each gauge on each machine: parts counted, parts read since it was mastered, when that was, how often."""
    walked: int
    walk_min: int
    walk_moves: int
    """Of the same: how far it has wandered off at random, when it last did, how often since it was mastered."""
    bought_so_far: int
    regrinds_begun: int
    set_up_order: int
    crib: int
    grinders: int
    first_shelf: int
    """Numbers of these pools."""
    n_parts: int
    """Parts for which there is room in the arrays."""
    first_free: int
    n_free: int
    n_needed: int
    """Free records that must be at hand before the next thing happens."""

    operations: int
    strokes: int
    cuts: int
    kinds: int
    features: int
    disturbances: int
    gauges: int
    first_pieces: int
    mount_plans: int
    rules: int
    break_ins: int
    """Of each cut, the part of the wear land at the life criterion that is due to breaking in."""
    rough_reaches: int
    """Of each cut, how many times its mean the roughness from part to part can be at most."""
    torn_um: int
    """Of each cut, how deep the layer that it tears can reach at most, with an edge worn no further than `TORN_GROWTH`
    and teeth that stand no worse than on the average."""
    times: int
    listed: int
    led_um: int
    led_pushed_um: int
    """By place of a feature, the error that a leading blade found there in the stroke at hand, and how far it was
    pushed away."""
    honing_min: int
    """Of each cut that stops at size, its minutes on the part at hand."""

    is_traced: int
    trace_rows: int
    trace_places: int
    n_trace: int
    n_trace_most: int

    most_shapes: int
    """As ``most_places`` where any feature carries position, tilt and form; 0 where none does."""
    part_shapes: int
    trace_shapes: int
    shapes: int
    tests: int
    test_terms: int
    placings: int
    holdings: int
    fixtures: int
    begins: int
    """Whether the run begins from a given state."""
    waiting: int
    corrected: int
    """Then, of each operation, the parts that wait; of each cut, whether a gauge sets its offset."""
    is_eager: int
    """Whether sets that are due are changed as a part has left, even if none waits."""
    batches: int
    moves: int
    upkeeps: int
    ways: int
    is_held: int
    """Whether anything but a chip moves what is cut: locating, fixtures, warmth."""
    part_types: int
    mixes: int
    changeover_times: int
    type_times: int
    n_part_types: int
    rooms: int
    attending: int
    staffing: int
    rosters: int
    n_rosters: int
    jobs_at_hand: int
    shifts_per_day: int
    week_min: float
    calendar_min: float
    """Who attends machines, and the shifts of people who do not always attend alike; worked minutes of a week, and how
    many of them have passed as the run begins."""
    magazines: int
    sisters: int
    first_sister_claim: int
    joins: int
    presetters: int
    """Pool of the people who preset sets, or ``NONE``."""
    presets_begun: int
    """Of each kind, how often one of its sets has been preset."""
    has_rare: int
    has_more: int
    """Whether anything is used that few lines have, or that simple lines do not: see `linesim.fast.tiers`."""
