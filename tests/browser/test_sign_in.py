"""People sign in at a provider of OpenID Connect, and have desks and studies of their own."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from linesim.cli.dashboard import SIGN_IN
from linesim.store import OWNER, StoredWorks, open_store
from linesim.store.progress import Attempt, ended_shift, new_shift
from linesim.works import digest, load_works, to_yaml
from tests.dashboard_server import ROOT, Served, free_port, serving
from tests.provider import CLIENT, SECRET, Provider, provider

LESSON = "01-dull-finish-blade"

SETTINGS = """\
[auth]
redirect_uri = "http://localhost:{port}/oauth2callback"
cookie_secret = "a secret of tests, which is long enough"
client_id = "{client}"
client_secret = "{secret}"
server_metadata_url = "{url}"

[linesim]
instructors = ["Teacher@line.example"]
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("signed in")


@pytest.fixture(scope="module")
def known() -> Iterator[Provider]:
    with provider() as served:
        yield served


@pytest.fixture(scope="module")
def served(folder: Path, known: Provider) -> Iterator[Served]:
    port, file = free_port(), folder / "sign-in.toml"
    file.write_text(SETTINGS.format(port=port, client=CLIENT, secret=SECRET, url=known.configuration_url))
    _stored(folder)
    with serving(folder, port, {SIGN_IN: "1"}, sign_in=file) as server:
        yield server


def _stored(folder: Path) -> None:
    """A study in the store that belongs to somebody else, and a shift that a trainee has ended."""
    works = load_works(ROOT / "scenarios" / "smallest.yaml")
    with open_store(folder / "runs.sqlite") as store:
        scenario = StoredWorks(digest(works), works.name, to_yaml(works))
        study = store.begin("look", scenario, {OWNER: "f" * 32}, "1", "of another")
        store.end(study.number, "finished", {"sentences": ["An answer."]})
        attempt = Attempt("Till", LESSON, 1, dt.date(2026, 3, 2), False, 10.0, 0.5, 0, 0)
        ended_shift(store, new_shift(store, LESSON, {"history": []}, "Till"), {"history": []}, attempt)


@pytest.fixture
def visitor(browser: Browser) -> Iterator[BrowserContext]:
    context = browser.new_context(reduced_motion="reduce")
    context.set_default_timeout(90_000)
    yield context
    context.close()


def sign_in(page: Page, address: str) -> None:
    page.goto(address)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_text("Signed in as").wait_for()


def test_nothing_is_shown_before_one_has_signed_in(visitor: BrowserContext, served: Served) -> None:
    page = visitor.new_page()
    page.goto(f"{served.address}/past")
    page.get_by_role("button", name="Sign in").wait_for()
    assert page.locator(".answer").count() == 0
    assert page.locator('input[type="file"]').count() == 0
    assert "desk=" not in page.url


def test_whoever_signs_in_has_a_desk_that_nobody_else_is_shown(
    browser: Browser, visitor: BrowserContext, served: Served, known: Provider
) -> None:
    known.person = "anna"
    page = visitor.new_page()
    sign_in(page, served.address)
    expect(page.get_by_text("Signed in as Anna.")).to_be_visible()
    page.wait_for_url("**desk=**")
    address = page.url
    known.person = "bert"
    other = browser.new_context(reduced_motion="reduce")
    theirs = other.new_page()
    sign_in(theirs, address)
    theirs.goto(address)
    theirs.get_by_text("There is no desk at this address.").wait_for()
    theirs.get_by_role("button", name="Begin at a new desk").click()
    theirs.get_by_text("Signed in as Bert.").wait_for()
    theirs.wait_for_url(lambda url: "desk=" in url and url != address)
    other.close()
    page.goto(address)
    page.get_by_text("Signed in as Anna.").wait_for()
    assert page.url == address


@pytest.mark.longer
def test_nobody_names_or_takes_away_a_study_of_another(
    visitor: BrowserContext, served: Served, known: Provider
) -> None:
    known.person = "anna"
    page = visitor.new_page()
    sign_in(page, served.address)
    page.goto(f"{served.address}/past")
    expect(page.get_by_text("It is not yours: only whoever asked it can take it away here.")).to_be_visible()
    assert page.get_by_role("button", name="Take this study away").count() == 0
    assert page.get_by_role("button", name="Give it this name").count() == 0


@pytest.mark.parametrize(
    ("person", "is_verified", "may"),
    [
        ("teacher", True, True),
        ("teacher", False, False),
        pytest.param("anna", True, False, marks=pytest.mark.longer),
    ],
)
def test_instructors_alone_look_back_with_trainees_and_delete_them(
    person: str, is_verified: bool, may: bool, visitor: BrowserContext, served: Served, known: Provider
) -> None:
    known.person, known.is_verified = person, is_verified
    page = visitor.new_page()
    sign_in(page, served.address)
    page.goto(f"{served.address}/lesson")
    page.get_by_role("radio", name="Trainees").click()
    page.get_by_text("Give this address to the class").wait_for()
    assert page.get_by_text("Instructors alone look back").count() == (0 if may else 1)
    assert page.get_by_role("button", name="Debrief:").count() == (1 if may else 0)
    assert page.get_by_role("button", name="Delete everything kept").count() == (1 if may else 0)
