"""Documents of MTConnect as records: stops, counts, tool lives; hostile files give words."""

from __future__ import annotations

import random
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from typer.testing import CliRunner

from linesim.cli import app
from linesim.errors import LinesimError, ScenarioError
from linesim.records.cells import Writing, moment_in
from linesim.records.fitted import fit_records
from linesim.records.guess import guessed
from linesim.records.lives import lives_from_book
from linesim.records.reading import Records
from linesim.records.sent import look_through, read_all
from linesim.records.stoppages import times_between
from linesim.records.tables import sheets_in, table_in
from tests.benchmarks.attack.ragged import mutated
from tests.patience import without_holding_up

DATA = Path(__file__).parent.parent / "data" / "mtconnect"
STREAMS, ASSETS, ONE_LOOK = (
    (DATA / name).read_bytes() for name in ("own-streams.xml", "own-assets.xml", "threeaxis-current.xml")
)


def read(**files: bytes) -> Records:
    """Read documents as they are guessed, as the page does."""
    contents = {f"{name}.xml": content for name, content in files.items()}
    return read_all(contents, [table.mapping for table in look_through(contents) if table.mapping is not None])


def test_execution_becomes_stops_that_count_as_breakdowns_only_with_a_fault_seen_whole() -> None:
    """By hand: 06:10 to 07:10 run, fault to 08:05; pause at 12:00; 22:30 to 23:30 not known; WAIT at the very end."""
    assert sheets_in(STREAMS, "s.xml") == ["stops", "counts"]
    stops = table_in(STREAMS, "s.xml", "stops")
    day = moment_in("2026-03-02", Writing())
    at = [day.replace(hour=hour, minute=minute) for hour, minute in ((6, 0), (6, 10), (7, 10), (12, 0), (12, 30))]
    again = day.replace(hour=8, minute=5, microsecond=500_000)
    assert [row for _, row in stops.rows] == [
        ("Op 10", at[0], at[1], "LENGTH NOT KNOWN", 10.0, "READY"),
        ("Op 10", at[2], again, "FAULT", 55.01, "INTERRUPTED, STOPPED, FAULT"),
        ("Op 10", at[3], at[4], "OPTIONAL_STOP", 30.0, "OPTIONAL_STOP"),
        (
            "Op 10",
            day.replace(hour=22, minute=30),
            day.replace(hour=23, minute=30),
            "LENGTH NOT KNOWN",
            60.0,
            "FEED_HOLD, UNAVAILABLE",
        ),
    ]
    rows = read(s=STREAMS).of("stoppages")
    assert [row.name("reason") for row in rows] == ["other", "breakdown", "planned", "other"]
    between, repairs, asides = times_between(rows, day + timedelta(hours=26))
    assert not asides
    assert between[0] == pytest.approx([234.99166 + 600.0 + 150.0, float("inf")])
    assert repairs[0] == pytest.approx([55.00833, 55.00833])


def test_counters_become_parts_by_day_with_resets_and_running_minutes() -> None:
    counts = table_in(STREAMS, "s.xml", "counts")
    assert [row for _, row in counts.rows] == [
        (date(2026, 3, 2), "Op 10", 120.0, 3.0, 924.99),
        (date(2026, 3, 3), "Op 10", 11.0, 0.0, 120.0),
    ]
    assert [(row.values["good"], row.values["scrap"]) for row in read(s=STREAMS).of("counts")] == [(120, 3), (11, 0)]
    both = STREAMS.replace(b'subType="GOOD"', b'subType="ALL"')
    assert [row[2] for _, row in table_in(both, "s.xml", "counts").rows] == [117.0, 11.0]
    alone = both.replace(b'subType="BAD"', b'subType="TARGET"').replace(b' subType="ALL"', b"")
    table = table_in(alone, "s.xml", "counts")
    assert [row[2:4] for _, row in table.rows] == [(120.0, None), (11.0, None)]
    assert any("all of its parts count as good" in remark for remark in table.remarks)


def test_what_does_not_serve_is_named_with_its_sequence() -> None:
    table = table_in(STREAMS, "s.xml")
    assert (
        table.remarks[0]
        == 'MTConnect Streams 1.8.0.3 of "Op 10", 2026-03-02 06:00 to 2026-03-03 02:00, observations: 32'
    )
    text = "\n".join(table.remarks)
    for words in (
        "repeat a sequence number, the first of each counts: 1 (sequence 20)",
        "dated before the one before of the same data item: 1 (sequence 36)",
        "no Execution that the standard has: 1 (sequence 37)",
        "count neither all nor good nor bad parts: 1 (sequence 6)",
        "counts as time not run and as no part made: 4 (sequence 31, 32, 33, 13)",
        "load: 2 samples, mean 60 %, greatest 80 %; no kind of record takes load, so it is set aside",
    ):
        assert words in text
    assert table_in(STREAMS, "s.xml", "load").rows[0][1][3:] == (2, 60.0, 80.0)


