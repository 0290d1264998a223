"""Works drawn at random, with whole-number times on purpose, so that much falls due at the same instant."""

from __future__ import annotations

from random import Random
from typing import Any

from linesim.errors import ScenarioError
from linesim.plan.build import make_plan
from linesim.works import Works, works_from_dict
from tests.agree.changes_at_random import add_changes
from tests.agree.later_pieces import add_later_pieces
from tests.agree.loads_at_random import add_loads
from tests.agree.mishaps_at_random import add_mishaps
from tests.agree.newest_at_random import add_newest
from tests.agree.now_at_random import add_moment, add_state
from tests.agree.people_at_random import add_people
from tests.agree.presetting_at_random import add_presetting
from tests.agree.random_consequences import add_consequences
from tests.agree.types_at_random import add_types
from tests.agree.unlike_at_random import add_unlike
from tests.builders import flow_line

__all__ = ["random_content", "random_flow_line", "random_works"]

Content = dict[str, Any]


def random_works(rng: Random, alike: bool = False, newest: bool = True) -> Works:
    """A works drawn at random: lines that share people, sets and grinders, with every rule and mishap.

    Parameters
    ----------
    rng : random.Random
        Where the choices come from.
    alike : bool
        Parts of a line are all alike, and none is in it as the run begins.
    newest : bool
        With what came last into the model, unless parts are alike.

    Returns
    -------
    Works
        With the policies "one" and "two".
    """
    for _ in range(100):
        try:
            content = random_content(rng, alike)
            works = works_from_dict(add_newest(content) if newest and not alike else content, "at random")
            for policy in works.policies:
                make_plan(works, policy)
        except ScenarioError:
            continue  # what does not go together is not what is tested here
        return works
    raise AssertionError("a hundred works were drawn, and none of them can be run")


_WHEN = ("with the next part", "when due")


def random_content(rng: Random, alike: bool = False, more: Content | None = None) -> Content:
    """The content of such a works, as a scenario file would say it, with more lines beside those drawn."""
    names = [f"{rng.choice(_FAMILIES)} {number}" for number in range(rng.randint(1, 4))]
    cutters = {name: _cutter(rng) | _special(rng, name) for name in names}
    lines = {f"line {number}": _line(rng, list(cutters)) for number in range(rng.choice([1, 1, 2, 3]))}
    lines |= more or {}
    mounted = dict.fromkeys(cutters, 0)
    for line in lines.values():
        for operation in line["operations"].values():
            for kind in _kinds_of(operation):
                mounted[kind] += operation["machines"]
    for kind, cutter in cutters.items():
        cutter["sets"] = mounted[kind] + rng.choice([0, 1, 1, 2])
    content = {
        "name": "at random",
        "calendar": {"shift": rng.choice([60, 480, 450])},
        "run": {"length": rng.choice([400, 900]), "warm_up": rng.choice([0, 50, 123.5]), "seed": rng.randint(0, 999)},
        "people": {"setters": {"count": rng.randint(1, 2)}, "fitters": {"count": 1}},
        "crib": {"grinders": rng.randint(1, 2)},
        "room": rng.choice([None, None, {"swing": 3}]),
        "cutters": cutters,
        "lines": lines,
        "policies": {name: _policy(rng, list(cutters)) for name in ("one", "two")},
    }
    add_consequences(rng, content)
    add_mishaps(Random(rng.random()), content)
    add_changes(Random(repr(content)), content)  # so that nothing else is drawn otherwise
    add_later_pieces(Random(repr(content)), content)
    if not alike:
        add_state(Random(repr(content)), content)
        add_types(Random(repr(content)), content)
    add_people(Random(repr(content)), content)
    for line in lines.values():
        add_unlike(Random(repr(line)), line["operations"], 0.2)
    add_loads(Random(repr(content)), content)
    add_presetting(Random(repr(content)), content)
    if not alike:
        add_moment(Random(repr(content)), content)
    return content


