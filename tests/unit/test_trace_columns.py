"""A trace as columns on disk: the same from both engines and as the one in memory, which it does not fill."""

from __future__ import annotations

import gc
import tracemalloc
from pathlib import Path
from random import Random

import pandas as pd
import pytest
from pyarrow import parquet

from linesim.errors import StudyError
from linesim.study import run
from linesim.study.one import columns
from linesim.study.one.columns import check_trace_path
from linesim.works import Works
from tests.agree.works_at_random import random_works
from tests.builders import flow_line

_TABLES = ("parts", "states", "changes", "sets")


def _in_order(table: pd.DataFrame) -> pd.DataFrame:
    """In one order, whatever the order in which it was written."""
    return table.sort_values(list(table.columns[:6])).reset_index(drop=True)


@pytest.mark.parametrize("seed", [2, 5, 11])
def test_both_engines_write_the_same_files_byte_for_byte(
    seed: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(columns, "ROWS_AT_ONCE", 50)
    works = random_works(Random(seed), alike=True)
    for path in ("folder", "file.parquet"):
        for engine in ("simpy", "fast"):
            run(works, seed=seed, engine=engine, trace_to=tmp_path / engine / path)
        for file in sorted((tmp_path / "simpy").rglob("*.parquet")):
            assert file.read_bytes() == (tmp_path / "fast" / file.relative_to(tmp_path / "simpy")).read_bytes()


def test_the_files_hold_what_the_trace_in_memory_holds(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(columns, "ROWS_AT_ONCE", 50)
    works = random_works(Random(3))
    trace = run(works, engine="fast", trace=True, trace_to=tmp_path / "folder").trace
    assert trace is not None
    for name in _TABLES:
        kept = getattr(trace, name)
        written = pd.read_parquet(tmp_path / "folder" / f"{name}.parquet")
        assert len(written) == len(kept)
        shared = list(kept.columns)
        pd.testing.assert_frame_equal(_in_order(written[shared]), _in_order(kept), check_dtype=False)
    run(works, engine="fast", trace_to=tmp_path / "one.parquet")
    counts = pd.read_parquet(tmp_path / "one.parquet")["table"].value_counts()
    assert {name: counts.get(name, 0) for name in _TABLES} == {name: len(getattr(trace, name)) for name in _TABLES}


def test_the_file_says_of_which_run_it_is(tmp_path: Path) -> None:
    run(flow_line([2], length=50, warm_up=0), seed=8, trace_to=tmp_path / "one.parquet", engine="simpy")
    said = parquet.read_schema(tmp_path / "one.parquet").metadata
    assert (said[b"seed"], said[b"replication"], said[b"policy"]) == (b"8", b"0", b"run out")


def _peak_of(works: Works, folder: Path) -> int:
    """The least of two peaks: what others in this process take meanwhile, or leave to be cleared away, is not ours."""
    peaks = []
    for turn in range(2):
        gc.collect()
        tracemalloc.start()
        run(works, engine="fast", trace_to=folder / f"{works.run.length:g} {turn}.parquet")
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    return min(peaks)


@pytest.mark.longer
def test_the_memory_of_a_written_trace_does_not_grow_with_the_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(columns, "ROWS_AT_ONCE", 500)
    run(flow_line([2, 3], length=50, warm_up=0), engine="fast")
    short, long = (_peak_of(flow_line([2, 3], [3], length=length, warm_up=0), tmp_path) for length in (5_000, 20_000))
    assert long < 1.2 * short


def test_a_trace_is_refused_before_the_run_where_it_would_overwrite_something(tmp_path: Path) -> None:
    foreign = tmp_path / "mine.parquet"
    pd.DataFrame({"a": [1]}).to_parquet(foreign)
    with pytest.raises(StudyError, match="was not written by linesim; name another, or add --force"):
        check_trace_path(foreign, False)
    check_trace_path(foreign, True)
    (tmp_path / "notes.txt").write_text("x", encoding="utf-8")
    with pytest.raises(StudyError, match=r"is a file; a file that ends with \.parquet, or a folder, was expected"):
        check_trace_path(tmp_path / "notes.txt", False)
    run(flow_line([2], length=50, warm_up=0), trace_to=tmp_path / "ours.parquet", engine="simpy")
    check_trace_path(tmp_path / "ours.parquet", False)
