"""Sections in bending: their areas, moduli and plastic moments.

All sections bend about the axis through their centroid parallel to their width.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass
from typing import TYPE_CHECKING

from workbook.errors import OutOfRangeError
from workbook.mechanics.magnitudes import one_magnitude_each

if TYPE_CHECKING:
    pass


class Section(ABC):
    """What every section symmetric about its bending axis has in common."""

    depth: float

    @property
    @abstractmethod
    def area(self) -> float:
        """Cross-sectional area [m^2]."""

    @property
    @abstractmethod
    def second_moment(self) -> float:
        """Second moment of area [m^4]."""

    @property
    @abstractmethod
    def plastic_section_modulus(self) -> float:
        """First moment of both halves about the axis [m^3]."""

    @property
    def elastic_section_modulus(self) -> float:
        """Second moment over the distance of the outermost fibre [m^3]."""
        return self.second_moment / (self.depth / 2)

    @property
    def shape_factor(self) -> float:
        """Plastic moment over yield moment [1]."""
        return self.plastic_section_modulus / self.elastic_section_modulus


class PlateSection(Section):
    """A rectangle less a smaller one about the same axis: two flanges and webs."""

    width: float

    @property
    @abstractmethod
    def gap(self) -> tuple[float, float]:
        """Width and depth of what is missing, in one piece or in two [m]."""

    @property
    def area(self) -> float:
        """Cross-sectional area [m^2]."""
        gap_width, gap_depth = self.gap
        return self.width * self.depth - gap_width * gap_depth

    @property
    def second_moment(self) -> float:
        """Second moment of area [m^4]."""
        gap_width, gap_depth = self.gap
        return (self.width * self.depth**3 - gap_width * gap_depth**3) / 12

    @property
    def plastic_section_modulus(self) -> float:
        """First moment of both halves about the axis [m^3]."""
        gap_width, gap_depth = self.gap
        return (self.width * self.depth**2 - gap_width * gap_depth**2) / 4


@dataclass(frozen=True, kw_only=True)
class RectangularSection(PlateSection):
    """A solid rectangle.

    Parameters
    ----------
    width, depth : float
        Across and along the direction of bending. [m]

    Raises
    ------
    OutOfRangeError
        If a size is not above zero.

    Examples
    --------
    >>> round(RectangularSection(width=0.050, depth=0.120).shape_factor, 9)
    1.5
    """

    width: float
    depth: float

    def __post_init__(self) -> None:
        one_magnitude_each("m", width=self.width, depth=self.depth)

    @property
    def gap(self) -> tuple[float, float]:
        """Width and depth of what is missing: nothing [m]."""
        return 0.0, 0.0


@dataclass(frozen=True, kw_only=True)
class BoxSection(PlateSection):
    """A rectangular tube, exact for any wall.

    Parameters
    ----------
    width, depth : float
        Outside sizes across and along the direction of bending. [m]
    thickness : float
        Of all four walls. [m]

    Raises
    ------
    OutOfRangeError
        If a size is not above zero or the walls meet in the middle.

    Examples
    --------
    >>> round(BoxSection(width=0.060, depth=0.060, thickness=0.002).shape_factor, 3)
    1.163
    """

    width: float
    depth: float
    thickness: float

    def __post_init__(self) -> None:
        one_magnitude_each(
            "m", width=self.width, depth=self.depth, thickness=self.thickness
        )
        room = min(self.width, self.depth)
        if 2 * self.thickness >= room:
            raise OutOfRangeError(
                "sections.no_hollow", thickness=self.thickness, room=room
            )

    @property
    def gap(self) -> tuple[float, float]:
        """Width and depth of the hollow [m]."""
        return self.width - 2 * self.thickness, self.depth - 2 * self.thickness

    @property
    def torsion_constant(self) -> float:
        """Bredt's for the middle line of a thin wall [m^4]."""
        wide, deep = self.width - self.thickness, self.depth - self.thickness
        return 2 * self.thickness * (wide * deep) ** 2 / (wide + deep)


@dataclass(frozen=True, kw_only=True)
class ThinBoxSection(Section):
    """A rectangular tube in the limit of a thin wall: four lines with area.

    Parameters
    ----------
    width, depth : float
        Between the middles of opposite walls. [m]
    thickness : float
        Of all four walls; terms in its square and cube are left out. [m]

    Raises
    ------
    OutOfRangeError
        If a size is not above zero.

    Examples
    --------
    >>> ThinBoxSection(width=0.060, depth=0.060, thickness=0.002).shape_factor
    1.125
    """

    width: float
    depth: float
    thickness: float

    def __post_init__(self) -> None:
        one_magnitude_each(
            "m", width=self.width, depth=self.depth, thickness=self.thickness
        )

    @property
    def area(self) -> float:
        """Cross-sectional area of the walls [m^2]."""
        return 2 * self.thickness * (self.width + self.depth)

    @property
    def second_moment(self) -> float:
        """Second moment of area [m^4]."""
        return self.thickness * self.depth**2 * (3 * self.width + self.depth) / 6

    @property
    def plastic_section_modulus(self) -> float:
        """First moment of both halves about the axis [m^3]."""
        return self.thickness * self.depth * (self.width + self.depth / 2)


@dataclass(frozen=True, kw_only=True)
class ISection(PlateSection):
    """Two equal flanges and a web, bent about the axis along the flanges.

    Parameters
    ----------
    width, depth : float
        Of a flange; of the whole section. [m]
    flange_thickness, web_thickness : float
        Wall sizes. [m]

    Raises
    ------
    OutOfRangeError
        If a size is not above zero or the parts overlap.

    Examples
    --------
    >>> round(ISection(
    ...     width=8, depth=10, flange_thickness=0.5, web_thickness=0.5
    ... ).shape_factor, 2)
    1.14
    """

    width: float
    depth: float
    flange_thickness: float
    web_thickness: float

    def __post_init__(self) -> None:
        one_magnitude_each(
            "m",
            width=self.width,
            depth=self.depth,
            flange_thickness=self.flange_thickness,
            web_thickness=self.web_thickness,
        )
        if 2 * self.flange_thickness >= self.depth or self.web_thickness >= self.width:
            raise OutOfRangeError(
                "sections.walls_too_thick",
                flange=self.flange_thickness,
                web=self.web_thickness,
                width=self.width,
                depth=self.depth,
            )

    @property
    def gap(self) -> tuple[float, float]:
        """Width and depth of what is missing beside the web [m]."""
        return self.width - self.web_thickness, self.depth - 2 * self.flange_thickness