def _minutes(rng: Random, most: int = 6) -> Any:
    """A length of time: mostly whole minutes, sometimes none, sometimes drawn."""
    mean = rng.randint(1, most)
    return rng.choice(
        [
            mean,
            mean,
            0,
            {rng.choice(["listed", "in_order"]): [rng.randint(0, most) for _ in range(3)] + [1]},
            {"exponential": {"mean": mean}},
            {"erlang": {"mean": mean, "phases": 3}},
            {"gamma": {"mean": mean, "cv": rng.choice([0.3, 1.7])}},
            {"lognormal": {"mean": mean, "cv": 0.5}},
            {"weibull": {"shape": 1.5, "mean": mean}},
            {"uniform": {"low": 0, "high": mean}},
            {"triangular": {"low": 0, "mode": 1, "high": mean + 1}},
        ]
    )


def _some_minutes(rng: Random, most: int = 6) -> Any:
    """A length of time above 0."""
    found = _minutes(rng, most)
    return found if found != 0 and not set(str(found)) & {"["} else rng.randint(1, most)


def _maybe(rng: Random, share: float) -> bool:
    return rng.random() < share


def random_flow_line(rng: Random) -> Works:
    """A line of operations given by their minutes alone, most of them of one machine, that share setters and sets."""
    count = rng.randint(1, 7)
    machines = [rng.choice([1, 1, 1, 1, 2]) for _ in range(count)]
    cutters = {f"cutter {number}": _plain_cutter(rng, 2 * sum(machines)) for number in range(3)}
    operations: Content = {}
    for number in range(count):
        operation = operations[f"Op {10 * (number + 1)}"] = {
            "sets": rng.sample(list(cutters), rng.randint(0, 2)),
            "setters": rng.choice([None, "setters"]),
            "fitters": "fitters",
        }
        if _maybe(rng, 0.2):
            operation["breakdowns"] = {"between": {"exponential": {"mean": 30}}, "repair": rng.choice([2, 5])}
    rules = [{"parts": 7}, {"minutes": 11}, {"shift": 1}, {"check": {"every": 3, "past": 0.2, "minutes": 1}}]
    times = [1, 2, 2, 3, {"exponential": {"mean": 2}}, {"listed": [1, 0, 2]}, {"in_order": [1, 0, 2]}]
    line: Content = {}
    if _maybe(rng, 0.3):
        # Only where castings come to an end may work take no time: else it could go on for ever at one moment.
        line = {"casting": {"limit": rng.randint(1, 300)}}
        times += [0, 0, {"listed": [0, 0]}]
    return flow_line(
        [rng.choice(times) for _ in range(count)],
        [rng.choice([0, 0, 1, 2, 5, "unlimited"]) for _ in range(count - 1)],
        machines,
        operations,
        works={
            "calendar": {"shift": 60},
            "people": {"setters": {"count": rng.randint(1, 2)}, "fitters": {}},
            "cutters": cutters,
            "policies": {"run out": {"default": rng.choice(rules), "changes": rng.choice(_WHEN)}},
        },
        line=line,
        length=rng.choice([500, 1500.5]),
        warm_up=rng.choice([0, 100]),
    )


def _plain_cutter(rng: Random, sets: int) -> Content:
    return {
        "sets": sets,
        "change": rng.choice([0, 1, 3]),
        "lead_time": rng.choice([0, 30]),
        "renewal": rng.choice([{"bought": {}}, {"reground": {"stock": 5, "minutes": 7}}]),
        "breaking": "never",
        "life": rng.choice([20, 100]),
    }


# --- cutters and rules --------------------------------------------------------------------------------------------


def _cutter(rng: Random) -> Content:
    renewal = rng.choice(
        [
            {
                "reground": {
                    "stock": 1.5,
                    "margin": 0.1,
                    "minutes": _minutes(rng, 40),
                    "life": rng.choice([1.0, 0.8]),
                    "past_limit": rng.choice([0, 1, 2]),
                }
            },
            {"indexed": {"edges": rng.randint(1, 5)}},
            {"dressed": {"dressings": rng.randint(1, 6), "by_machine": _maybe(rng, 0.5)}},
            {"bought": {}},
        ]
    )
    return {
        "grade": "carbide",
        "diameter": 60,
        "nose_radius": 0.8,
        "change": _minutes(rng),
        "replace": _minutes(rng),
        "extra_when_broken": _minutes(rng),
        "lead_time": _minutes(rng, 90),
        "renewal": renewal,
        "life": rng.choice([10, 25, 60]),
        "life_cv": rng.choice([0, 0.3]),
        "breaking": rng.choice(["never", {"shape": 3, "scale": 1.1}, {"shape": 1, "scale": 4}]),
        "wear_limit": 0.3,
        **_teeth(rng),
    }


