"""The recipe "A cost" of DEVELOPERS.md, walked to the letter in a copy of the package, and with a step left out."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any, get_args

import numpy as np
import pytest
from pydantic import BaseModel

from linesim.ledger import ITEMS, Ledger
from linesim.plan.build import make_plan
from linesim.report.theme.colours import ITEM_COLOURS
from linesim.units import Money
from linesim.works import Works, changed
from tests.unit.test_ledger import filled, two_lines

ROOT = Path(__file__).resolve().parents[2]

PRICE = '''
    coolant_rate: MoneyPerHour = Field(default=0.0, ge=0)
    """Coolant for one hour of cutting on one machine. In the scenario's currency."""
'''
ITEM = '    COOLANT = "coolant"\n'
COLOUR = '    "coolant": "#3F7F7F",\n'
COST = '''

def coolant(works: Works, plan: Plan) -> Cost:
    """Coolant, by the hours for which machines cut."""
    stations = stations_of(works, plan)
    heads = [Head(station.location, Item.COOLANT, "cutting", "coolant", "h") for station in stations]

    def hours(tally: Tally) -> Floats:
        return summed(plan.machines.operation, tally.state_min[:, State.CUTTING], len(stations)) / 60.0

    return Priced(heads, np.full(len(stations), works.prices.coolant_rate), hours)
