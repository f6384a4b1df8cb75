"""Units of temperature; temperatures and differences of temperature have functions of their own.

A difference of 1 °C (an error, a tolerance, an uncertainty) is 1.8 °F; a temperature of 1 °C is 33.8 °F.
Temperatures of an older scale (`t68_c`, `t48_c`) are turned into the ITS-90.
"""

from ._native import temperature_celsius_from_fahrenheit as celsius_from_fahrenheit
from ._native import temperature_celsius_from_kelvin as celsius_from_kelvin
from ._native import temperature_difference_f_from_k as difference_f_from_k
from ._native import temperature_difference_from_k as difference_from_k
from ._native import temperature_difference_k_from_f as difference_k_from_f
from ._native import temperature_difference_to_k as difference_to_k
from ._native import temperature_fahrenheit_from_celsius as fahrenheit_from_celsius
from ._native import temperature_from_celsius as from_celsius
from ._native import temperature_from_its90 as from_its90
from ._native import temperature_kelvin_from_celsius as kelvin_from_celsius
from ._native import temperature_t48_from_t68 as t48_from_t68
from ._native import temperature_t68_from_t48 as t68_from_t48
from ._native import temperature_t68_from_t90 as t68_from_t90
from ._native import temperature_t90_from_t68 as t90_from_t68
from ._native import temperature_t90_minus_t68 as t90_minus_t68
from ._native import temperature_to_celsius as to_celsius
from ._native import temperature_to_its90 as to_its90

__all__ = [
    "celsius_from_fahrenheit",
    "celsius_from_kelvin",
    "difference_f_from_k",
    "difference_from_k",
    "difference_k_from_f",
    "difference_to_k",
    "fahrenheit_from_celsius",
    "from_celsius",
    "from_its90",
    "kelvin_from_celsius",
    "t48_from_t68",
    "t68_from_t48",
    "t68_from_t90",
    "t90_from_t68",
    "t90_minus_t68",
    "to_celsius",
    "to_its90",
]
