"""What a line can have, and where it must be seen: figures, sentences, trace and a shift's replay.

The drawing of the routing has a table of its own in ``test_drawn``. Where the trade has nothing to show in a place, the
table says why.
"""

from __future__ import annotations

import re
from functools import cache
from typing import Any, NamedTuple

import pytest

from linesim.plan.tally import State
from linesim.result import Result
from linesim.study.one.shift_record import ShiftRecord, record_shift
from linesim.study.one.tryout import Tryout
from linesim.works import Works
from tests.floors import a_blade, a_cut, a_shop, a_tool

Content = dict[str, Any]

PLACES = ("tables", "states", "ledger", "findings", "indicators", "trace", "replay")


class Nothing(str):
    """Why there is nothing to show in a place."""

    __slots__ = ()


class Element(NamedTuple):
    """A piece of a line, and what of it must be found in each place.

    Attributes
    ----------
    works : dict
        What is handed to `a_shop`.
    tables : str
        ``table.column`` of a run that is not zero.
    states : State or Nothing
        In which machines spend minutes.
    ledger : str
        An item, cause or what of a row that costs something.
    findings : str
        A pattern of one of the sentences.
    indicators : str
        One that has a value.
    trace, replay : str
        ``table.column=text`` for a text in a column, ``table.column`` for a figure that is not zero.
    """

    works: Content
    tables: str
    states: State | Nothing
    ledger: str
    findings: str
    indicators: str
    trace: str
    replay: str


FACE = {"face": {"size": {"limits": [99.98, 100.02], "loss_at_limit": 5}}}
CUT: Content = {"strokes": {"stroke": {"cuts": {"cut": a_cut()}}}}
TYPES = {"parts": {"long": {"share": 0.5}, "short": {"share": 0.5}}}
HANDS: Content = {"hands": {"rate": 30, "paid": "attendance"}}
NIGHTS: Content = {"shift": "2 h", "shifts_per_day": 2, "days_per_week": 5, "weeks_per_year": 48}
BLADES = {"blade": a_blade(life=30, sets=9, change=2, price=20)}
REPAIRED = {
    "floor": 0.3,
    "cause": "leak",
    "rejected": {"repair": {"minutes": 5, "succeeds": 0.8, "tries": 2, "cost": 3}},
}
ROOM = {"carry": 10, "by": "hands"}
IN_ROOM = {"gauge": {"feature": "face", "every": 5, "minutes": 4, "where": "measuring room"}}
REST = [{"after": "30 min", "minutes": "20 min"}]
AGES = {"ages": {"shape": 2, "scale": 100}, "repair": 20, "overhaul": {"every": 150, "minutes": 30}}
SOON = {"shape": 20, "scale": 0.3}
CLASSES = {"feature": "face", "to": "face", "width": 4}
LOOSE: Content = {"strokes": {"stroke": {"cuts": {"cut": a_cut(repeatability=10.0)}}}}
FIT: Content = {"minutes": 1, "buffer": 2, "rate": 30}
BELT = {"length": "6 m", "speed": "3 m/min", "pitch": "1 m"}
HEATS = {"of": 20, "life": "30 %", "force": "10 %"}
MATCHED: Content = {"material": "EN-GJL-250", "features": FACE}
BORES = {
    "bore": {"kind": "bore", "diameter": 80.0, "length": 165.0, "height": 240.0,
             "position": {"limit": 50.0, "loss_at_limit": 4}},
    "bottom": {"length": 600.0},
}  # fmt: skip
BORED = {
    "strokes": {"stroke": {"cuts": {"cut": a_cut(feature="bore")}}}, "locating": {"on": "bottom", "pads": 300.0},
    "fixtures": {"count": 3, "position": 8, "tilt": 6},
}  # fmt: skip
SISTERS = {"magazine": {"sisters": {"blade": 3}, "exchange": "5 s"}}


def cutting(**entries: Any) -> Content:
    """A line with a machine that cuts a face, and one behind it."""
    return {"operations": {"Op 10": CUT | {"rate": 60} | entries, "Op 20": {"minutes": 0.5, "buffer": 3, "rate": 30}}}


