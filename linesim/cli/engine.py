"""``linesim engine``: what the sizes mean once the engine is put together."""

from __future__ import annotations

from linesim.cli.carrying import last_step
from linesim.cli.command import command
from linesim.cli.options import Engine, Local, OnePolicy, ScenarioFile
from linesim.cli.output import Outlet, announce_compiling
from linesim.report.terminal.engine import engine_text
from linesim.routing import EngineStudy
from linesim.works import load_works

__all__ = ["engine"]


@command
def engine(
    file: ScenarioFile, asked: Local, out: Outlet, policy: OnePolicy = None, engine_name: Engine = "fast"
) -> None:
    """Tell what the parts mean in the engine: compression, pistons, bearing lines, valve seats, gasket faces."""
    works = load_works(file)
    out.check("effects", "piston_classes")
    announce_compiling(engine_name)
    study = EngineStudy(works, policy, asked.options()).but(engine=engine_name)
    answer, _ = last_step(study.steps(), "looking at every part", not out.as_json)
    out.put_answer(answer, works, engine_text)
