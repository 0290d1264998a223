"""``linesim manual``: the manual, topic by topic."""

from __future__ import annotations

from typing import Annotated

import typer
from rich.markdown import Markdown

from linesim.cli.command import command
from linesim.cli.output import show
from linesim.manual import TOPICS, page

__all__ = ["manual"]


@command
def manual(
    topic: Annotated[str | None, typer.Argument(metavar="TOPIC", help="; ".join(TOPICS), show_default=False)] = None,
    plain: Annotated[bool, typer.Option("--plain", help="Print the Markdown as it is written.")] = False,
) -> None:
    """Read the manual: what there is, or one topic of it."""
    text = _contents() if topic is None else page(topic)
    if plain:
        typer.echo(text, nl=False)
        return
    show(Markdown(text, hyperlinks=False))


def _contents() -> str:
    """The topics, each with its command."""
    rows = "\n".join(f"- `linesim manual {topic}`: {about}" for topic, about in TOPICS.items())
    return f"# The manual\n\n{rows}\n"
