"""``linesim check``: read and check a scenario, and work it out on paper."""

from __future__ import annotations

from linesim import __version__
from linesim.cli.command import command
from linesim.cli.options import OnePolicy, ScenarioFile
from linesim.cli.output import Outlet, announce_compiling
from linesim.desk import desk_figures
from linesim.report.terminal.check import desk_text
from linesim.works import digest, load_works

__all__ = ["check"]


@command
def check(file: ScenarioFile, out: Outlet, policy: OnePolicy = None) -> None:
    """Check a scenario and show its desk figures: speeds, forces, lives, loads, the constraint."""
    works = load_works(file)
    out.check("cuts", "sets", "operations", "constraints", "sources", "assumed")
    announce_compiling()
    desk = desk_figures(works, policy)
    provenance = {"linesim": __version__, "digest": digest(works), "policy": desk.policy}
    out.put(desk.tables, provenance, desk.as_dict, lambda: desk_text(desk, works), works=works)
