"""Members of the enumerations as plain numbers, which compiled code takes.

Read as attributes of this module: a number imported by its own name would be compiled into each function that is
called with it, one more time for each number.
"""

from __future__ import annotations

from linesim.chance import Distribution, Purpose
from linesim.cutting.component import Component
from linesim.plan.room_tables import Meanwhile
from linesim.plan.staffing import ATTENDED_JOBS
from linesim.plan.tables import Breakage, Reject, RenewalWay
from linesim.plan.tally import Cause, State
from linesim.plan.type_tables import JoinBy, Sequence
from linesim.plan.whereabouts import Whereabouts
from linesim.rules import RuleWay

ATTEND_GAUGE = ATTENDED_JOBS["gauge"]
ATTEND_LOAD = ATTENDED_JOBS["load"]
ATTEND_LOOK = ATTENDED_JOBS["look"]
ATTEND_UNLOAD = ATTENDED_JOBS["unload"]

BREAKAGE_SALVAGE = int(Breakage.SALVAGE)
BREAKAGE_SCRAP = int(Breakage.SCRAP)

CAUSE_BROKEN_CUTTER = int(Cause.BROKEN_CUTTER)
CAUSE_CUT_AWAY = int(Cause.CUT_AWAY)
CAUSE_METAL_LEFT = int(Cause.METAL_LEFT)
CAUSE_NOT_CLEANED_UP = int(Cause.NOT_CLEANED_UP)
CAUSE_OTHER = int(Cause.OTHER)
CAUSE_OFF_PLACE = int(Cause.OFF_PLACE)
CAUSE_OUT_OF_FORM = int(Cause.OUT_OF_FORM)
CAUSE_ROUGH = int(Cause.ROUGH)
CAUSE_TILTED = int(Cause.TILTED)
CAUSE_SMOOTH = int(Cause.SMOOTH)
CAUSE_TEST = int(Cause.TEST)

DISTRIBUTION_FIXED = int(Distribution.FIXED)
DISTRIBUTION_IN_ORDER = int(Distribution.IN_ORDER)
DISTRIBUTION_LISTED = int(Distribution.LISTED)

JOIN_BY_ANY = int(JoinBy.ANY)
JOIN_BY_CLASS = int(JoinBy.CLASS)
JOIN_BY_NUMBER = int(JoinBy.NUMBER)

MEANWHILE_QUARANTINE = int(Meanwhile.QUARANTINE)
MEANWHILE_STANDS = int(Meanwhile.STANDS)
MEANWHILE_SWEEP_BACK = int(Meanwhile.SWEEP_BACK)

OF_FORM = int(Component.FORM)
OF_POSITION = int(Component.POSITION)
OF_ROUGHNESS = int(Component.ROUGHNESS)
OF_SCRATCH = int(Component.SCRATCH)
OF_SIZE = int(Component.SIZE)
OF_TILT = int(Component.TILT)

