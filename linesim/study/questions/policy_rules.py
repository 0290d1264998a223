"""What a policy says of every cutter set, in words and in parts."""

from __future__ import annotations

import pandas as pd

from linesim.desk.sets import set_table
from linesim.plan.build import make_plan
from linesim.rules import rule_words
from linesim.study.comparing.levers import aim_words
from linesim.works import Works

__all__ = ["policy_rules"]


def policy_rules(works: Works, policy: str) -> pd.DataFrame:
    """The rule of a policy for every cutter set, and about how many parts that is with an average edge.

    Parameters
    ----------
    works : Works
        The checked scenario.
    policy : str
        Name of one of its policies.

    Returns
    -------
    DataFrame
        One row for each set at each operation, in the order of the routing, with the columns of
        `linesim.desk.sets.set_table`; ``rule``, as the end of a sentence that begins with "changed";
        ``share_of_life``, parts between changes over parts per edge (not a number where either has no end); and
        ``aimed``, where a fresh edge is set, empty for the surface intended.

    Raises
    ------
    ScenarioError
        The policy is not known, or a cut cannot be made as described.
    """
    table = set_table(works, make_plan(works, policy), policy)
    of = works.policies[policy]
    rules = [rule_words(of.rule_for(*pair)) for pair in zip(table["operation"], table["cutter"], strict=True)]
    is_known = table["parts_per_edge"].between(0.0, float("inf"), inclusive="neither") & (
        table["parts_between"] < float("inf")
    )
    share = (table["parts_between"] / table["parts_per_edge"]).where(is_known)
    pairs = zip(table["operation"], table["cutter"], strict=True)
    aims = [of.aims.get(f"{operation} / {cutter}", of.aims.get(cutter)) for operation, cutter in pairs]
    words = ["" if aim is None else aim_words(aim) for aim in aims]
    return table.assign(rule=rules, share_of_life=share, aimed=words)