def test_cutting_tools_become_lives_by_their_count_and_state() -> None:
    """UP and DOWN, minutes and parts, by item where the tool has no life, the latest look; no count from nowhere."""
    every = read(a=ASSETS)
    lives = {row.name("edge"): (row.number("minutes"), row.number("parts"), row.name("why")) for row in every.rows}
    assert lives == {
        "RM.1": (23.5, 41.0, "broken"),
        "RM.2, recondition 2": (60.0, None, "by interval"),
        "RM.2, recondition 3": (12.0, None, "other"),
        "FM.9, item 1": (12.0, None, "other"),
        "FM.9, item 2": (14.0, None, "other"),
    }
    assert str(every.rows[1].when) == "2026-03-03 08:00:00"
    (aside,) = every.asides
    assert aside.reason == 'minutes: "counts down from a life that is not given" is no figure'
    data = lives_from_book("rough mill", [row for row in every.rows if row.name("set") == "rough mill"])
    assert data is not None
    assert data.lives.lower.tolist() == [23.5, 60.0, 12.0]
    assert data.broken.tolist() == [True, False, False]


def test_of_documents_recorded_one_after_another_the_latest_look_counts() -> None:
    later = ASSETS.replace(b"2026-03-06T09", b"2026-03-09T09").replace(b">48<", b">31<")
    every = read(a=ASSETS, b=later)
    looks = [row for row in every.rows if row.name("edge") == "RM.2, recondition 3"]
    assert [(row.file, row.number("minutes")) for row in looks] == [("b.xml (tool lives)", 29.0)]
    assert any(
        "a later look" in each.reason or "b.xml (tool lives), row 4 has later" in each.reason for each in every.asides
    )
    assert len([row for row in every.rows if row.name("edge") == "RM.1"]) == 1


def test_the_standard_s_own_example_is_told_and_refused_as_one_look() -> None:
    with pytest.raises(ScenarioError) as caught:
        table_in(ONE_LOOK, "threeaxis-current.xml")
    text = str(caught.value)
    assert 'threeaxis-current.xml: MTConnect Streams 1.1 of "HMC_3Axis", 2009-11-13 08:00 to 2009-11-13 08:00' in text
    assert "observations: 22; there is nothing in it that a kind of record takes" in text
    assert 'Record the agent\'s answers to "sample"' in text
    ran_on = ONE_LOOK.replace(
        b"<ControllerMode",
        b'<Execution dataItemId="exec" sequence="90" timestamp="2009-11-13T09:00:00">STOPPED</Execution>'
        b'<Execution dataItemId="exec" sequence="99" timestamp="2009-11-13T09:30:00">ACTIVE</Execution>'
        b"<ControllerMode",
    )
    ((_, row),) = table_in(ran_on, "r.xml").rows
    assert row[0] == "HMC_3Axis"
    assert row[3:] == ("STOPPED", 30.0, "STOPPED")


def test_the_other_published_examples_give_a_row_that_is_set_aside_with_its_reason_or_a_sentence() -> None:
    """A tool whose life stands where the standard put it before 1.2 was whole; a stream that only names two assets."""
    records = read(tool=(DATA / "tool1.xml").read_bytes())
    assert not records.rows
    (aside,) = records.asides
    assert "parts or minutes is missing" in str(aside)
    with pytest.raises(ScenarioError, match=r'"VMC-3Axis".*observations: 2; there is nothing in it'):
        table_in((DATA / "tool-stream.xml").read_bytes(), "tool-stream.xml")


