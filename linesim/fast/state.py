"""The state of a compiled run: what each record holds; `World` ties them together.

Minutes count from the start of the run. Links and indices are ``NONE`` (-1) where there is no such thing.
"""

from __future__ import annotations

from linesim.fast.part_state import Note, Part, Place, Shape, Visit
from linesim.fast.pool_state import Claim, CutterSet, Due, Pool, Sister
from linesim.fast.rows import TimeRow, TraceRow
from linesim.fast.short import Short
from linesim.fast.sums import Sums
from linesim.fast.world import World

__all__ = [
    "Claim",
    "CutterSet",
    "Due",
    "Line",
    "Machine",
    "Mount",
    "Note",
    "Part",
    "Place",
    "Pool",
    "Shape",
    "Sister",
    "Sums",
    "TimeRow",
    "TraceRow",
    "Visit",
    "World",
]


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
    last_arrival_min: float
    at_once: int
    """Castings that have arrived at that moment."""
    inside: int
    keeps_visits: int
    """Whether anything asks which machine did what to a part, and when."""
    n_places: int
    has_faults: int
    heat_castings: int
    heat_min: float
    heat_life_cv: float
    heat_force_cv: float
    first_failure: int
    end_failure: int
    first_type: int
    end_type: int
    has_types: int
    """Whether it makes several part types."""
    fellows: int
    join: int
    delivery: int
    meets: int
    """How it meets another line, see `linesim.fast.fellows`; the row of ``Joins`` by which its parts are joined, the
    pools of its finished parts and of those to which they are joined, or ``NONE``."""


class Machine:
    """One machine and where it is in its round; what every round needs stands first, in the same lines of memory."""

    now: float
    """How far it has come; ahead of the others in a stretch of its round that concerns nobody else."""
    state_since: float
    last_entry: float
    fixed_min: float
    """Its minutes where they are always the same; negative where they are drawn."""
    to_failure_min: float
    serial: int
    """Of the part at hand."""
    step: Short
    state: Short
    is_plain: Short
    """Whether its round is nothing but its minutes."""
    goes_ahead: Short
    has_looks: Short
    """Whether any of its rules looks at edges."""
    is_due: Short
    batch: Short
    index: Short
    part: Short
    source: Short
    target: Short
    """Pools that it takes parts from and passes them on to."""
    first_mount: Short
    end_mount: Short
    cursor: Short
    """Mount, stroke or gauge at hand."""
    worked: Short
    passed: Short
    first_pass: Short
    """Counts that the tally takes over at the end."""
    is_first_try: Short
    operation: Short
    position: Short
    line: Short
    cutting: Short
    """What the spindle is running for."""
    offered: Short
    """The step behind asking for a part."""
    left_min: float
    """Minutes that the spindle has still to run."""
    pace: float
    """What the minutes of its work are multiplied by."""
    rank: int
    broken_in: int
    breakdowns: Short
    """The cut in which it broke down last, and how often in that one."""
    breaking: Short
    """Mount whose edge breaks at the end of this cut."""
    first_gauged: Short
    first_offset: Short
    first_cut: Short
    """Where the offsets of its cuts begin, and the first of these cuts."""
    recuts: Short
    is_spoiled: Short
    pending: Short
    """Sharp sets that it still waits for."""
    by_hand: Short
    stop_for: Short
    """Mount that broke, if the stop is for that."""
    after_stop: Short
    lift_um: float
    """Thickness of the chip under the part at hand."""
    fault_um: float
    """What a fault of the machine adds to the cuts of the part at hand."""
    is_bad: Short
    is_found: Short
    spell: int
    begun: int
    """How often it has turned bad, and parts begun."""
    bad_since_min: float
    stops: int
    looks: int
    failures: int
    test: Short
    bench: Short
    """What its operation tests for, or what it repairs if it is a bench; pool of the parts that wait for a bench."""
    held_um: float
    turned_um: float
    """Error of the fixture in position and tilt."""
    warm_um: float
    room_k: float
    """What warmth of machine and room do to the stroke at hand."""
    warmth: float
    warm_until_min: float
    began_cold: int
    """How warm it was when its spindle stood still last, when that was, and in which day or week."""
    has_firsts: Short
    runs_on: Short
    """Whether first pieces are gauged here, and whether it runs on meanwhile."""
    falls_due: Short
    is_asked: Short
    """Whether its overhaul falls due before it breaks down, and whether its rules are asked before a part has come."""
    drawn: int
    age_min: float
    span_min: float
    beyond_min: float
    since_min: float
    """How often the minutes to a breakdown were drawn; its age when they were last, these minutes, those of them behind
    the moment at which the overhaul falls due, and cutting minutes before them since the last overhaul."""
    room_ways: Short
    """What the measuring room has to do with it: see `linesim.fast.room_side`."""
    aside: Short
    home: Short
    """Pool of its first pieces that wait to be gauged meanwhile; of a bench where they are, or a clock, the machine."""
    in_batch: Short
    first_in: Short
    last_in: Short
    """Parts that it takes at once, 0 for one after another; those that it has, the first and the last of them."""
    is_filling: Short
    clock: Short
    """Whether it takes more in; who watches how long the first of them waits, or ``NONE``."""
    starts: Short
    runs: Short
    """Pool that starts a batch that is not full; of a clock, whether it runs."""
    due_min: float
    """When the first part of a batch has waited long enough or a clock calls; of a carrier, since when it is out."""
    errand: int
    """How often the part that a carrier took had been repaired."""
    is_mixed: Short
    """Whether it changes over or chooses between part types."""
    set_to: Short
    next_type: Short
    is_new_turn: Short
    turn_left: Short
    changeovers: Short
    """The type that it is set to and will be; whether its turn is new, parts left of it; changeovers so far."""
    forks: Short
    picks: Short
    """Whether types pass by the operation behind it; whether some cutters are not for all types or read by load."""
    waits: Short
    tray: Short
    held: Short
    keeper: Short
    is_sorter: Short
    sampled: int
    taken: int
    good_to: int
    bad_to: int
    known_to: int
    """Pools of its parts on the way to the room and held, who looks after these: `floor.measuring_room.RoomSide`."""
    here: Short
    attends: Short
    """Pool of people of whom one is called to it or there; what people do here in every round, bits of a job each."""
    asks: Short
    """The step at which it asks for a part, if not as most do: ``BATCH_TAKE``, ``FIRST_TAKE`` or 0."""
    own_held_um: float
    own_turned_um: float
    """Error of its own fixture, beside that of the operation's fixtures."""
    has_magazine: Short
    renewed_min: float
    has_probes: Short
    is_probing: Short
    """When the setter was last there for it; whether gauges read from its spindle, and do so now."""
    has_unseen: Short
    unprobed: Short
    """Whether edges break unseen on it; parts since its probe looked for that last."""
    moving_min: float
    carrying_min: float
    """Of a carrier, minutes of its ways with parts, and those in which it was busy."""