def _teeth(rng: Random) -> Content:
    """How the teeth of a mill stand, and how keen the edge is."""
    seat = rng.choice([{}, {"seat": rng.choice(["pressed", "ground", "cartridge", "set one by one"])}, {"run_out": 20}])
    land = {"land": rng.choice([0.4, 1.4])} if _maybe(rng, 0.3) else {}
    keen = {"edge_radius": rng.choice([0, 40, 300])} if _maybe(rng, 0.5) else {}
    return {"teeth": rng.choice([1, 6]), **seat, **land, **keen}


_FAMILIES = ["cutter"] * 4 + ["wheel", "stones", "reamer"]
"""What a cutter is; its name begins so."""

_PROCESSES = {"wheel": "grinding", "stones": "honing", "reamer": "reaming"}


def _special(rng: Random, name: str) -> Content:
    """What wheels, stones and reamers have that other cutters have not."""
    if name.startswith("stones"):
        return {"grade": "honing stone 220"}
    if name.startswith("reamer"):
        return {"ground_to": rng.choice([99.99, 98.8])} if _maybe(rng, 0.5) else {}
    if not name.startswith("wheel"):
        return {}
    wheel: Content = {"track": rng.choice([20, 126]), "g_ratio": rng.choice([20, 80])}
    if _maybe(rng, 0.5):
        wheel |= {"wear_to_size": rng.choice([0, 0.7]), "glazed_roughness": 1.4, "spark_out_constant": 0.1}
    dressed = rng.choice([{"dressings": rng.randint(1, 6)}, {"stock": rng.choice([0.2, 0.5]), "takes": 40}])
    return {
        "grade": "vitrified wheel 60",
        "wheel": wheel,
        "renewal": {"dressed": dressed | {"by_machine": _maybe(rng, 0.5)}},
    }


def _rule(rng: Random) -> Any:
    return rng.choice(
        [
            {"parts": rng.randint(1, 12)},
            {"minutes": rng.randint(2, 30)},
            {"life": rng.choice([0.5, 1.0])},
            {"check": {"every": rng.randint(1, 5), "past": 0.2, "minutes": _minutes(rng, 2), "error": 0.03}},
            {"check": {"every": rng.randint(1, 5), "first": rng.randint(1, 9), "past_share": 0.8, "minutes": 0}},
            {"gauge": {"size": rng.randint(3, 30), "roughness": 3.0}},
            {"shift": rng.randint(1, 2)},
            "run out",
        ]
    )


def _policy(rng: Random, cutters: list[str]) -> Content:
    return {
        "default": _rule(rng),
        "exceptions": {kind: _rule(rng) for kind in cutters if _maybe(rng, 0.6)},
        "group_past": rng.choice([None, 0.3, 0.8]),
    }


# --- lines --------------------------------------------------------------------------------------------------------


def _line(rng: Random, cutters: list[str]) -> Content:
    features = {f"face {number}": _feature(rng) for number in range(rng.randint(0, 3))}
    operations: dict[str, Content] = {}
    cut: list[str] = []
    for number in range(1, rng.randint(1, 5) + 1):
        operations[f"Op {number}0"] = _operation(rng, cutters, list(features), cut)
    casting: Content = {}
    if _maybe(rng, 0.4):
        between = _some_minutes(rng, 8)
        casting["arrivals"] = {"between": between, "when_full": rng.choice(["wait", "turn away"])}
    if _maybe(rng, 0.2):
        casting["limit"] = rng.randint(5, 60)
    line: Content = {"material": "EN-GJL-250", "casting": casting, "features": features, "operations": operations}
    if _maybe(rng, 0.4):
        line["pallets"] = rng.randint(1, 6)
    return line


