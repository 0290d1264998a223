"""Taylor's law against exercises of S. Kalpakjian and S. R. Schmid, *Manufacturing Engineering and Technology*."""

from __future__ import annotations

import pytest

from linesim.cutting.kinematics import milling_feed_rate_mm_min
from linesim.cutting.life import extended_taylor_life_min
from linesim.cutting.power import milling_power_kw


def life_min(speed: float, constant: float, n: float) -> float:
    """Taylor's law, C being the speed at which the edge lives one minute."""
    return extended_taylor_life_min(speed, 1.0, 1.0, 1.0, constant, 1.0, 1.0, n, 0.0, 0.0, 1.0)


@pytest.mark.parametrize("constant", [120.0, 400.0])
def test_half_the_speed_gives_four_times_the_life_at_n_one_half(constant: float) -> None:
    """Up 300 %. C 120: Kalpakjian (from memory); C 400: question sheet scribd 506502765 (read). C drops out."""
    ratio = life_min(30.0, constant, 0.5) / life_min(60.0, constant, 0.5)
    assert ratio == pytest.approx(4.0)


def test_two_lives_of_an_examination_question() -> None:
    """(60, 81) and (90, 36): n 0.5000, C 540.0, half speed up 300 % (read: interviewmania.com set)."""
    assert life_min(60.0, 540.0, 0.5) == pytest.approx(81.0)
    assert life_min(90.0, 540.0, 0.5) == pytest.approx(36.0)


def test_speed_down_a_fifth_and_up_three_tenths() -> None:
    """n 0.4, C 450: +74.69 % and -48.10 % (question read, scribd 506502765; answers derived)."""
    base = life_min(100.0, 450.0, 0.4)
    assert 100.0 * (life_min(80.0, 450.0, 0.4) / base - 1.0) == pytest.approx(74.69, abs=5e-3)
    assert 100.0 * (life_min(130.0, 450.0, 0.4) / base - 1.0) == pytest.approx(-48.10, abs=5e-3)


def test_ceramic_feed_that_pays_for_speed() -> None:
    """n 0.5, exponents of feed and depth 0.6: half as much speed again at equal life needs feed x 0.5088.

    Question read, answer derived. In life the exponents are 0.6 / 0.5.
    """
    factor = 1.5 ** (-1.0 / 0.6)
    assert factor == pytest.approx(0.5088, abs=5e-5)
    life = extended_taylor_life_min(1.5, factor, 1.0, 20.0, 1.0, 1.0, 1.0, 0.5, 1.2, 1.2, 1.0)
    assert life == pytest.approx(20.0)


def test_typical_exponents_of_steel() -> None:
    """n 0.15, depth 0.15, feed 0.6: T ~ V**-7 d**-1 f**-4 (from memory), the powers being 6.67, 1 and 4."""
    p, q = 0.6 / 0.15, 0.15 / 0.15
    reference = (10.0, 100.0, 0.2, 2.0, 0.15, p, q, 1.0)
    assert extended_taylor_life_min(100.0, 0.4, 2.0, *reference) == pytest.approx(10.0 / 16.0)
    assert extended_taylor_life_min(100.0, 0.2, 4.0, *reference) == pytest.approx(5.0)
    assert extended_taylor_life_min(200.0, 0.2, 2.0, *reference) == pytest.approx(10.0 * 2.0 ** (-1.0 / 0.15))


def test_face_milling_power_from_energy() -> None:
    """D 150 three quarters engaged, 8 teeth, 300 rpm, depth 3, fz 0.125, 5 W s/mm3: 101 250 mm3/min, 8.4375 kW.

    Question read (tutorsglobe 52203008), answer derived.
    """
    rate = milling_feed_rate_mm_min(0.125, 8.0, 300.0)
    assert 3.0 * 0.75 * 150.0 * rate == pytest.approx(101_250.0)
    assert milling_power_kw(3.0, 0.75 * 150.0, rate, 5000.0, 1.0) == pytest.approx(8.4375)
