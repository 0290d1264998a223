"""Texts with units become numbers in the documented unit, and what does not fit is refused in plain words.

Sources: one inch is 25.4 mm, one foot 304.8 mm and one mechanical horsepower 745.699 871 582 W by NIST SP 811 (2008),
appendix B.8; shifts, days, weeks and years are worked time by the scenario's own calendar.
"""

from __future__ import annotations

import math
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel, Field, TypeAdapter, ValidationError

from linesim import units
from linesim.unit_table import common_units, in_table
from linesim.works.model import Calendar
from tests.patience import without_holding_up

ROOT = Path(__file__).resolve().parents[2]
CONTEXT = {"calendar": {"shift": 450.0, "day": 900.0, "week": 4500.0, "year": 216_000.0}, "currency": "GBP"}


def read(kind: str, value: Any, context: Any = CONTEXT) -> Any:
    return TypeAdapter(getattr(units, kind)).validate_python(value, context=context)


def refused(kind: str, value: Any, context: Any = CONTEXT) -> tuple[str, str]:
    with pytest.raises(ValidationError) as caught:
        read(kind, value, context)
    (error,) = caught.value.errors()
    assert error["type"] == "linesim"
    return error["ctx"]["text"], error["ctx"]["hint"]


@pytest.mark.parametrize(
    ("kind", "value", "expected"),
    [
        ("Length", 3, 3.0),
        ("Length", "3 mm", 3.0),
        ("Length", "3mm", 3.0),
        ("Length", " .5 mm ", 0.5),
        ("Length", "-1.5e1 mm", -15.0),
        ("Length", "0.125 in", 3.175),
        ("Length", "1 ft", 304.8),
        ("Length", "12 \N{MICRO SIGN}m", 0.012),
        ("Small", "12 um", 12.0),
        ("Small", "12 \N{GREEK SMALL LETTER MU}m", 12.0),
        ("Small", "0.001 in", 25.4),
        ("Speed", "90 m/min", 90.0),
        ("Speed", "300 ft/min", 91.44),
        ("Speed", "300 sfm", 91.44),
        ("Feed", "0.2 mm", 0.2),
        ("Feed", "0.2 mm/rev", 0.2),
        ("Feed", "0.004 in / tooth", 0.1016),
        ("Removal", "0.02 mm/min", 20.0),
        ("Minutes", "8 h", 480.0),
        ("Minutes", "90 s", 1.5),
        ("Minutes", "3 ms", 5e-5),
        ("Minutes", "3 shifts", 1350.0),
        ("Minutes", "2 days", 1800.0),
        ("Minutes", "1 d", 900.0),
        ("Minutes", "4 weeks", 18_000.0),
        ("Minutes", "1 year", 216_000.0),
        ("ClockMinutes", "7.5 h", 450.0),
        ("Power", "7.5 kW", 7.5),
        ("Power", "7500 W", 7.5),
        ("Stiffness", "20 N/um", 20.0),
        ("Stiffness", "20 kN/mm", 20.0),
        ("Angle", "45 deg", 45.0),
        ("Angle", "45°", 45.0),
        ("StressRate", "3 um/mm", 3.0),
        ("Share", "5 %", 0.05),
        ("Share", "5 percent", 0.05),
        ("Share", 0.05, 0.05),
        ("Money", "12.50 GBP", 12.5),
        ("Money", 12.5, 12.5),
        ("MoneyPerHour", "60 GBP/h", 60.0),
        ("MoneyPerHour", "1 GBP / min", 60.0),
        ("MoneyPerHour", "450 GBP/shift", 60.0),
        ("Number", 2, 2.0),
        ("Whole", 1e3, 1000),
    ],
)
def test_a_figure_comes_in_the_documented_unit(kind: str, value: Any, expected: float) -> None:
    assert read(kind, value) == expected


def test_a_mechanical_horsepower_is_745_7_watts() -> None:
    assert read("Power", "10 hp") == pytest.approx(7.45699871582, rel=1e-11)


