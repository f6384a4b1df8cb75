"""The ITS-90: reference functions and fixed points. Temperatures are in kelvin."""

from ._native import Acceptance
from ._native import its90_acceptance as acceptance
from ._native import its90_fixed_point_temperature as fixed_point_temperature
from ._native import its90_hydrogen_vapour_pressure_temperature as hydrogen_vapour_pressure_temperature
from ._native import its90_reference_ratio as reference_ratio
from ._native import its90_reference_slope as reference_slope
from ._native import its90_temperature_from_ratio as temperature_from_ratio
from ._native import its90_temperature_from_ratio_approximate as temperature_from_ratio_approximate

__all__ = [
    "Acceptance",
    "acceptance",
    "fixed_point_temperature",
    "hydrogen_vapour_pressure_temperature",
    "reference_ratio",
    "reference_slope",
    "temperature_from_ratio",
    "temperature_from_ratio_approximate",
]
