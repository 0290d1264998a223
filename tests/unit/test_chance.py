"""Random numbers: equal to numpy's Philox, open intervals, and the laws they are turned into."""

from __future__ import annotations

import math
import os
import subprocess
import sys
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

import linesim.chance
from linesim.chance import (
    Distribution,
    Purpose,
    drawn,
    listed_at,
    lognormal_sigma,
    normal_from_uniform,
    normals,
    philox,
    uniform_at,
    uniforms,
    weibull_cv,
    weibull_scale_from_mean,
)
from linesim.chance.addresses import (
    LOOK_READING_DRAW,
    breaking_index,
    cast_shape_draw,
    change_spot,
    cleaning_spot,
    finding_spot,
    loading_spot,
    move_number,
    recut_index,
    scratch_draw,
    sensing_spot,
    try_draw,
    unloading_spot,
)
from linesim.chance.durations import ERLANG_LIMIT
from linesim.law import law
from linesim.philox import two_units

TOP = 2**64 - 1
N_DRAWS = 20_000


def numpy_block(counter: list[int], key: list[int]) -> tuple[int, ...]:
    """First block of numpy's generator, whose counter starts one below ours."""
    whole = (sum(word << (64 * k) for k, word in enumerate(counter)) - 1) % 2**256
    before = np.array([(whole >> (64 * k)) & TOP for k in range(4)], dtype=np.uint64)
    generator = np.random.Philox(counter=before, key=np.array(key, dtype=np.uint64))
    return tuple(int(word) for word in generator.random_raw(4))


@pytest.mark.parametrize(
    ("counter", "key"),
    [
        ([0, 0, 0, 0], [0, 0]),
        ([1, 0, 0, 0], [1, 0]),
        ([0, 1, 0, 0], [0, 1]),
        ([5, 6, 7, 8], [20251, 3]),
        ([TOP, TOP, TOP, TOP], [TOP, TOP]),
        ([0, TOP, 0, TOP], [TOP, 0]),
        ([2**63, 2**32, 2**31, 1], [2**63 - 1, 2**63]),
    ],
)
def test_philox_equals_numpy(counter: list[int], key: list[int]) -> None:
    """Source: numpy.random.Philox, an independent implementation of Salmon et al. 2011."""
    words = [np.uint64(word) for word in counter + key]
    assert philox(*words) == numpy_block(counter, key)


def test_philox_equals_numpy_for_many_random_counters_and_keys() -> None:
    """Source: numpy.random.Philox."""
    picker = np.random.default_rng(3)
    for row in picker.integers(0, TOP, size=(300, 6), dtype=np.uint64, endpoint=True):
        assert philox(*row) == numpy_block([int(w) for w in row[:4]], [int(w) for w in row[4:]])


def test_philox_gives_the_published_first_word() -> None:
    """Known answer of the authors' own test file for a counter and key of zeros (Salmon et al. 2011; from memory)."""
    assert philox(0, 0, 0, 0, 0, 0)[:2] == (0x16554D9ECA36314C, 0xDB20FE9D672D0FDC)


def test_key_and_counter_are_where_the_documentation_says() -> None:
    """Key (seed, replication), counter (index, place, purpose, block), eight numbers of 32 bits, upper halves first."""
    words = numpy_block([50, 40, int(Purpose.CUT), 3], [10, 20])
    halves = [half for word in words for half in (word >> 32, word & (2**32 - 1))]
    expected = tuple((half + 0.5) / 2**32 for half in halves)
    address = (10, 20, int(Purpose.CUT), 40, 50)
    assert uniforms(*address, 6) == expected[:4]
    assert uniforms(*address, 7) == expected[4:]
    assert tuple(uniform_at(*address, 24 + at) for at in range(8)) == expected


def test_uniforms_are_strictly_inside_zero_and_one() -> None:
    """The least and the greatest word."""
    assert two_units(np.uint64(0)) == (2.0**-33, 2.0**-33)
    assert two_units(np.uint64(TOP)) == (1.0 - 2.0**-33, 1.0 - 2.0**-33)
    assert normal_from_uniform(2.0**-33) == pytest.approx(stats.norm.ppf(2.0**-33), rel=1e-14)
    assert round(normal_from_uniform(1.0 - 2.0**-33), 2) == 6.34


