"""Engine builder's figures of one run, from the true values of every shipped part."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
import pandas as pd

from linesim.errors import StudyError
from linesim.plan.tables import Floats
from linesim.quality.engine import (
    clearance_volume_cm3,
    compression_ratio,
    cylinder_volume_cm3,
    largest_step_um,
    off_line_um,
    piston_clearance_mm,
    spherical_cap_cm3,
)
from linesim.quality.limits import aim_mm, drawing_scale
from linesim.works import Works
from linesim.works.engine_data import EngineData

__all__ = ["EFFECTS", "Effect", "Shipped", "classes_of", "effects_of"]


class Effect(NamedTuple):
    """One figure of an engine builder.

    Attributes
    ----------
    name : str
        Key in the tables.
    words : str
        What it is.
    unit : str
        Of the values.
    source : str
        Where the formula comes from.
    """

    name: str
    words: str
    unit: str
    source: str


_VOLUMES = "(Vd + Vc) / Vc; Heywood, Internal Combustion Engine Fundamentals (from memory)"


EFFECTS: dict[str, Effect] = {
    effect.name: effect
    for effect in (
        Effect("compression ratio", "compression ratio of a cylinder", "", _VOLUMES),
        Effect("spread in an engine", "greatest less least compression ratio in an engine", "", _VOLUMES),
        Effect(
            "chamber volume", "volume of a chamber in the head", "cm³", "π h² (3 R - h) / 3 for a cap, else π/4 D² h"
        ),
        Effect("piston clearance", "clearance of the piston picked for a bore", "mm", "bore less piston; geometry"),
        Effect("bearing off line", "worst bearing off the line through the outer ones", "µm", "geometry"),
        Effect("bearing step", "greatest step between neighbouring bearings", "µm", "geometry"),
        Effect("seat run-out", "total run-out of a valve seat to its guide", "mm", "2 |e|; geometry"),
        Effect("gasket face Ra", "roughness of a gasket face", "µm", "as cut; ISO 21920-2"),
        Effect("gasket face scratch", "deepest scratch of a gasket face", "µm", "as cut"),
    )
}
"""What is told, by name."""


class Shipped:
    """True values of the shipped parts of every line, in the order of shipping."""

    def __init__(self, works: Works, parts: pd.DataFrame) -> None:
        self.works = works
        done = parts[(parts["outcome"] == "shipped") & (parts["left_min"] >= works.run.warm_up)]
        self.parts = {str(line): rows.sort_values("left_min") for line, rows in done.groupby("line")}

    def values(self, line: str, feature: str, what: str) -> Floats:
        """Values of one kind, shape (parts, places).

        Raises
        ------
        StudyError
            Nothing was shipped.
        """
        if line not in self.parts:
            raise StudyError(f"{line}: no part was shipped, so that nothing can be said of the engine")
        places = self.works.lines[line].features[feature].places
        names = [feature] if places == 1 else [f"{feature} {place + 1}" for place in range(places)]
        return self.parts[line][[f"{name} {what}" for name in names]].to_numpy(dtype=np.float64)

    def sizes_mm(self, line: str, feature: str) -> Floats:
        """Sizes as the drawing reads them."""
        spec = self.works.lines[line].features[feature]
        errors = self.values(line, feature, "error_um")
        if spec.kind == "run-out":
            return np.asarray(np.abs(errors) * drawing_scale(spec) / 1000.0, dtype=np.float64)
        return np.asarray(aim_mm(spec) + drawing_scale(spec) * errors / 1000.0, dtype=np.float64)


def _row(name: str, of: str, values: Floats, low: float = -math.inf, high: float = math.inf) -> dict[str, Any]:
    """One effect of one run."""
    flat = values.ravel()
    outside = (flat < low) | (flat > high)
    return {
        "effect": name, "of": of, "mean": float(flat.mean()),
        "sd": float(flat.std(ddof=1)) if len(flat) > 1 else math.nan, "least": float(flat.min()),
        "greatest": float(flat.max()), "low": low, "high": high,
        "share_outside": float(outside.mean()) if math.isfinite(low) or math.isfinite(high) else math.nan,
        "n_values": len(flat),
    }  # fmt: skip


def effects_of(engine: EngineData, shipped: Shipped) -> pd.DataFrame:
    """All effects that the engine's entry allows to be told."""
    rows: list[dict[str, Any]] = []
    if engine.chambers is not None:
        chambers, ratios = _ratios(engine, shipped)
        rows.append(_row("chamber volume", "chambers", chambers))
        rows += [_row("compression ratio", f"cylinder {at + 1}", ratios[:, at]) for at in range(ratios.shape[1])]
        rows.append(_row("compression ratio", "all cylinders", ratios))
        rows.append(_row("spread in an engine", "all cylinders", ratios.max(axis=1) - ratios.min(axis=1)))
    if engine.pistons is not None:
        low, high = engine.pistons.clearance
        clearances = _picked(engine, shipped)[1]
        rows.append(_row("piston clearance", "all bores", clearances, low, high))
    for name, row in engine.bearings.items():
        walls = shipped.values(row.line, row.feature, "error_um")
        off = np.array([off_line_um(part) for part in walls.tolist()])
        steps = np.array([largest_step_um(part) for part in walls.tolist()])
        rows.append(_row("bearing off line", name, off, high=row.off_line))
        rows.append(_row("bearing step", name, steps, high=row.step))
    if engine.seats is not None:
        run_out = shipped.sizes_mm(engine.seats.line, engine.seats.feature)
        rows.append(_row("seat run-out", engine.seats.feature, run_out, high=engine.seat_limit))
    for face in engine.gasket.faces if engine.gasket else []:
        rows += _face(engine, shipped, face.line, face.feature)
    return pd.DataFrame(rows)


