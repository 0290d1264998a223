"""Where one server serves many: whose a study is, who may take it away, and what signing in needs."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from streamlit import config

from dashboard.desk import Desk
from dashboard.keeping import _store, kept_steps
from dashboard.parts import room, who
from linesim.cli.dashboard import names_served
from linesim.cli.sign_in import own_name
from linesim.errors import LinesimError
from linesim.store import OWNER, StoredWorks, open_store
from linesim.study.comparing.glance import PolicyGlance
from linesim.study.comparing.past import settings_text
from linesim.works import digest, load_works, to_yaml
from tests.unit.dashboard_app import SCENARIOS, desk_of, open_page, texts_of

WORKS = load_works(SCENARIOS / "smallest.yaml")
WHOLE = {
    "redirect_uri": "https://line.example/oauth2callback",
    "cookie_secret": "0123456789012345678901234567890123456789",
    "client_id": "linesim",
    "client_secret": "secret",
    "server_metadata_url": "https://sign-in.example/.well-known/openid-configuration",
}


@pytest.fixture(autouse=True)
def path(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """A store of each test's own."""
    monkeypatch.setenv(room.FILE, str(SCENARIOS / "smallest.yaml"))
    monkeypatch.setenv("LINESIM_STORE", str(tmp_path / "runs.sqlite"))
    return tmp_path / "runs.sqlite"


@pytest.fixture
def many() -> Iterator[None]:
    """A server that was given a name of the network."""
    config.set_option("server.allowedHosts", names_served("localhost", ["line.example"]))
    yield
    config.set_option("server.allowedHosts", [])


def begun(path: Path, owner: str) -> None:
    with open_store(path) as store:
        store.begin(
            "look", StoredWorks(digest(WORKS), WORKS.name, to_yaml(WORKS)), {OWNER: owner} if owner else {}, "1"
        )


@pytest.mark.usefixtures("many")
def test_one_s_own_study_can_be_taken_away_and_no_other(path: Path) -> None:
    app = open_page("past")
    begun(path, who.owner_of(desk_of(app)))
    app.run()
    assert [button.label for button in app.button if "away" in button.label] == ["Take this study away"]
    other = open_page("past")
    assert "Study 1" in texts_of(other)
    assert not [button.label for button in other.button if "away" in button.label or "name" in button.label]


@pytest.mark.usefixtures("many")
def test_a_study_of_the_command_line_is_nobody_s_on_a_server_for_many(path: Path) -> None:
    begun(path, "")
    with open_store(path) as store:
        assert not who.may_change(Desk(WORKS, "x"), store.studies()[0])


def test_on_a_server_for_this_machine_alone_studies_have_no_owners(path: Path) -> None:
    begun(path, "f" * 32)
    desk = Desk(WORKS, "x")
    with open_store(path) as store:
        assert who.may_change(desk, store.studies()[0])
    assert who.owner_of(desk) == ""


def test_equal_questions_of_two_owners_are_two_studies_that_say_nothing_of_them(path: Path) -> None:
    _store.cache_clear()
    for owner in ("a" * 32, "b" * 32, "a" * 32):
        list(kept_steps(PolicyGlance, {"works": WORKS, "replications": 2}, owner))
    _store.cache_clear()
    with open_store(path) as store:
        studies = store.studies()
        assert sorted(study.owner for study in studies) == ["a" * 32, "b" * 32]
        assert all("aaa" not in settings_text(study) for study in studies)


def written(folder: Path, entries: dict[str, str]) -> Path:
    file = folder / "sign-in.toml"
    file.write_text("[auth]\n" + "".join(f'{name} = "{value}"\n' for name, value in entries.items()))
    return file


def test_whoever_signs_in_comes_back_to_a_name_that_the_server_answers_to(tmp_path: Path) -> None:
    assert own_name(written(tmp_path, WHOLE)) == "line.example"


@pytest.mark.parametrize("name", WHOLE)
def test_what_signing_in_lacks_is_named(tmp_path: Path, name: str) -> None:
    with pytest.raises(LinesimError, match=rf"\[auth\] lacks {name};"):
        own_name(written(tmp_path, {key: value for key, value in WHOLE.items() if key != name}))


@pytest.mark.parametrize(
    ("entry", "expected"),
    [
        ({"cookie_secret": "short"}, "auth.cookie_secret is short"),
        ({"redirect_uri": "https://line.example/elsewhere"}, "with /oauth2callback at its end"),
        ({"redirect_uri": "/oauth2callback"}, "with /oauth2callback at its end"),
    ],
)
def test_what_cannot_serve_is_told(tmp_path: Path, entry: dict[str, str], expected: str) -> None:
    with pytest.raises(LinesimError, match=expected):
        own_name(written(tmp_path, WHOLE | entry))


@pytest.mark.parametrize(
    ("table", "expected"),
    [
        ('instructors = "teacher@line.example"', "a list of e-mail addresses"),
        ('instructors = ["teacher"]', "a list of e-mail addresses"),
        ('instructor = ["teacher@line.example"]', "only instructors was expected"),
    ],
)
def test_who_teaches_is_named_by_addresses(tmp_path: Path, table: str, expected: str) -> None:
    file = written(tmp_path, WHOLE)
    whole = file.read_text()
    file.write_text(f'{whole}[linesim]\ninstructors = ["teacher@line.example"]\n')
    assert own_name(file) == "line.example"
    file.write_text(f"{whole}[linesim]\n{table}\n")
    with pytest.raises(LinesimError, match=expected):
        own_name(file)


@pytest.mark.usefixtures("many")
def test_nobody_teaches_where_nobody_signs_in_on_a_server_for_many(monkeypatch: pytest.MonkeyPatch) -> None:
    assert not who.may_teach()
    config.set_option("server.allowedHosts", [])
    assert who.may_teach()


def test_a_file_that_is_not_there_or_no_toml_is_told(tmp_path: Path) -> None:
    (tmp_path / "bad.toml").write_text("[auth")
    for file in ("bad.toml", "none.toml"):
        with pytest.raises(LinesimError, match="cannot be read as TOML"):
            own_name(tmp_path / file)
