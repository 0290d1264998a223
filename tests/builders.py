"""Builders of scenarios for tests: a small complete one, and lines of operations given by their minutes."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from linesim.cutting.conditions import CutConditions
from linesim.works import Works, changed, load_works, works_from_dict, works_from_text

__all__ = ["a_cut_of", "a_scenario_text", "a_works", "by_its_cuts", "flow_line"]

_SCENARIO = """\
linesim: 1
name: Canal-boat diesel, cylinder block
about: A small works that builds a three-cylinder engine; every figure is invented.
currency: EUR
calendar: {shift: 8 h, shifts_per_day: 2}
run: {length: 2 weeks, warm_up: 2 shifts, replications: 4, seed: 7}
prices: {labour_rate: 32 EUR/h}
people:
  setters: {count: 1, rate: 38 EUR/h}
  fitters: {count: 1, rate: 41 EUR/h, paid: attendance}
crib: {grinders: 1, rate: 45 EUR/h}
cutters:
  face mill:
    grade: coated carbide
    diameter: 200 mm
    teeth: 12
    lead_angle: 45 deg
    nose_radius: 0.8
    sets: 2
    price: 260 EUR
    change: 6 min
    renewal:
      indexed: {edges: 8, cost: 4}
  rough blade:
    grade: carbide
    nose_radius: 0.8 mm
    sets: 3
    price: 85 EUR
    change: {lognormal: {mean: 5, cv: 0.3}}
    lead_time: 2 days
    renewal:
      reground: {stock: 3 mm, margin: 0.1, minutes: 12 min, cost: 1.50 EUR}
    life: 60
    breaking: {shape: 4, scale: 2.2}
  finish blade:
    grade: cubic boron nitride
    nose_radius: 0.4 mm
    sets: 3
    price: 190 EUR
    change: 7 min
    renewal:
      reground: {stock: 2 mm, minutes: 15 min}
    breaking: never
  stones:
    grade: honing stone 220
    sets: 2
    price: 60 EUR
    change: 3 min
    renewal:
      dressed: {dressings: 40, by_machine: true}
  brush:
    sets: 2
    price: 20 EUR
    renewal:
      bought: {}
    life: 900 min
lines:
  block:
    material: EN-GJL-250
    casting: {price: 140 EUR, scrap_value: 12}
    worth: 420 EUR
    features:
      deck:
        kind: face
        size: {limits: [279.95, 280.05], loss_at_limit: 18 EUR}
        roughness: {limit: 1.6 um, loss_at_limit: 5}
        scratch: {limit: 8 um, chance_per_move: 0.5 %}
        as_cast: {stock: 3.5 mm, spread: 200 um}
      bores:
        kind: bore
        places: 3
        size: {limits: [80.000, 80.025], loss_at_limit: 30}
        roughness: {limit: 0.8}
        as_cast: {stock: 3.04 mm, spread: 250 um}
    operations:
      Op 10:
        about: Wash
        minutes: {lognormal: {mean: 3.5, cv: 0.2}}
        sets: [brush]
        setters: setters
      Op 20:
        buffer: 4
        strokes:
          face:
            cuts:
              deck rough:
                feature: deck
                cutter: face mill
                process: milling
                depth: 3 mm
                speed: 160 m/min
                feed: 0.2 mm
                length: 420 mm
                width: 180 mm
          finish:
            cuts:
              deck finish:
                feature: deck
                cutter: face mill
                process: milling
                depth: 0.5
                speed: 160
                feed: 0.1
                length: 420
                width: 180
        load: 45 s
        unload: 30 s
        access: 2 min
        setters: setters
        fitters: fitters
        power: 15 kW
        stiffness: 30 N/um
        chips: {located_on: deck, chance: 0.02, clean: true, clean_minutes: 10 s, chance_when_cleaned: 0.002}
        breakdowns:
          between: {exponential: {mean: 40 h}}
          repair: {gamma: {mean: 45 min, cv: 0.8}}
        rate: 48 EUR/h
        operators: 0.5
      Op 40:
        machines: 2
        buffer: unlimited
        strokes:
          rough:
            cuts:
              lead: &boring
                feature: bores
                cutter: rough blade
                process: boring
                depth: 2.5 mm
                speed: 90 m/min
                feed: 0.25 mm/rev
                length: 150 mm
              trail:
                feature: bores
                cutter: finish blade
                process: boring
                depth: 0.5 mm
                speed: 90 m/min
                feed: 0.25 mm/rev
                length: 150 mm
                bar: {diameter: 60 mm, overhang: 220 mm}
        setters: setters
        stiffness: 20 N/um
        disturbs: {deck: 1.5 um}
        gauges:
          bore gauge:
            feature: bores
            reads: [size]
            error: 1 um
            every: 5
            minutes: 30 s
            limits: [79.93, 79.99]
            corrects: {cut: trail, share: 50 %}
        rate: 52
      Op 50:
        strokes:
          hone:
            cuts:
              hone:
                feature: bores
                cutter: stones
                process: honing
                depth: 0.04
                removal: 25 um/min
                spark_out: 0.1
        setters: setters
