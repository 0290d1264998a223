"""What every practitioner knows, held against every line of the demo in draws of what is not known well.

Which claims apply is settled by what a line has. Of those that apply, `SO` come out: they hold in 90 % of the draws or
more, the share that was set before anything was run. The others do not, and say beside them why, as far as the means
of the figures compared show it; a claim there that comes out after all is as much a change as one that no longer does.
Nothing in the lines was adjusted to a claim. Claim (d) at first let fresh edges bring the errors of their setting, and
came out on no line; it is about edges, so now all are set exactly, which was decided after that was seen. Claim (j) at
first looked at the scatter of the depth, which does not see an edge that stands off for weeks; it is about holding a
depth, so now it looks at the distance from the aim, decided after that was seen, too. Claim (l) at first took neither
gain to be more than three times the other, and fell where aims gained far more than intervals; it is about levers
being worth no less, so now it asks just that, which is harder on the head line, where it fell then. Runs are cut
to four weeks, so that a draw of a line takes less than a second.
"""

from __future__ import annotations

import pytest

from linesim.study import StudyOptions
from linesim.study.practice import CLAIMS, Practice, PracticeStudy
from linesim.works import changed, load_works

pytestmark = pytest.mark.longer
"""Each line takes the better part of a minute; `tests/unit/test_practice.py` has each claim hold and fall."""

DRAWS = 25
"""Of 200, as `linesim practice` makes them in two and a half minutes of a processor a line."""
WEEKS = 4

SO = {"block": "abcdl", "crankcase": "abcil", "head": "abdgij"}
"""Letters of the claims that come out, by line."""

NOT_SO = {
    "block": {
        "e": "the top face's height gauge earns as much as it costs; bottom gauge and bore gauge pay",
        "f": "looks from 0.6 of the life on earn what they cost, within the luck of the runs",
        "g": "scratches that a late cut saves on the bottom face are few in four weeks, and counted",
        "k": "slower cuts earn the same in the mean: the edges saved are cheap, and breakdowns need the minutes",
    },
    "crankcase": {
        "d": "the bearing gauge takes the drift out as it comes; only after a change it has to begin anew",
        "e": "the height gauge earns 3 % in the mean, but in a third of the draws nothing; the bearing gauge pays",
        "f": "as on the block line",
        "g": "scratches that a late cut saves on the lower face are few in four weeks, and counted",
        "k": "slower cuts earn 5 % more in the mean, but in three of eight draws less",
    },
    "head": {
        "c": "chips under the first cuts of the joint face are cut away by the last one, from another clamping",
        "e": "salvage of seats and joint faces costs more than what it saves; the cam gauge pays by far",
        "f": "as on the block line",
        "h": "the machine dresses by itself at little cost, so that each part is as good; glazed is far worse",
        "k": "as on the block line",
        "l": "aims and offsets gain 94 an hour and one interval for all edges 68 in the mean; in 3 of 25 draws less",
    },
}
"""Letters of the claims that do not, by line, each with why."""

ABSENT = {"block": "hij", "crankcase": "hj", "head": ""}
"""Letters of the claims about what a line does not have."""


@pytest.fixture(scope="module", params=["block", "crankcase", "head"])
def held(request: pytest.FixtureRequest) -> tuple[str, Practice]:
    """A line, and what its draws say."""
    line: str = request.param
    works = changed(load_works(f"scenarios/{line}-line.yaml"), {"run": {"length": f"{WEEKS} weeks"}})
    return line, PracticeStudy(works, options=StudyOptions(DRAWS)).run()


def test_claims_come_out_or_say_why_not(held: tuple[str, Practice]) -> None:
    line, answer = held
    rows = answer.claims.set_index("claim")
    assert set(SO[line]) == set(rows.index[rows["comes_out"]])
    assert set(NOT_SO[line]) == set(rows.index[rows["applies"] & ~rows["comes_out"]])
    assert set(ABSENT[line]) == set(rows.index[~rows["applies"]])
    assert set(rows.index) == {claim.letter for claim in CLAIMS}
    assert answer.draws == DRAWS


def test_a_claim_that_does_not_come_out_is_explained_to_the_user(held: tuple[str, Practice]) -> None:
    line, answer = held
    for letter in NOT_SO[line]:
        record = next(each for each in answer.records if each.claim.letter == letter)
        assert (record.claim.otherwise in record.why) == (record.in_the_mean != "so")
        assert any(f"({letter}) is so in" in sentence for sentence in answer.sentences)
