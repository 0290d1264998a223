"""Where a machine, or a cutter set outside the machines, stands in its round; it goes on from there."""

from __future__ import annotations

from typing import Final

BLOCKED: Final = -1
"""It waits, for time to pass or for something shared."""

TAKE: Final = 0
GOT_PART: Final = 1
LOADED: Final = 2
NEXT_STROKE: Final = 3
PLAIN: Final = 4
SPINDLE: Final = 5
SPUN: Final = 6
CUT_DONE: Final = 7
UNLOADED: Final = 8
PASS_ON: Final = 9
LEFT: Final = 10
LOAD: Final = 11
CLEANED: Final = 12
GAUGE_NEXT: Final = 13
GAUGE: Final = 14
READ: Final = 15
LOOK: Final = 16
LOOKED: Final = 17
ASK: Final = 18
CALL_SETTER: Final = 19
CHANGE: Final = 20
CHANGED: Final = 21
FAILED: Final = 22
REPAIR: Final = 23
REPAIRED: Final = 24
AGAIN: Final = 25
TEST: Final = 26
BENCH_TAKE: Final = 27
BENCH_GOT: Final = 28
BENCH_REPAIR: Final = 29
BENCH_DONE: Final = 30
CALL_FOR_RIGHTING: Final = 31
RIGHTING: Final = 32
RIGHTED: Final = 33
FIRST_ASK: Final = 34
FIRST_GAUGE: Final = 35
FIRST_READ: Final = 36
FIRST_RECUT: Final = 37
BENCH_FIRST_TAKE: Final = 38
BENCH_FIRST_GOT: Final = 39
BENCH_FIRST_GAUGE: Final = 40
BENCH_FIRST_READ: Final = 41
BENCH_FIRST_LEFT: Final = 42
CALL_FOR_OVERHAUL: Final = 43
OVERHAUL: Final = 44
OVERHAULED: Final = 45
BATCH_TAKE: Final = 46
BATCH_GOT: Final = 47
BATCH_RUN: Final = 48
BATCH_RAN: Final = 49
BATCH_CLOCK: Final = 50
DOWN: Final = 51
DOWN_REPAIR: Final = 52
DOWN_OVER: Final = 53
CARRY_TAKE: Final = 54
CARRY_GOT: Final = 55
CARRY_THERE: Final = 56
CARRY_LEFT: Final = 57
CARRY_BACK: Final = 58
WAY_CLOCK: Final = 59
CALL_FOR_CHANGEOVER: Final = 60
CHANGE_OVER: Final = 61
CHANGED_OVER: Final = 62
ROOM_TAKE: Final = 63
ROOM_GOT: Final = 64
ROOM_THERE: Final = 65
ROOM_BEGIN: Final = 66
ROOM_READ: Final = 67
ROOM_LEFT: Final = 68
ROOM_OFFERED: Final = 69
HAND_OVER: Final = 70
TAKE_UP: Final = 71
LOAD_ATTENDED: Final = 72
CLEANED_ATTENDED: Final = 73
LOADED_ATTENDED: Final = 74
UNLOAD_ATTENDED: Final = 75
UNLOADED_ATTENDED: Final = 76
GAUGE_ATTENDED: Final = 77
READING_ATTENDED: Final = 78
READ_ATTENDED: Final = 79
FIRST_TAKE: Final = 80
EXCHANGED: Final = 81
PROBED: Final = 82
FIRST_RARE: Final = GAUGE_NEXT
"""From here on steps that not every round has."""

STROKE: Final = 0
PLAIN_MINUTES: Final = 1
RECUT_STROKE: Final = 2
FIRST_RECUT_STROKE: Final = 3
BATCH_MINUTES: Final = 4
"""What the spindle is running for."""

STAYS: Final = 0
DUE: Final = 1
JOINED: Final = 2
BROKEN: Final = 3
"""What happens to a mounted set in a stop."""

BY_SISTER: Final = 4
"""Added to it in the trace where the next sister takes over."""

TO_GRINDER: Final = 0
AT_GRINDER: Final = 1
GROUND: Final = 2
TO_ORDER: Final = 3
ARRIVED: Final = 4
AT_PRESETTER: Final = 5
PRESET: Final = 6
PRESETTING_LEFT: Final = 7
PRESETTING_AGAIN: Final = 8
"""What happens to a set outside the machines."""

GO_ON: Final = 0
DONE: Final = 1
FULL: Final = 2
CIRCLE: Final = 3
TRACE_FULL: Final = 4
ARRIVALS: Final = 5
BREAKDOWNS: Final = 6
CROWDED: Final = 7
"""What the kernel says when it comes back."""

MOVES: Final = 0
MAY_STAND: Final = 1
STUCK: Final = 2
"""What it says of how the floor stands at the end."""

CRIB: Final = 0
PEOPLE: Final = 1
SHELF: Final = 2
YARD: Final = 3
DISPATCH: Final = 4
BUFFER: Final = 5
DOOR: Final = 6
BENCH: Final = 7
STARTS: Final = 8
WAY: Final = 9
DELIVERY: Final = 10
"""Kinds of pool."""

ENTERS: Final = 0
PART_LOADED: Final = 1
PART_COMPLETE: Final = 2
PART_LEFT: Final = 3
PART_SCRAPPED: Final = 4
SET_CHANGED: Final = 5
PART_TURNED_DOWN: Final = 6
PART_SORTED: Final = 7
SET_MOVES: Final = 8
"""What a row of the trace tells."""
