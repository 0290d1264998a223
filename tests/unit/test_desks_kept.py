"""Desks in the store: nothing lost, doubled or mixed, for one user and for several; links and what they allow."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from itertools import zip_longest
from pathlib import Path

import pytest
from sqlalchemy import event
from streamlit import config
from streamlit.testing.v1 import AppTest

from dashboard.desk import Desk
from dashboard.kept import Kept, works_of_version
from dashboard.parts import room
from dashboard.parts.draft import take, typed
from dashboard.quota import Quota
from linesim.cli.dashboard import names_served
from linesim.errors import LinesimError, StoreError
from linesim.report.views.differences import scenario_changes
from linesim.store import Store, StoredWorks, open_store
from linesim.store.desks import (
    COPY,
    LOOK,
    TOGETHER,
    Change,
    GoneError,
    MovedOnError,
    delete_desk,
    desk_led_to,
    desks_of,
    keep_desk,
    keep_version,
    link_to,
    newest_version,
    rename_desk,
    version_of,
    versions_of,
    withdraw_link,
)
from linesim.store.drafts import KeptDraft, draft_at, drop_draft, is_seat_of, keep_draft
from linesim.works import Works, changed, digest, load_works, to_yaml
from linesim.works.book.editing import Draft
from linesim.works.reconciling import reconciled
from tests.postgres import Server, postgres_server
from tests.unit.dashboard_app import SCENARIOS, _script, desk_of, html_of, settled, texts_of

WORKS = load_works(SCENARIOS / "smallest.yaml")
NASTY = "<img src=x onerror=alert(1)> **b** :red[x] [l](javascript:1)"


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with postgres_server(tmp_path_factory) as running:
        yield running


@pytest.fixture(params=["sqlite", "postgresql"])
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Store]:
    """A store of each kind."""
    is_file = request.param == "sqlite"
    place = str(tmp_path / "runs.sqlite") if is_file else request.getfixturevalue("server").new_database()
    with open_store(place) as opened:
        yield opened


def change(works: Works, words: str, step: str) -> Change:
    return Change(StoredWorks(digest(works), works.name, to_yaml(works)), "a file", words, "seat", step)


def seeded(works: Works, seed: int) -> Works:
    return changed(works, {"run": {"seed": seed}})


def named(works: Works, name: str) -> Works:
    return changed(works, {"name": name})


def staffed(works: Works, setters: int) -> Works:
    return changed(works, {"people": {"setters": {"count": setters}}})


def count(works: Works) -> int:
    return works.people["setters"].count


def at_desk(store: Store, key: str = "k" * 22) -> Desk:
    desk = Desk(WORKS, "smallest.yaml", id=key)
    desk.kept = Kept(lambda: store, key, key, "", Quota().take)
    return desk


def beside(store: Store, key: str = "k" * 22, way: str = TOGETHER) -> Desk:
    """Another seat at a desk that is kept, reached by a link."""
    link = link_to(store, key, way)
    led = desk_led_to(store, link)
    assert led is not None
    assert led.way == way
    works = works_of_version(store, version_of(store, key, led.desk.version))
    desk = Desk(works, "smallest.yaml")
    desk.kept = Kept(lambda: store, key, desk.id, "", Quota().take, link=link, way=way, seen=led.desk.version)
    return desk


# the store


def test_versions_follow_each_other_and_none_is_there_twice(store: Store) -> None:
    keep_desk(store, "one", "Blades", "ada", change(WORKS, "opened", "a"))
    keep_desk(store, "one", "Blades", "ada", change(WORKS, "opened", "a"))  # a server that was away: done again
    assert keep_version(store, "one", 1, change(seeded(WORKS, 5), "seed", "b")) == 2
    assert keep_version(store, "one", 1, change(seeded(WORKS, 5), "seed", "b")) == 2
    with pytest.raises(MovedOnError):
        keep_version(store, "one", 1, change(seeded(WORKS, 6), "seed", "c"))
    assert [(each.version, each.words) for each in versions_of(store, "one")] == [(2, "seed"), (1, "opened")]
    rename_desk(store, "one", " Two  blades ")
    assert [(each.name, each.version) for each in desks_of(store, "ada")] == [("Two blades", 2)]
    assert desks_of(store, "bob") == []
    assert store.prune(is_tried=False).works == 0  # no study needs them, the desk does
    assert works_of_version(store, version_of(store, "one", 2)) == seeded(WORKS, 5)
    assert list(store.problems()) == []
    token = link_to(store, "one", LOOK)
    assert link_to(store, "one", LOOK) == token != link_to(store, "one", COPY)
    assert newest_version(store, token) == newest_version(store, "one") == 2
    withdraw_link(store, token)
    assert newest_version(store, token) == 0
    assert desk_led_to(store, token) is None
    delete_desk(store, "one")
    assert desk_led_to(store, "one") is None
    assert store.works(digest(WORKS)) is None


def test_a_write_that_fails_in_the_middle_leaves_nothing_of_it(store: Store) -> None:
    keep_desk(store, "one", "Blades", "", change(WORKS, "opened", "a"))

    def breaks(connection, cursor, statement, *rest):  # type: ignore[no-untyped-def]
        if "linesim_desk_versions" in statement and statement.startswith("INSERT"):
            raise StoreError("the power is gone")

    event.listen(store.engine, "before_cursor_execute", breaks)
    with pytest.raises(StoreError, match="power"):
        keep_version(store, "one", 1, change(seeded(WORKS, 5), "seed", "b"))
    event.remove(store.engine, "before_cursor_execute", breaks)
    assert newest_version(store, "one") == 1
    assert store.works(digest(seeded(WORKS, 5))) is None


# two at one desk


def test_both_changes_stand_and_undo_takes_back_one_s_own_step_only(store: Store) -> None:
    ada = at_desk(store)
    ada.put(named(WORKS, "Ada's"), "name")
    bob = beside(store)
    bob.put(seeded(bob.works, 77), "seed")
    assert (ada.works.name, ada.works.run.seed) == ("Ada's", WORKS.run.seed)  # stays until she wants to see it
    ada.put(staffed(ada.works, 5), "setters")
    assert (ada.works.name, count(ada.works), ada.works.run.seed) == ("Ada's", 5, 77)
    assert "both changes stand" in ada.word
    ada.undo()
    ada.undo()
    assert (ada.works.name, count(ada.works), ada.works.run.seed) == (WORKS.name, count(WORKS), 77)
    ada.redo()
    assert (ada.works.name, ada.works.run.seed) == ("Ada's", 77)
    bob.catch_up()
    assert bob.digest == ada.digest
    bob.undo()
    assert (bob.works.name, bob.works.run.seed) == ("Ada's", WORKS.run.seed)
    numbers = [each.version for each in versions_of(store, "k" * 22)]
    assert numbers == list(range(len(numbers), 0, -1))


def test_the_same_entry_changed_by_both_is_said_and_no_version_is_lost(store: Store) -> None:
    ada = at_desk(store)
    ada.put(seeded(WORKS, 5), "seed five")
    bob = beside(store)
    bob.put(seeded(bob.works, 6), "seed six")
    ada.put(seeded(ada.works, 7), "seed seven")
    assert ada.works.run.seed == 7
    assert "run, seed" in ada.word
    assert "theirs is version 3" in ada.word
    assert works_of_version(store, version_of(store, "k" * 22, 3)).run.seed == 6
    bob.undo()
    assert bob.works.run.seed == 7  # ada's step is not bob's to take back
    assert "stays" in bob.word


def test_who_may_look_only_changes_nothing(store: Store) -> None:
    ada = at_desk(store)
    ada.put(seeded(WORKS, 5), "seed")
    guest = beside(store, way=LOOK)
    for step in (lambda: guest.put(seeded(WORKS, 6), "seed"), guest.undo, guest.redo):
        with pytest.raises(LinesimError, match="shown to you to look at"):
            step()
    assert newest_version(store, "k" * 22) == 2


def test_what_cannot_be_kept_stands_on_the_desk_and_comes_with_the_next_version(store: Store) -> None:
    ada = at_desk(store)
    ada.put(seeded(WORKS, 5), "seed")
    assert ada.kept is not None
    ada.kept.take = Quota(10, 10, what="with this version {who} kept").take
    ada.put(named(ada.works, "Mine"), "name")
    assert ada.works.name == "Mine"
    assert "could not be kept: with this version you have kept" in ada.word
    bob = beside(store)
    bob.put(staffed(bob.works, 5), "setters")
    ada.kept.take = Quota().take
    ada.put(seeded(ada.works, 8), "seed")
    now = works_of_version(store, version_of(store, "k" * 22, newest_version(store, "k" * 22)))
    assert (now.name, count(now), now.run.seed) == ("Mine", 5, 8)


def test_two_changes_in_one_scenario_keep_the_order_and_refuse_what_does_not_go_together() -> None:
    block = load_works(SCENARIOS / "block-line.yaml")
    line = next(iter(block.lines))
    names = list(block.lines[line].operations)
    first = changed(block, {"lines": {line: {"operations": {names[-1]: {"machines": 3}}}}})
    second = changed(block, {"lines": {line: {"operations": {"Op 15": {"after": names[0], "minutes": 1}}}}})
    both = reconciled(block, first, second)
    assert both.clashes == ()
    assert list(both.works.lines[line].operations) == [names[0], "Op 15", *names[1:]]
    assert both.works.lines[line].operations[names[-1]].machines == 3


# the pages


def opened(query: dict[str, str], url: str = "desks") -> AppTest:
    """A page as somebody sees it whose browser is given this address."""
    app = AppTest.from_function(_script, kwargs={"url": url}, default_timeout=60)
    for name, value in query.items():
        app.query_params[name] = value
    return settled(app.run())


def address_of(app: AppTest) -> dict[str, str]:
    return {name: str(app.query_params[name][0] if isinstance(app.query_params[name], list) else app.query_params[name])
            for name in ("desk", "seat") if name in app.query_params}  # fmt: skip


def forget() -> None:
    """As if the server had been started again."""
    room.desks.clear()


def press(app: AppTest, label: str) -> AppTest:
    next(each for each in app.button if each.label == label).click()
    return settled(app.run())


def test_what_one_renames_the_other_may_change_or_rename_what_it_speaks_of() -> None:
    draft = Draft.of(WORKS)
    first = draft.renamed("People", ("setters",), "fitters").works("first")
    second = draft.renamed("Operations", ("flange", "Op 10"), "Op 11").works("second")
    for both in (reconciled(WORKS, first, second), reconciled(WORKS, second, first)):
        assert list(both.works.lines["flange"].operations) == ["Op 11", "Op 20", "Op 30"]
        assert both.works.lines["flange"].operations["Op 11"].setters == "fitters"
        assert not both.clashes
    assert "flange: Op 10 is called Op 11" in scenario_changes(to_yaml(WORKS), to_yaml(second))


def test_a_desk_is_called_like_its_scenario_until_it_has_a_name_of_its_own(own_store: Path) -> None:
    desk = desk_of(opened({}))
    desk.put(WORKS.model_copy(update={"about": "a word"}), "a word")
    assert desk.kept is not None
    assert desk.kept.name == WORKS.name
    desk.put(named(WORKS, "Bilge pump"), "beginning a line from nothing", "Bilge pump")
    assert [each.name for each in desks_of(open_store(own_store), desk.kept.owner)] == ["Bilge pump"]
    desk.undo()
    assert desk.kept.name == WORKS.name
    desk.kept.rename("Mine")
    desk.redo()
    assert (desk.works.name, desk.kept.name) == ("Bilge pump", "Mine")


def test_a_desk_is_there_again_after_a_restart_with_its_name_and_the_way_back(own_store: Path) -> None:
    app = opened({})
    assert not open_store(own_store).studies()
    assert "kept from its first change" in html_of(app)
    desk_of(app).put(named(WORKS, NASTY), f"name {NASTY}")
    app.run()
    app.text_input[0].input("<b>Two</b> blades")
    press(app, "Give it this name")
    assert "&lt;b&gt;Two&lt;/b&gt; blades" in html_of(app)
    assert "<img src=x" not in html_of(app)
    assert "name: " in html_of(app)
    assert " became " in html_of(app)
    where = address_of(app)
    forget()
    again = opened(where)
    assert desk_of(again).works == named(WORKS, NASTY)
    assert "You are at the desk &lt;b&gt;Two&lt;/b&gt; blades, version 2" in html_of(again)
    version = next(each for each in again.selectbox if each.label == "Version")
    version.select(next(label for label in version.options if label.startswith("1:")))
    again.run()
    press(again, "Go back to version 1")
    assert desk_of(again).works == WORKS
    press(again, "Begin a new desk")
    assert address_of(again)["desk"] != where["desk"]
    press(again, "Go to this desk")
    assert address_of(again)["desk"] == where["desk"]
    assert desk_of(again).works == WORKS


def test_undo_and_redo_are_there_again_after_a_restart(own_store: Path) -> None:
    app = opened({}, "manual")
    for seed in (3, 4, 5):
        desk_of(app).put(seeded(WORKS, seed), f"seed {seed}")
    desk_of(app).undo()
    desk_of(app).undo()
    desk_of(app).redo()
    where = address_of(opened({"desk": desk_of(app).address}, "manual"))
    forget()
    desk = desk_of(opened(where, "manual"))
    assert (desk.works.run.seed, desk.last_step, desk.next_step) == (4, "seed 4", "seed 5")
    assert desk.is_changed
    assert desk.before == seeded(WORKS, 3)
    desk.redo()
    assert (desk.works.run.seed, desk.next_step) == (5, "")
    for expected in (4, 3, WORKS.run.seed):
        desk.undo()
        assert desk.works.run.seed == expected
    assert desk.last_step == ""
    assert not desk.is_changed


def test_after_a_restart_undo_takes_back_one_s_own_step_only(store: Store) -> None:
    ada = at_desk(store)
    ada.put(seeded(WORKS, 5), "seed")
    bob = beside(store)
    bob.put(staffed(bob.works, 3), "setters")
    again = at_desk(store)
    assert again.kept is not None
    again.kept.seen = newest_version(store, again.kept.key)
    again._take(bob.works, "a file")
    again.remember(versions_of(store, again.kept.key))
    assert again.last_step == "seed"
    again.undo()
    assert again.works == staffed(WORKS, 3)


def typed_wrong(app: AppTest) -> None:
    """Minutes that cannot be read, as typed on the sheet of operations."""
    desk = desk_of(app)
    now = typed(desk)
    head, *rows = now.draft.grids["Operations"]
    rows[0] = [("6 kg" if title == "load (min)" else cell) for title, cell in zip_longest(head, rows[0])]
    take(desk, now.draft.with_rows("Operations", rows), "a cell")


def test_what_cannot_be_read_yet_is_there_again_after_a_restart(own_store: Path) -> None:
    app = opened({}, "own")
    typed_wrong(app)
    app.run()
    assert "6 kg" in html_of(app)
    where = address_of(app)
    forget()
    again = opened(where, "own")
    assert "6 kg" in html_of(again)
    assert desk_of(again).works == WORKS
    press(again, "Give up what I typed since, and show the line on the desk")
    forget()
    assert "6 kg" not in html_of(opened(where, "own"))


def test_what_is_typed_right_at_last_is_kept_as_a_version_and_no_longer_apart(own_store: Path) -> None:
    app = opened({}, "own")
    typed_wrong(app)
    desk = desk_of(app)
    assert desk.kept is not None
    assert desk.kept.typed() is not None
    desk.put(seeded(desk.works, 8), "seed")  # what is done elsewhere meanwhile stays
    head, *rows = typed(desk).draft.grids["Operations"]
    rows[0] = [(6.0 if title == "load (min)" else cell) for title, cell in zip_longest(head, rows[0])]
    take(desk, typed(desk).draft.with_rows("Operations", rows), "a cell")
    assert desk.kept.typed() is None
    first = next(iter(WORKS.lines["flange"].operations))
    assert desk.works == changed(seeded(WORKS, 8), {"lines": {"flange": {"operations": {first: {"load": 6}}}}})


def test_a_draft_is_kept_once_for_each_seat_and_goes_with_its_desk(store: Store) -> None:
    with pytest.raises(GoneError):
        keep_draft(store, "one", "ada", KeptDraft("{}", digest(WORKS), False))
    keep_desk(store, "one", "Blades", "", change(WORKS, "opened", "a"))
    first, second, third = (json.dumps({"People": [[number]]}) for number in (1, 2, 3))
    for cells in (first, second):
        keep_draft(store, "one", "ada", KeptDraft(cells, digest(WORKS), True))
    keep_draft(store, "one", "bob", KeptDraft(third, digest(WORKS), False))
    assert draft_at(store, "one", "ada") == KeptDraft(second, digest(WORKS), True)
    assert is_seat_of(store, "one", "bob")
    drop_draft(store, "one", "bob")
    assert draft_at(store, "one", "bob") is None
    assert not is_seat_of(store, "one", "bob")
    delete_desk(store, "one")
    assert draft_at(store, "one", "ada") is None


def test_an_address_that_leads_nowhere_says_so_and_shows_no_line(own_store: Path) -> None:
    app = opened({"desk": "never-heard-of"}, "manual")
    assert "leads nowhere" in texts_of(app)
    assert WORKS.name not in texts_of(app)
    press(app, "Begin at a new desk")
    assert desk_of(app).works == WORKS


def test_links_let_in_by_their_ways_and_nobody_once_they_are_withdrawn(own_store: Path) -> None:
    app = opened({})
    press(app, "Make this link")
    press(app, "Make this link")
    press(app, "Make this link")
    key = address_of(app)["desk"]
    with open_store(own_store) as store:
        links = {way: link_to(store, key, way) for way in (LOOK, COPY, TOGETHER)}
    shown = " ".join(each.value for each in app.code)
    assert all(link in shown for link in links.values())
    guest = opened({"desk": links[LOOK]}, "manual")
    assert "look at a colleague" in html_of(guest)
    assert not [each for each in guest.button if each.label == "Undo"]
    assert key not in str(address_of(guest))
    with pytest.raises(LinesimError, match="shown to you"):
        desk_of(guest).put(seeded(WORKS, 3), "seed")
    copied = opened({"desk": links[COPY]}, "manual")
    assert WORKS.name not in texts_of(copied)
    press(copied, "Take the copy")
    desk_of(copied).put(seeded(WORKS, 9), "seed")
    bob = opened({"desk": links[TOGETHER]}, "manual")
    desk_of(bob).put(named(WORKS, "Bob's"), "name")
    app.run()
    assert "A colleague has changed this desk: name:" in texts_of(app).replace("\\", "")
    press(app, "Show it here")
    assert desk_of(app).works == named(WORKS, "Bob's")  # and nothing of the copy
    with open_store(own_store) as store:
        withdraw_link(store, links[TOGETHER])
    bob.run()
    assert "leads nowhere" in texts_of(bob)
    press(bob, "Keep it as a desk of my own")
    assert desk_of(bob).works.name == "Bob's"
    assert address_of(bob)["desk"] not in (key, *links.values())


def test_where_people_sign_in_a_desk_belongs_to_its_person(own_store: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    config.set_option("server.allowedHosts", names_served("localhost", ["line.example"]))
    try:
        monkeypatch.setattr("dashboard.parts.who.person", lambda: "ada")
        app = opened({})
        desk_of(app).put(seeded(WORKS, 5), "seed")
        key = address_of(app)["desk"]
        link = link_to(open_store(own_store), key, TOGETHER)
        for is_fresh in (False, True):
            if is_fresh:
                forget()
            monkeypatch.setattr("dashboard.parts.who.person", lambda: "eve")
            assert "leads nowhere" in texts_of(opened({"desk": key}))
            assert desks_of(open_store(own_store), "eve") == []
            assert desk_of(opened({"desk": link})).owner == "eve"
            monkeypatch.setattr("dashboard.parts.who.person", lambda: "ada")
            assert desk_of(opened({"desk": key})).works.run.seed == 5
    finally:
        config.set_option("server.allowedHosts", [])


def test_a_server_that_is_killed_while_it_writes_leaves_whole_versions(tmp_path: Path) -> None:
    place = tmp_path / "runs.sqlite"
    code = f"""
