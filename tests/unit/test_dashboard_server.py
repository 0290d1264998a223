"""The server of the dashboard, attacked from outside: other names, other pages, frames, and what need not be open."""

from __future__ import annotations

import asyncio
import http.client
import socket
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from typing import Any, NamedTuple

import psutil
import pytest
from starlette.responses import PlainTextResponse
from websockets.exceptions import InvalidStatus
from websockets.sync.client import connect

from dashboard.door import MOST_OF_A_VISIT, MOST_OF_ALL, Door, Uploads
from linesim.cli.dashboard import names_served
from tests.dashboard_server import Served, page_open, serving

pytestmark = pytest.mark.late


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    with serving(tmp_path_factory.mktemp("dashboard"), names=names_served("localhost", ["line.example"])) as server:
        yield server


class Answer(NamedTuple):
    status: int
    text: str
    headers: http.client.HTTPMessage


def get(served: Served, path: str, host: str = "") -> Answer:
    with closing(http.client.HTTPConnection("localhost", served.port, timeout=20)) as asked:
        asked.request("GET", path, headers={"Host": host or f"localhost:{served.port}"})
        answer = asked.getresponse()
        return Answer(answer.status, answer.read().decode(), answer.headers)


def socket_status(served: Served, host: str, origin: str | None) -> int:
    """What the server answers a page that wants the socket on which everything happens; 101 opens it."""
    line = socket.create_connection(("localhost", served.port))
    options: dict[str, Any] = {"sock": line, "origin": origin, "subprotocols": ["streamlit"]}
    try:
        with connect(f"ws://{host}/_stcore/stream", **options):
            return 101
    except InvalidStatus as refused:
        return refused.response.status_code
    finally:
        line.close()


def test_its_own_page_gets_the_socket_and_so_does_one_of_a_name_it_was_given(served: Served) -> None:
    own, named = f"localhost:{served.port}", "line.example"
    assert socket_status(served, own, f"http://{own}") == 101
    assert socket_status(served, named, f"https://{named}") == 101
    assert get(served, "/", named).status == 200


def test_a_stranger_s_name_that_leads_here_gets_nothing(served: Served) -> None:
    """DNS rebinding: Host and Origin agree, as the stranger's page believes that it speaks to its own server."""
    for host in (f"stranger.example:{served.port}", "localhost.stranger.example", "line.example.stranger.example"):
        assert socket_status(served, host, f"http://{host}") == 421
    answer = get(served, "/", "stranger.example")
    assert answer.status == 421
    assert "does not answer to the name 'stranger.example'" in answer.text
    assert get(served, "/", "line.example@stranger.example").status == 421
    assert get(served, "/_stcore/health", "stranger.example").status == 421


def test_a_page_from_elsewhere_gets_no_socket(served: Served) -> None:
    own = f"localhost:{served.port}"
    for origin in ("http://stranger.example", f"http://localhost:{served.port + 1}", "http://localhost", "null"):
        assert socket_status(served, own, origin) == 403


@pytest.mark.parametrize("path", ["/", "/cutters", "/_stcore/health", "/_stcore/metrics", "/static/nothing.js"])
def test_every_answer_forbids_frames_guesses_and_telling_from_where_one_comes(served: Served, path: str) -> None:
    headers = get(served, path).headers
    policy = headers["Content-Security-Policy"]
    assert "frame-ancestors 'none'" in policy
    assert "default-src 'self'" in policy
    scripts = next(part for part in policy.split("; ") if part.startswith("script-src"))
    assert "unsafe" not in scripts
    assert headers["X-Frame-Options"] == "DENY"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"


@pytest.mark.parametrize(
    "path", ["metrics", "metrics/", "agent/openapi.json", "agent/interact", "agent/mcp", "script-health-check"]
)
def test_what_no_page_needs_is_closed(served: Served, path: str) -> None:
    answer = get(served, f"/_stcore/{path}")
    assert (answer.status, answer.text) == (404, "This is not served.")


def put(served: Served, visit: str, number: int, content: bytes) -> int:
    """Send a file as a page would; the status of the answer."""
    token = get(served, "/_stcore/health").headers["Set-Cookie"].split(";")[0].split("=", 1)[1]
    body = b'--b\r\nContent-Disposition: form-data; name="file"; filename="a.yaml"\r\n\r\n' + content + b"\r\n--b--\r\n"
    headers = {
        "Content-Type": "multipart/form-data; boundary=b",
        "X-Xsrftoken": token,
        "Cookie": f"_streamlit_xsrf={token}",
    }
    with closing(http.client.HTTPConnection("localhost", served.port, timeout=20)) as asked:
        asked.request("PUT", f"/_stcore/upload_file/{visit}/{number}", body, headers)
        return asked.getresponse().status


def test_a_visit_cannot_fill_the_memory_with_files_that_nobody_reads(served: Served) -> None:
    with page_open(served, "past") as visit:
        statuses = [put(served, visit, number, b"x" * 2**20) for number in range(20)]
    assert statuses == [204] * 7 + [413] * 13


@pytest.mark.longer
def test_file_handles_do_not_grow_with_page_loads(served: Served) -> None:
    """Those of a visit that has left are given back 20 s later, whether another page is opened or not."""
    server = psutil.Process(served.process_id)
    with page_open(served, "past"):
        pass
    before = server.num_fds()
    for _ in range(25):
        with page_open(served, "past"):
            pass
    time.sleep(23.0)
    assert server.num_fds() <= before


async def _asked(door: Door, size: str) -> int:
    """The status of an upload of so many bytes."""
    statuses: list[int] = []

    async def send(message: Any) -> None:
        if "status" in message:
            statuses.append(int(message["status"]))

    headers = [(b"host", b"localhost"), *([(b"content-length", size.encode())] if size else [])]
    scope = {"type": "http", "method": "PUT", "path": "/_stcore/upload_file/visit/file", "headers": headers}
    await door(scope, None, send)
    return statuses[0]


@pytest.mark.parametrize(
    ("of_visit", "of_all", "size", "expected"),
    [
        (0, 0, "2000000", 200),
        (MOST_OF_A_VISIT - 10, 0, "10", 200),
        (MOST_OF_A_VISIT - 10, 0, "11", 413),
        (0, MOST_OF_ALL - 10, "10", 200),
        (0, MOST_OF_ALL - 10, "11", 413),
        (0, 0, "", 411),
        (0, 0, "-1", 411),
    ],
)
def test_files_that_nobody_reads_do_not_fill_the_memory(of_visit: int, of_all: int, size: str, expected: int) -> None:
    door = Door(PlainTextResponse("taken"), ["localhost"], lambda _: Uploads(of_visit, of_all))
    with ThreadPoolExecutor(1) as aside:  # where no other loop of events runs
        assert aside.submit(lambda: asyncio.run(_asked(door, size))).result() == expected


def test_the_first_page_that_a_browser_opens_has_something_on_it(served: Served) -> None:
    with closing(http.client.HTTPConnection("localhost", served.port, timeout=20)) as asked:
        asked.request("GET", "/line", headers={"Accept": "text/html,*/*;q=0.8", "Accept-Encoding": "gzip, br"})
        page = asked.getresponse().read().decode()
    assert page.index("The desk is being laid out") < page.index('<div id="root">')
    assert page.rstrip().endswith("</html>")
    assert "The desk is being laid out" not in get(served, "/_stcore/health").text
