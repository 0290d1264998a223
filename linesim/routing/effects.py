"""What the parts mean in the engine: compression ratio, piston clearance, bearing lines, valve seats, gasket faces.

From the true values of shipped parts, in the order in which they were shipped: the first block meets the first head and
the first crankcase, and so on. A bore's error is one figure, µm per side; on the line of a row of bores it is taken as
the place of the wall on which the shaft lies.
"""

from __future__ import annotations

import math
import time
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt
import pandas as pd

from linesim import __version__
from linesim.errors import StudyError
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
from linesim.result.plain import plain_table
from linesim.study import Interim, last_of, run
from linesim.study.intervals import mean_interval
from linesim.works import Works, digest
from linesim.works.engine_data import EngineData

__all__ = ["EFFECTS", "EngineEffects", "engine_effects", "engine_steps"]

Floats = npt.NDArray[np.float64]

USUAL_REPLICATIONS = 4


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


@dataclass(frozen=True, eq=False)
class EngineEffects:
    """Engine builder's figures over several runs.

    Attributes
    ----------
    works : Works
        The scenario, with its engine.
    policy : str
        Under which it was run.
    seed : int
        Key of all chance.
    confidence : float
        Of the intervals over the runs.
    found : tuple of DataFrame
        One per replication: effect, of, mean, sd, least, greatest, low, high, share_outside, n_values.
    classes : tuple of DataFrame
        One per replication: piston class (mm) and the share of bores that take it.
    """

    works: Works
    policy: str
    seed: int
    confidence: float
    found: tuple[pd.DataFrame, ...]
    classes: tuple[pd.DataFrame, ...]

    @cached_property
    def table(self) -> pd.DataFrame:
        """One row per effect: mean with half width, sd, extremes, share outside with half width."""
        rows = []
        whole = pd.concat([table.assign(replication=at) for at, table in enumerate(self.found)])
        for (name, of), group in whole.groupby(["effect", "of"], sort=False):
            mean = mean_interval(group["mean"].to_numpy(dtype=np.float64), self.confidence)
            out = mean_interval(group["share_outside"].to_numpy(dtype=np.float64), self.confidence)
            rows.append(
                {
                    "effect": name, "of": of, "unit": EFFECTS[str(name)].unit, "mean": mean.mean,
                    "half_width": mean.half_width, "sd": float(np.sqrt((group["sd"] ** 2).mean())),
                    "least": group["least"].min(), "greatest": group["greatest"].max(), "low": group["low"].iloc[0],
                    "high": group["high"].iloc[0], "share_outside": out.mean, "share_half_width": out.half_width,
                    "confidence": self.confidence, "n": mean.n, "values": int(group["n_values"].sum()),
                }
            )  # fmt: skip
        return pd.DataFrame(rows)

    @cached_property
    def piston_classes(self) -> pd.DataFrame:
        """Share of bores by piston class, with half width; the last row has none that fits."""
        if not self.classes or self.classes[0].empty:
            return pd.DataFrame(columns=["piston_mm", "share", "half_width", "confidence", "n"])
        rows = []
        whole = pd.concat(self.classes)
        for name, group in whole.groupby("piston_mm", sort=False):
            share = mean_interval(group["share"].to_numpy(dtype=np.float64), self.confidence)
            rows.append(
                {"piston_mm": name, "share": share.mean, "half_width": share.half_width}
                | {"confidence": self.confidence, "n": share.n}
            )
        return pd.DataFrame(rows)

    @cached_property
    def sentences(self) -> tuple[str, ...]:
        """What an engine builder would say."""
        return tuple(_words(self.table, self.piston_classes))

    @property
    def provenance(self) -> dict[str, Any]:
        """Everything that is needed to make the same figures again."""
        return {
            "works": self.works.name, "digest": digest(self.works), "policy": self.policy, "seed": self.seed,
            "replications": len(self.found), "confidence": self.confidence, "linesim": __version__,
        }  # fmt: skip

    @property
    def tables(self) -> dict[str, pd.DataFrame]:
        """The tables by name."""
        return {"effects": self.table, "piston_classes": self.piston_classes}

    def as_dict(self) -> dict[str, Any]:
        """Everything as plain values for JSON."""
        tables = {name: plain_table(table) for name, table in self.tables.items()}
        sources = {name: effect.source for name, effect in EFFECTS.items()}
        return {"provenance": self.provenance, "sentences": list(self.sentences), "sources": sources, **tables}


