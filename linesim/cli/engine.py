"""``linesim engine``: what the sizes mean once the engine is put together."""

from __future__ import annotations

from typing import Annotated

import typer

from linesim.cli.guard import guarded
from linesim.cli.options import AsJson, Csv, Engine, Force, OnePolicy, ScenarioFile, Seed
from linesim.cli.output import announce_compiling, check_csv, command_line, put_csv, put_json, show
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
    from linesim.report.routing_engine import engine_text  # noqa: PLC0415 - help stays quick
    from linesim.routing import engine_steps  # noqa: PLC0415
    from linesim.works import load_works  # noqa: PLC0415

    works = load_works(file)
    check_csv(csv, _TABLES, force, as_json)
    announce_compiling(engine_name)
    found = watched(
        engine_steps(works, policy, replications, seed, confidence, engine_name), "looking at every part", not as_json
    )
    if csv is not None:
        put_csv(csv, found.tables, {"command": command_line(), **found.provenance}, force)
    if as_json:
        put_json({"command": command_line(), **found.as_dict()})
    elif csv is None or str(csv) != "-":
        show(engine_text(found))