@pytest.mark.parametrize(
    ("kind", "value", "text"),
    [
        ("Length", "3 kg", '"3 kg" is a mass; a length such as "3 mm" was expected'),
        ("Length", "3 min", '"3 min" is a time; a length such as "3 mm" was expected'),
        ("Length", "3 GBP", '"3 GBP" is an amount of money; a length such as "3 mm" was expected'),
        ("Length", "3 mm^2", '"3 mm^2" is an area; a length such as "3 mm" was expected'),
        ("Length", "3 mm/rad", '"3 mm/rad" is another kind of quantity; a length such as "3 mm" was expected'),
        ("Small", "3 %", '"3 %" is a share; a length such as "12 um" was expected'),
        (
            "Length",
            "3 inhc",
            '"3 inhc" has the unknown unit "inhc" (did you mean "inch"?); a length such as "3 mm" was expected',
        ),
        (
            "Speed",
            "90 m/minn",
            '"90 m/minn" has the unknown unit "minn" (did you mean "min"?); a speed such as "90 m/min" was expected',
        ),
        (
            "Minutes",
            "1 shft",
            '"1 shft" has the unknown unit "shft" (did you mean "shift"?); a time such as "3 min" was expected',
        ),
        (
            "Minutes",
            "2 months",
            '"2 months" counts in "months", which is not worked time; a time such as "3 min" was expected',
        ),
        (
            "Speed",
            "3 m/day",
            '"3 m/day" counts in "m/day", which is not worked time; a speed such as "90 m/min" was expected',
        ),
        (
            "ClockMinutes",
            "1 shift",
            (
                '"1 shift" is counted in worked time, which this entry is there to define; a time such as "8 '
                'h" was expected'
            ),
        ),
        ("Angle", "45 %", '"45 %" is a share; an angle such as "45 deg" was expected'),
        ("Share", "5 deg", '"5 deg" is an angle; a share such as "5 %" was expected'),
        ("StressRate", "5 %", '"5 %" is a share; a slope such as "3 um/mm" was expected'),
        ("Money", "12 mm", '"12 mm" is a length; an amount of money such as "12.50 GBP" was expected'),
        ("Money", "12 EUR", '"12 EUR" is in EUR, but this scenario is in GBP'),
        ("MoneyPerHour", "12 EUR/h", '"12 EUR/h" is in EUR, but this scenario is in GBP'),
        (
            "MoneyPerHour",
            "60 GBP",
            '"60 GBP" is not an amount per time; an amount of money per hour such as "60 GBP/h" was expected',
        ),
        (
            "MoneyPerHour",
            "60 GBP/mm",
            '"60 GBP/mm" is not an amount per time; an amount of money per hour such as "60 GBP/h" was expected',
        ),
        ("Length", True, 'true is not a number; a length such as "3 mm" was expected'),
        ("Length", None, 'nothing is given; a length such as "3 mm" was expected'),
        ("Length", [3], 'a list is not a number; a length such as "3 mm" was expected'),
        ("Length", float("nan"), 'nan is not a finite number; a length such as "3 mm" was expected'),
        ("Length", float("-inf"), '-inf is not a finite number; a length such as "3 mm" was expected'),
        ("Length", 10**400, 'a very long number is far too large; a length such as "3 mm" was expected'),
        ("Length", "1e15 m", '"1e15 m" is far too large; a length such as "3 mm" was expected'),
        ("Whole", 2.5, "2.5 is not a whole number; a whole number was expected"),
        ("Whole", "2", '"2" is a text; a whole number was expected'),
        ("Whole", True, "true is not a number; a whole number was expected"),
        ("Number", "2", '"2" is a text; a number was expected'),
    ],
)
def test_what_does_not_fit_is_refused_in_plain_words(kind: str, value: Any, text: str) -> None:
    assert refused(kind, value)[0] == text


