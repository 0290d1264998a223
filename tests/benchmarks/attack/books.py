"""Mutated workbooks and routing sheets: each is a works or is refused with a sentence, soon."""

from __future__ import annotations

import io
import random
import re
import zipfile
from functools import partial
from html import escape

from linesim.works import load_works, works_from_bytes
from linesim.works.book.writing import to_workbook
from tests.benchmarks.attack.outcomes import BITS, Outcomes
from tests.benchmarks.attack.scenarios import SCENARIOS
from tests.unit.test_shop_sheet import HEAD, ROWS, book, separated

__all__ = ["attack_books"]

_ODD = (
    *("=1+1", "#DIV/0!", "1,5", "1.234,5", "12:30", "١٢", "2 x 2 x 2", "A1", "TRUE", "31.02.2026", "-0", "1e-400"),
    *("x" * 33_000, "\ud83d", "]]>", "<v>1</v>", "&a;", "_x0000_", "\ufeff", "1/0", "3 in", "µm", "½"),
)
_VALUE = re.compile(rb"(<(?:v|t)(?: [^>]*)?>)([^<]*)(</(?:v|t)>)")
_WORD = re.compile(rb'[A-Za-z:]+="[^"]*"')

Parts = dict[str, bytes]


def attack_books(number: int, seed: int) -> Outcomes:
    """Read so many mutated workbooks; one in four is a routing sheet, as a workbook or as separated values.

    Parameters
    ----------
    number : int
        Of mutated ones.
    seed : int
        The same seed makes the same workbooks.

    Returns
    -------
    Outcomes
    """
    rows = [HEAD, *ROWS]
    written = [to_workbook(load_works(SCENARIOS / f"{name}.yaml")) for name in ("smallest", "centres", "mixed-line")]
    books = [_unpacked(content) for content in (*written, book(rows))]
    outcomes = Outcomes()
    for at in range(number):
        chance = random.Random(f"{seed} {at}")
        if chance.random() < 0.1:
            name, content = "x.csv", _bytes_mutated(separated(rows, chance.choice(",;\t")), chance)
        else:
            name, content = "x.xlsx", _book_mutated(dict(chance.choice(books)), chance)
        outcomes.read(partial(works_from_bytes, content, name), f"workbook {at} of --seed {seed}")
    return outcomes


def _unpacked(content: bytes) -> Parts:
    with zipfile.ZipFile(io.BytesIO(content)) as packed:
        return {name: packed.read(name) for name in packed.namelist()}


def _packed(parts: Parts) -> bytes:
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w") as packed:
        for name, part in parts.items():
            packed.writestr(name, part)
    return content.getvalue()


def _book_mutated(parts: Parts, chance: random.Random) -> bytes:
    """A workbook with one to five of its cells, words of its parts, parts or bytes spoilt."""
    if chance.random() < 0.1:
        return _bytes_mutated(_packed(parts), chance)
    for _ in range(chance.randint(1, 5)):
        name, way = chance.choice(sorted(parts)), chance.random()
        if way < 0.7:  # most often a cell, as people do
            sheets = sorted(each for each in parts if "worksheets/sheet" in each or "sharedStr" in each)
            name = chance.choice(sheets or [name])  # a part may have been given the name of the last sheet
            parts[name] = _one_replaced(_VALUE, parts[name], chance)
        elif way < 0.85:
            parts[name] = _one_replaced(_WORD, parts[name], chance)
        elif way < 0.95:
            parts[name] = _bytes_mutated(parts[name], chance)
        else:
            parts[chance.choice(sorted(parts))] = parts.pop(name)
    return _packed(parts)


def _one_replaced(what: re.Pattern[bytes], part: bytes, chance: random.Random) -> bytes:
    """A part in which one value of a cell, or one word of its XML, says something else."""
    places = list(what.finditer(part))
    if not places:
        return part
    place, bit = chance.choice(places), chance.choice((*BITS, *_ODD))
    new = escape(bit).encode("utf-8", "replace") if chance.random() < 0.9 else bit.encode("utf-8", "surrogatepass")
    if what is _VALUE:
        return part[: place.start()] + place[1] + new + place[3] + part[place.end() :]
    name = place[0].partition(b"=")[0]
    return part[: place.start()] + name + b'="' + new + b'"' + part[place.end() :]


def _bytes_mutated(content: bytes, chance: random.Random) -> bytes:
    """A file with some bytes changed, taken out or doubled, or cut off."""
    for _ in range(chance.randint(1, 3)):
        at, length = chance.randrange(len(content) + 1), chance.randrange(60)
        way = chance.randrange(4)
        middle = (bytes([chance.randrange(256)]), b"", content[at : at + length] * 2, chance.choice(BITS).encode())[way]
        rest = content[at + length :] if chance.random() < 0.9 else b""
        content = content[:at] + middle + rest
    return content
