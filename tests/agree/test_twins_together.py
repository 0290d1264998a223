"""Both engines on works that have all there is, together; thousands of them by ``python -m tests.agree.many``."""

from __future__ import annotations

import pytest

from tests.agree.many import one_work
from tests.rounds import some_each_time


@pytest.mark.parametrize("at", some_each_time(range(60), *range(12)))
def test_the_engines_agree_on_works_that_have_all_of_it(at: int) -> None:
    assert one_work(f"all of it {at}", at)["works"] == 1