def _face(engine: EngineData, shipped: Shipped, line: str, feature: str) -> list[dict[str, Any]]:
    """Roughness and scratches of one gasket face."""
    spec = shipped.works.lines[line].features[feature]
    low, high = (-math.inf, math.inf)
    if spec.roughness is not None and spec.roughness.limits is not None:
        low, high = spec.roughness.limits
    elif engine.gasket is not None and engine.gasket.finish is not None:
        low, high = engine.gasket.finish
    elif spec.roughness is not None:
        high = spec.roughness.high
    deepest = spec.scratch.limit if spec.scratch is not None else math.inf
    of = f"{line}, {feature}"
    return [
        _row("gasket face Ra", of, shipped.values(line, feature, "ra_um"), low, high),
        _row("gasket face scratch", of, shipped.values(line, feature, "scratch_um"), high=deepest),
    ]


def _ratios(engine: EngineData, shipped: Shipped) -> tuple[Floats, Floats]:
    """Chamber volumes and compression ratios, engine by engine and cylinder by cylinder."""
    bores = shipped.sizes_mm(engine.bores.line, engine.bores.feature)
    depths = _depths(engine, shipped, bores.shape)
    below = np.zeros(len(bores))
    if engine.deck is not None:
        spec = shipped.works.lines[engine.deck.line].features[engine.deck.feature]
        heights = shipped.sizes_mm(engine.deck.line, engine.deck.feature)
        below = engine.deck.piston_below + heights.mean(axis=1) - aim_mm(spec)
    count = min(len(bores), len(depths), len(below))
    cylinders = min(bores.shape[1], depths.shape[1])
    chambers, ratios = np.empty((count, cylinders)), np.empty((count, cylinders))
    for at in range(count):
        for cylinder in range(cylinders):
            chamber = _chamber_cm3(engine, float(depths[at, cylinder]))
            bore = float(bores[at, cylinder])
            chambers[at, cylinder] = chamber
            clearance = _clearance_cm3(engine, chamber, bore, float(below[at]))
            ratios[at, cylinder] = compression_ratio(cylinder_volume_cm3(bore, engine.stroke), clearance)
    return chambers, ratios


def _depths(engine: EngineData, shipped: Shipped, shape: tuple[int, ...]) -> Floats:
    """Depths of the chambers, mm; metal left on a face that is cut later makes them deeper."""
    chambers = engine.chambers
    assert chambers is not None
    if chambers.line is None:
        return np.full(shape, chambers.depth)
    depths = shipped.sizes_mm(chambers.line, str(chambers.feature))
    if chambers.rim is not None:
        depths = depths + shipped.values(chambers.line, chambers.rim, "error_um").mean(axis=1)[:, None] / 1000.0
    return depths


def _chamber_cm3(engine: EngineData, depth_mm: float) -> float:
    """Volume of a chamber as deep as that."""
    chambers = engine.chambers
    assert chambers is not None
    if chambers.sphere is not None:
        return spherical_cap_cm3(chambers.sphere, depth_mm)
    return cylinder_volume_cm3(float(chambers.diameter or 0.0), depth_mm)


def _clearance_cm3(engine: EngineData, chamber_cm3: float, bore_mm: float, below_mm: float) -> float:
    """Volume above the piston at the top."""
    gasket = engine.gasket
    pressed = 0.0 if gasket is None else cylinder_volume_cm3(gasket.diameter, gasket.thickness)
    dome = 0.0 if engine.pistons is None else engine.pistons.dome
    return clearance_volume_cm3(chamber_cm3, pressed, cylinder_volume_cm3(bore_mm, below_mm), dome=dome)


def _picked(engine: EngineData, shipped: Shipped) -> tuple[Floats, Floats]:
    """The piston picked for each bore, whose clearance comes nearest to the middle, and that clearance; mm."""
    pistons = engine.pistons
    assert pistons is not None
    bores = shipped.sizes_mm(engine.bores.line, engine.bores.feature).ravel()
    sizes = np.array(pistons.sizes)
    middle = sum(pistons.clearance) / 2.0
    at = np.abs(bores[:, None] - sizes[None, :] - middle).argmin(axis=1)
    picked = sizes[at]
    clearances = [piston_clearance_mm(bore, size) for bore, size in zip(bores.tolist(), picked.tolist(), strict=True)]
    return picked, np.array(clearances)


def classes_of(engine: EngineData, shipped: Shipped) -> pd.DataFrame:
    """Share of the bores that take each class; those for which none fits apart."""
    if engine.pistons is None:
        return pd.DataFrame(columns=["piston_mm", "share"])
    picked, clearances = _picked(engine, shipped)
    low, high = engine.pistons.clearance
    fits = (clearances >= low) & (clearances <= high)
    rows: list[dict[str, Any]] = [
        {"piston_mm": f"{size:.3f}", "share": float(((picked == size) & fits).mean())} for size in engine.pistons.sizes
    ]
    return pd.DataFrame([*rows, {"piston_mm": "none fits", "share": float((~fits).mean())}])
