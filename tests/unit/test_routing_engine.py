"""What the parts mean in the engine, by hand; and the entry in a scenario."""

from __future__ import annotations

import math

import pandas as pd
import pytest

from linesim.ask import engine
from linesim.errors import ScenarioError, StudyError
from linesim.quality.engine import spherical_cap_cm3
from linesim.routing.engine_values import Shipped, classes_of, effects_of
from linesim.works import Works, changed, digest, load_works, to_yaml, works_from_text

ENGINE = {
    "stroke": "94 mm",
    "bores": {"line": "block", "feature": "cylinder bores"},
    "chambers": {"depth": "20 mm", "diameter": "50 mm"},
    "gasket": {"thickness": "1 mm", "diameter": "90 mm", "faces": [{"line": "block", "feature": "top face"}],
               "finish": ["0.5 um", "3.2 um"]},
    "deck": {"line": "block", "feature": "top face", "piston_below": "0.5 mm"},
    "pistons": {"sizes": [87.95, 87.96], "clearance": [0.035, 0.05]},
}  # fmt: skip


def with_engine() -> Works:
    return changed(load_works("scenarios/block-line.yaml"), {"engine": ENGINE})


def parts_of(works: Works) -> pd.DataFrame:
    """One block as if it had been shipped: bores 88.000, 87.996 and 88.004 mm, the face 10 µm high."""
    row = {"line": "block", "outcome": "shipped", "left_min": works.run.warm_up + 1.0}
    row |= {"cylinder bores 1 error_um": 0.0, "cylinder bores 2 error_um": 2.0, "cylinder bores 3 error_um": -2.0}
    row |= {"top face error_um": 10.0, "top face ra_um": 0.4, "top face scratch_um": 0.0}
    early = row | {"left_min": works.run.warm_up - 1.0, "top face ra_um": 9.0}
    return pd.DataFrame([early, row])


def test_the_compression_ratio_by_hand() -> None:
    works = with_engine()
    assert works.engine is not None
    table = effects_of(works.engine, Shipped(works, parts_of(works))).set_index(["effect", "of"])
    quarter = math.pi / 4.0 / 1000.0
    for number, bore in enumerate((88.0, 87.996, 88.004), start=1):
        volume = quarter * (50.0**2 * 20.0 + 90.0**2 * 1.0 + bore**2 * 0.51)
        expected = (quarter * bore**2 * 94.0 + volume) / volume
        assert table.loc[("compression ratio", f"cylinder {number}"), "mean"] == pytest.approx(expected, rel=1e-12)
    spread = table.loc[("compression ratio", "all cylinders"), ["least", "greatest"]]
    apart = table.loc[("spread in an engine", "all cylinders"), "mean"]
    assert apart == pytest.approx(spread["greatest"] - spread["least"])


def test_parts_of_the_warm_up_are_left_out() -> None:
    works = with_engine()
    assert works.engine is not None
    table = effects_of(works.engine, Shipped(works, parts_of(works))).set_index("effect")
    assert table.loc["gasket face Ra", "mean"] == pytest.approx(0.4)
    assert table.loc["gasket face Ra", "share_outside"] == 1.0  # smoother than the gasket asks for


def test_each_bore_takes_the_piston_whose_clearance_comes_nearest_to_the_middle() -> None:
    works = with_engine()
    assert works.engine is not None
    # Middle of the clearance 0.0425 mm: 88.000 and 88.004 take 87.960 (0.040, 0.044), 87.996 takes 87.950 (0.046).
    shares = classes_of(works.engine, Shipped(works, parts_of(works))).set_index("piston_mm")["share"]
    assert shares.to_dict() == pytest.approx({"87.950": 1.0 / 3.0, "87.960": 2.0 / 3.0, "none fits": 0.0})


def test_a_cap_is_deeper_by_the_formula_of_the_sphere() -> None:
    # V = π h² (3 R - h) / 3: R 74, h 13 mm.
    assert spherical_cap_cm3(74.0, 13.0) == pytest.approx(math.pi * 169.0 * 209.0 / 3000.0)


def test_the_whole_works_tells_every_effect_with_its_width() -> None:
    works = changed(load_works("scenarios/works.yaml"), {"run": {"length": "3 days", "warm_up": "2 shifts"}})
    found = engine(works, policy="by its place in the line", replications=2)
    assert set(found.table["effect"]) == {
        "chamber volume", "compression ratio", "spread in an engine", "piston clearance", "bearing off line",
        "bearing step", "seat run-out", "gasket face Ra", "gasket face scratch",
    }  # fmt: skip
    assert (found.table["n"] == 2).all()
    assert found.table["half_width"].notna().all()
    assert found.piston_classes["share"].sum() == pytest.approx(1.0)
    assert found.sentences[0].startswith("Compression comes to 16.")


def test_a_scenario_without_an_engine_says_what_is_missing() -> None:
    with pytest.raises(StudyError, match="this scenario says nothing of an engine; add the entry engine:"):
        engine(load_works("scenarios/block-line.yaml"))


def test_an_engine_changes_the_fingerprint_and_none_does_not() -> None:
    works = load_works("scenarios/block-line.yaml")
    assert "engine" not in to_yaml(works).split("\n\n")[0].split("lines:")[0]
    assert digest(with_engine()) != digest(works)
    assert digest(works_from_text(to_yaml(with_engine()))) == digest(with_engine())


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (
            {"bores": {"feature": "cylinder bore"}},
            'engine.bores.feature: "cylinder bore" is not a feature of this line',
        ),
        ({"bores": {"feature": "top face"}}, '"top face" is a face; a feature of the kind bore was expected'),
        ({"deck": {"line": "head"}}, 'engine.deck.line: "head" is not a line of this works'),
        (
            {"pistons": {"clearance": [0.05, 0.03]}},
            "the least clearance (0.05 mm) must be below the greatest (0.03 mm)",
        ),
        ({"chambers": {"diameter": None}}, "give either sphere (the radius of a cap) or diameter (straight walls)"),
        ({"stroke": "3 kg"}, 'engine.stroke: "3 kg" is a mass'),
    ],
)
def test_what_is_wrong_with_an_engine_is_told_where_it_stands(change: dict[str, object], told: str) -> None:
    with pytest.raises(ScenarioError) as error:
        changed(with_engine(), {"engine": change})
    assert told in str(error.value)
