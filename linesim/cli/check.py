"""``linesim check``: read and check a scenario, and work it out on paper."""

from __future__ import annotations

from linesim.cli.guard import guarded
from linesim.cli.options import AsJson, Csv, Force, OnePolicy, ScenarioFile
from linesim.cli.output import Outlet, announce_compiling

__all__ = ["check"]

_TABLES = ("cuts", "sets", "operations", "constraints", "sources")


@guarded
def check(
    file: ScenarioFile,
    policy: OnePolicy = None,
    as_json: AsJson = False,
    csv: Csv = None,
    force: Force = False,
) -> None:
    """Check a scenario and show its desk figures: speeds, forces, lives, loads, the constraint."""
    from linesim import __version__  # noqa: PLC0415 - help stays quick
    from linesim.desk import desk_figures  # noqa: PLC0415
    from linesim.report.terminal.check import desk_text  # noqa: PLC0415
    from linesim.works import digest, load_works  # noqa: PLC0415

    works = load_works(file)
    outlet = Outlet(as_json, csv, force)
    outlet.check(_TABLES)
    announce_compiling()
    desk = desk_figures(works, policy)
    provenance = {"linesim": __version__, "digest": digest(works), "policy": desk.policy}
    outlet.put(desk.tables, provenance, desk.as_dict, lambda: desk_text(desk))