policies:
  by parts:
    default: {parts: 150}
    exceptions:
      finish blade: {check: {every: 20, past: 0.2 mm, minutes: 40 s}}
      Op 20 / face mill: {life: 0.9}
    group_past: 80 %
  run out:
    default: run out
"""


def a_scenario_text() -> str:
    """Return a small complete scenario: a wash, a face mill, a boring bar with two blades, a hone."""
    return _SCENARIO


def a_works(**changes: Any) -> Works:
    """Return the small scenario as a checked works, with changes laid over it by name.

    Parameters
    ----------
    **changes
        Entries from the top, as a file would say them that extends the scenario.

    Returns
    -------
    Works
    """
    return changed(works_from_text(_SCENARIO, "a-block.yaml"), changes)


def flow_line(
    minutes: Sequence[Any],
    buffers: Sequence[int | str] | None = None,
    machines: Sequence[int] | None = None,
    operations: dict[str, dict[str, Any]] | None = None,
    works: dict[str, Any] | None = None,
    line: dict[str, Any] | None = None,
    **run: Any,
) -> Works:
    """Return a works with one line of operations that are given by their minutes alone.

    Parameters
    ----------
    minutes : sequence
        Time of each operation: a number of minutes, a text, or a mapping such as ``{"exponential": {"mean": 1}}``.
    buffers : sequence of int or "unlimited", optional
        Places before the second operation and on (one fewer than operations), or before every operation; none (0)
        unless given.
    machines : sequence of int, optional
        Machines of each operation; one unless given.
    operations : dict, optional
        More entries of operations by name ("Op 10", "Op 20", ...).
    works, line : dict, optional
        More entries of the works and of the line ("line").
    **run
        Entries of the run: length, warm_up, replications, seed.

    Returns
    -------
    Works
        Castings are always to be had, unless the line says otherwise; the policy is "run out".

    >>> [operation.buffer for operation in flow_line([1, 2, 3], [4, 5]).lines["line"].operations.values()]
    [0, 4, 5]
    """
    count = len(minutes)
    places = list(buffers) if buffers is not None else [0] * count
    places = [0, *places] if len(places) == count - 1 else places
    standing = list(machines) if machines is not None else [1] * count
    if not len(places) == len(standing) == count:
        message = f"{len(places)} buffers and {len(standing)} machine counts do not fit {count} operations"
        raise ValueError(message)
    routing = {
        f"Op {10 * (at + 1)}": {"minutes": minutes[at], "buffer": places[at], "machines": standing[at]}
        for at in range(count)
    }
    content = {
        "name": "flow line",
        "run": run,
        "lines": {"line": {"operations": routing, **(line or {})}},
        "policies": {"run out": {"default": "run out"}},
    }
    base = works_from_dict(content, "flow line")
    return changed(base, {**(works or {}), "lines": {"line": {"operations": operations or {}}}})


def a_cut_of(**figures: float) -> CutConditions:
    """A cut for its law, of a sharp or dull edge that neither pushes, recedes nor scatters unless it is said."""
    nothing = CutConditions(
        depth_mm=1.0, radial_force_n=0.0, cutting_stiffness_n_um=0.0, stiffness_n_um=20.0, wear_force_n=0.0,
        wear_limit_mm=0.3, wear_b=0.0, wear_tau=1.0, wear_gamma=1.0, tan_clearance=0.0, repeatability_um=0.0,
        stress_um=0.0, sharp_roughness_um=1.0, roughness_growth=0.0, roughness_power=1.0, roughness_sigma=0.0,
        roughness_floor_um=0.0, wear_slope_n_um=0.0, roughness_past=0.0, least_metal_um=0.0, least_metal_rise_um=0.0,
    )  # fmt: skip
    return nothing._replace(**figures)


def by_its_cuts(line: str) -> Works:
    """A demonstration line without what paper leaves out.

    Heats, warmth, setting errors, first pieces, faults, chips, how true the faces lie on which the parts sit, and
    what moves them between operations.
    """
    works = load_works(f"scenarios/{line}-line.yaml")
    left_out = dict.fromkeys(("warm_up", "first_piece", "turns_bad", "locating", "fixtures", "chips"))
    unmoved = {"disturbs": {}}
    operations = {
        name: unmoved | (left_out if operation.strokes else {})
        for name, operation in works.lines[line].operations.items()
    }
    return changed(
        works,
        {
            "room": None,
            "cutters": {name: {"setting": {"error": 0}} for name in works.cutters},
            "lines": {line: {"casting": {"heats": None}, "operations": operations}},
        },
    )