def line(first: Content, second: Content | None = None) -> Content:
    """A line of two operations given by their minutes."""
    return {"operations": {"Op 10": {"minutes": 1, "rate": 60} | first,
                           "Op 20": {"minutes": 1, "buffer": 3, "rate": 30} | (second or {})}}  # fmt: skip


NO_TIME = Nothing("it takes no minutes of a machine of its own")
AS_MACHINES = Nothing("the standard's indicators know machines and lines; what it does is within theirs")

MATRIX: dict[str, Element] = {
    "part types": Element(
        line({}, {}) | {"line": TYPES},
        tables="types.shipped", states=Nothing("a type is not what a machine does"),
        ledger="castings", findings=Nothing("types that run as wished are nothing to be told of"),
        indicators="quality ratio", trace="parts.part_type=long", replay="parts.part_type=long",
    ),
    "changeovers": Element(
        line({"changeover": {"minutes": 20}}) | {"line": TYPES},
        tables="changeovers.changeovers", states=State.CHANGING_OVER, ledger="changing over",
        findings="chang(es|ed) over|changeover", indicators="setup ratio",
        trace="states.state=changing over", replay="states.state=changing over",
    ),
    "branches": Element(
        {"operations": {"Op 10": {"minutes": 1}, "Op 20": {"minutes": 3, "buffer": 2, "branch": "left"},
                        "Op 30": {"minutes": 3, "buffer": 2, "branch": "right", "rate": 9}},
         "line": {"branches": {"fork": {"left": 0.5, "right": 0.5}}}},
        tables="operations.worked", states=NO_TIME, ledger="Op 30",
        findings=Nothing("a part that goes its way is nothing to be told of"), indicators="availability",
        trace="parts.operation=Op 30", replay="parts.operation=Op 30",
    ),
    "unlike machines": Element(
        line({"machines": 2, "unlike": {"old": {"time": 2}, "new": {}}}),
        tables="machines.worked", states=State.CUTTING, ledger="cutting",
        findings=Nothing("what an old machine makes is in its figures"), indicators="effectiveness",
        trace="parts.machine=old", replay="states.machine=old",
    ),
    "rework loop": Element(
        line({}, {"test": REPAIRED}),
        tables="later.repairs", states=Nothing("it is done at benches beside the line"), ledger="repairs of parts",
        findings=Nothing("what it costs is in the ledger, and what was lost among the causes"),
        indicators="rework ratio", trace="parts.outcome=to repair", replay="parts.outcome=to repair",
    ),
    "lines that meet": Element(
        {"lines": {"crankcase": line({}, {"joins": {"caps": {}}}),
                   "caps": {"operations": {"mill": {"minutes": 3}}}}},
        tables="joins.joined", states=State.WAITING_FOR_FELLOW, ledger="waiting for a fellow part",
        findings="for a fellow part of", indicators="availability",
        trace="states.state=waiting for a fellow part", replay="states.state=waiting for a fellow part",
    ),
    "carriers": Element(
        line({}, {"move": {"minutes": 2, "carriers": 1, "rate": 10}}),
        tables="operations.carriers_busy_share", states=State.HELD_UP, ledger="transport and pallets",
        findings="carriers", indicators=AS_MACHINES, trace="states.state=held up", replay="states.state=held up",
    ),
    "conveyor": Element(
        {"operations": {"Op 10": {"minutes": 1, "rate": 60}, "Op 20": {"minutes": 3, "move": BELT}}},
        tables="operations.mean_moving", states=State.HELD_UP, ledger="held up",
        findings=Nothing("a belt that is full is told by what is held up before it"), indicators=AS_MACHINES,
        trace="states.state=held up", replay="stock.parts",
    ),
    "batch station": Element(
        line({}, {"batch": {"most": 4, "least": 4}}),
        tables="machines.mean_batch", states=State.FILLING, ledger="filling a batch",
        findings=Nothing("how full it ran is in its table; that it never fills is told as a standstill"),
        indicators="utilisation efficiency", trace="states.state=filling a batch",
        replay="states.state=filling a batch",
    ),
    "operators": Element(
        line({"machines": 3, "load": 2, "attended": {"by": "hands", "jobs": ["load"], "walk": "10 s"}})
        | {"people": HANDS},
        tables="people.busy_min", states=State.WAITING_FOR_OPERATOR, ledger="hands", findings="operator",
        indicators=AS_MACHINES, trace="states.state=waiting for an operator",
        replay="states.state=waiting for an operator",
    ),
    "nights without anybody": Element(
        cutting(setters="hands") | {"people": {"hands": {"by_shift": [0, 1], "rate": 30, "paid": "attendance"}},
                                    "calendar": NIGHTS, "rule": {"parts": 20}},
        tables="staffing.attended_min", states=State.WAITING_FOR_SETTER, ledger="hands", findings="shift 1",
        indicators="availability", trace="states.state=waiting for a setter",
        replay="states.state=waiting for a setter",
    ),
    "breaks": Element(
        line({"load": 1, "attended": {"by": "hands", "jobs": ["load"]}})
        | {"people": {"hands": {"rate": 30, "paid": "attendance", "breaks": REST}},
           "calendar": NIGHTS},
        tables="staffing.attended_min", states=State.WAITING_FOR_OPERATOR, ledger="hands", findings="break",
        indicators=AS_MACHINES, trace="states.state=waiting for an operator",
        replay="states.state=waiting for an operator",
    ),
    "ageing and overhauls": Element(
        line({"breakdowns": AGES}),
        tables="machines.overhauls", states=State.OVERHAUL, ledger="being overhauled",
        findings=Nothing("an overhaul that is planned is no finding; its minutes are in the tables"),
        indicators="availability", trace="states.state=being overhauled", replay="states.state=being overhauled",
    ),
    "eager change": Element(
        cutting() | {"policies": {"as stated": {"default": {"parts": 10}, "changes": "when due"}}},
        tables="changes.planned", states=State.CHANGING, ledger="changing cutters",
        findings=Nothing("it is how the rule is carried out"), indicators="setup ratio",
        trace="changes.why=due", replay="changes.why=due",
    ),
    "a state to begin from": Element(
        cutting() | {"now": {"lines": {"line": {"Op 10": {"edges": {"blade": 25}}}}}, "rule": {"parts": 30}},
        tables="changes.planned", states=State.CHANGING, ledger="changing cutters",
        findings=Nothing("the run begins with it, and says so in its head"), indicators="availability",
        trace="changes.parts=30", replay="changes.parts=30",
    ),
    "first piece": Element(
        cutting(first_piece={"minutes": 4, "by": "hands"}) | {"people": HANDS, "rule": {"parts": 15}},
        tables="first_pieces.gauged", states=State.FIRST_PIECE, ledger="waiting for the first piece",
        findings="first piece", indicators="setup ratio", trace="states.state=waiting for the first piece",
        replay="states.state=waiting for the first piece",
    ),
    "sister cutters": Element(
        cutting(**SISTERS) | {"rule": {"parts": 10}},
        tables="changes.taken_over", states=State.CHANGING, ledger="changing cutters", findings="sister",
        indicators="setup ratio", trace="changes.why=by a sister", replay="changes.why=by a sister",
    ),
    "load monitoring": Element(
        cutting() | {"rule": {"load": {"past": 1.05, "noise": 0.1, "growth": 0.5}}},
        tables="changes.load_alarms", states=State.CHANGING, ledger="changing cutters", findings="alarms by the load",
        indicators="setup ratio", trace="changes.why=due", replay="changes.why=due",
    ),
    "breaks that nobody sees": Element(
        cutting() | {"cutters": {"blade": a_blade(life=30, sets=9, change=2, price=20, seen_after=6, breaking=SOON)}},
        tables="changes.broke_unseen", states=State.CHANGING, ledger="cutter broke", findings="broke unseen|unseen",
        indicators="scrap ratio", trace="changes.why=broken", replay="breaks.parts",
    ),
    "breakage probe": Element(
        cutting(breakage_probe={"minutes": "6 s"})
        | {"cutters": {"blade": a_blade(life=30, sets=9, change=2, price=20, seen_after=6, breaking=SOON)}},
        tables="changes.probe_found", states=State.CHECKING, ledger="checking an edge", findings="probe",
        indicators="scrap ratio", trace="states.state=checking an edge", replay="states.state=checking an edge",
    ),
    "presetting": Element(
        cutting() | {"cutters": {"blade": a_blade(life=30, sets=1, change=2, presetting=15, price=20)},
                     "people": HANDS, "crib": {"presetters": "hands"}, "rule": {"parts": 10}},
        tables="sets.presettings", states=State.WAITING_FOR_SET, ledger="hands", findings="sharp|presett|hands",
        indicators=AS_MACHINES, trace="sets.place=at the presetter", replay="crib.presetting",
    ),
    "the crib's shelf": Element(
        cutting() | {"cutters": {"blade": a_blade(life=30, sets=1, lead_time=30, price=20)}, "rule": {"parts": 10}},
        tables="sets.wait_share", states=State.WAITING_FOR_SET, ledger="waiting for a sharp cutter",
        findings="waited .*for \"blade\"|\"blade\"", indicators="availability", trace="sets.place=on order",
        replay="draws.waited_min",
    ),
    "measuring room": Element(
        cutting(gauges=IN_ROOM, measuring_room=ROOM | {"meanwhile": "runs on"}) | {"people": HANDS},
        tables="measuring.answered", states=NO_TIME, ledger="hands",
        findings=Nothing("an answer that comes in time is nothing to be told of"), indicators=AS_MACHINES,
        trace=Nothing("the reading is of the gauge; what it turns down is in the parts"),
        replay=Nothing("a part that waits there is at no machine; what it turns down is among the parts"),
    ),
    "quarantine": Element(
        cutting(gauges=IN_ROOM, measuring_room=ROOM | {"meanwhile": "quarantine"}) | {"people": HANDS},
        tables="measuring.in_quarantine", states=NO_TIME, ledger="hands", findings="quarantine|measuring room",
        indicators=AS_MACHINES, trace="parts.outcome=passed on", replay="parts.outcome=done",
    ),
    "parts matched by number": Element(
        {"lines": {"crankcase": {"operations": {
            "Op 10": {"minutes": 1, "takes_off": "caps"}, "fit": FIT | {"joins": {"caps": {}}}}},
            "caps": {"operations": {"mill": {"minutes": 2}}}}},
        tables="joins.joined", states=State.WAITING_FOR_FELLOW, ledger="waiting for a fellow part",
        findings="for a fellow part of", indicators="availability",
        trace="states.state=waiting for a fellow part", replay="states.state=waiting for a fellow part",
    ),
    "parts matched by class": Element(
        {"lines": {"crankcase": MATCHED | {"operations": {
            "Op 10": LOOSE, "fit": FIT | {"buffer": 99, "joins": {"caps": {"classes": CLASSES}}}}},
            "caps": MATCHED | {"operations": {"mill": LOOSE}}}},
        tables="joins.range_fit_um", states=State.WAITING_FOR_FELLOW, ledger="waiting for a fellow part",
        findings="for a fellow part of", indicators="availability",
        trace="states.state=waiting for a fellow part", replay="states.state=waiting for a fellow part",
    ),
    "fixtures": Element(
        {"operations": {"Op 10": BORED, "Op 20": {"minutes": 0.5, "buffer": 3}}, "line": {"features": BORES}},
        tables="characteristics.sd", states=NO_TIME, ledger="position",
        findings=Nothing("what a fixture does is an error among others, in the account of the error"),
        indicators=AS_MACHINES, trace="parts.bore position_um", replay="parts.bore position_um",
    ),
    "warm-up": Element(
        cutting(warm_up={"rise": 40, "minutes": 60, "cools": 60}),
        tables="characteristics.sd", states=NO_TIME, ledger="quality loss",
        findings=Nothing("what warmth does is an error among others, in the account of the error"),
        indicators=AS_MACHINES, trace="parts.face error_um", replay="parts.face error_um",
    ),
    "sand in the skin": Element(
        cutting() | {"line": {"casting": {"sand": {"chance": 0.05}}}, "rule": {"life": 1.0}},
        tables="changes.sand_hits", states=Nothing("a hit takes no time; what breaks is changed"), ledger="blade",
        findings="hit sand", indicators="setup ratio", trace="changes.why=broken", replay="changes.why=broken",
    ),
    "heats of castings": Element(
        cutting() | {"line": {"casting": {"heats": HEATS}}, "rule": {"life": 1.0}},
        tables="changes.planned", states=State.CHANGING, ledger="changing cutters",
        findings=Nothing("that heats mislead a rule by load is told with its alarms"), indicators="setup ratio",
        trace="changes.life_share", replay="changes.life_share",
    ),
    "hidden faults": Element(
        cutting(turns_bad={"chance": 0.05, "shift": 40, "minutes": 15}, gauges={"gauge": {"feature": "face"}}),
        tables="faults.turned_bad", states=State.SETTING_RIGHT, ledger="being set right",
        findings="turned bad|went bad|fault", indicators="scrap ratio", trace="states.state=being set right",
        replay="states.state=being set right",
    ),
}  # fmt: skip


