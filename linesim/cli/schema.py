"""``linesim schema``: the JSON Schema of scenario files, for editors."""

from __future__ import annotations

from linesim.cli.guard import guarded
from linesim.cli.output import put_json

__all__ = ["schema"]


@guarded
def schema() -> None:
    """Print the JSON Schema of scenario files, so that an editor checks and completes them."""
    from linesim.works import scenario_schema  # noqa: PLC0415 - help stays quick

    put_json(scenario_schema())