from dashboard.desk import Desk
from dashboard.kept import Kept
from dashboard.quota import Quota
from linesim.store import open_store
from linesim.works import changed, load_works
works = load_works({str(SCENARIOS / "smallest.yaml")!r})
with open_store({str(place)!r}) as store:
    desk = Desk(works, "smallest.yaml", id="k" * 22)
    desk.kept = Kept(lambda: store, desk.id, desk.id, "", Quota().take)
    for seed in range(1, 100_000):
        desk.put(changed(works, {{"run": {{"seed": seed}}}}), f"seed {{seed}}")
        print(seed, flush=True)
"""
    own = os.environ | {"LINESIM_PLAIN": "1"}
    with subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True, env=own) as writer:
        assert writer.stdout is not None
        done = [int(writer.stdout.readline()) for _ in range(4)]
        writer.kill()
        done += [int(line) for line in writer.stdout.read().split()]
    with open_store(place) as store:
        versions = versions_of(store, "k" * 22)
        assert [each.version for each in versions] == list(range(len(versions), 0, -1))
        assert done[-1] + 1 <= len(versions) <= done[-1] + 2  # what was said to be done is there, and at most one more
        assert works_of_version(store, versions[0]).run.seed == len(versions) - 1
        assert list(store.problems()) == []
