"""``linesim engine``: what the sizes mean once the engine is put together."""

from __future__ import annotations

from typing import Annotated

import typer

from linesim.cli.guard import guarded
from linesim.cli.options import AsJson, Csv, Engine, Force, OnePolicy, ScenarioFile, Seed
from linesim.cli.output import Outlet, announce_compiling
from linesim.cli.progress import watched

__all__ = ["engine"]

_TABLES = ("effects", "piston_classes")


@guarded
def engine(
    file: ScenarioFile,
    policy: OnePolicy = None,
    replications: Annotated[int, typer.Option(metavar="N", help="Runs in which every part is looked at.")] = 4,
    seed: Seed = None,
    confidence: Annotated[float, typer.Option(metavar="SHARE", help="Confidence of the intervals.")] = 0.95,
    as_json: AsJson = False,
    csv: Csv = None,
    force: Force = False,
    engine_name: Engine = "fast",
) -> None:
    """Tell what the parts mean in the engine: compression, pistons, bearing lines, valve seats, gasket faces."""
    from linesim.report.terminal.engine import engine_text  # noqa: PLC0415 - help stays quick
    from linesim.routing import engine_steps  # noqa: PLC0415
    from linesim.works import load_works  # noqa: PLC0415

    works = load_works(file)
    outlet = Outlet(as_json, csv, force)
    outlet.check(_TABLES)
    announce_compiling(engine_name)
    found = watched(
        engine_steps(works, policy, replications, seed, confidence, engine_name), "looking at every part", not as_json
    )
    outlet.put(found.tables, found.provenance, found.as_dict, lambda: engine_text(found))
