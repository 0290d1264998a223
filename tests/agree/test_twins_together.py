"""Both engines on works that have all there is, together; thousands of them by ``python -m tests.agree.many``."""

from __future__ import annotations

import pytest

from tests.agree.many import one_work
from tests.rounds import some_each_time


@pytest.mark.parametrize("at", some_each_time(range(60), *range(12)))
def test_the_engines_agree_on_works_that_have_all_of_it(at: int) -> None:
    assert one_work(f"all of it {at}", at)["works"] == 1


@pytest.mark.parametrize(
    "at",
    [
        pytest.param(63, id="marks that come to the measuring room at one moment"),
        pytest.param(223, id="a part whose fellow becomes scrap while its machine is changed over"),
        pytest.param(519, id="a part whose fellow becomes scrap while its machine is overhauled"),
        pytest.param(1442, id="carriers that come back at one moment"),
        pytest.param(576, id="a part suspected in a quarantine on its way back from a repair"),
    ],
)
def test_the_engines_agree_where_two_things_come_together(at: int) -> None:
    assert one_work(f"2 {at}", at, newest=False)["parts shipped"] > 0
