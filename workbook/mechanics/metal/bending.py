"""Bending past yield, and springback.

The material is elastic-perfectly plastic, the same in tension and compression, and
plane sections stay plane.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, cos, sqrt
from typing import TYPE_CHECKING

import numpy as np

from workbook.errors import OutOfRangeError
from workbook.mechanics.magnitudes import finite, one_magnitude_each, one_number
from workbook.mechanics.metal.sections import PlateSection, Section

if TYPE_CHECKING:
    from numpy.typing import ArrayLike, NDArray


@dataclass(frozen=True, kw_only=True)
class PlasticBending:
    """A section bent past yield, and what stays when it is let go.

    Attributes
    ----------
    yield_moment, plastic_moment : float
        First fibre yields; whole section yields. [N m]
    core_depth : float
        Depth of the part that is still elastic. [m]
    loaded_curvature : float
        Under the moment. [1/m]
    springback_curvature : float
        Recovered when the moment goes. [1/m]
    unloading_stress : float
        Elastic stress the release takes from the outermost fibre. [Pa]
    core_edge_residual_stress, surface_residual_stress : float
        What stays at the edge of the core and at the outermost fibre, on the
        side the moment stretches. [Pa]
    """

    yield_moment: float
    plastic_moment: float
    core_depth: float
    loaded_curvature: float
    springback_curvature: float
    unloading_stress: float
    core_edge_residual_stress: float
    surface_residual_stress: float

    @property
    def residual_curvature(self) -> float:
        """What stays of the bend [1/m]."""
        return self.loaded_curvature - self.springback_curvature


def bend_past_yield(
    section: Section,
    *,
    moment: float,
    youngs_modulus: float,
    yield_stress: float,
) -> PlasticBending:
    r"""Bend a section past yield, then let go of it.

    The material is elastic-perfectly plastic, the same in tension and
    compression, and plane sections stay plane. Unloading is elastic. Left out:
    walls that buckle, and round corners.

    Parameters
    ----------
    section : RectangularSection, BoxSection or ISection
        Cross-section, uniform along the beam.
    moment : float
        Bending moment at the section. [N m]
    youngs_modulus : float
        Modulus of elasticity. [Pa]
    yield_stress : float
        Yield stress in tension and in compression. [Pa]

    Returns
    -------
    PlasticBending
        Core depth, curvatures under load and recovered, residual stresses.

    Raises
    ------
    OutOfRangeError
        If ``moment`` is below the yield moment, where nothing yields, or at or
        above the plastic moment, where no static solution exists; or if the
        section is another one.

    Notes
    -----
    The plates are a rectangle :math:`b \times d` less a gap
    :math:`b_g \times d_g` about the axis. A core of half-depth :math:`y` and the
    yielded rest carry, with the plastic modulus :math:`S`,

    .. math::
        M / \sigma_y = S - \tfrac{1}{3} (b - b_g)\, y^2 \quad (y \le d_g/2),
        \qquad
        M / \sigma_y = \tfrac{1}{4} b d^2 - \tfrac{1}{3} b y^2 -
        \frac{b_g d_g^3}{12\, y} \quad (y \ge d_g/2):

    the edge of the core in the webs, or in the flanges. The second is a cubic
    with three real roots, of which the greatest is the core.

    References
    ----------
    .. [1] F. P. Beer, E. R. Johnston, J. T. DeWolf and D. F. Mazurek,
       *Mechanics of Materials*, 5th ed., McGraw-Hill, 2009, Examples 4.05
       (loading) and 4.06 (unloading).

    Examples
    --------
    >>> steel = {"youngs_modulus": 200e9, "yield_stress": 240e6}
    >>> from workbook.mechanics.metal.sections import RectangularSection
    >>> bar = RectangularSection(width=0.050, depth=0.120)
    >>> round(bend_past_yield(bar, moment=36.8e3, **steel).core_depth, 3)
    0.08

    A tube keeps far more of its bend than a bar just as far past yield:

    >>> from workbook.mechanics.metal.sections import BoxSection
    >>> tube = BoxSection(width=0.060, depth=0.060, thickness=0.002)
    >>> for bent in (
    ...     bend_past_yield(bar, moment=1.1 * 28.8e3, **steel),
    ...     bend_past_yield(tube, moment=1.1 * 2.0799e3, **steel),
    ... ):
    ...     print(f"{bent.residual_curvature / bent.loaded_curvature:.2f}")
    0.02
    0.25
    """
    one_magnitude_each("Pa", youngs_modulus=youngs_modulus, yield_stress=yield_stress)
    moment = one_number(moment, name="moment")
    if not isinstance(section, PlateSection):
        raise OutOfRangeError("sections.not_solved", section=type(section).__name__)
    yield_moment = yield_stress * section.elastic_section_modulus
    plastic_moment = yield_stress * section.plastic_section_modulus
    if not yield_moment <= moment < plastic_moment:
        raise OutOfRangeError(
            "sections.moment",
            moment=moment,
            yield_moment=yield_moment,
            plastic_moment=plastic_moment,
        )

    core_half_depth = _core_half_depth(section, moment / yield_stress)
    unloading_stress = moment / section.elastic_section_modulus
    taken_at_core_edge = unloading_stress * core_half_depth / (section.depth / 2)
    return PlasticBending(
        yield_moment=yield_moment,
        plastic_moment=plastic_moment,
        core_depth=2 * core_half_depth,
        loaded_curvature=yield_stress / youngs_modulus / core_half_depth,
        springback_curvature=moment / (youngs_modulus * section.second_moment),
        unloading_stress=unloading_stress,
        core_edge_residual_stress=yield_stress - taken_at_core_edge,
        surface_residual_stress=yield_stress - unloading_stress,
    )


def _core_half_depth(section: PlateSection, modulus: float) -> float:
    """Return the half-depth still elastic where moment over yield is ``modulus``."""
    gap_width, gap_depth = section.gap
    left = section.plastic_section_modulus - modulus
    in_the_webs = sqrt(3 * left / (section.width - gap_width))
    if in_the_webs <= gap_depth / 2:
        return in_the_webs
    # y^3 - 3 p y + 2 q = 0, by the cosine of a third of an angle.
    p = section.depth**2 / 4 - modulus / section.width
    q = gap_width / section.width * gap_depth**3 / 8
    return 2 * sqrt(p) * cos(acos(max(-q / p**1.5, -1.0)) / 3)


def stress_across(
    bent: PlasticBending,
    *,
    height: ArrayLike,
    youngs_modulus: float,
    yield_stress: float,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the stress under the moment and the stress that stays.

    Parameters
    ----------
    bent : PlasticBending
        From `bend_past_yield`.
    height : array_like, shape (n,)
        Distances from the bending axis toward the stretched side. [m]
    youngs_modulus, yield_stress : float
        As given to `bend_past_yield`. [Pa]

    Returns
    -------
    loaded, residual : ndarray, shape (n,)
        Tension plus. [Pa]

    Examples
    --------
    >>> steel = {"youngs_modulus": 200e9, "yield_stress": 240e6}
    >>> from workbook.mechanics.metal.sections import RectangularSection
    >>> bar = RectangularSection(width=0.050, depth=0.120)
    >>> bent = bend_past_yield(bar, moment=36.8e3, **steel)
    >>> loaded, residual = stress_across(bent, height=[0.040, 0.060], **steel)
    >>> [round(float(stress) / 1e6, 1) for stress in residual]
    [35.6, -66.7]
    """
    one_magnitude_each("Pa", youngs_modulus=youngs_modulus, yield_stress=yield_stress)
    y = finite(height, name="height", unit="m")
    elastic = youngs_modulus * bent.loaded_curvature * y
    loaded = np.clip(elastic, -yield_stress, yield_stress)
    return loaded, loaded - youngs_modulus * bent.springback_curvature * y


