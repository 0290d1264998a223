"""What ``linesim dashboard --sign-in FILE`` needs, checked before anything is started."""

from __future__ import annotations

import importlib.util
import tomllib
from pathlib import Path
from urllib.parse import urlsplit

from linesim.errors import LinesimError

__all__ = ["INSTRUCTORS", "own_name"]

INSTRUCTORS = "instructors"
"""Entry of the table ``linesim``: addresses of those who may look back with every trainee."""

_NEEDED = ("redirect_uri", "cookie_secret", "client_id", "client_secret", "server_metadata_url")
_CALLBACK = "/oauth2callback"
_LEAST_SECRET = 32
"""Letters of the secret that signs the cookies; fewer could be tried out."""


def own_name(file: Path) -> str:
    """The name under which people reach the server, from a file that says how they sign in.

    Parameters
    ----------
    file : pathlib.Path
        TOML with a table ``auth``: redirect_uri, cookie_secret, client_id, client_secret, server_metadata_url; and, if
        there are any, with a table ``linesim``: instructors, a list of addresses.

    Returns
    -------
    str

    Raises
    ------
    LinesimError
        It cannot be read, something is missing or cannot serve, or the library that signs people in is not installed.
    """
    try:
        with file.open("rb") as opened:
            content = tomllib.load(opened)
    except (OSError, ValueError) as error:
        raise LinesimError(f"{file}: cannot be read as TOML ({error}); `linesim manual serving` shows one") from error
    auth = content.get("auth")
    missing = [name for name in _NEEDED if not isinstance(auth, dict) or not str(auth.get(name, "")).strip()]
    if missing or not isinstance(auth, dict):
        raise LinesimError(f"{file}: [auth] lacks {', '.join(missing)}; `linesim manual serving` shows a whole one")
    if len(str(auth["cookie_secret"])) < _LEAST_SECRET:
        raise LinesimError(f"{file}: auth.cookie_secret is short; {_LEAST_SECRET} random letters or more were expected")
    address = urlsplit(str(auth["redirect_uri"]))
    if address.path != _CALLBACK or not address.hostname:
        raise LinesimError(
            f'{file}: auth.redirect_uri is "{auth["redirect_uri"]}"; the address under which people reach linesim was '
            f"expected, with {_CALLBACK} at its end"
        )
    _check_own(file, content.get("linesim", {}))
    if importlib.util.find_spec("authlib") is None:
        raise LinesimError("Authlib is not installed, with which people sign in: pip install 'linesim[sign-in]'")
    return address.hostname


def _check_own(file: Path, own: object) -> None:
    """What linesim itself reads of the file: who teaches."""
    if not isinstance(own, dict) or own.keys() - {INSTRUCTORS}:
        raise LinesimError(f"{file}: [linesim] holds something unknown; only {INSTRUCTORS} was expected there")
    listed = own.get(INSTRUCTORS, [])
    if not isinstance(listed, list) or not all(isinstance(each, str) and "@" in each for each in listed):
        raise LinesimError(
            f"{file}: linesim.{INSTRUCTORS} names who looks back with the trainees; a list of e-mail addresses such as "
            '["teacher@line.example"] was expected'
        )
