"""Figures at the ends of what may be said: seeds to the last digit, and money that a ledger can still sum."""

from __future__ import annotations

from typing import Any

import pytest
import typer
from typer.testing import CliRunner

from linesim import ScenarioError, run, works_from_dict, works_from_text
from linesim.cli.guard import guarded

LINE: dict[str, Any] = {"operations": {"o": {"minutes": 1}}}


def works(price: Any = 0, seed: Any = 1) -> Any:
    """A small works."""
    return works_from_dict({
        "name": "x", "run": {"length": 60, "warm_up": 0, "seed": seed},
        "lines": {"l": {**LINE, "casting": {"price": price}}},
        "policies": {"p": {"default": "run out"}},
    })  # fmt: skip


@pytest.mark.parametrize("seed", [0, 10**15 + 1, 2**53 + 1, 2**63 - 1])
def test_a_seed_is_taken_to_the_last_digit(seed: int) -> None:
    assert works(seed=seed).run.seed == seed
    text = f"name: x\nrun: {{seed: {seed}}}\nlines: {{l: {{operations: {{o: {{minutes: 1}}}}}}}}\n"
    assert works_from_text(text + "policies: {p: {default: run out}}\n").run.seed == seed
    assert run(works(seed=seed), engine="simpy").seed == seed


@pytest.mark.parametrize("seed", [-1, 2**63, 2**70, 10**30])
def test_other_seeds_are_refused(seed: int) -> None:
    with pytest.raises(ScenarioError, match=r"run\.seed: "):
        works(seed=seed)


def test_the_bound_of_seeds_is_told_in_figures() -> None:
    with pytest.raises(ScenarioError, match="must be below 9223372036854775808"):
        works(seed=2**63)


@pytest.mark.parametrize("price", ["999e12 EUR", 999e12, 1.1e9])
def test_money_that_no_ledger_could_sum_is_refused(price: Any) -> None:
    with pytest.raises(ScenarioError, match=r"price: .* is more than 1,000,000,000, beyond which no sum is exact"):
        works(price=price)


def test_a_ledger_sums_the_largest_price() -> None:
    result = run(works(price=1e9), engine="simpy")
    (castings,) = result.tally.castings.tolist()
    row = result.ledger.set_index("item").loc["castings"]
    assert castings >= 60
    assert int(row["minor_units"]) == castings * 10**11


def test_too_little_memory_is_told_in_words() -> None:
    app = typer.Typer()

    @app.command()
    @guarded
    def fills() -> None:
        raise MemoryError

    done = CliRunner().invoke(app, [])
    assert (done.exit_code, "memory" in done.stderr, "Traceback" in done.output) == (1, True, False)