def springback_ratio(
    *,
    bend_radius: float,
    thickness: float,
    youngs_modulus: float,
    yield_stress: float,
) -> float:
    r"""Return the radius under load over the radius after release of a bent strip.

    The strip is a rectangle of elastic-perfectly plastic metal.

    Parameters
    ----------
    bend_radius : float
        Radius to which the strip is bent. [m]
    thickness : float
        Of the strip. [m]
    youngs_modulus, yield_stress : float
        Of the metal; for a wide strip, their plane-strain values. [Pa]

    Returns
    -------
    float
        :math:`R_i / R_f`: 1 means no springback, 0 that the strip springs back
        flat. [1]

    Raises
    ------
    OutOfRangeError
        If an input is not above zero, or the strip is bent so little that it
        stays elastic.

    Notes
    -----
    .. math:: R_i/R_f = 4 x^3 - 3 x + 1, \quad x = R_i \sigma_y / (E t) \le 1/2

    References
    ----------
    .. [1] MIT course 2.008, Design and Manufacturing II, homework 5.
    .. [2] S. Kalpakjian and S. R. Schmid, *Manufacturing Engineering and
       Technology*, chapter on sheet forming (from memory).

    Examples
    --------
    >>> inch, ksi = 0.0254, 6.894757e6
    >>> ratio = springback_ratio(
    ...     bend_radius=0.5 * inch, thickness=0.0359 * inch,
    ...     youngs_modulus=30e3 * ksi, yield_stress=40 * ksi,
    ... )
    >>> round(0.5 / ratio, 4)  # inches
    0.5295
    """
    one_magnitude_each("m", bend_radius=bend_radius, thickness=thickness)
    one_magnitude_each("Pa", youngs_modulus=youngs_modulus, yield_stress=yield_stress)
    x = bend_radius * yield_stress / (youngs_modulus * thickness)
    if x > 0.5:
        limit = 0.5 * youngs_modulus * thickness / yield_stress
        raise OutOfRangeError("sections.elastic", radius=bend_radius, limit=limit)
    return 4 * x**3 - 3 * x + 1