def _feature(rng: Random) -> Content:
    feature: Content = {
        "kind": rng.choice(["face", "bore", "run-out"]),
        "places": rng.randint(1, 3),
        "size": {"limits": [99.98, 100.02], "loss_at_limit": 10},
        "roughness": {"limit": 1.6, "loss_at_limit": 4},
        "as_cast": {"stock": 20, "spread": rng.choice([0, 100, 1500])},
    }
    if _maybe(rng, 0.5):
        feature["scratch"] = {"limit": 8, "chance_per_move": 0.2, "loss_at_limit": 2}
    if _maybe(rng, 0.4):
        _shape(rng, feature)
    return feature


def _shape(rng: Random, feature: Content) -> None:
    """Limits on position, tilt and form, and what the casting brings of them."""
    feature["kind"] = rng.choice(["face", "bore", "depth"])
    shift = rng.choice([0, 300]) if feature["kind"] == "bore" else 0
    feature["as_cast"] |= {"position": shift, "tilt": rng.choice([0, 200]), "form": 300}
    feature |= {"length": 120, "height": rng.choice([0, 240])}
    if feature["kind"] != "bore":
        feature["thickness"] = rng.choice([None, 95])
    if feature["kind"] == "bore":
        feature["position"] = {"limit": 50, "loss_at_limit": 10, "loss_cap": rng.choice([None, 20])}
    feature[rng.choice(["squareness", "parallelism"])] = {"limit": rng.choice([3, 60]), "loss_at_limit": 5}
    if _maybe(rng, 0.5):
        feature["form"] = {"limit": 20, "loss_at_limit": 1}


def _operation(rng: Random, cutters: list[str], features: list[str], cut: list[str]) -> Content:
    """One operation; notes in ``cut`` which features have been cut so far."""
    operation: Content = {
        "machines": rng.choice([1, 1, 2, 3]),
        "buffer": rng.choice([0, 1, 2, 5, "unlimited"]),
        "load": _minutes(rng, 2),
        "unload": _minutes(rng, 2),
        "access": _minutes(rng, 3),
        "setters": rng.choice(["setters", "setters", None]),
        "fitters": rng.choice(["fitters", None]),
    }
    if features and _maybe(rng, 0.6):
        operation["strokes"] = _strokes(rng, cutters, features)
        operation["stiffness"] = 25
    else:
        operation["minutes"] = _some_minutes(rng)
        operation["sets"] = rng.sample(cutters, rng.randint(0, min(2, len(cutters))))
        operation["recut_chance"] = rng.choice([0, 0.1])
    operation["scrap_chance"] = rng.choice([0, 0, 0.05])
    if _maybe(rng, 0.3):
        operation["breakdowns"] = {"between": _some_minutes(rng, 60), "repair": _some_minutes(rng, 20)}
    here = {name: spec for stroke in operation.get("strokes", {}).values() for name, spec in stroke["cuts"].items()}
    cut += [spec["feature"] for spec in here.values()]
    if features:
        _mishaps(rng, operation, features)
    if cut and _maybe(rng, 0.6):
        operation["gauges"] = {"gauge": _gauge(rng, cut, here)}
        if _maybe(rng, 0.2):
            operation["gauges"]["second gauge"] = _gauge(rng, cut, here)
    return operation


def _mishaps(rng: Random, operation: Content, features: list[str]) -> None:
    if _maybe(rng, 0.3):
        operation["disturbs"] = {rng.choice(features): 3.0}
    _seat(rng, operation, features)
    if _maybe(rng, 0.3):
        chips = {
            "located_on": operation.get("locating", {}).get("on", rng.choice(features)),
            "chance": 0.2,
            "clean": _maybe(rng, 0.5),
        }
        operation["chips"] = chips | {"clean_minutes": _minutes(rng, 1), "chance_when_cleaned": 0.05}