PURPOSE_OVERHAUL = int(Purpose.OVERHAUL)
PURPOSE_ARRIVAL = int(Purpose.ARRIVAL)
PURPOSE_BRANCH = int(Purpose.BRANCH)
PURPOSE_BREAK_PROBE = int(Purpose.BREAK_PROBE)
PURPOSE_CARRY = int(Purpose.CARRY)
PURPOSE_CARRYING = int(Purpose.CARRYING)
PURPOSE_EXCHANGE = int(Purpose.EXCHANGE)
PURPOSE_GAUGE_WALK = int(Purpose.GAUGE_WALK)
PURPOSE_LOAD = int(Purpose.LOAD)
PURPOSE_CASTING = int(Purpose.CASTING)
PURPOSE_CHANGE = int(Purpose.CHANGE)
PURPOSE_CHANGEOVER = int(Purpose.CHANGEOVER)
PURPOSE_CHECK = int(Purpose.CHECK)
PURPOSE_CHIP = int(Purpose.CHIP)
PURPOSE_CUT = int(Purpose.CUT)
PURPOSE_CYCLE = int(Purpose.CYCLE)
PURPOSE_DISTURB = int(Purpose.DISTURB)
PURPOSE_EDGE = int(Purpose.EDGE)
PURPOSE_FIRST_PIECE = int(Purpose.FIRST_PIECE)
PURPOSE_FAILURE = int(Purpose.FAILURE)
PURPOSE_FIXTURE = int(Purpose.FIXTURE)
PURPOSE_FAULT = int(Purpose.FAULT)
PURPOSE_GAUGE = int(Purpose.GAUGE)
PURPOSE_HEAT = int(Purpose.HEAT)
PURPOSE_MENDING = int(Purpose.MENDING)
PURPOSE_KIND_LIFE = int(Purpose.KIND_LIFE)
PURPOSE_MASTERING = int(Purpose.MASTERING)
PURPOSE_MOVE = int(Purpose.MOVE)
PURPOSE_OTHER = int(Purpose.OTHER)
PURPOSE_PART_TYPE = int(Purpose.PART_TYPE)
PURPOSE_PRESETTING = int(Purpose.PRESETTING)
PURPOSE_RECUT = int(Purpose.RECUT)
PURPOSE_REGRIND = int(Purpose.REGRIND)
PURPOSE_REPAIR = int(Purpose.REPAIR)
PURPOSE_RIGHTING = int(Purpose.RIGHTING)
PURPOSE_SAVING = int(Purpose.SAVING)
PURPOSE_STRENGTH = int(Purpose.STRENGTH)
PURPOSE_SKIN_HIT = int(Purpose.SKIN_HIT)
PURPOSE_SUPPLY = int(Purpose.SUPPLY)
PURPOSE_YIELD = int(Purpose.YIELD)

REJECT_PASS = int(Reject.PASS)
REJECT_SALVAGE = int(Reject.SALVAGE)
REJECT_SCRAP = int(Reject.SCRAP)

RENEWAL_DRESSED = int(RenewalWay.DRESSED)
RENEWAL_INDEXED = int(RenewalWay.INDEXED)
RENEWAL_REGROUND = int(RenewalWay.REGROUND)

RULE_LOAD = int(RuleWay.LOAD)

SET_BEFORE_GRINDER = int(Whereabouts.BEFORE_GRINDER)
SET_AT_GRINDER = int(Whereabouts.AT_GRINDER)
SET_ON_ORDER = int(Whereabouts.ON_ORDER)
SET_BEFORE_PRESETTER = int(Whereabouts.BEFORE_PRESETTER)
SET_AT_PRESETTER = int(Whereabouts.AT_PRESETTER)
SET_ON_SHELF = int(Whereabouts.ON_SHELF)
SET_DRAWN = int(Whereabouts.DRAWN)

SEQUENCE_IN_TURN = int(Sequence.IN_TURN)
SEQUENCE_MATCHED = int(Sequence.MATCHED)
SEQUENCE_SAME_TYPE = int(Sequence.SAME_TYPE)

STATE_CHANGING = int(State.CHANGING)
STATE_CHANGING_OVER = int(State.CHANGING_OVER)
STATE_CHECKING = int(State.CHECKING)
STATE_CUTTING = int(State.CUTTING)
STATE_FILLING = int(State.FILLING)
STATE_FIRST_PIECE = int(State.FIRST_PIECE)
STATE_GAUGING = int(State.GAUGING)
STATE_HELD_UP = int(State.HELD_UP)
STATE_LOADING = int(State.LOADING)
STATE_OVERHAUL = int(State.OVERHAUL)
STATE_SETTING_RIGHT = int(State.SETTING_RIGHT)
STATE_UNDER_REPAIR = int(State.UNDER_REPAIR)
STATE_WAITING_FOR_FELLOW = int(State.WAITING_FOR_FELLOW)
STATE_WAITING_FOR_FITTER = int(State.WAITING_FOR_FITTER)
STATE_WAITING_FOR_OPERATOR = int(State.WAITING_FOR_OPERATOR)
STATE_WAITING_FOR_PART = int(State.WAITING_FOR_PART)
STATE_WAITING_FOR_RESULT = int(State.WAITING_FOR_RESULT)
STATE_WAITING_FOR_SET = int(State.WAITING_FOR_SET)
STATE_WAITING_FOR_SETTER = int(State.WAITING_FOR_SETTER)
