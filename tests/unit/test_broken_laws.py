"""The benchmark that breaks laws: what it breaks, that the tests miss it, and that a law without users is listed."""

from __future__ import annotations

import math
from pathlib import Path
from typing import NamedTuple

import pytest

from linesim.cutting import form
from tests.benchmarks.laws import LEFT_OUT, broken, broken_code, laws, unused


class Two(NamedTuple):
    one: float
    two: bool


def test_a_broken_law_says_anything_but_what_it_says() -> None:
    assert broken(2.0) == pytest.approx(2.061)
    assert (broken(3), broken(True), broken(0.0)) == (4, False, 0.001)
    assert broken(Two(1.0, True)) == Two(1.031, False)
    assert math.isinf(broken(math.inf))


def test_every_return_of_a_law_is_broken() -> None:
    code = broken_code("linesim.cutting.form", "copying_factor")
    assert "_broken" in code.co_names
    assert code.co_varnames[:2] == ("cutting_stiffness_n_um", "stiffness_n_um")
    assert form.copying_factor(5.0, 20.0) == 0.2


def test_laws_are_known_and_those_left_out_are_among_them(tmp_path: Path) -> None:
    known = {name for _, name in laws()}
    assert {"copying_factor", "form_of_cut_um", "chance_of_reject"} <= known
    assert set(LEFT_OUT) <= known
    (tmp_path / "linesim").mkdir()
    (tmp_path / "linesim" / "one.py").write_text("from linesim.cutting.form import used\nx = called(1)\n")
    assert unused([("m", "used"), ("m", "called"), ("m", "idle")], tmp_path) == [("m", "idle")]