'''
ROW = "    line_costs.coolant,\n"

USE = """
import linesim
from linesim.report.theme.colours import ITEM_COLOURS
from tests.builders import flow_line

works = flow_line(
    [2.0, 3.0], works={"prices": {"coolant_rate": 6.0}}, operations={"Op 20": {"machines": 2}}, length=600, warm_up=60,
)
result = linesim.run(works)
row = result.lines.iloc[0]
print(result.ledger[["operation", "item", "quantity", "minor_units"]].to_numpy().tolist())
compared = linesim.compare(works, replications=1)
money = compared.ledger
print(money.loc[money["line"] == "line", ["item", "per_good_part"]].to_numpy().tolist())
print(row["cost_per_good_part"] == compared.replications["cost_per_good_part"].iloc[0], row["cost_per_good_part"])
print(row["shipped"], list(ITEM_COLOURS)[2])
"""


def _copy(tmp_path: Path, *steps: str) -> Path:
    """A copy of the package with some of the recipe's steps done."""
    for folder in ("linesim", "tests"):
        shutil.copytree(ROOT / folder, tmp_path / folder, ignore=shutil.ignore_patterns("__pycache__"))
    labour = '    LABOUR = "labour"\n'
    colour = '    "labour": PALETTE["sky blue"],\n'
    rate = "    labour_rate: MoneyPerHour = Field(default=0.0, ge=0)\n"
    edits = {
        "price": ("works/model.py", rate, f"{PRICE[1:]}{rate}"),
        "item": ("ledger/entries.py", labour, f"{ITEM}{labour}"),
        "colour": ("report/theme/colours.py", colour, f"{COLOUR}{colour}"),
        "cost": ("ledger/line_costs.py", "\n\ndef quality_factors(", f"{COST}\n\ndef quality_factors("),
        "row": ("ledger/ledger.py", "    line_costs.stock,\n", f"    line_costs.stock,\n{ROW}"),
    }
    for step in steps:
        name, old, new = edits[step]
        file = tmp_path / "linesim" / name
        text = file.read_text(encoding="utf-8")
        assert text.count(old) == 1, (step, old)
        file.write_text(text.replace(old, new), encoding="utf-8")
    if "cost" in steps:
        file = tmp_path / "linesim/ledger/line_costs.py"
        text = file.read_text(encoding="utf-8")
        text = text.replace("import Tally", "import State, Tally")
        more = "from linesim.ledger.sharing import summed\nfrom linesim.ledger.stations"
        file.write_text(text.replace("from linesim.ledger.stations", more), encoding="utf-8")
    return tmp_path


def _python(folder: Path, code: str) -> subprocess.CompletedProcess[str]:
    """Run Python in the copy, uncompiled, so that no kernel has to be made for it."""
    environment = {**os.environ, "LINESIM_PLAIN": "1", "PYTHONPATH": str(folder)}
    return subprocess.run(
        [sys.executable, "-c", code], env=environment, cwd=folder, capture_output=True, text=True, check=False
    )


def test_a_cost_added_by_the_recipe_is_the_same_in_a_run_and_in_a_comparison(tmp_path: Path) -> None:
    """Worked by hand: Op 10 cuts all ten hours, the two machines of Op 20 cut 3 min a part, 300 parts: 15 hours."""
    done = _python(_copy(tmp_path, "price", "item", "colour", "cost", "row"), USE)
    assert done.returncode == 0, done.stderr
    rows, compared, same, last = done.stdout.splitlines()
    assert rows == "[['Op 10', 'coolant', 10.0, 6000], ['Op 20', 'coolant', 15.0, 9000]]"
    assert compared == "[['coolant', 0.5]]"
    assert (same, last) == ("True 0.5", "300 coolant")


CHECK = "from tests.unit.test_cost_recipe import test_every_price_of_a_scenario_is_charged as test; test()"


def test_a_price_without_its_cost_is_noticed_by_name(tmp_path: Path) -> None:
    done = _python(_copy(tmp_path, "price", "item", "colour", "cost"), CHECK)
    assert done.returncode != 0
    assert "prices.coolant_rate" in done.stderr


def test_an_item_without_a_colour_is_noticed(tmp_path: Path) -> None:
    code = CHECK.replace("every_price_of_a_scenario_is_charged", "every_item_has_its_colour")
    done = _python(_copy(tmp_path, "item"), code)
    assert done.returncode != 0
    assert "AssertionError" in done.stderr


def prices_of(node: BaseModel, *path: str) -> Iterator[tuple[str, ...]]:
    """Where amounts of money stand in a scenario."""
    money = type(get_args(Money)[1])
    for name, field in type(node).model_fields.items():
        value: Any = getattr(node, name)
        if any(isinstance(each, money) for each in field.metadata):
            yield (*path, name)
        elif isinstance(value, BaseModel):
            yield from prices_of(value, *path, name)
        elif isinstance(value, dict):
            for key, inner in value.items():
                if isinstance(inner, BaseModel):
                    yield from prices_of(inner, *path, name, key)


def raised(works: Works, path: tuple[str, ...]) -> Works:
    """The works with one price raised by ten."""
    value: Any = works
    for name in path:
        value = value[name] if isinstance(value, dict) else getattr(value, name)
    change: Any = value + 10.0
    for name in reversed(path):
        change = {name: change}
    return changed(works, change)


def test_every_price_of_a_scenario_is_charged() -> None:
    """What a good part is worth is no cost, unless those out of the drawing bring less, as on the second line; every
    other amount of money moves the ledger of a run full of figures.
    """
    works = two_lines()
    plan = make_plan(works, "by parts")
    tally = filled(5, plan)
    before = Ledger(works, plan).sums(tally).sum()
    paths = list(prices_of(works))
    uncharged = [".".join(path) for path in paths if Ledger(raised(works, path), plan).sums(tally).sum() == before]
    assert len(paths) > 30
    assert uncharged == ["lines.block.worth"], f"not in the ledger: {uncharged}"


def test_every_item_has_its_colour() -> None:
    assert tuple(ITEM_COLOURS) == ITEMS


def test_the_recipe_names_files_that_are_there() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    recipe = text[text.index("**A cost**") : text.index("**A figure of the handbook**")]
    named = [word for word in recipe.split("`") if word.endswith(".py")]
    assert len(named) >= 5
    for name in named:
        assert (ROOT / name).is_file() or (ROOT / "linesim" / name).is_file(), name


@pytest.mark.parametrize("seed", range(4))
def test_the_sums_of_a_study_are_those_of_the_rows_of_a_run(seed: int) -> None:
    works = two_lines()
    plan = make_plan(works, "by parts")
    ledger, tally = Ledger(works, plan), filled(seed, plan)
    rows = ledger.rows(tally)
    table = rows.groupby(["line", "item"])["minor_units"].sum()
    expected = [[int(table.get((line, item), 0)) for item in ITEMS] for line in works.lines]
    assert ledger.sums(tally).tolist() == expected
    assert np.count_nonzero(expected) > 20
