"""``linesim dashboard``: ask the line a question in the browser."""

from __future__ import annotations

import os
import socket
import subprocess
from collections.abc import Sequence
from contextlib import closing, suppress
from pathlib import Path
from typing import Annotated

import typer

from linesim.cli.command import command
from linesim.cli.sign_in import own_name
from linesim.errors import LinesimError
from linesim.report.theme.desk_style import theme_options
from linesim.starting import SAFE, python
from linesim.store import is_no_store
from linesim.works import load_works

__all__ = ["HOME", "SIGN_IN", "dashboard", "names_served", "server_command"]

HOME = ("localhost", "127.0.0.1", "::1")
"""Names of a server that serves this machine alone."""

SIGN_IN = "LINESIM_DASHBOARD_SIGN_IN"
"""Environment variable by which the pages know that people sign in."""

_SERVER = Path(__file__).resolve().parents[2] / "dashboard" / "server.py"
_EVERYWHERE = ("0.0.0.0", "::")  # noqa: S104 - recognised, and not listened on
_OPEN = """\
The dashboard listens on {host}, so that others in your network can reach it, and answers to {names}. It asks nobody
who he is: whoever reaches it can run studies on this machine and see the scenario of anybody whose page address he
knows. Keep it in a network that you trust, or better: let it listen on localhost, put a proxy before it that speaks
HTTPS, and have people sign in (--sign-in). `linesim manual serving` says how.
"""


@command
def dashboard(
    file: Annotated[
        Path | None,
        typer.Argument(
            metavar="[FILE]", help="Scenario file (YAML); the demo block line unless given.", show_default=False
        ),
    ] = None,
    port: Annotated[int, typer.Option(metavar="N", min=1, max=65535, help="Port to listen on.")] = 8765,
    host: Annotated[str, typer.Option(metavar="NAME", help="Address to listen on; read the note first.")] = "localhost",
    served_as: Annotated[
        list[str] | None,
        typer.Option(metavar="NAME", help="A name under which people reach it; may be given several times."),
    ] = None,
    sign_in: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="People sign in at the OpenID Connect provider that this file names."),
    ] = None,
    browser: Annotated[bool, typer.Option(help="Open the page in a browser.")] = True,
) -> None:
    """Open the dashboard in a browser; on this machine alone unless --host says otherwise.

    With --host 0.0.0.0 the whole network can reach it, without a password: keep it on localhost and put a proxy
    before it (nginx, Apache, Caddy: HTTPS, WebSockets passed on), name it with --served-as, and have people --sign-in.
    """
    if not _SERVER.is_file():
        raise LinesimError(f"the dashboard's folder is not beside linesim ({_SERVER.parent} was expected); "
                           "run linesim from the folder in which README.md stands")  # fmt: skip
    if file is not None:
        load_works(file)
    names = names_served(host, [*(served_as or ()), *([own_name(sign_in)] if sign_in is not None else [])])
    if host not in HOME and sign_in is None:
        typer.echo(_OPEN.format(host=host, names=", ".join(names)), err=True)
    typer.echo(f"linesim is on the desk at http://{host}:{port} (Ctrl-C ends it)", err=True)
    try:
        command = server_command(port, host, browser, names, sign_in)
        done = subprocess.run(command, env=_surroundings(file, sign_in), cwd=_SERVER.parent, check=False)  # noqa: S603 - our words
    except KeyboardInterrupt:
        raise typer.Exit(0) from None
    raise typer.Exit(done.returncode)


def _surroundings(file: Path | None, sign_in: Path | None) -> dict[str, str]:
    """Environment of the server. It runs in its own folder, so that settings in the current one have no say in it."""
    surroundings = os.environ | SAFE
    if file is not None:
        surroundings["LINESIM_DASHBOARD_FILE"] = str(file.resolve())
    if sign_in is not None:
        surroundings[SIGN_IN] = "1"
    store = surroundings.get("LINESIM_STORE", "")
    if store and not is_no_store() and "://" not in store:
        surroundings["LINESIM_STORE"] = str(Path(store).resolve())
    return surroundings


def names_served(host: str, served_as: Sequence[str] = ()) -> list[str]:
    """The names that the server answers to; a request under any other is refused.

    Parameters
    ----------
    host : str
        Address to listen on.
    served_as : sequence of str
        Further names, such as that of the proxy before it.

    Returns
    -------
    list of str
        Those of this machine to itself; the address listened on, or this machine's name and address in its network
        if it listens on all; and the further ones.

    >>> names_served("localhost", ["Line.example"])
    ['localhost', '127.0.0.1', '::1', 'line.example']
    """
    own = _own_names() if host in _EVERYWHERE else [host]
    return list(dict.fromkeys(name.lower().strip("[]") for name in (*HOME, *own, *served_as)))


def _own_names() -> list[str]:
    """The machine's name, and the address from which it would speak to another network; nothing is sent."""
    names = [socket.gethostname()]
    with suppress(OSError), closing(socket.socket(socket.AF_INET, socket.SOCK_DGRAM)) as plain:
        plain.connect(("192.0.2.1", 9))  # an address for examples (RFC 5737): nobody is there
        names.append(str(plain.getsockname()[0]))
    return names


def server_command(
    port: int, host: str, browser: bool = False, names: Sequence[str] = HOME, sign_in: Path | None = None
) -> list[str]:
    """The command that serves the dashboard.

    Parameters
    ----------
    port : int
        1 to 65535.
    host : str
        Address to listen on.
    browser : bool
        Open it in a browser.
    names : sequence of str
        That it answers to.
    sign_in : pathlib.Path, optional
        Says how people sign in; the environment must say `SIGN_IN` then.

    Returns
    -------
    list of str
    """
    options = {
        "server.port": str(port),
        "server.address": host,
        "server.headless": str(not browser).lower(),
        "server.maxUploadSize": "2",
        "server.maxMessageSize": "64",
        "server.fileWatcherType": "none",
        "server.runOnSave": "false",
        "server.enableStaticServing": "false",
        # Written out although they are Streamlit's own, so that a file of settings in the current folder opens nothing.
        "server.enableCORS": "true",
        "server.enableXsrfProtection": "true",
        "server.enableAgentApi": "false",
        "global.developmentMode": "false",
        "server.showEmailPrompt": "false",
        # A visit that has left holds three file handles until then. Its desk and its studies are found again by the
        # page's address, so that little is lost to whoever comes back later.
        "server.disconnectedSessionTTL": "20",
        "browser.gatherUsageStats": "false",
        # Its welcome asks for more to be installed, in the terminal and on the page; the address has been told already.
        "logger.hideWelcomeMessage": "true",
        "client.showErrorDetails": "none",
        "client.showErrorLinks": "false",
        "client.toolbarMode": "minimal",
        "runner.magicEnabled": "false",
        # It would go through all that the server has in memory after every look at a study, a third of a second each.
        # Python clears up by itself, and what a visit holds is given back when it ends (`dashboard.visits`).
        "runner.postScriptGC": "false",
        **({"secrets.files": str(sign_in.resolve())} if sign_in is not None else {}),
        **theme_options(),
    }
    options_said = [f"--{name}={value}" for name, value in options.items()]
    hosts = [f"--server.allowedHosts={name}" for name in names]
    return python("-m", "streamlit", "run", str(_SERVER), *options_said, *hosts)