def test_uniforms_are_uniform_and_independent_across_neighbours() -> None:
    """Kolmogorov-Smirnov, and correlation between the eight numbers of a block and between neighbouring parts."""
    table = np.array([uniforms(1, 0, 1, 3, index, 0) + uniforms(1, 0, 1, 3, index, 1) for index in range(N_DRAWS)])
    for column in table.T:
        assert stats.kstest(column, "uniform").pvalue > 1e-4
    follows = np.column_stack([table, np.roll(table, 1, axis=0)])
    correlation = np.corrcoef(follows.T) - np.eye(16)
    assert np.abs(correlation).max() < 5.0 / math.sqrt(N_DRAWS)


def test_every_word_of_the_address_changes_the_draw() -> None:
    """Two draws that differ in one word share none of their four numbers."""
    address = (1, 2, 3, 4, 5, 6)
    base = uniforms(*address)
    for k in range(6):
        other = list(address)
        other[k] += 1
        assert not set(base) & set(uniforms(*other))


def test_normal_inversion_equals_scipy() -> None:
    """Source: scipy.stats.norm.ppf (Cephes), another method than AS 241."""
    shares = np.concatenate([np.geomspace(2.0**-53, 0.5, 4000), 1.0 - np.geomspace(2.0**-53, 0.5, 4000)])
    ours = np.array([normal_from_uniform(float(u)) for u in shares])
    assert ours == pytest.approx(stats.norm.ppf(shares), rel=2e-14, abs=1e-15)


def test_normal_inversion_is_monotone_and_odd() -> None:
    """Rising, and the same size on either side of one half."""
    shares = np.linspace(0.0005, 0.9995, 3999)
    values = [normal_from_uniform(float(u)) for u in shares]
    assert all(a < b for a, b in pairwise(values))
    assert normal_from_uniform(0.5) == 0.0
    assert normal_from_uniform(0.25) == -normal_from_uniform(0.75)


def test_normals_are_the_uniforms_inverted() -> None:
    """Each of the four from the number in the same place."""
    expected = tuple(normal_from_uniform(u) for u in uniforms(9, 8, 7, 6, 5, 4))
    assert normals(9, 8, 7, 6, 5, 4) == expected


LAWS = [
    (Distribution.EXPONENTIAL, (3.0, 0.0, 0.0), stats.expon(scale=3.0)),
    (Distribution.GAMMA, (6.0, 3.0, 0.0), stats.gamma(3.0, scale=2.0)),
    (Distribution.GAMMA, (6.0, 1.0, 0.0), stats.expon(scale=6.0)),
    (Distribution.GAMMA, (10.0, 6.0, 0.0), stats.gamma(6.0, scale=10.0 / 6.0)),
    (Distribution.GAMMA, (5.0, 2.5, 0.0), stats.gamma(2.5, scale=2.0)),
    (Distribution.GAMMA, (1.0, 0.4, 0.0), stats.gamma(0.4, scale=2.5)),
    (
        Distribution.GAMMA,
        (1.0, float(ERLANG_LIMIT + 1), 0.0),
        stats.gamma(ERLANG_LIMIT + 1, scale=1.0 / (ERLANG_LIMIT + 1)),
    ),
    (Distribution.LOGNORMAL, (60.0, 0.3, 0.0), stats.lognorm(0.293560, scale=60.0 / math.sqrt(1.09))),
    (Distribution.WEIBULL, (60.0, 2.5, 0.0), stats.weibull_min(2.5, scale=60.0)),
    (Distribution.UNIFORM, (2.0, 5.0, 0.0), stats.uniform(2.0, 3.0)),
    (Distribution.TRIANGULAR, (1.0, 2.0, 5.0), stats.triang(0.25, 1.0, 4.0)),
    (Distribution.TRIANGULAR, (1.0, 1.0, 5.0), stats.triang(0.0, 1.0, 4.0)),
    (Distribution.TRIANGULAR, (1.0, 5.0, 5.0), stats.triang(1.0, 1.0, 4.0)),
]


@pytest.mark.parametrize(("kind", "p", "expected"), LAWS)
def test_a_draw_follows_its_law(
    kind: Distribution, p: tuple[float, float, float], expected: stats.rv_continuous
) -> None:
    """Kolmogorov-Smirnov against scipy's distribution of the same name, and the mean within 4 standard errors."""
    values = np.array([drawn(int(kind), *p, 11, 0, 3, 1, index) for index in range(N_DRAWS)])
    assert stats.kstest(values, expected.cdf).pvalue > 1e-4
    assert abs(values.mean() - expected.mean()) < 4.0 * expected.std() / math.sqrt(N_DRAWS)


