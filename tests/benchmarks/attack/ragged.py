"""Ragged and hostile files of records: each is answered with rows or with words, never with a traceback.

``python -m tests.benchmarks.attack.ragged [--files N] [--seed S]``
"""

from __future__ import annotations

import argparse
import io
import random
import time
from collections.abc import Callable

import openpyxl
import pandas as pd

from linesim.errors import LinesimError
from linesim.records.guess import guessed
from linesim.records.mapping import mapping_text, read_mapping
from linesim.records.reading import read_table
from linesim.records.tables import table_in
from linesim.records.templates import templates

SPOILERS = (
    *("", "nan", "inf", "-1e308", "1e999", "12,5", "1.234,5", "0x1F", "31.02.2026", "99/99/99", "2026-13-45", "\u202e"),
    *("\x1b[31m", "=1+1", '"', "'", ";", ",", "\n", "\t", "µm", "3 kg", "5 ft/min", "9" * 400, "true", "[]", "{a: b}"),
    *("!!python/object:x", "\ufeff", "☠" * 50, "12:00", "-", "&a *a", "| >", "1 in/rev", "0,0,0", "1..2", "١٢", "e5"),
    *("+", "1e-400", "0/0/0000"),
)


def seeds() -> list[tuple[str, bytes]]:
    """Files to begin from: every template as text, workbook and Parquet."""
    files = []
    for text in templates().values():
        frame = pd.read_csv(io.StringIO(text), dtype=str, keep_default_na=False)
        book, packed, columns = openpyxl.Workbook(), io.BytesIO(), io.BytesIO()
        for row in [list(frame.columns), *frame.to_numpy().tolist()]:
            book.worksheets[0].append(row)
        book.save(packed)
        frame.to_parquet(columns)
        files += [("r.csv", text.encode()), ("r.csv", text.replace(",", ";").encode("utf-16"))]
        files += [("r.xlsx", packed.getvalue()), ("r.parquet", columns.getvalue())]
    return files


def mutated(content: bytes, chance: random.Random) -> bytes:
    """A file with a few bytes, lines or cells spoilt."""
    for _ in range(chance.randint(1, 6)):
        at = chance.randrange(len(content) + 1)
        spoiler = chance.choice(SPOILERS).encode("utf-8", "surrogatepass")
        content = chance.choice(CHANGES)(content, at, spoiler)
    return content


CHANGES: list[Callable[[bytes, int, bytes], bytes]] = [
    lambda content, at, spoiler: content[:at] + spoiler + content[at:],
    lambda content, at, spoiler: content[:at] + spoiler + content[at + len(spoiler) :],
    lambda content, at, spoiler: content[:at],
    lambda content, at, spoiler: content[:at] + content[at + 7 :],
    lambda content, at, spoiler: content + content[at : at + 300],
    lambda content, at, spoiler: content.replace(b",", b"," + spoiler + b",", 1 + at % 3),
    lambda content, at, spoiler: content[:at] + bytes([at % 256]) + content[at + 1 :],
]


def attacked(count: int, seed: int) -> tuple[int, int]:
    """Read so many spoilt files; return how many gave rows and how many gave words. Anything else is raised."""
    chance, files = random.Random(seed), seeds()
    read, worded = 0, 0
    for number in range(count):
        name, content = files[number % len(files)]
        try:
            _read(name, mutated(content, chance), chance)
            read += 1
        except LinesimError as error:
            worded += bool(str(error).strip())
    return read, worded


def _read(name: str, content: bytes, chance: random.Random) -> None:
    """Guess, spoil the mapping half of the times, and read."""
    table = table_in(content, name)
    text = mapping_text([guessed(table, name)])
    if chance.random() < 0.5:
        text = mutated(text.encode(), chance).decode("utf-8", errors="replace")
    for mapping in read_mapping(text, "m.yaml"):
        every = read_table(table, mapping)
        assert len(every.rows) + sum(not each.is_used for each in every.asides) == len(table.rows)


if __name__ == "__main__":
    parser = argparse.ArgumentParser()
    parser.add_argument("--files", type=int, default=20_000)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    began = time.monotonic()
    answers = attacked(asked.files, asked.seed)
    print(f"{asked.files} files: {answers[0]} read, {answers[1]} answered with words, {time.monotonic() - began:.0f} s")