def engine_steps(
    works: Works,
    policy: str | None = None,
    replications: int = USUAL_REPLICATIONS,
    seed: int | None = None,
    confidence: float = 0.95,
    engine: str = "fast",
) -> Iterator[Interim[EngineEffects]]:
    """Run a works and tell what its parts mean in the engine, run by run.

    Parameters
    ----------
    works : Works
        With the entry ``engine``.
    policy : str, optional
        Under which sets are changed; the scenario's first unless given.
    replications : int
        Runs, 1 or more; without a second one there are no intervals.
    seed : int, optional
        Key of all chance; the scenario's unless given.
    confidence : float
        Of the intervals.
    engine : {"fast", "simpy"}
        Which engine runs it.

    Yields
    ------
    Interim
        After each run; the last one is final. The runs are made in this process, as every part is looked at.

    Raises
    ------
    StudyError
        The scenario says nothing of an engine, or no part was shipped.
    """
    if works.engine is None:
        told = "stroke, bores and what else is known of it, as in scenarios/works.yaml"
        raise StudyError(f"{works.name}: this scenario says nothing of an engine; add the entry engine: with {told}")
    if replications < 1:
        raise StudyError(f"{replications} replications were asked for; at least 1 was expected, and 2 for an interval")
    chosen = next(iter(works.policies)) if policy is None else policy
    key = works.run.seed if seed is None else seed
    began, found, classes = time.monotonic(), [], []
    for replication in range(replications):
        result = run(works, chosen, key, replication, trace=True, engine=engine)
        assert result.trace is not None
        shipped = _Shipped(works, result.trace.parts)
        found.append(_effects(works.engine, shipped))
        classes.append(_classes(works.engine, shipped))
        answer = EngineEffects(works, chosen, key, confidence, tuple(found), tuple(classes))
        spent, is_last = time.monotonic() - began, replication + 1 == replications
        yield Interim(replication + 1, replications, spent, answer, "looking at every part", is_last)


def engine_effects(works: Works, **options: Any) -> EngineEffects:
    """What the parts mean in the engine; see `engine_steps` for what may be given."""
    return last_of(engine_steps(works, **options))


class _Shipped:
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


def _effects(engine: EngineData, shipped: _Shipped) -> pd.DataFrame:
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


def _face(engine: EngineData, shipped: _Shipped, line: str, feature: str) -> list[dict[str, Any]]:
    """Roughness and scratches of one gasket face."""
    spec = shipped.works.lines[line].features[feature]
    low, high = (-math.inf, math.inf)
    if engine.gasket is not None and engine.gasket.finish is not None:
        low, high = engine.gasket.finish
    elif spec.roughness is not None:
        high = spec.roughness.limit
    deepest = spec.scratch.limit if spec.scratch is not None else math.inf
    of = f"{line}, {feature}"
    return [
        _row("gasket face Ra", of, shipped.values(line, feature, "ra_um"), low, high),
        _row("gasket face scratch", of, shipped.values(line, feature, "scratch_um"), high=deepest),
    ]


def _ratios(engine: EngineData, shipped: _Shipped) -> tuple[Floats, Floats]:
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


def _depths(engine: EngineData, shipped: _Shipped, shape: tuple[int, ...]) -> Floats:
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


def _picked(engine: EngineData, shipped: _Shipped) -> tuple[Floats, Floats]:
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


def _classes(engine: EngineData, shipped: _Shipped) -> pd.DataFrame:
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


def _words(table: pd.DataFrame, classes: pd.DataFrame) -> Iterator[str]:
    """Sentences in an engine builder's words."""
    rows = {(row["effect"], row["of"]): row for row in table.to_dict(orient="records")}
    whole = rows.get(("compression ratio", "all cylinders"))
    if whole is not None:
        spread = rows["spread in an engine", "all cylinders"]
        yield (
            f"Compression comes to {whole['mean']:.2f} to 1, with a standard deviation of {whole['sd']:.3f} from cylinder "
            f"to cylinder; within one engine the highest and the lowest lie {spread['mean']:.3f} apart in the mean and "
            f"{spread['greatest']:.3f} at most."
        )
    if len(classes):
        misfit = float(classes["share"].iloc[-1])
        taken = [
            f"{100.0 * row['share']:.0f} % take {row['piston_mm']}" for row in classes.iloc[:-1].to_dict("records")
        ]
        tail = f"; {100.0 * misfit:.1f} % of the bores find no piston that fits" if misfit > 0.0 else ""
        yield f"Pistons by class, mm: {', '.join(taken)}{tail}."
    yield from (_share_words(row, what) for (name, _), row in rows.items() for what in _SHARES.get(str(name), ()))


_SHARES: dict[str, tuple[str, ...]] = {
    "bearing off line": ("of the rows have a bearing off the line by more than",),
    "bearing step": ("of the rows have a step between neighbours of more than",),
    "seat run-out": ("of the valve seats run out by more than",),
    "gasket face Ra": ("of the faces are outside what the gasket asks for:",),
    "gasket face scratch": ("of the faces have a scratch deeper than",),
}


def _share_words(row: dict[Any, Any], what: str) -> str:
    """One sentence of shares outside."""
    low, high = row["low"], row["high"]
    bound = f"{high:g} {row['unit']}" if not math.isfinite(low) else f"Ra {low:g} to {high:g} {row['unit']}"
    if row["share_outside"] == 0.0:
        return f"{row['of']}: none {what.replace('have', 'has').replace('run out', 'runs out')} {bound} ({row['values']} looked at)."
    width = "" if math.isnan(row["share_half_width"]) else f" ± {100.0 * row['share_half_width']:.1f}"
    return f"{row['of']}: {100.0 * row['share_outside']:.1f}{width} % {what} {bound}."