def test_a_fixed_duration_is_its_value() -> None:
    """Whatever the address."""
    assert {drawn(int(Distribution.FIXED), 2.5, 0.0, 0.0, 1, 0, 3, 1, index) for index in range(5)} == {2.5}


def test_a_triangle_without_width_is_its_value() -> None:
    """Low, mode and high the same."""
    assert drawn(int(Distribution.TRIANGULAR), 4.0, 4.0, 4.0, 1, 0, 3, 1, 0) == 4.0


@pytest.mark.parametrize(
    "kind",
    [
        Distribution.EXPONENTIAL,
        Distribution.LOGNORMAL,
        Distribution.WEIBULL,
        Distribution.UNIFORM,
        Distribution.TRIANGULAR,
    ],
)
def test_inverted_laws_rise_with_the_first_uniform(kind: Distribution) -> None:
    """So that common random numbers keep their order whatever the parameters."""
    pairs = sorted((uniforms(1, 0, 3, 1, i, 0)[0], drawn(int(kind), 2.0, 2.5, 4.0, 1, 0, 3, 1, i)) for i in range(500))
    values = [value for _, value in pairs]
    assert values == sorted(values)


def test_an_erlang_draw_is_the_sum_of_its_exponentials() -> None:
    """Shape 6 takes four numbers of block 0 and two of block 1."""
    numbers = uniforms(1, 2, 3, 4, 5, 0) + uniforms(1, 2, 3, 4, 5, 1)[:2]
    expected = sum(-math.log(1.0 - u) for u in numbers) * 12.0 / 6.0
    assert drawn(int(Distribution.GAMMA), 12.0, 6.0, 0.0, 1, 2, 3, 4, 5) == pytest.approx(expected, rel=1e-13)


def test_weibull_scale_and_coefficient_of_variation_agree_with_scipy() -> None:
    """Source: scipy.stats.weibull_min."""
    for shape in (0.7, 1.0, 2.5, 5.0):
        scale = weibull_scale_from_mean(60.0, shape)
        reference = stats.weibull_min(shape, scale=scale)
        assert reference.mean() == pytest.approx(60.0)
        assert weibull_cv(shape) == pytest.approx(reference.std() / 60.0)


def test_lognormal_sigma_gives_the_coefficient_of_variation() -> None:
    """Source: scipy.stats.lognorm."""
    sigma = lognormal_sigma(0.25)
    reference = stats.lognorm(sigma)
    assert reference.std() / reference.mean() == pytest.approx(0.25)


def test_purposes_keep_their_numbers() -> None:
    """A changed number would make every recorded run unrepeatable."""
    names = "CASTING CUT EDGE CYCLE ARRIVAL CHANGE CHECK GAUGE REGRIND SUPPLY FAILURE REPAIR CHIP MOVE DISTURB YIELD"
    numbers = {
        name: k
        for k, name in enumerate(
            [
                *names.split(),
                "RECUT",
                "OTHER",
                "HEAT",
                "SAVING",
                "FIXTURE",
                "STRENGTH",
                "MENDING",
                "FAULT",
                "RIGHTING",
                "MASTERING",
                "KIND_LIFE",
                "FIRST_PIECE",
                "OVERHAUL",
                "CARRY",
                "PART_TYPE",
                "CHANGEOVER",
                "CARRYING",
                "BRANCH",
                "EXCHANGE",
                "LOAD",
                "PRESETTING",
                "BREAK_PROBE",
                "SKIN_HIT",
                "GAUGE_WALK",
            ]
        )
    }
    assert {member.name: member.value for member in Purpose} == numbers


def test_members_and_plain_numbers_give_the_same_draw() -> None:
    """Whether the caller passes Purpose.EDGE or 2."""
    assert normals(1, 2, Purpose.EDGE, 4, 5, 6) == normals(1, 2, 2, 4, 5, 6)
    by_name = drawn(Distribution.WEIBULL, 3.0, 2.0, 0.0, 1, 2, Purpose.EDGE, 4, 5)
    assert by_name == drawn(4, 3.0, 2.0, 0.0, 1, 2, 2, 4, 5)


