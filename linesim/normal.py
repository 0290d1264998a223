"""The normal distribution turned round: from a share to the deviate below which that share lies."""

from __future__ import annotations

import importlib
import math
from collections.abc import Callable
from typing import Any, cast

from linesim.law import IS_COMPILED, law


@law
def _polynomial(r: float, c: tuple[float, ...]) -> float:
    """Polynomial of degree 7 in r, coefficients from the constant upwards; in pairs, which wait for nothing."""
    square = r * r
    low, high = (c[0] + c[1] * r) + (c[2] + c[3] * r) * square, (c[4] + c[5] * r) + (c[6] + c[7] * r) * square
    return low + high * (square * square)


@law
def _ratio(r: float, top: tuple[float, ...], bottom: tuple[float, ...]) -> float:
    """Ratio of two polynomials of degree 7 in r."""
    return _polynomial(r, top) / _polynomial(r, bottom)


_CENTRE = 0.425
_CENTRE_SQUARE = 0.180625
"""Its square, as the source has it."""

_CENTRE_TOP = (
    3.3871328727963666080e0, 1.3314166789178437745e2, 1.9715909503065514427e3, 1.3731693765509461125e4,
    4.5921953931549871457e4, 6.7265770927008700853e4, 3.3430575583588128105e4, 2.5090809287301226727e3,
)  # fmt: skip
_CENTRE_BOTTOM = (
    1.0, 4.2313330701600911252e1, 6.8718700749205790830e2, 5.3941960214247511077e3,
    2.1213794301586595867e4, 3.9307895800092710610e4, 2.8729085735721942674e4, 5.2264952788528545610e3,
)  # fmt: skip
_TAIL_TOP = (
    1.42343711074968357734e0, 4.63033784615654529590e0, 5.76949722146069140550e0, 3.64784832476320460504e0,
    1.27045825245236838258e0, 2.41780725177450611770e-1, 2.27238449892691845833e-2, 7.74545014278341407640e-4,
)  # fmt: skip
_TAIL_BOTTOM = (
    1.0, 2.05319162663775882187e0, 1.67638483018380384940e0, 6.89767334985100004550e-1,
    1.48103976427480074590e-1, 1.51986665636164571966e-2, 5.47593808499534494600e-4, 1.05075007164441684324e-9,
)  # fmt: skip
_FAR_TOP = (
    6.65790464350110377720e0, 5.46378491116411436990e0, 1.78482653991729133580e0, 2.96560571828504891230e-1,
    2.65321895265761230930e-2, 1.24266094738807843860e-3, 2.71155556874348757815e-5, 2.01033439929228813265e-7,
)  # fmt: skip
_FAR_BOTTOM = (
    1.0, 5.99832206555887937690e-1, 1.36929880922735805310e-1, 1.48753612908506148525e-2,
    7.86869131145613259100e-4, 1.84631831751005468180e-5, 1.42151175831644588870e-7, 2.04426310338993978564e-15,
)  # fmt: skip


@law
def normal_from_uniform(u: float) -> float:
    """Standard normal deviate below which a share u of all deviates lies.

    Parameters
    ----------
    u : float
        Strictly between 0 and 1.

    Returns
    -------
    float
        Rising with u, good to about 1 part in 10**16.

    Notes
    -----
    Source: M. J. Wichura, "Algorithm AS 241: the percentage points of the normal distribution",
    Applied Statistics 37 (1988), 477-484, function PPND16.

    >>> round(normal_from_uniform(0.975), 6)
    1.959964
    """
    q = u - 0.5
    if abs(q) <= _CENTRE:
        return q * _ratio(_CENTRE_SQUARE - q * q, _CENTRE_TOP, _CENTRE_BOTTOM)
    return _tail(u, q)


@law
def _tail(u: float, q: float) -> float:
    """The deviate of a share far from the middle."""
    r = math.sqrt(-math.log(u if q < 0.0 else 1.0 - u))
    size = _ratio(r - 1.6, _TAIL_TOP, _TAIL_BOTTOM) if r <= 5.0 else _ratio(r - 5.0, _FAR_TOP, _FAR_BOTTOM)
    return -size if q < 0.0 else size


# --- two at once ---------------------------------------------------------------------------------------------------


def _plain_centres(p: float, q: float) -> tuple[float, float]:
    """Two deviates of the middle, for shares that lie p and q above one half."""
    return (
        p * _ratio(_CENTRE_SQUARE - p * p, _CENTRE_TOP, _CENTRE_BOTTOM),
        q * _ratio(_CENTRE_SQUARE - q * q, _CENTRE_TOP, _CENTRE_BOTTOM),
    )


def _compiled_centres() -> Callable[[float, float], tuple[float, float]]:
    """As `_plain_centres`, side by side in the two halves of one register: the same steps, so the same bits."""
    numba, extending = importlib.import_module("numba"), importlib.import_module("numba.extending")
    ir, real = importlib.import_module("llvmlite.ir"), numba.types.float64
    pair, number = ir.VectorType(ir.DoubleType(), 2), ir.IntType(32)

    def both(value: float) -> Any:
        return ir.Constant(pair, [value, value])

    def polynomial(builder: Any, r: Any, c: tuple[float, ...]) -> Any:
        def on(former: Any, latter: Any, power: Any) -> Any:
            return builder.fadd(former, builder.fmul(latter, power))

        square = builder.fmul(r, r)
        pairs = [on(both(c[at]), both(c[at + 1]), r) for at in (0, 2, 4, 6)]
        low, high = on(pairs[0], pairs[1], square), on(pairs[2], pairs[3], square)
        return on(low, high, builder.fmul(square, square))

    def centres(typing_context: Any, p: Any, q: Any) -> tuple[Any, Any]:  # noqa: ARG001
        def code(context: Any, builder: Any, signature: Any, arguments: Any) -> Any:
            shares = ir.Constant(pair, ir.Undefined)
            for at, argument in enumerate(arguments):
                shares = builder.insert_element(shares, argument, number(at))
            r = builder.fsub(both(_CENTRE_SQUARE), builder.fmul(shares, shares))
            ratio = builder.fdiv(polynomial(builder, r, _CENTRE_TOP), polynomial(builder, r, _CENTRE_BOTTOM))
            answer = builder.fmul(shares, ratio)
            halves = [builder.extract_element(answer, number(at)) for at in range(2)]
            return context.make_tuple(builder, signature.return_type, halves)

        return numba.types.UniTuple(real, 2)(real, real), code

    return cast("Callable[[float, float], tuple[float, float]]", extending.intrinsic(centres))


_centres = _compiled_centres() if IS_COMPILED else _plain_centres


@law
def two_normals(u: float, v: float) -> tuple[float, float]:
    """`normal_from_uniform` of two shares, in little more time than one of them takes.

    >>> two_normals(0.5, 0.975) == (normal_from_uniform(0.5), normal_from_uniform(0.975))
    True
    """
    p, q = u - 0.5, v - 0.5
    first, second = _centres(p, q)
    if abs(p) > _CENTRE:
        first = _tail(u, p)
    if abs(q) > _CENTRE:
        second = _tail(v, q)
    return first, second
