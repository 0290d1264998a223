"""``linesim dashboard``: ask the line a question in the browser."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import Annotated

import typer

from linesim.cli.guard import guarded
from linesim.errors import LinesimError

__all__ = ["dashboard", "server_command"]

_APP = Path(__file__).resolve().parents[2] / "dashboard" / "app.py"
_HOME = ("localhost", "127.0.0.1", "::1")
_OPEN = """\
The dashboard listens on {host}, so that others in your network can reach it. It asks nobody who he is: whoever reaches
it can run studies on this machine and see the scenario of anybody whose page address he knows. Keep it in a network
that you trust, or better: let it listen on localhost, and put a proxy before it that asks for a name and a password and
speaks HTTPS (nginx, Apache or Caddy; it must pass WebSockets on, at /_stcore/stream).
"""


@guarded
def dashboard(
    file: Annotated[
        Path | None,
        typer.Argument(
            metavar="[FILE]", help="Scenario file (YAML); the demo block line unless given.", show_default=False
        ),
    ] = None,
    port: Annotated[int, typer.Option(metavar="N", min=1, max=65535, help="Port to listen on.")] = 8765,
    host: Annotated[str, typer.Option(metavar="NAME", help="Address to listen on; read the note first.")] = "localhost",
    browser: Annotated[bool, typer.Option(help="Open the page in a browser.")] = True,
) -> None:
    """Open the dashboard in a browser; on this machine alone unless told otherwise.

    With --host 0.0.0.0 the whole network can reach it, without a password: keep it on localhost and put an
    authenticating proxy (nginx, Apache, Caddy: HTTPS, a name and a password, WebSockets passed on) before it.
    """
    from linesim.works import load_works  # noqa: PLC0415 - help stays quick

    if not _APP.is_file():
        raise LinesimError(f"the dashboard's folder is not beside linesim ({_APP.parent} was expected); "
                           "run linesim from the folder in which README.md stands")  # fmt: skip
    surroundings = dict(os.environ)
    if file is not None:
        load_works(file)
        surroundings["LINESIM_DASHBOARD_FILE"] = str(file.resolve())
    if host not in _HOME:
        typer.echo(_OPEN.format(host=host), err=True)
    typer.echo(f"linesim is on the desk at http://{host}:{port} (Ctrl-C ends it)", err=True)
    try:
        command = server_command(port, host, browser)
        done = subprocess.run(command, env=surroundings, check=False)  # noqa: S603 - our own words and a checked port
    except KeyboardInterrupt:
        raise typer.Exit(0) from None
    raise typer.Exit(done.returncode)


def server_command(port: int, host: str, browser: bool = False) -> list[str]:
    """The command that serves the dashboard.

    Parameters
    ----------
    port : int
        1 to 65535.
    host : str
        Address to listen on.
    browser : bool
        Open it in a browser.

    Returns
    -------
    list of str
    """
    from linesim.report.theme.desk_style import theme_options  # noqa: PLC0415

    options = {
        "server.port": str(port),
        "server.address": host,
        "server.headless": str(not browser).lower(),
        "server.maxUploadSize": "2",
        "server.maxMessageSize": "64",
        "server.fileWatcherType": "none",
        "server.runOnSave": "false",
        "server.enableStaticServing": "false",
        "server.enableXsrfProtection": "true",
        "server.showEmailPrompt": "false",
        "server.disconnectedSessionTTL": "120",
        "browser.gatherUsageStats": "false",
        # Its welcome asks for more to be installed, in the terminal and on the page; the address has been told already.
        "logger.hideWelcomeMessage": "true",
        "client.showErrorDetails": "none",
        "client.showErrorLinks": "false",
        "client.toolbarMode": "viewer",
        "runner.magicEnabled": "false",
        **theme_options(),
    }
    return [
        sys.executable,
        "-m",
        "streamlit",
        "run",
        str(_APP),
        *(f"--{name}={said}" for name, said in options.items()),
    ]