@pytest.mark.parametrize(
    ("kind", "value", "text", "hint"),
    [
        (
            "Length",
            "3",
            '"3" has no unit; a length such as "3 mm" was expected',
            "A number without quotation marks means mm.",
        ),
        (
            "Money",
            "12.50",
            '"12.50" has no unit; an amount of money such as "12.50 GBP" was expected',
            "A number without quotation marks means the scenario's currency.",
        ),
        (
            "Length",
            "0,5 mm",
            '"0,5 mm" cannot be read; a length such as "3 mm" was expected',
            "Write decimals with a point.",
        ),
        (
            "Length",
            "3 MM",
            '"3 MM" is another kind of quantity; a length such as "3 mm" was expected',
            'Capital letters matter: did you mean "mm"?',
        ),
    ],
)
def test_a_hint_says_the_way_out(kind: str, value: str, text: str, hint: str) -> None:
    assert refused(kind, value) == (text, hint)


@pytest.mark.parametrize(
    "text",
    [
        "1e999 mm", "2**9**9 mm", "9" * 400 + " mm", "3 " + "m" * 50, "3 m**99", "3 m**9**9", "(3) mm", "3 mm; 4 mm",
        "__import__('os') mm", "3 {mm}", "3 mm\x00", "mm", "", " ", "3e mm e9", "3 * mm", "3 mm/", "0x10 mm",
        "1_000 mm",
        "٣ mm", "3 m*m*m*m*m*m*m*m", "nan mm", "inf mm", "3 \N{CJK UNIFIED IDEOGRAPH-4E00}",
    ],
)  # fmt: skip
def test_hostile_text_is_refused_at_once(text: str) -> None:
    with without_holding_up():
        assert "was expected" in refused("Length", text)[0]


def test_braces_in_a_text_are_shown_as_they_are() -> None:
    assert refused("Length", "{text}")[0] == '"{text}" cannot be read; a length such as "3 mm" was expected'


def test_without_a_context_the_usual_calendar_and_euros_hold() -> None:
    assert read("Minutes", "1 week", None) == 4800.0
    assert read("Money", "3 EUR", None) == 3.0
    assert refused("Money", "3 GBP", None)[0] == '"3 GBP" is in GBP, but this scenario is in EUR'


def test_the_usual_calendar_is_the_models_own() -> None:
    assert Calendar().minutes_per() == units.USUAL_CALENDAR


def test_bounds_hold_for_texts_too() -> None:
    class Cut(BaseModel):
        depth: units.Length = Field(gt=0)

    assert Cut.model_validate({"depth": "0.5 mm"}).depth == 0.5
    with pytest.raises(ValidationError, match="greater than 0"):
        Cut.model_validate({"depth": "-0.5 mm"})


def test_the_schema_says_number_or_text_with_the_unit() -> None:
    schema = TypeAdapter(units.Length).json_schema()
    assert schema["type"] == ["number", "string"]
    assert schema["description"] == 'a length: a number means mm, a text carries its unit, such as "3 mm"'
    assert schema["examples"] == ["3 mm"]
    assert TypeAdapter(units.Whole).json_schema() == {"type": "integer"}


def test_the_table_of_units_is_imported_only_when_a_text_needs_it() -> None:
    code = (
        "import sys, linesim, linesim.units; assert 'pint' not in sys.modules\n"
        "from pydantic import TypeAdapter; TypeAdapter(linesim.units.Length).validate_python(3)\n"
        "assert 'pint' not in sys.modules\n"
        "TypeAdapter(linesim.units.Length).validate_python('3 mm'); assert 'pint' not in sys.modules\n"
        "TypeAdapter(linesim.units.Length).validate_python('3 furlong'); assert 'pint' in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


@pytest.mark.parametrize("name", common_units())
def test_common_units_are_those_of_the_table(name: str) -> None:
    """pint multiplies in the order in which it meets the parts of a unit, so that the last digit may differ."""
    common, table = common_units()[name], in_table(name)
    assert (common is None) == (table is None)
    if common is not None and table is not None:
        assert common[1] == table[1]
        assert math.isclose(common[0], table[0], rel_tol=1e-14)


def test_the_scenarios_need_no_unit_but_common_ones() -> None:
    """A process of its own, as others here load the table."""
    code = "import sys, linesim.works as w; w.load_works('scenarios/block-line.yaml'); print('pint' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
