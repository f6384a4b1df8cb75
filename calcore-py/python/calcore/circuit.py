"""What lies between a sensor and a reading: the current loop, and errors of indication in every unit."""

from ._native import CurrentLoop, SignalLevels
from ._native import circuit_corrected as corrected
from ._native import circuit_error_from_percent_of_reading as error_from_percent_of_reading
from ._native import circuit_error_from_percent_of_span as error_from_percent_of_span
from ._native import circuit_indication_error as indication_error
from ._native import circuit_percent_of_reading as percent_of_reading
from ._native import circuit_percent_of_span as percent_of_span

__all__ = [
    "CurrentLoop",
    "SignalLevels",
    "corrected",
    "error_from_percent_of_reading",
    "error_from_percent_of_span",
    "indication_error",
    "percent_of_reading",
    "percent_of_span",
]
