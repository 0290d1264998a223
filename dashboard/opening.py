"""The first thing on the screen: a sheet that stands until the page itself is there, so that no page opens white.

A browser draws nothing of Streamlit's own first page, which is empty until a megabyte of scripts has been read and the
first words have come over the socket. The sheet is written into that page on its way out. It is plain HTML and CSS,
goes by itself as soon as a page has its heading, and never takes a click.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from starlette.datastructures import Headers, MutableHeaders

from linesim.report.theme.colours import DAY, NIGHT
from linesim.report.theme.render import render, variables

__all__ = ["Opening"]

_BEFORE = b'<div id="root">'


class Opening:
    """ASGI middleware that writes the sheet into the first page.

    Parameters
    ----------
    app : ASGI application
        What serves the first page.
    """

    def __init__(self, app: Any) -> None:
        self.app = app

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        """Answer; whatever is no page of HTML goes through as it is."""
        if scope["type"] != "http" or scope.get("method") != "GET" or "text/html" not in _accepted(scope):
            await self.app(scope, receive, send)
            return
        plain = scope | {"headers": [each for each in scope["headers"] if each[0] != b"accept-encoding"]}
        held: list[Any] = []
        page = bytearray()

        async def written(message: Any) -> None:
            if message["type"] == "http.response.start":
                if not _is_page(message):
                    await send(message)
                    return
                held.append(message)
                return
            if not held or message["type"] != "http.response.body":
                await send(message)
                return
            page.extend(message.get("body", b""))
            if message.get("more_body"):
                return
            start = held.pop()
            whole = bytes(page).replace(_BEFORE, _sheet() + _BEFORE, 1)
            MutableHeaders(scope=start)["content-length"] = str(len(whole))
            await send(start)
            await send({"type": "http.response.body", "body": whole})

        await self.app(plain, receive, written)


def _accepted(scope: Any) -> str:
    """What the browser wants; only one that opens an address wants a page."""
    return str(Headers(scope=scope).get("accept", ""))


def _is_page(start: Any) -> bool:
    """Whether an answer is a page of HTML."""
    return bool(
        start["status"] == 200 and Headers(raw=start["headers"]).get("content-type", "").startswith("text/html")
    )


@cache
def _sheet() -> bytes:
    return render("opening.html", day=variables(DAY), night=variables(NIGHT)).encode()
