"""``linesim stock``: how much to leave for each cut, and the least number of cuts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

import typer

from linesim.cli.command import command
from linesim.cli.options import FeatureLine, FeatureName, OnePolicy, ScenarioFile
from linesim.cli.output import Outlet, announce_compiling
from linesim.report.terminal.stock import stock_text
from linesim.routing import stock_plan
from linesim.routing.stock import StockRules
from linesim.works import load_works

__all__ = ["stock"]

Wanted = Annotated[float, typer.Option("--cpk", metavar="X", help="Capability wanted of size and roughness.")]
Simulated = Annotated[int, typer.Option("--check", metavar="N", help="Simulate the plan so many times; 0 does not.")]
Rz = Annotated[float, typer.Option("--rz", metavar="X", help="Rz over Ra.")]
Skin = Annotated[float, typer.Option("--skin", metavar="UM", help="Damaged layer under the casting's skin, µm.")]
Damaged = Annotated[float, typer.Option("--damaged", metavar="UM", help="Damaged layer after a cut, µm; 0 in iron.")]
Sigmas = Annotated[float, typer.Option("--sigmas", metavar="X", help="Standard deviations to be cleaned up.")]


@dataclass(frozen=True)
class Ruled:
    """What the rule of the least stock is given."""

    rz: Rz = 5.0
    skin: Skin = 300.0
    damaged: Damaged = 0.0
    sigmas: Sigmas = 3.0

    def rules(self) -> StockRules:
        """The same, as the plan takes it."""
        return StockRules(self.rz, self.skin, self.damaged, self.sigmas)


@command
def stock(
    file: ScenarioFile,
    feature: FeatureName,
    ruled: Ruled,
    out: Outlet,
    line: FeatureLine = None,
    policy: OnePolicy = None,
    cpk: Wanted = 1.33,
    check: Simulated = 0,
) -> None:
    """Plan the stock: how much to leave for each cut, and the least number of cuts that meets the drawing."""
    works = load_works(file)
    out.check("as_it_stands", "choices", "plan", "simulated")
    announce_compiling("fast" if check else "simpy")
    plan = stock_plan(works, feature, line, policy, cpk, ruled.rules())
    plan = plan.run_in_the_line(works.run.seed, check) if check else plan
    out.put_answer(plan, works, lambda answer: stock_text(answer, answer.simulated))