class Mount:
    """A slot on a machine where a cutter set sits, and its edge; what every cut needs stands first, in one line."""

    life_share: float
    life_factor: float
    expected_life_min: float
    cut_min: float
    break_share: float
    parts: Short
    parts_since_look: Short
    rule: Short
    role: Short
    kind: Short
    rubbed: Short
    """Places at which it has rubbed in the stroke at hand."""
    mounted_min: float
    finish_factor: float
    """What its roughness is multiplied by, as the teeth of this mounted cutter happen to stand."""
    machine: Short
    was_rejected: Short
    wear_read_mm: float
    """Wear land at the last look; minus infinity if there was none."""
    size_read_um: float
    roughness_read_um: float
    """Last readings of a gauge; 0 if there were none."""
    ordinal: int
    cutter_set: Short
    sharp_set: Short
    """The set that is mounted, and the one that comes next."""
    is_in_place: Short
    first_left: Short
    """First pieces that may still be gauged after its change."""
    is_rezeroed: Short
    awaited: int
    answered_min: float
    """Serial number of its first piece that is gauged while the machine runs on, or ``NONE``; when the answer came."""
    first_sister: Short
    n_sisters: Short
    n_used: Short
    """Where its sisters in the magazine begin, how many there are, and how many of them, the first ones, are used."""
    is_broken: Short
    is_seen: Short
    broken_parts: int
    """Whether it has broken unseen, whether that is known by now, and parts cut with it since."""
    load_count: Short
    load_sum: float
    load_read: float
    """Readings of the spindle's load since the last mean, their sum, and that mean; 0 if there was none."""
