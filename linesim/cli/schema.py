"""``linesim schema``: the JSON Schema of scenario files, for editors."""

from __future__ import annotations

from linesim.cli.command import command
from linesim.cli.output import put_json
from linesim.works import scenario_schema

__all__ = ["schema"]


@command
def schema() -> None:
    """Print the JSON Schema of scenario files, so that an editor checks and completes them."""
    put_json(scenario_schema())
