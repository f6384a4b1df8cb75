"""The ITS-90: reference functions and fixed points. Temperatures are in kelvin."""

from ._native import Acceptance, FixedPoint, Subrange
from ._native import its90_acceptance as acceptance
from ._native import its90_fixed_point as fixed_point
from ._native import its90_fixed_point_temperature as fixed_point_temperature
from ._native import its90_fixed_points as fixed_points
from ._native import its90_hydrogen_vapour_pressure_temperature as hydrogen_vapour_pressure_temperature
from ._native import its90_reference_ratio as reference_ratio
from ._native import its90_reference_slope as reference_slope
from ._native import its90_subrange as subrange
from ._native import its90_subranges as subranges
from ._native import its90_temperature_from_ratio as temperature_from_ratio
from ._native import its90_temperature_from_ratio_approximate as temperature_from_ratio_approximate

__all__ = [
    "Acceptance",
    "FixedPoint",
    "Subrange",
    "acceptance",
    "fixed_point",
    "fixed_point_temperature",
    "fixed_points",
    "hydrogen_vapour_pressure_temperature",
    "reference_ratio",
    "reference_slope",
    "subrange",
    "subranges",
    "temperature_from_ratio",
    "temperature_from_ratio_approximate",
]
