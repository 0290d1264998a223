"""``linesim check``: read and check a scenario, and work it out on paper."""

from __future__ import annotations

from linesim.cli.guard import guarded
from linesim.cli.options import AsJson, Csv, Force, OnePolicy, ScenarioFile
from linesim.cli.output import announce_compiling, check_csv, command_line, put_csv, put_json, show

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
    from linesim.report.desk_text import desk_text  # noqa: PLC0415
    from linesim.works import digest, load_works  # noqa: PLC0415

    works = load_works(file)
    check_csv(csv, _TABLES, force, as_json)
    announce_compiling()
    desk = desk_figures(works, policy)
    if csv is not None:
        provenance = {
            "command": command_line(),
            "linesim": __version__,
            "digest": digest(works),
            "policy": policy,
        }
        put_csv(csv, desk.tables, provenance, force)
    if as_json:
        put_json({"command": command_line(), **desk.as_dict()})
    elif csv is None or str(csv) != "-":
        show(desk_text(desk))
