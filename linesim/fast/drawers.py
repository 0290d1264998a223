"""The functions that open one record of the state: ``machine_at(w.machines, 3)``."""

from __future__ import annotations

from linesim.fast.memory import Real, Whole, drawer, drawer_of, table_dtype
from linesim.fast.part_state import PartWay
from linesim.fast.people_state import Job, Roster
from linesim.fast.state import (
    Claim,
    CutterSet,
    Due,
    Line,
    Machine,
    Mount,
    Note,
    Part,
    Place,
    Pool,
    Shape,
    Sister,
    TimeRow,
    TraceRow,
    Visit,
    World,
)
from linesim.plan import place_tables, room_tables, shape_tables, staffing, tables, type_tables, unlike
from linesim.plan.magazine_tables import Magazines

__all__ = [
    "attending_at",
    "batch_at",
    "changeover_at",
    "claim_at",
    "cut_at",
    "disturbance_at",
    "due_at",
    "feature_at",
    "first_piece_at",
    "fixture_at",
    "gauge_at",
    "holding_at",
    "job_at",
    "join_at",
    "kind_at",
    "line_at",
    "machine_at",
    "magazine_at",
    "mix_at",
    "mount_at",
    "mount_plan_at",
    "move_at",
    "note_at",
    "operation_at",
    "part_at",
    "part_type_at",
    "place_at",
    "placing_at",
    "pool_at",
    "real_at",
    "room_at",
    "roster_at",
    "rule_at",
    "set_at",
    "shape_at",
    "shape_of",
    "sister_at",
    "staffing_at",
    "stroke_at",
    "test_at",
    "test_term_at",
    "time_at",
    "trace_at",
    "type_time_at",
    "upkeep_at",
    "visit_at",
    "way_at",
    "whole_at",
    "world_at",
]

claim_at = drawer(Claim)
due_at = drawer(Due)
job_at = drawer(Job)
line_at = drawer(Line)
machine_at = drawer(Machine)
mount_at = drawer(Mount)
note_at = drawer(Note)
part_at = drawer(Part)
place_at = drawer(Place)
pool_at = drawer(Pool)
real_at = drawer(Real)
roster_at = drawer(Roster)
set_at = drawer(CutterSet)
shape_at = drawer(Shape)
trace_at = drawer(TraceRow)
visit_at = drawer(Visit)
whole_at = drawer(Whole)
world_at = drawer(World)
"""Functions that Python calls are given the address of the world: a record takes it ten times as long to hand over."""

operation_at = drawer_of(table_dtype(tables.Operations))
stroke_at = drawer_of(table_dtype(tables.Strokes))
cut_at = drawer_of(table_dtype(tables.Cuts))
kind_at = drawer_of(table_dtype(tables.Kinds))
feature_at = drawer_of(table_dtype(tables.Features))
disturbance_at = drawer_of(table_dtype(tables.Disturbances))
gauge_at = drawer_of(table_dtype(tables.Gauges))
test_at = drawer_of(table_dtype(tables.Tests))
test_term_at = drawer_of(table_dtype(tables.TestTerms))
first_piece_at = drawer_of(table_dtype(tables.FirstPieces))
mount_plan_at = drawer_of(table_dtype(tables.Mounts))
magazine_at = drawer_of(table_dtype(Magazines))
sister_at = drawer(Sister)
room_at = drawer_of(table_dtype(room_tables.Rooms))
rule_at = drawer_of(table_dtype(tables.Rules))
shape_of = drawer_of(table_dtype(place_tables.Shapes))
placing_at = drawer_of(table_dtype(place_tables.Placings))
holding_at = drawer_of(table_dtype(place_tables.Holdings))
fixture_at = drawer_of(table_dtype(place_tables.Fixtures))
attending_at = drawer_of(table_dtype(staffing.Attending))
staffing_at = drawer_of(table_dtype(staffing.Staffing))
time_at = drawer(TimeRow)
move_at = drawer_of(table_dtype(shape_tables.Moves))
way_at = drawer(PartWay)
batch_at = drawer_of(table_dtype(shape_tables.Batches))
part_type_at = drawer_of(table_dtype(type_tables.PartTypes))
mix_at = drawer_of(table_dtype(type_tables.Mixes))
changeover_at = drawer_of(table_dtype(type_tables.Changeovers))
join_at = drawer_of(table_dtype(type_tables.Joins))
type_time_at = drawer_of(table_dtype(type_tables.TypeTimes))
upkeep_at = drawer_of(table_dtype(unlike.Upkeeps))
