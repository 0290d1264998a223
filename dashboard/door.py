"""Who may speak to the server, and what every answer forbids the browser to do with it.

Streamlit (1.67 and later) is an ASGI application that takes middleware, `streamlit.App(script, middleware=[...])`, so
that the `Door` stands before everything that it serves: pages, files and the socket alike. Streamlit's own option
``server.allowedHosts`` holds for its socket alone, and its pages carry no headers; it is given the same list as well.

What the door keeps out:

- A name that leads here although nobody gave it to this server (DNS rebinding): a page of a stranger's domain that is
  made to point at this machine has that domain in ``Host``, and its ``Origin`` agrees with it: comparing the two
  proves nothing. Only names that the server was started with are answered.
- A page from elsewhere: where a browser says of which page a request comes, it must be a page of this server.
- Paths for machines that no page needs (metrics, an interface for programs): only `OPEN` ones are answered.
- Uploads beyond what a visit, or all visits together, may leave in memory.

Sources: Fetch Standard (Origin header); W3C Content Security Policy Level 3; RFC 9110, sections 7.2 and 15.5.20 (Host,
status 421).
"""

from __future__ import annotations

import base64
import hashlib
import re
from collections.abc import Callable, Sequence
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple
from urllib.parse import urlsplit

import streamlit
from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse

__all__ = ["MOST_OF_ALL", "MOST_OF_A_VISIT", "OPEN", "Door", "Uploads", "host_name"]

OPEN = ("health", "host-config", "stream", "upload_file", "bidi-components")
"""What is answered below ``/_stcore/``; whatever else a later version of Streamlit serves there stays closed."""

MOST_OF_A_VISIT = 8 * 2**20
"""Bytes that one visit may have in memory as files not read yet."""

MOST_OF_ALL = 64 * 2**20
"""Bytes that all visits together may have in memory as files not read yet."""

_CORE = "/_stcore/"
_UPLOAD = re.compile(r"/_stcore/upload_file/(?P<visit>[^/]+)/[^/]+")
_MB = 2**20


class Uploads(NamedTuple):
    """Bytes of files that the server has in memory.

    Attributes
    ----------
    of_visit : int
        Of the visit in question.
    of_all : int
        Of all visits.
    """

    of_visit: int
    of_all: int


class _Refusal(NamedTuple):
    status: int
    words: str


class Door:
    """ASGI middleware that lets in who may come in, and sets the headers of every answer.

    Parameters
    ----------
    app : ASGI application
        What stands behind the door.
    hosts : sequence of str
        Names and numeric addresses that the server answers to, without ports.
    uploads : callable
        Gives the `Uploads` of a visit, by its id.
    """

    def __init__(self, app: Any, hosts: Sequence[str], uploads: Callable[[str], Uploads]) -> None:
        self.app = app
        self.hosts = tuple(host.lower().rstrip(".") for host in hosts)
        self.uploads = uploads

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        """Answer, or refuse in words."""
        if scope["type"] not in ("http", "websocket"):
            await self.app(scope, receive, send)
            return

        async def with_headers(message: Any) -> None:
            if message["type"] in ("http.response.start", "websocket.http.response.start"):
                MutableHeaders(scope=message).update(_headers())
            await send(message)

        refusal = self._refusal(scope)
        behind = PlainTextResponse(refusal.words, refusal.status) if refusal is not None else self.app
        await behind(scope, receive, with_headers)

    def _refusal(self, scope: Any) -> _Refusal | None:
        headers, path = Headers(scope=scope), str(scope["path"])
        host = headers.get("host", "")
        if host_name(host) not in self.hosts:
            return _Refusal(421, self._unknown(host))
        origin = headers.get("origin")
        if origin is not None and urlsplit(origin).netloc.lower() != host.lower():
            return _Refusal(403, "This server answers its own pages alone. Open its address in the browser.")
        if path.startswith(_CORE) and path.removeprefix(_CORE).split("/")[0] not in OPEN:
            return _Refusal(404, "This is not served.")
        upload = _UPLOAD.fullmatch(path) if scope.get("method") in ("PUT", "POST") else None
        return None if upload is None else self._too_much(headers, upload["visit"])

    def _unknown(self, host: str) -> str:
        shown = ascii(host_name(host)[:80] or host[:80])
        return (
            f"This server does not answer to the name {shown}, but to {', '.join(self.hosts)}. If it should, whoever "
            "starts it says so: linesim dashboard --served-as NAME."
        )

    def _too_much(self, headers: Headers, visit: str) -> _Refusal | None:
        length = headers.get("content-length", "")
        if not length.isdecimal():
            return _Refusal(411, "The length of the file was expected with it.")
        held = self.uploads(visit)
        if held.of_visit + int(length) > MOST_OF_A_VISIT:
            return _Refusal(413, f"A visit may have {MOST_OF_A_VISIT // _MB} MB of files under way. Reload the page.")
        if held.of_all + int(length) > MOST_OF_ALL:
            return _Refusal(
                413, f"All users together may have {MOST_OF_ALL // _MB} MB of files under way. Try again later."
            )
        return None


def host_name(host: str) -> str:
    """The name in a Host header, without its port; empty where there is none.

    >>> host_name("LocalHost:8765"), host_name("[::1]:8765"), host_name("user@localhost"), host_name("")
    ('localhost', '::1', '', '')
    """
    try:
        parts = urlsplit(f"//{host}")
        number = parts.port  # raises where it is no port
    except ValueError:
        return ""
    del number
    is_plain = not (parts.username or parts.password or parts.path or parts.query or parts.fragment)
    return (parts.hostname or "").lower().rstrip(".") if is_plain else ""


@cache
def _headers() -> dict[str, str]:
    """Of every answer. As the desk's id stands in the address, no other server may learn from where a user comes."""
    return {
        "Content-Security-Policy": "; ".join(
            (
                "default-src 'self'",
                f"script-src 'self' {_scripts_of_first_page()}",
                "style-src 'self' 'unsafe-inline'",  # Streamlit writes its styles into the page as it draws
                "img-src 'self' data: blob:",
                "font-src 'self' data:",
                "connect-src 'self'",
                "worker-src 'self' blob:",
                "object-src 'none'",
                "frame-src 'none'",
                "base-uri 'none'",
                "form-action 'self'",
                "frame-ancestors 'none'",
            )
        ),
        "X-Frame-Options": "DENY",
        "X-Content-Type-Options": "nosniff",
        "Referrer-Policy": "no-referrer",
        "Cross-Origin-Opener-Policy": "same-origin",
        "Cross-Origin-Resource-Policy": "same-origin",
        "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
    }


def _scripts_of_first_page() -> str:
    """The few scripts that stand in Streamlit's first page itself, each by its SHA-256, so that no other one runs."""
    page = (Path(streamlit.__file__).parent / "static" / "index.html").read_text(encoding="utf-8")
    written = re.findall(r"<script>(.*?)</script>", page, re.DOTALL)
    hashes = (base64.b64encode(hashlib.sha256(text.encode()).digest()).decode() for text in written)
    return " ".join(f"'sha256-{each}'" for each in hashes)
