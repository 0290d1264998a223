"""Rooms whose names are loaded when they are asked for: what is said to be there is there, everywhere alike."""

from __future__ import annotations

import ast
from importlib import import_module
from pathlib import Path

import pytest

from linesim.fetching import offering

LINESIM = Path(__file__).resolve().parents[2] / "linesim"
ROOMS = sorted(
    ".".join(file.relative_to(LINESIM.parent).parent.parts)
    for file in LINESIM.rglob("__init__.py")
    if "__dir__ = offering(" in file.read_text(encoding="utf-8")
)


def test_there_are_such_rooms() -> None:
    assert "linesim.study" in ROOMS


@pytest.mark.parametrize("name", ROOMS)
def test_a_room_offers_what_type_checkers_and_readers_are_told_of(name: str) -> None:
    """The names that are fetched, those seen by a type checker (from the same modules) and the public ones."""
    room = import_module(name)
    offered = {each: f"{name}.{module}" for module, names in room._ROOMS.items() for each in names}
    tree = ast.parse(Path(room.__file__ or "").read_text(encoding="utf-8"))
    checked = {
        each.asname: of.module
        for block in tree.body
        if isinstance(block, ast.If)
        for of in block.body
        if isinstance(of, ast.ImportFrom)
        for each in of.names
    }
    assert offered == checked
    assert set(offered) == set(room.__all__)
    for each, module in offered.items():
        assert getattr(room, each) is getattr(import_module(module), each)
    assert set(room.__all__) <= set(dir(room))


def test_a_name_that_is_not_there_is_refused_as_by_any_module() -> None:
    with pytest.raises(AttributeError, match=r"module 'linesim\.study' has no attribute 'nothing'"):
        offering("linesim.study", {})[0]("nothing")
