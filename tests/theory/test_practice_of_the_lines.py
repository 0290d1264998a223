"""What every practitioner knows, held against every line of the demo in draws of what is not known well.

Which claims apply is settled by what a line has. Of those that apply, `SO` come out: they hold in 90 % of the draws or
more, the share that was set before anything was run. `NOT_SO` do not, and say beside them why, as far as the means of
the figures compared show it; a claim there that comes out after all is as much a change as one that no longer does. Of
200 draws 25 are made here, so `SO` is held to 80 % of them: a claim that is so in 95 % falls below once in 800 times,
one that is so in 90 % once in 30. `NEAR` hold in 75 to 90 %, and luck decides what 25 of them say. Which are which was
read off 75 draws, of which 68 make 90 % and 56, three quarters to a whole percent; a standard error is 5 % at most.
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

SO = {"block": "acl", "crankcase": "abci", "head": "abdgij", "mixed": "al"}
"""Letters of the claims that come out, by line: in 71 to 75 draws of 75; crankcase b and c in 68, head d in 69."""

ENOUGH = 0.8
"""Share of 25 draws in which a claim that comes out has to hold."""

NEAR = {"block": "bg", "crankcase": "l", "head": "", "mixed": "d"}
"""Letters of the claims that are near coming out, and so in the mean: 67, 61, 65 and 56 draws of 75."""

NOT_SO = {
    "block": {
        "d": "each of its comparisons is so in most draws, but all of them at once in 49 of 75",
        "e": "the height gauges earn as much as they cost; the bore gauge pays by far",
        "f": "heats scatter edge life by 15 %, edges of one heat by 22: a look costs what it spares, or a little more",
    },
    "crankcase": {
        "d": "the bearing gauge takes the drift out as it comes; only after a change it has to begin anew",
        "e": "the height gauge of the upper face earns 13 ± 19 an hour; it reads one part in two",
        "f": "as on the block line",
        "g": "so in the mean, 0.7 % scratched in place of 0.9; the luck of four weeks is larger, so 52 of 75 say so",
    },
    "head": {
        "c": "chips under the first cuts of the joint face are cut away by the last one, from another clamping",
        "e": "salvage of seats and joint faces costs more than what it saves; the cam gauge pays by far",
        "f": "as on the block line",
        "h": "the machine dresses by itself at little cost, so that each part is as good; glazed is far worse",
        "l": "gauges already take the drift out, so that the interval gains about as much: 54 draws of 75 say so",
    },
    "mixed": {},
}
"""Letters of the claims that do not, by line, each with why."""

ABSENT = {"block": "hijk", "crankcase": "hjk", "head": "k", "mixed": "bcefghijk"}
"""Letters of the claims about what a line does not have; no operation of a balanced line has much time to spare."""


@pytest.fixture(scope="module", params=["block", "crankcase", "head", "mixed"])
def held(request: pytest.FixtureRequest) -> tuple[str, Practice]:
    """A line, and what its draws say."""
    line: str = request.param
    works = changed(load_works(f"scenarios/{line}-line.yaml"), {"run": {"length": f"{WEEKS} weeks"}})
    return line, PracticeStudy(works, options=StudyOptions(DRAWS)).run()


def test_claims_come_out_or_say_why_not(held: tuple[str, Practice]) -> None:
    line, answer = held
    rows = answer.claims.set_index("claim")
    assert set(ABSENT[line]) == set(rows.index[~rows["applies"]])
    assert set(rows.index) == set("".join((SO[line], NEAR[line], *NOT_SO[line], ABSENT[line])))
    assert set(rows.index) == {claim.letter for claim in CLAIMS}
    assert answer.draws == DRAWS
    so = {letter: rows.loc[letter, "holds"] / rows.loc[letter, "draws"] for letter in SO[line]}
    assert all(share >= ENOUGH for share in so.values()), so
    assert set(rows.index[rows["comes_out"]]) <= set(SO[line] + NEAR[line])


def test_a_claim_that_does_not_come_out_is_explained_to_the_user(held: tuple[str, Practice]) -> None:
    """By its own minutes and money, or by where it need not be so; never by the figures alone."""
    line, answer = held
    for letter in NOT_SO[line]:
        record = next(each for each in answer.records if each.claim.letter == letter)
        if record.in_the_mean != "so":
            assert not record.why.endswith(("no more than the luck of the runs.", "the draws say the opposite."))
        assert any(f"({letter}) is so in" in sentence for sentence in answer.sentences)