@law
def _drawn_inside(kind: int, index: int) -> float:
    """One draw asked for by another law."""
    return drawn(kind, 3.0, 2.5, 4.0, 7, 1, 3, 2, index)


def test_a_draw_inside_a_law_equals_the_draw_from_outside() -> None:
    """Python ints outside, machine integers inside."""
    for kind in Distribution:
        for index in (0, 1, 2**62):
            outside = drawn(int(kind), 3.0, 2.5, 4.0, 7, 1, 3, 2, index)
            assert _drawn_inside(int(kind), index) == outside


def output_of(script: str, plain: str) -> list[str]:
    """Lines that a script prints in a fresh process, compiled or plain, warnings as errors."""
    folder = str(Path(linesim.chance.__file__).parents[1])
    surroundings = {**os.environ, "LINESIM_PLAIN": plain, "NUMBA_DISABLE_JIT": "0", "PYTHONPATH": folder}
    command = [sys.executable, "-W", "error", "-c", script]
    return subprocess.run(command, env=surroundings, capture_output=True, text=True, check=True).stdout.splitlines()


COUNTING_SCRIPT = """
from linesim.chance import normals
normals(1, 2, 3, 4, 5, 6)
for k in range(50):
    normals(k, 2**40 + k, 3, k, 2**62 - k, 0)
print(len(normals.signatures))
"""


def test_different_numbers_do_not_compile_anew() -> None:
    """One compiled form serves all whole-number addresses."""
    assert output_of(COUNTING_SCRIPT, "0") == ["1"]


PLAIN_SCRIPT = """
from linesim.chance import drawn, normals, philox
from linesim.law import IS_COMPILED
print(IS_COMPILED)
top = 2**63 - 1
for k in range(40):
    print(philox(k, top - k, 7 * k, k * k, top, k), normals(k, 1, 2, 3, 4, 5))
    print([drawn(kind, 3.0, shape, 4.0, 5, k, 1, 2, 3) for kind in range(8) for shape in (0.4, 2.0, 2.5, 7.0)])
"""


def test_plain_python_gives_the_same_numbers_bit_for_bit() -> None:
    """The same text compiled and not compiled, warnings as errors, in processes of their own."""
    outputs = [output_of(PLAIN_SCRIPT, plain) for plain in ("0", "1")]
    assert (outputs[0][0], outputs[1][0]) == ("True", "False")
    assert outputs[0][1:] == outputs[1][1:]
    assert len(outputs[0]) == 81


def test_a_listed_value_follows_the_uniform_number_and_each_is_as_likely() -> None:
    """5 values, 20 000 draws; that a share lies 4.5 standard errors off has a chance below 1 in 30 000 for all five."""
    drawn = [listed_at(5, 3, 1, int(Purpose.CYCLE), 2, index) for index in range(20_000)]
    numbers = [uniforms(3, 1, int(Purpose.CYCLE), 2, index, 0)[0] for index in range(20_000)]
    assert drawn == [math.floor(5.0 * u) for u in numbers]
    shares = [drawn.count(value) / 20_000 for value in range(5)]
    assert shares == pytest.approx([0.2] * 5, abs=4.5 * math.sqrt(0.2 * 0.8 / 20_000))


def test_no_two_things_that_happen_share_an_address() -> None:
    """Whatever is told apart by one purpose: spots of an operation, changes and spindles, tries and places."""
    spots = [
        of(operation) for operation in range(9) for of in (cleaning_spot, loading_spot, unloading_spot, sensing_spot)
    ]
    assert sorted(spots) == list(range(36))
    assert [change_spot(4, mount) for mount in range(3)] == [4, 5, 6]
    assert [finding_spot(9, mount) for mount in range(2)] == [9, 10]
    assert breaking_index(0) == 4294967296
    assert [recut_index(0, 1), recut_index(1, 0), recut_index(2, 3)] == [1, 65536, 131075]
    assert [try_draw(0, 63), try_draw(1, 0), try_draw(2, 5)] == [63, 64, 133]
    assert [move_number(0, 63), move_number(3, 1)] == [63, 193]
    assert [scratch_draw(63), cast_shape_draw(63)] == [2**40 + 63, 2**40 + 63]
    assert LOOK_READING_DRAW == 1
