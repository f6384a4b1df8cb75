"""What lies between a sensor and a reading: leads, currents, insulation, junctions, displays, errors in every unit."""

from ._native import (
    CurrentLoop,
    DigitalScale,
    Display,
    Effect,
    ExtensionWireError,
    Immersion,
    JunctionReading,
    ReversedReading,
    SelfHeating,
    SignalLevels,
    ZeroPower,
)
from ._native import circuit_copper_lead_resistance as copper_lead_resistance
from ._native import circuit_corrected as corrected
from ._native import circuit_dissipation_from_two_currents as dissipation_from_two_currents
from ._native import circuit_error_from_percent_of_reading as error_from_percent_of_reading
from ._native import circuit_error_from_percent_of_span as error_from_percent_of_span
from ._native import circuit_extension_wire_error as extension_wire_error
from ._native import circuit_immersion_from_two_depths as immersion_from_two_depths
from ._native import circuit_indication_error as indication_error
from ._native import circuit_inhomogeneity_uncertainty as inhomogeneity_uncertainty
from ._native import circuit_insulation_effect as insulation_effect
from ._native import circuit_measured_emf as measured_emf
from ._native import circuit_measuring_junction as measuring_junction
from ._native import circuit_percent_of_reading as percent_of_reading
from ._native import circuit_percent_of_span as percent_of_span
from ._native import circuit_reference_junction_effect as reference_junction_effect
from ._native import circuit_resistance_by_reversal as resistance_by_reversal
from ._native import circuit_resistance_with_insulation as resistance_with_insulation
from ._native import circuit_resistance_without_insulation as resistance_without_insulation
from ._native import circuit_self_heating as self_heating
from ._native import circuit_thermal_emf_effect as thermal_emf_effect
from ._native import circuit_three_wire_effect as three_wire_effect
from ._native import circuit_three_wire_reading as three_wire_reading
from ._native import circuit_two_wire_effect as two_wire_effect
from ._native import circuit_two_wire_element as two_wire_element
from ._native import circuit_two_wire_reading as two_wire_reading
from ._native import circuit_zero_power_resistance as zero_power_resistance
from ._native import circuit_zero_power_uncertainty as zero_power_uncertainty

__all__ = [
    "CurrentLoop",
    "DigitalScale",
    "Display",
    "Effect",
    "ExtensionWireError",
    "Immersion",
    "JunctionReading",
    "ReversedReading",
    "SelfHeating",
    "SignalLevels",
    "ZeroPower",
    "copper_lead_resistance",
    "corrected",
    "dissipation_from_two_currents",
    "error_from_percent_of_reading",
    "error_from_percent_of_span",
    "extension_wire_error",
    "immersion_from_two_depths",
    "indication_error",
    "inhomogeneity_uncertainty",
    "insulation_effect",
    "measured_emf",
    "measuring_junction",
    "percent_of_reading",
    "percent_of_span",
    "reference_junction_effect",
    "resistance_by_reversal",
    "resistance_with_insulation",
    "resistance_without_insulation",
    "self_heating",
    "thermal_emf_effect",
    "three_wire_effect",
    "three_wire_reading",
    "two_wire_effect",
    "two_wire_element",
    "two_wire_reading",
    "zero_power_resistance",
    "zero_power_uncertainty",
]