def _seat(rng: Random, operation: Content, features: list[str]) -> None:
    """Datum, clamping, fixtures and warmth."""
    if _maybe(rng, 0.5):
        cut = {cut["feature"] for stroke in operation.get("strokes", {}).values() for cut in stroke["cuts"].values()}
        free = [name for name in features if name not in cut]
        if free:
            operation["locating"] = {"on": rng.choice(free), "pads": 300}
    if _maybe(rng, 0.3):
        operation["clamping"] = rng.choice([{"bends": 10}, {"force": 8000, "stiffness": 800}])
    if _maybe(rng, 0.4):
        tilt = rng.choice([0, 6]) if "locating" in operation else 0
        drawn = {"count": rng.choice([1, 3]), "position": rng.choice([0, 4]), "tilt": tilt}
        measured = {"measured": [{"position": 3, "tilt": tilt}, {"position": -2}]}
        operation["fixtures"] = rng.choice([drawn, measured])
    if _maybe(rng, 0.4):
        cold = rng.choice(["every day", "every week", "at first"])
        operation["warm_up"] = {"rise": rng.choice([30, -8]), "minutes": 60, "cools": rng.choice([5, 90]), "cold": cold}


def _strokes(rng: Random, cutters: list[str], features: list[str]) -> Content:
    strokes: Content = {}
    for number in range(rng.randint(1, 2)):
        cuts = {}
        chosen = rng.sample(cutters, rng.randint(1, min(3, len(cutters))))
        held = rng.choice(["one end", "one end", "both ends", ""])
        on_one_bar = bool(held)
        feature = rng.choice(features)
        for which, cutter in enumerate(chosen):
            cuts[f"cut {number}{which}"] = {
                "feature": feature if on_one_bar else rng.choice(features),
                "cutter": cutter,
                "process": _PROCESSES.get(cutter.split()[0]) or rng.choice(["boring", "boring", "milling"]),
                "width": 40,
                "depth": rng.choice([0.1, 0.5, 1.5]),
                "speed": 90,
                "feed": 0.25,
                "minutes": rng.choice([1, 2, 1.25, 0.5]),
                "at_once": rng.choice([1, 3]),
                "roughness_cv": rng.choice([0, 0.1]),
                "leaves": rng.choice([{}, {}, {"position": 1, "tilt": 1, "form": 0.4, "own_form": 3}]),
            } | _beside(rng, cutter, held)
        strokes[f"stroke {number}"] = {"cuts": cuts}
    return strokes


def _beside(rng: Random, cutter: str, held: str) -> Content:
    """What a cut may say beside: its bar, and how honing ends."""
    if cutter.startswith("cutter") and held:
        bar = {"diameter": 40, "overhang": 200, "held": held}
        return {"bar": bar | {"angle": rng.choice([0, 90, 180]), "station": rng.choice([100, 190, 150])}}
    if cutter.startswith("stones"):
        at_size = {"stops": "at size", "minutes": None, "removal": 250}
        return rng.choice([{}, {"stops": "by time"}, at_size, at_size])
    return {}


def _gauge(rng: Random, cut: list[str], here: dict[str, Content]) -> Content:
    gauge: Content = {
        "feature": rng.choice(cut),
        "reads": rng.choice([["size"], ["roughness"], ["size", "roughness"]]),
        "error": rng.choice([0, 2.0]),
        "roughness_error": rng.choice([0, 0.1]),
        "every": rng.choice([1, 1, 2, 5]),
        "minutes": _minutes(rng, 2),
        "guard_band": rng.choice([0, 2.0]),
        "tries": rng.randint(0, 2),
        "reject": rng.choice(["scrap", "salvage", "pass"]),
    }
    if _maybe(rng, 0.4):
        more = rng.choice(["tilt", "tilt", "form", "position"])
        gauge |= {"reads": [*gauge["reads"], more], "tilt_error": 3, "form_error": rng.choice([0, 1])}
    makers = [name for name, spec in here.items() if spec["feature"] == gauge["feature"]]
    if makers and _maybe(rng, 0.5):
        gauge["corrects"] = {"cut": rng.choice(makers), "share": 0.5, "dead_band": rng.choice([0, 2.0])}
    return gauge


def _kinds_of(operation: Content) -> set[str]:
    strokes = operation.get("strokes", {}).values()
    return {*operation.get("sets", []), *(cut["cutter"] for stroke in strokes for cut in stroke["cuts"].values())}