def works_of(name: str) -> Works:
    """The works of an element."""
    given = dict(MATRIX[name].works)
    given.setdefault("cutters", BLADES if "stroke" in str(given) else {"tool": a_tool()})
    if "lines" not in given:
        given["line"] = {"features": FACE, "worth": 50, "casting": {"price": 20}} | given.get("line", {})
    return a_shop(given.pop("operations", None), length=960, **given)


@cache
def run_of(name: str) -> tuple[Result, ShiftRecord]:
    """One run of an element, traced, and its first shift."""
    works = works_of(name)
    return Tryout(works, next(iter(works.policies))).run(trace=True), record_shift(works)


def is_in(tables: Any, where: str) -> bool:
    """Whether a table has a text in a column, or a figure that is not zero."""
    place, _, text = where.partition("=")
    name, _, column = place.partition(".")
    values = getattr(tables, name)[column].dropna()
    if text:
        return bool(values.astype(str).str.contains(text, regex=False).any())
    return bool((values != 0).any())


def shown_in(place: str, name: str) -> bool:
    """Whether an element is seen in a place."""
    result, record = run_of(name)
    where: Any = getattr(MATRIX[name], place)
    if place == "tables":
        return is_in(result, where)
    if place == "states":
        return bool(result.tally.state_min[:, where].sum() > 0.0) and is_in(
            result, f"machines.{where.name.lower()}_min"
        )
    if place == "ledger":
        rows = result.ledger[result.ledger["minor_units"] != 0]
        return bool((rows[["operation", "item", "cause", "what"]] == where).any(axis=None))
    if place == "findings":
        return any(re.search(where, finding.text) for finding in result.findings)
    if place == "indicators":
        rows = result.indicators[result.indicators["indicator"] == where]
        return bool((rows["value"].fillna(0.0) != 0.0).any())
    return is_in(result.trace if place == "trace" else record, where)


SEEN = [(name, place) for name, of in MATRIX.items() for place in PLACES if not isinstance(getattr(of, place), Nothing)]


@pytest.mark.parametrize("name", MATRIX)
def test_it_is_seen_wherever_the_trade_has_something_to_show(name: str) -> None:
    unseen = [place for at, place in SEEN if at == name and not shown_in(place, name)]
    assert not unseen


def test_no_place_is_left_out_and_nothing_is_left_out_without_a_reason() -> None:
    assert Element._fields[1:] == PLACES
    reasons = [reason for of in MATRIX.values() for reason in of[1:] if isinstance(reason, Nothing)]
    assert all(len(reason.split()) > 5 for reason in reasons)
    assert len(SEEN) + len(reasons) == len(MATRIX) * len(PLACES)
