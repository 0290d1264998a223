"""What a process of the dashboard may take, attacked: memory without end, orders without end, files without end."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import replace

import psutil
import pytest

from dashboard import bounds as bounds_module
from dashboard.bounds import READING, STUDIES, hold_memory, shared
from dashboard.desk import Desk
from dashboard.jobs import Board, Job
from dashboard.parts import room, sent
from dashboard.quota import Quota
from dashboard.words import Order
from linesim.errors import LinesimError, ScenarioError
from linesim.works import Works, load_works, works_from_text
from linesim.works.book.writing import to_workbook
from tests.unit.dashboard_app import SCENARIOS, wait_until

pytestmark = pytest.mark.late

LOOK = "linesim.study.comparing.closely:look_steps"
NO_STEPS = "linesim.study.comparing.closely:look"
READ = "linesim.works.load:works_from_text"
WORKS = load_works(SCENARIOS / "smallest.yaml")
MB = 2**20


def piling_up() -> Works:
    """Castings of sixty places come a thousand times as fast as they can be cut, and wait without limit, for a year."""
    text = (SCENARIOS / "smallest.yaml").read_text(encoding="utf-8")
    text = text.replace("      face:\n", "      face:\n        places: 60\n")
    text = text.replace("casting: {price", "casting: {arrivals: {between: 0.0005 min}, price")
    return works_from_text(text.replace("length: 2 weeks", "length: 52 weeks"))


def data_bytes(board: Board) -> int:
    """What the system counts of a worker towards its limit."""
    wait_until(lambda: not board.is_warming(), 120.0)
    return int(psutil.Process(board.process_ids[0]).memory_info().data)


def ask(board: Board, study: str = LOOK, works: Works = WORKS, replications: int = 2) -> Job:
    order = Order(study, {"works": works, "replications": replications})
    return board.ask("anna", f"slot {order.number}", order.number, order)


def test_a_study_that_takes_too_much_memory_ends_with_words_and_the_next_one_runs(
    caplog: pytest.LogCaptureFixture,
) -> None:
    free = Board(1)
    ready_bytes = data_bytes(free)
    free.close()
    board = Board(1, replace(STUDIES, memory_bytes=ready_bytes + 128 * MB))
    try:
        hungry = ask(board, works=piling_up())
        assert hungry.wait(120.0, for_end=True)
        assert (hungry.state, hungry.error) == ("failed", STUDIES.too_large)
        assert "Traceback" not in caplog.text
        next_one = ask(board)
        assert next_one.wait(120.0, for_end=True)
        assert next_one.state == "done"
    finally:
        board.close()


def test_what_does_not_stop_by_itself_is_ended_and_told_so() -> None:
    """A plain function has no steps at which it could be stopped."""
    board = Board(1, replace(READING, longest_s=1.0))
    try:
        first = board.process_ids
        endless = ask(board, NO_STEPS, replications=1_000_000)
        assert endless.wait(60.0, for_end=True)
        assert (endless.state, endless.error) == ("stopped", READING.too_long)
        wait_until(lambda: board.process_ids != first)
        order = Order(READ, {"text": "linesim: 1", "name": "a.yaml"})
        short = board.ask("bert", "reading", 1, order)
        assert short.wait(60.0, for_end=True)
        assert short.error.startswith("a.yaml")
    finally:
        board.close()


def test_a_study_without_end_is_stopped_and_keeps_its_answer() -> None:
    board = Board(1, replace(STUDIES, longest_s=20.0))  # by then a first answer is there on a busy machine as well
    try:
        long = ask(board, replications=1_000_000)
        assert long.wait(120.0, for_end=True)
        assert (long.state, long.error) == ("stopped", STUDIES.too_long)
        assert long.answer.n >= 2
    finally:
        board.close()


def test_several_workers_leave_the_machine_room(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bounds_module, "_memory_of_machine", lambda: 16 * 2**30)
    assert shared(STUDIES, 1).memory_bytes == 6 * 2**30
    assert shared(STUDIES, 4).memory_bytes * 4 == pytest.approx(0.7 * 16 * 2**30)
    monkeypatch.setattr(bounds_module, "_memory_of_machine", lambda: 2 * 2**30)
    assert shared(STUDIES, 4).memory_bytes == 1.5 * 2**30


def test_where_the_system_holds_no_process_to_a_limit_a_line_says_so(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    monkeypatch.setattr(sys, "platform", "darwin")
    assert not hold_memory(2**40)
    assert "this system keeps no limit of memory for a process (darwin)" in caplog.text


@pytest.fixture(scope="module", autouse=True)
def _reader() -> Iterator[None]:
    yield
    room.reader().close()
    room.reader.clear()


@pytest.fixture
def desk() -> Desk:
    return Desk(WORKS, "smallest.yaml")


def test_a_file_is_read_elsewhere_and_gives_what_reading_it_here_gives(desk: Desk) -> None:
    text = (SCENARIOS / "block-line.yaml").read_text(encoding="utf-8")
    assert sent.read_sent(desk, READ, "block.yaml", text=text, name="block.yaml") == works_from_text(text)


def test_a_workbook_is_read_elsewhere_whatever_its_name_has_lost(desk: Desk) -> None:
    works = load_works(SCENARIOS / "smallest.yaml")
    read = "linesim.works.load:works_from_bytes"
    for name in ("line.xlsx", "a name cut sho…"):
        assert sent.read_sent(desk, read, name, content=to_workbook(works), name=name) == works


def test_a_file_that_is_refused_is_refused_in_the_same_words(desk: Desk) -> None:
    text = "linesim: 1\nname: x\nlines: {a: {operations: {Op 10: {minutes: 3 kg}}}}\n"
    with pytest.raises(ScenarioError) as here:
        works_from_text(text, "bad.yaml")
    with pytest.raises(LinesimError) as there:
        sent.read_sent(desk, READ, "bad.yaml", text=text, name="bad.yaml")
    assert str(there.value) == str(here.value)


def test_a_file_that_takes_too_long_is_given_up(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    board = Board(1, replace(READING, longest_s=1.0))
    monkeypatch.setattr(sent, "reader", lambda: board)
    with pytest.raises(LinesimError, match=r"^slow\.yaml: It takes longer than 10 seconds to read"):
        sent.read_sent(desk, NO_STEPS, "slow.yaml", works=WORKS, replications=1_000_000)
    board.close()


def test_so_much_may_be_sent_within_an_hour_and_then_more() -> None:
    now = [0.0]
    quota = Quota(of_one=3 * MB, of_all=5 * MB, clock=lambda: now[0])
    quota.take("anna", 3 * MB)
    with pytest.raises(LinesimError, match=r"^with this file you have sent 4\.0 MB within 60 minutes, .* takes 3 MB"):
        quota.take("anna", MB)
    quota.take("bert", 2 * MB)
    with pytest.raises(LinesimError, match=r"^with this file all users together have sent 6\.0 MB"):
        quota.take("carl", MB)
    now[0] = 3601.0
    quota.take("anna", 3 * MB)


def test_a_huge_scenario_can_be_taken_back_fewer_times() -> None:
    operations = "".join(f"      Op {number}: {{minutes: 1 min}}\n" for number in range(400))
    policies = "policies: {none: {default: run out}}\n"
    huge = works_from_text(f"linesim: 1\nname: huge\n{policies}lines:\n  a:\n    operations:\n{operations}")
    desk = Desk(WORKS, "smallest.yaml")
    for number in range(60):
        desk.put(WORKS, f"step {number}")
    assert len(desk.past) == 40
    for number in range(60):
        desk.put(huge, f"step {number}")
    assert len(desk.past) == 10


def test_the_server_s_reader_is_one_process_with_the_bounds_of_reading() -> None:
    reader = room.reader()
    assert (len(reader.process_ids), reader.bounds) == (1, READING)
