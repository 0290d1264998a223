"""The first calls of a law of a plan are carried out by Python: plans are the same to the last bit."""

from __future__ import annotations

import os
import subprocess
import sys

from linesim.begin import ROOT

PLANS = """
import hashlib, sys
from pathlib import Path
import numpy as np
import linesim.law as law
law._CALLS_BY_PYTHON = int(sys.argv[1])
from linesim.cutting.kinematics import spindle_speed_rpm
from linesim.plan.build import make_plan
from linesim.works import load_works

def arrays(thing):
    if isinstance(thing, np.ndarray):
        yield thing
    elif isinstance(thing, (int, float)):
        yield np.array(thing)
    elif isinstance(thing, tuple) or hasattr(thing, "__dict__"):
        for each in thing if isinstance(thing, tuple) else vars(thing).values():
            yield from arrays(each)

count, digest = 0, hashlib.sha256()
for path in sorted(Path("scenarios").glob("*.yaml")):
    works = load_works(path)
    for policy in works.policies:
        for array in arrays(make_plan(works, policy)):
            count += 1
            digest.update(array.dtype.str.encode() + array.tobytes())
print(count, digest.hexdigest(), bool(spindle_speed_rpm.overloads))
"""


def plans(calls_by_python: int) -> list[str]:
    """How many arrays the plans of all scenarios have, their digest, and whether a law was compiled."""
    surroundings = os.environ | {"PYTHONPATH": str(ROOT), "LINESIM_PLAIN": "0"}
    command = [sys.executable, "-c", PLANS, str(calls_by_python)]
    return subprocess.run(
        command, cwd=ROOT, env=surroundings, capture_output=True, text=True, check=True
    ).stdout.split()


def test_plans_by_python_are_those_by_compiled_laws_to_the_last_bit() -> None:
    (count, by_python, is_compiled), (same, by_compiled, were_compiled) = plans(10**9), plans(0)
    assert (is_compiled, were_compiled) == ("False", "True")
    assert int(count) > 1000
    assert (count, by_python) == (same, by_compiled)
