"""The state of a compiled run: what each record holds.

Minutes count from the start of the run. Links and indices are ``NONE`` (-1) where there is no such thing.
"""

from __future__ import annotations

__all__ = [
    "Claim",
    "CutterSet",
    "Line",
    "Machine",
    "Mount",
    "Note",
    "Part",
    "Place",
    "Pool",
    "TimeRow",
    "TraceRow",
    "Visit",
    "World",
]


class Sums:
    """Addresses of the arrays of the tally, under its names; what is not here is counted in records of its own."""

    state_min: int
    scrapped: int
    recut: int
    salvaged: int
    recut_min: int
    breakdowns: int
    stops: int
    scrapped_castings: int
    scrapped_min: int
    planned: int
    unplanned: int
    joined: int
    in_place: int
    looks: int
    edge_parts: int
    edge_life: int
    edge_min: int
    regrinds: int
    bought: int
    castings: int
    shipped: int
    shipped_first_pass: int
    scrapped_parts: int
    turned_away: int
    in_line_min: int
    lead_min: int
    lead_square_min2: int
    readings: int
    judged: int
    corrections: int
    places: int
    total: int
    square: int
    capped: int
    least: int
    greatest: int
    below: int
    above: int
    unclean: int
    parts_out: int
    range_total: int


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
    events: int
    """Timed events so far."""

    n_machines: int
    n_mounts: int
    n_sets: int
    n_operations: int
    n_causes: int
    n_gauges: int
    n_states: int
    most_places: int
    most_operations: int

    agenda_min: int
    agenda_who: int
    n_agenda: int
    is_open: int
    """What is due when: a binary heap of moments, and beside it who is to act then; whether its first place is free."""
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
    gauged: int
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
    """Free places that must be at hand before the next thing happens."""

    operations: int
    strokes: int
    cuts: int
    kinds: int
    features: int
    disturbances: int
    gauges: int
    rules: int
    break_ins: int
    """Of each cut, the part of the wear land at the life criterion that is due to breaking in."""
    times: int
    listed: int

    is_traced: int
    trace_rows: int
    trace_places: int
    n_trace: int
    n_trace_most: int


class Line:
    """What comes into one line, and its count."""

    first_operation: int
    end_operation: int
    first_feature: int
    end_feature: int
    arrival_time: int
    turns_away: int
    limit: int
    pallets: int
    room: int
    yard: int
    door: int
    serial: int
    arrived: int
    inside: int
    keeps_visits: int
    """Whether anything asks which machine did what to a part, and when."""
    n_places: int


class Machine:
    """One machine and where it is in its round."""

    now: float
    """How far it has come; ahead of the others in a stretch of its round that concerns nobody else."""
    goes_ahead: int
    is_plain: int
    """Whether its round is nothing but its minutes."""
    has_looks: int
    """Whether any of its rules looks at edges."""
    step: int
    state: int
    state_since: float
    last_entry: float
    worked: int
    passed: int
    first_pass: int
    """Counts that the tally takes over at the end."""
    index: int
    part: int
    serial: int
    """Of the part at hand."""
    rank: int
    operation: int
    position: int
    line: int
    source: int
    target: int
    """Pools that it takes parts from and passes them on to."""
    left_min: float
    """Minutes that the spindle has still to run."""
    to_failure_min: float
    cutting: int
    """What the spindle is running for."""
    breaking: int
    """Mount whose edge breaks at the end of this cut."""
    first_mount: int
    end_mount: int
    first_gauged: int
    first_offset: int
    first_cut: int
    """Where the offsets of its cuts begin, and the first of these cuts."""
    cursor: int
    """Mount, stroke or gauge at hand."""
    recuts: int
    is_first_try: int
    is_spoiled: int
    shift_um: float
    pending: int
    """Sharp sets that it still waits for."""
    by_hand: int
    stop_for: int
    """Mount that broke, if the stop is for that."""
    after_stop: int
    stops: int
    looks: int
    failures: int


class Mount:
    """A place on a machine where a cutter set sits, and its edge."""

    life_share: float
    life_factor: float
    break_share: float
    expected_life_min: float
    cut_min: float
    parts: int
    parts_since_look: int
    rule: int
    kind: int
    machine: int
    mounted_min: float
    wear_read_mm: float
    """Wear land at the last look; minus infinity if there was none."""
    size_read_um: float
    roughness_read_um: float
    """Last readings of a gauge; 0 if there were none."""
    was_rejected: int
    ordinal: int
    cutter_set: int
    sharp_set: int
    """The set that is mounted, and the one that comes next."""
    role: int
    is_in_place: int


class CutterSet:
    """One set in circulation."""

    kind: int
    number: int
    stock_mm: float
    uses_left: int
    is_reground: int
    step: int
    sharp_since: float
    next: int
    prev: int
    wear_land_mm: float
    is_broken: int
    rank: int


class Part:
    """One casting on its way."""

    serial: int
    line: int
    came_min: float
    since_min: float
    """Since when it stands in its buffer."""
    next: int
    prev: int
    is_first_pass: int
    tries: int


class Place:
    """One place of a feature of a part."""

    error_um: float
    roughness_um: float
    """Until it is worked out, the share of all surfaces of this kind that are smoother."""
    scratch_um: float
    is_clean: int
    is_machined: int
    rough_cut: int
    """The cut whose roughness has still to be worked out."""
    rough_growth: float
    """How far the wear of its edge had grown."""


class Visit:
    """What one operation did to a part."""

    machine: int
    done_min: float
    spent_min: float


class Claim:
    """One claim that waits in a pool; each machine, mount and set has one."""

    since_min: float
    rank: int
    next: int
    prev: int


class Pool:
    """Anything shared: the crib's counter, people, a shelf, a yard, the dispatch, a buffer."""

    way: int
    is_direct: int
    """Whether parts go through it without the foreman, as nobody else could be served first."""
    turn: int
    """In which order things are given out at one instant, as `linesim.floor.foreman.Turn`."""
    of: int
    """Number of the line, operation, kind or group of people."""
    is_called: int
    first_claim: int
    last_claim: int
    n_claims: int
    first_giver: int
    last_giver: int
    n_givers: int
    first: int
    last: int
    """Parts or sharp sets that stand in it, the oldest first."""
    stock: int
    capacity: int
    free: int
    since_min: float
    level_min: float
    queue_min: float
    waited_min: float
    served: int
    had_to_wait: int
    extreme: int


class Note:
    """What a gauge has to say to the machines that made a feature."""

    rank: int
    gauge: int
    maker_mount: int
    maker_done_min: float
    corrected_mount: int
    corrected_done_min: float
    offset: int
    is_rejected: int
    mean_um: float
    worst_um: float
    roughness_um: float


class TraceRow:
    """One event of a trace."""

    minute: float
    what: int
    machine: int
    subject: int
    """State, serial number of the part, or mount."""
    count: int
    """Parts that the edge has done."""
    life_share: float
    role: int
    """Why the set was changed."""


class TimeRow:
    """One length of time."""

    law: int
    p1: float
    p2: float
    p3: float
    list_first: int
    list_end: int
