"""Files of variants: checked like scenarios, told with file and line."""

from __future__ import annotations

from pathlib import Path

import pytest

from linesim.errors import ScenarioError
from linesim.routing import load_variants, variants_from_text
from linesim.works import digest, load_works

FOLDER = Path("scenarios/variants")

GOOD = """\
name: Flange in one cut or two
question: One cut or two?
line: flange
features: [face]
policy: full life
variants:
  two cuts:
  one cut:
    about: All in one cut
    changes:
      lines:
        flange:
          operations:
            Op 10: null
            Op 20:
              strokes: {finish: {cuts: {finish: {depth: 3.5 mm}}}}
"""


@pytest.mark.parametrize("file", sorted(FOLDER.glob("*.yaml")), ids=lambda path: path.stem)
def test_every_file_of_variants_fits_its_scenario(file: Path) -> None:
    works = load_works(f"scenarios/{file.stem.split('-')[0]}-line.yaml")
    found = load_variants(file, works)
    assert len(found.items) >= 2
    assert digest(found.base) == digest(works) or found.name.startswith("Seat wheel")


def test_a_variant_is_laid_over_the_scenario_and_leaves_it_as_it_is() -> None:
    works = load_works("scenarios/smallest.yaml")
    before = digest(works)
    found = variants_from_text(GOOD, works)
    assert found.names == ("two cuts", "one cut")
    assert list(found.items[1].works.lines["flange"].operations) == ["Op 20", "Op 30"]
    assert found.concerned(found.items[0]) == ("rough mill", "finish mill")
    assert found.concerned(found.items[1]) == ("finish mill",)
    assert digest(works) == before


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        (
            "features: [face]",
            "features: [fase]",
            (
                'v.yaml, line 4, features[0]: "fase" is not a feature of this line; one of face was expected\n'
                '    Did you mean "face"?'
            ),
        ),
        (
            "policy: full life",
            "policy: full live",
            (
                'v.yaml, line 5, policy: "full live" is not a policy of this works; one of run until it breaks, '
                "every 60 parts, every shift, full life, check the edge was expected\n"
                '    Did you mean "full life"?'
            ),
        ),
        (
            "    about: All",
            "    abuot: All",
            (
                "v.yaml, line 9, variants[one cut].abuot: there is no such entry here; one of about, changes "
                "was expected\n"
                '    Did you mean "about"?'
            ),
        ),
        (
            "depth: 3.5 mm",
            "depth: 3 kg",
            (
                "v.yaml, line 16, lines.flange.operations[Op 20].strokes[finish].cuts[finish]."
                'depth: "3 kg" is a mass; a length such as "3 mm" was expected'
            ),
        ),
        (
            "Op 10: null",
            "Op 15: null",
            (
                'v.yaml, line 14, lines.flange.operations[Op 15]: there is no "Op 15" to take away\n'
                '    Did you mean "Op 10"?'
            ),
        ),
        ("question: One cut or two?\n", "", "v.yaml, line 1, question: missing; a text was expected"),
    ],
)
def test_what_is_wrong_is_told_with_file_and_line(old: str, new: str, told: str) -> None:
    with pytest.raises(ScenarioError) as error:
        variants_from_text(GOOD.replace(old, new), load_works("scenarios/smallest.yaml"), "v.yaml")
    assert str(error.value).replace("v.yaml, question", "v.yaml, line 1, question") == told


def test_a_cut_that_asks_too_much_of_the_machine_is_told_when_the_file_is_read() -> None:
    works = load_works("scenarios/crankcase-line.yaml")
    text = """\
name: n
question: q
variants:
  as it stands:
  too heavy:
    changes: {lines: {crankcase: {operations: {Op 20: {power: 3 kW}}}}}
"""
    with pytest.raises(ScenarioError) as error:
        variants_from_text(text, works, "v.yaml")
    assert "kW at the motor, but the machine has 3 kW" in str(error.value)