TOP = b'<MTConnectStreams xmlns="urn:mtconnect.org:MTConnectStreams:2.0">'
LAUGHS = (
    b'<!DOCTYPE x [<!ENTITY a "ha">'
    + b"".join(b'<!ENTITY a%d "%s">' % (at + 1, b"&a%d;" % at * 10 if at else b"&a;" * 10) for at in range(9))
    + b"]>"
    + TOP
    + b"&a9;</MTConnectStreams>"
)
DEVICES = b"".join(
    b'<DeviceStream name="m%d"><ComponentStream><Events><Execution sequence="%d" timestamp="2026-01-01T00:00:00Z">'
    b"ACTIVE</Execution></Events></ComponentStream></DeviceStream>" % (at, at)
    for at in range(22_000)
)
HOSTILE = {
    "laughs": (LAUGHS, "a DOCTYPE or an entity stands here"),
    "outside": (b'<!DOCTYPE x SYSTEM "file:///etc/passwd">' + TOP + b"</MTConnectStreams>", "a DOCTYPE or an entity"),
    "deep": (TOP + b"<a>" * 200_000, "nested deeper than 40"),
    "many": (TOP + b"<Streams>" + b"<a/>" * 1_000_000 + b"</Streams></MTConnectStreams>", "more than 100000 elements"),
    "machines": (TOP + b"<Streams>" + DEVICES + b"</Streams></MTConnectStreams>", "nothing in it that a kind"),
    "truncated": (STREAMS[:2000], "this is no whole XML file"),
    "empty": (b"", "this is no whole XML file"),
    "text": (b"machine;start\nOp 10;2026", "this is no whole XML file"),
    "letters": (b'<?xml version="1.0" encoding="none-such"?>' + TOP, "xml"),
    "devices": (b'<MTConnectDevices xmlns="urn:x"/>', "this describes machines (MTConnect Devices)"),
    "error": (b"<MTConnectError><Errors/></MTConnectError>", "an agent's word of an error (MTConnect Error)"),
    "other": (b"<html><p/></html>", '"html" is no document of MTConnect'),
    "nothing": (b"<MTConnectAssets><Assets/></MTConnectAssets>", "MTConnect Assets, cutting tools: 0; there"),
    "attributes": (TOP + b"<a " + b" ".join(b'b%d="1"' % at for at in range(100_000)) + b"/>", "attributes"),
}  # fmt: skip


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_documents_give_words_with_their_name_at_once(name: str) -> None:
    content, words = HOSTILE[name]
    with without_holding_up(), pytest.raises(ScenarioError) as caught:
        sheets_in(content, f"{name}.xml")
    assert str(caught.value).startswith(f"{name}.xml")
    assert words in str(caught.value)


def test_mutated_documents_give_rows_or_words() -> None:
    chance, counts = random.Random(23), [0, 0]
    for number in range(300):
        content = mutated((STREAMS, ASSETS)[number % 2], chance)
        try:
            for sheet in sheets_in(content, "m.xml"):
                table = table_in(content, "m.xml", sheet)
                guessed(table, "m.xml", sheet)
            counts[0] += 1
        except LinesimError as error:
            counts[1] += "m.xml" in str(error)
    assert sum(counts) == 300
    assert min(counts) > 10


def test_documents_from_the_command_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "s.xml").write_bytes(STREAMS)
    (tmp_path / "a.XML").write_bytes(ASSETS)

    def called(*words: str) -> str:
        answer = CliRunner().invoke(app, ["records", *words])
        assert not isinstance(answer.exception, Exception), answer.exception
        return " ".join((answer.stdout + answer.stderr).split())

    guess = called("s.xml", "a.XML", "--guess", "records.yaml")
    assert "MTConnect Assets 2.0.0.1, cutting tools: 5" in guess
    assert "expired: by interval" in (tmp_path / "records.yaml").read_text(encoding="utf-8")
    assert "row 7: minutes:" in called("records.yaml")


def test_breakdowns_of_a_document_are_fitted() -> None:
    """Eight breakdowns, each after an hour of running, told with a fault; repairs of 10 to 17 minutes."""
    moment, sequence, events, conditions = moment_in("2026-03-02 06:00", Writing()), 0, "", ""
    for repair in (None, *range(10, 18)):
        moment += timedelta(minutes=repair or 0)
        stopped = moment + timedelta(hours=1)
        events += observation("Execution", sequence + 1, moment, "ACTIVE")
        events += observation("Execution", sequence + 2, stopped, "INTERRUPTED")
        conditions += observation("Normal", sequence + 3, moment, "") + observation("Fault", sequence + 4, stopped, "")
        moment, sequence = stopped, sequence + 4
    text = (
        f'<MTConnectStreams><Streams><DeviceStream name="Op 10"><ComponentStream componentId="p"><Events>{events}'
        f"</Events><Condition>{conditions}</Condition></ComponentStream></DeviceStream></Streams></MTConnectStreams>"
    )
    fitted = fit_records(read(s=text.encode()))
    mean = next(each for each in fitted.coefficients if each.name == "mean repair time")
    assert (mean.of, mean.interval.value) == ("Op 10", pytest.approx(13.5, rel=0.02))
    assert mean.origin == "s.xml (stops) rows 2-9, 2026-03-02 to 2026-03-02"


def observation(kind: str, sequence: int, moment: datetime, value: str) -> str:
    """One observation, of the Execution or of the one condition."""
    item = "run" if kind == "Execution" else "drive"
    when = f"{moment.isoformat()}Z"
    return f'<{kind} dataItemId="{item}" sequence="{sequence}" timestamp="{when}">{value}</{kind}>'
