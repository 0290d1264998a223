"""A small works in which each claim of a practitioner has something to be about; every figure is invented."""

from __future__ import annotations

from typing import Any

from linesim.works import Works, changed, works_from_text

__all__ = ["a_practice_works"]

_TEXT = """\
linesim: 1
name: Canal-boat diesel, a small works
calendar: {shift: 8 h, shifts_per_day: 1}
run: {length: 2 weeks, warm_up: 1 shift, replications: 2, seed: 11}
cutters:
  rough blade:
    {grade: coated carbide, nose_radius: 0.8 mm, sets: 4, price: 40 EUR, change: 5 min, renewal: {bought: {}}}
  fine blade:
    {grade: coated carbide, nose_radius: 0.8 mm, sets: 4, price: 50 EUR, change: 6 min, renewal: {bought: {}}}
  end mill:
    {grade: coated carbide, diameter: 74 mm, nose_radius: 0.8 mm, sets: 4, price: 60 EUR, change: 6 min,
     renewal: {bought: {}}}
  face mill:
    {grade: coated carbide, diameter: 100 mm, teeth: 6, lead_angle: 75 deg, nose_radius: 0.8 mm, sets: 4,
     price: 90 EUR, change: 8 min, renewal: {bought: {}}}
  wheel:
    {grade: vitrified wheel 60, sets: 3, price: 24 EUR, change: 3 min, renewal: {dressed: {dressings: 30, cost: 1 EUR}}}
lines:
  head:
    material: EN-GJL-250
    casting: {price: 80 EUR, scrap_value: 6 EUR}
    worth: 240 EUR
    features:
      face:
        kind: face
        size: {limits: [-0.2 mm, 0.2 mm], loss_at_limit: 4 EUR}
        roughness: {limit: 3.2 um, loss_at_limit: 4 EUR}
        scratch: {limit: 8 um, loss_at_limit: 10 EUR, chance_per_move: 3 %, depth: 10 um}
        as_cast: {stock: 2.3 mm, spread: 100 um}
      bore:
        kind: bore
        size: {limits: [59.9 mm, 60.1 mm], loss_at_limit: 10 EUR}
        roughness: {limit: 3.2 um, loss_at_limit: 4 EUR}
        position: {limit: 30 um, loss_at_limit: 30 EUR}
        squareness: {limit: 30 um, loss_at_limit: 60 EUR}
        form: {limit: 20 um, loss_at_limit: 20 EUR}
        height: 200 mm
        as_cast: {stock: 3.4 mm, spread: 200 um, position: 500 um, tilt: 150 um, form: 200 um}
      chamber:
        kind: depth
        size: {limits: [12.95 mm, 13.05 mm], loss_at_limit: 300 EUR}
        as_cast: {stock: 2.5 mm, spread: 100 um}
      seat:
        kind: run-out
        size: {limits: [0 mm, 0.06 mm], loss_at_limit: 12 EUR}
        roughness: {limit: 1.3 um, loss_at_limit: 2 EUR}
        as_cast: {stock: 0.15 mm, spread: 20 um}
    operations:
      Op 10:
        strokes:
          rough:
            cuts:
              face rough: {feature: face, cutter: face mill, process: milling, depth: 2 mm, speed: 90 m/min,
                           feed: 0.3 mm, length: 150 mm, width: 80 mm}
        load: 1 min
      Op 20:
        buffer: 2
        strokes:
          rough:
            cuts:
              bore rough: {feature: bore, cutter: rough blade, process: boring, depth: 2.4 mm, speed: 100 m/min,
                           feed: 0.4 mm, length: 60 mm}
          semi-finish:
            cuts:
              bore semi-finish: {feature: bore, cutter: rough blade, process: boring, depth: 0.7 mm, speed: 100 m/min,
                                 feed: 0.3 mm, length: 60 mm}
          finish:
            cuts:
              bore finish: {feature: bore, cutter: fine blade, process: boring, depth: 0.3 mm, speed: 100 m/min,
                            feed: 0.12 mm, length: 60 mm}
        stiffness: 6 N/um
        locating: {on: face, pads: 200 mm}
        chips: {located_on: face, chance: 6 %, clean: true, clean_minutes: 6 s, chance_when_cleaned: 0.2 %,
                thickness: 60 um, scratch: 5 um}
        load: 1 min
      Op 30:
        buffer: 2
        strokes:
          chamber:
            cuts:
              chamber: {feature: chamber, cutter: end mill, process: boring, depth: 2.5 mm, speed: 100 m/min,
                        feed: 0.1 mm, length: 12 mm}
        stiffness: 12 N/um
        gauges:
          depth gauge:
            {feature: chamber, error: 2 um, every: 2, minutes: 5 s, tries: 0, reject: scrap,
             corrects: {cut: chamber, share: 0.5, dead_band: 4 um}}
        load: 1 min
      Op 40:
        buffer: 2
        minutes: 2 min
        disturbs: {face: 25 um}
      Op 50:
        buffer: 2
        strokes:
          grind:
            cuts:
              seat: {feature: seat, cutter: wheel, process: grinding, depth: 0.15 mm, removal: 120 um/min,
                     spark_out: 0.2 min}
        gauges:
          dial gauge: {feature: seat, reads: [size, roughness], error: 2 um, minutes: 10 s, reject: salvage,
                       salvage_cost: 9 EUR}
        load: 0.5 min
      Op 60:
        buffer: 2
        strokes:
          finish:
            cuts:
              face finish: {feature: face, cutter: face mill, process: milling, depth: 0.3 mm, speed: 120 m/min,
                            feed: 0.1 mm, length: 150 mm, width: 80 mm}
        load: 1 min
policies:
  by parts: {default: {parts: 60}}
"""


def a_practice_works(**changes: Any) -> Works:
    """Return the small works, with changes laid over it by name.

    Parameters
    ----------
    **changes
        Entries from the top, as a file would say them that extends the scenario.

    Returns
    -------
    Works
    """
    return changed(works_from_text(_TEXT, "a-practice.yaml"), changes)
