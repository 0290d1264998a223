"""What the handbook holds: one frozen record per material, grade, abrasive and kind of machine.

Every record carries, for each of its figures, the text of its source in `sources` and in `strengths` how far that
goes: *read* in the source, from *memory*, *derived* from others, or an *assumption*.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Entry:
    """A named handbook entry with the source of each figure.

    Attributes
    ----------
    name : str
        As scenarios write it.
    sources : dict of str to str
        Field name to text of the source.
    strengths : dict of str to str
        Field name to read, memory, derived or assumption.
    """

    name: str
    sources: dict[str, str]
    strengths: dict[str, str]


@dataclass(frozen=True, slots=True)
class Material(Entry):
    """Material of a part.

    Attributes
    ----------
    family : str
        Family under which grades are listed: grey iron, nodular iron, malleable iron, cast aluminium, steel.
    about : str
        What it is, in words.
    kc11_n_mm2, mc : float
        Kienzle's specific force (N/mm2) and exponent.
    hardness_hb : float
        Brinell hardness.
    roughness_ratio : float
        Actual over ideal Ra with a sharp edge.
    stress_um_mm : float, µm/mm
        Standard deviation of the distortion let go, per mm of depth taken off.
    skin_roughness_um : float, µm
        Ra of the skin before any cut.
    torn_milled_um, torn_bored_um : float, µm
        Ra that torn graphite leaves after milling and after boring, however fine the feed.
    """

    family: str
    about: str
    kc11_n_mm2: float
    mc: float
    hardness_hb: float
    roughness_ratio: float
    stress_um_mm: float
    skin_roughness_um: float
    torn_milled_um: float
    torn_bored_um: float


@dataclass(frozen=True, slots=True)
class Grade(Entry):
    """Cutter grade on one family of materials.

    Attributes
    ----------
    family : str
        Family of materials for which the figures hold.
    ref_life_min, ref_speed_m_min, ref_feed_mm, ref_depth_mm : float
        A life (min) and the speed (m/min), feed (mm per revolution and edge, or per tooth) and depth (mm) it is for.
    n, p, q : float
        Exponents: life ~ speed**(-1/n) feed**(-p) depth**(-q).
    skin_factor : float
        Life in the casting's skin over life in sound metal.
    wear_limit_mm, wear_b, wear_tau, wear_gamma : float
        Wear land at the end of life (mm) and the curve to it, see `linesim.cutting.life.wear_growth`.
    thrust_ratio : float
        Force at right angles to the edge over cutting force.
    wear_pressure_n_mm2, wear_drag_n_mm2 : float, N/mm2
        What a wear land adds for its width and the length of edge: into the work, and along the cut.
    edge_radius_um : float, µm
        Radius of the sharp cutting edge.
    roughness_growth, roughness_power, roughness_past, roughness_cv, roughness_floor_um : float
        Rise of Ra by the end of life as a share, power of the wear in between, second term past the limit, scatter,
        finest Ra (µm).
    life_cv : float
        Coefficient of variation of edge lives.
    break_shape, break_scale : float
        Weibull distribution of the life share at which an edge breaks, at the chip load of the reference cut.
    break_load : float
        Power with which that share falls as the chip load rises.
    clearance_deg : float, degrees
        Clearance angle.
    """

    family: str
    ref_life_min: float
    ref_speed_m_min: float
    ref_feed_mm: float
    ref_depth_mm: float
    n: float
    p: float
    q: float
    skin_factor: float
    wear_limit_mm: float
    wear_b: float
    wear_tau: float
    wear_gamma: float
    thrust_ratio: float
    wear_pressure_n_mm2: float
    wear_drag_n_mm2: float
    edge_radius_um: float
    roughness_growth: float
    roughness_power: float
    roughness_past: float
    roughness_cv: float
    roughness_floor_um: float
    life_cv: float
    break_shape: float
    break_scale: float
    break_load: float
    clearance_deg: float


@dataclass(frozen=True, slots=True)
class Abrasive(Entry):
    """Honing stone or grinding wheel on iron.

    Attributes
    ----------
    kind : str
        honing or grinding.
    removal_um_min, spark_out_min : float
        Rate at which the surface moves, per side (µm/min), and minutes run after it.
    copying_factor : float
        Share of the error found that is left behind.
    roughness_sharp_um, roughness_growth, roughness_power, roughness_cv, roughness_floor_um : float
        Ra when sharp or freshly dressed (µm), its rise by the end of life, power, scatter, finest Ra (µm).
    life_min, life_cv : float
        Minutes of work between dressings or to a new stone, and their scatter.
    break_shape, break_scale : float
        Weibull distribution of the life share at which stone or wheel chips, loads or loses its form.
    force_growth : float
        Rise of the normal force by the end of life, as a share.
    """

    kind: str
    removal_um_min: float
    spark_out_min: float
    copying_factor: float
    roughness_sharp_um: float
    roughness_growth: float
    roughness_power: float
    roughness_cv: float
    roughness_floor_um: float
    life_min: float
    life_cv: float
    break_shape: float
    break_scale: float
    force_growth: float


@dataclass(frozen=True, slots=True)
class Stiffness(Entry):
    """Typical static stiffness of a kind of machine, normal to the surface.

    Attributes
    ----------
    value, low, high : float, N/µm
        What to take where nothing was measured, and the usual range.
    """

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Modulus(Entry):
    """Modulus of elasticity of a bar or part.

    Attributes
    ----------
    modulus_n_mm2 : float, N/mm2
    """

    modulus_n_mm2: float
