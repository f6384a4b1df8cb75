"""The descriptions of which a run is built."""

from __future__ import annotations

from collections.abc import Mapping as Dict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

import numpy.typing as npt

from ._described import Described, plain
from ._loop_parts import Contribution, Range, Tolerance, plain_choice

if TYPE_CHECKING:
    from ._loop_parts import _Unit


@dataclass(frozen=True)
class Wiring(Described):
    """How an element that is read in ohm is connected; made by its kind, such as `four_wire`.

    Parameters
    ----------
    description : dict or str
        As it stands in the document.

    Examples
    --------
    >>> cc.loop_calibration.Wiring.four_wire()
    Wiring(description='four_wire')
    """

    description: Any

    @classmethod
    def two_wire(cls, lead_resistance_ohm: float, standard_uncertainty_ohm: float) -> Wiring:
        """Two wires whose resistance is taken off every reading.

        Parameters
        ----------
        lead_resistance_ohm : float
            Both wires together, ohm.
        standard_uncertainty_ohm : float
            With what temperature does to it, ohm.

        Examples
        --------
        >>> cc.loop_calibration.Wiring.two_wire(0.5, 0.02).description["two_wire"]["lead_resistance_ohm"]
        0.5
        """
        return cls(
            plain_choice(
                "two_wire", lead_resistance_ohm=lead_resistance_ohm, standard_uncertainty_ohm=standard_uncertainty_ohm
            )
        )

    @classmethod
    def two_wire_not_corrected(cls, largest_ohm: float) -> Wiring:
        """Two wires whose resistance is known by its limit only.

        Half of the limit is taken off every reading as the estimate; a rectangle of half the limit to each side enters
        the budget.

        Parameters
        ----------
        largest_ohm : float
            Both wires together lie between 0 and this, ohm.

        Examples
        --------
        >>> list(cc.loop_calibration.Wiring.two_wire_not_corrected(0.5).description)
        ['two_wire_not_corrected']
        """
        return cls(plain_choice("two_wire_not_corrected", largest_ohm=largest_ohm))

    @classmethod
    def three_wire(cls, mismatch_ohm: float) -> Wiring:
        """Three wires: only the difference of two of them is in the reading.

        Parameters
        ----------
        mismatch_ohm : float
            Half the width within which that difference lies, ohm.

        Examples
        --------
        >>> list(cc.loop_calibration.Wiring.three_wire(0.05).description)
        ['three_wire']
        """
        return cls(plain_choice("three_wire", mismatch_ohm=mismatch_ohm))

    @classmethod
    def four_wire(cls) -> Wiring:
        """Four wires: no wire is in the reading.

        Examples
        --------
        >>> cc.loop_calibration.Wiring.four_wire().description
        'four_wire'
        """
        return cls("four_wire")

    def to_dict(self) -> Any:
        """The description, of the form of the JSON document.

        Examples
        --------
        >>> cc.loop_calibration.Wiring.four_wire().to_dict()
        'four_wire'
        """
        return plain(self.description)


@dataclass(frozen=True)
class ReferenceJunction(Described):
    """Where the reference junction of a thermocouple is; there is no default.

    Parameters
    ----------
    description : dict
        As it stands in the document.

    Examples
    --------
    >>> cc.loop_calibration.ReferenceJunction.ice(0.02).to_dict()
    {'ice': {'standard_uncertainty_k': 0.02}}
    """

    description: Dict[str, Any]

    @classmethod
    def ice(cls, standard_uncertainty_k: float) -> ReferenceJunction:
        """In melting ice, 0 °C.

        Parameters
        ----------
        standard_uncertainty_k : float
            K.

        Examples
        --------
        >>> list(cc.loop_calibration.ReferenceJunction.ice(0.02).description)
        ['ice']
        """
        return cls(plain_choice("ice", standard_uncertainty_k=standard_uncertainty_k))

    @classmethod
    def measured(cls, t_c: float, standard_uncertainty_k: float) -> ReferenceJunction:
        """At a measured temperature; a reading may state another.

        Parameters
        ----------
        t_c : float
            °C.
        standard_uncertainty_k : float
            K.

        Examples
        --------
        >>> list(cc.loop_calibration.ReferenceJunction.measured(23.0, 0.1).description)
        ['measured']
        """
        return cls(plain_choice("measured", t_c=t_c, standard_uncertainty_k=standard_uncertainty_k))

    @classmethod
    def compensated_by_instrument(cls, standard_uncertainty_k: float) -> ReferenceJunction:
        """The instrument that is read has added the emf of its junction already.

        Parameters
        ----------
        standard_uncertainty_k : float
            Of the compensation, as a temperature of the junction, K.

        Examples
        --------
        >>> list(cc.loop_calibration.ReferenceJunction.compensated_by_instrument(0.3).description)
        ['compensated_by_instrument']
        """
        return cls(plain_choice("compensated_by_instrument", standard_uncertainty_k=standard_uncertainty_k))

    def to_dict(self) -> Any:
        """The description, of the form of the JSON document.

        Examples
        --------
        >>> cc.loop_calibration.ReferenceJunction.ice(0.02).to_dict()
        {'ice': {'standard_uncertainty_k': 0.02}}
        """
        return plain(self.description)


@dataclass(frozen=True)
class Transfer(Described):
    """What the readings of a link stand for; made by its kind, such as `linear`.

    Parameters
    ----------
    description : dict
        As it stands in the document.

    Examples
    --------
    >>> list(cc.loop_calibration.Transfer.linear(0.0, 10.0).description)
    ['linear']
    """

    description: Dict[str, Any]

    @classmethod
    def linear(cls, at_low: float, at_high: float) -> Transfer:
        """A straight line through the ends of the range.

        Parameters
        ----------
        at_low : float
            Reading at the lower end of the range.
        at_high : float
            Reading at the upper end of the range.

        Examples
        --------
        >>> cc.loop_calibration.Transfer.linear(0.0, 10.0).to_dict()
        {'linear': {'at_low': 0.0, 'at_high': 10.0}}
        """
        return cls(plain_choice("linear", at_low=at_low, at_high=at_high))

    @classmethod
    def polynomial(cls, coefficients: npt.ArrayLike) -> Transfer:
        """A polynomial of the temperature that rises or falls all the way over the range.

        Parameters
        ----------
        coefficients : array-like
            Of 1, t, t² and so on, t in °C.

        Examples
        --------
        >>> cc.loop_calibration.Transfer.polynomial([1.0, 0.02]).to_dict()
        {'polynomial': {'coefficients': [1.0, 0.02]}}
        """
        return cls(plain_choice("polynomial", coefficients=coefficients))

    @classmethod
    def table(
        cls, t_c: npt.ArrayLike, reading: npt.ArrayLike, interpolation: Literal["linear", "monotone_cubic"] = "linear"
    ) -> Transfer:
        """A table.

        Parameters
        ----------
        t_c : array-like
            Temperatures, °C.
        reading : array-like
            Reading at each.
        interpolation : str
            "linear" or "monotone_cubic".

        Examples
        --------
        >>> list(cc.loop_calibration.Transfer.table([0.0, 150.0], [0.0, 4095.0]).description)
        ['table']
        """
        return cls(plain_choice("table", t_c=t_c, reading=reading, interpolation=interpolation))

    def to_dict(self) -> Any:
        """The description, of the form of the JSON document.

        Examples
        --------
        >>> cc.loop_calibration.Transfer.linear(1.0, 5.0).to_dict()
        {'linear': {'at_low': 1.0, 'at_high': 5.0}}
        """
        return plain(self.description)


@dataclass(frozen=True)
class Reference(Described):
    """A reference thermometer with its readout.

    Parameters
    ----------
    tag : str
        Its tag.
    unit : str
        Unit of its readings: "ohm" or "mV" with a curve, or a unit of temperature.
    contributions : sequence of Contribution or dict
        Certificate, drift, readout: one error each for the whole run.
    curve : curve of calcore or dict, optional
        The curve of its certificate; a range narrower than that of the curve is no part of a run.
    scale : str, optional
        Scale of its certificate, "ITS-90", "IPTS-68" or "IPTS-48"; ITS-90 if left out.
    reference_junction : ReferenceJunction or dict, optional
        Where it is, if the readings are in mV.
    readout_correction, temperature_correction : dict, optional
        "at" and "correction": corrections by certificates.
    self_heating : dict, optional
        "k_per_mw", "current_ma", "certificate_current_ma".
    immersion : dict, optional
        "effective_diameter_mm", "factor", "depth_mm", "ambient_c", "relative_uncertainty".
    time_constant_s : float, optional
        Its time constant, s.

    Examples
    --------
    >>> certificate = cc.loop_calibration.Contribution.expanded("certificate", 0.03, coverage_factor=2.0)
    >>> cc.loop_calibration.Reference("REF", "ohm", [certificate], curve=cc.CallendarVanDusen.iec60751()).tag
    'REF'
    """

    tag: str
    unit: _Unit
    contributions: Sequence[Contribution | Dict[str, Any]]
    curve: Any = None
    scale: str | None = None
    reference_junction: ReferenceJunction | Dict[str, Any] | None = None
    readout_correction: Dict[str, Any] | None = None
    temperature_correction: Dict[str, Any] | None = None
    self_heating: Dict[str, float] | None = None
    immersion: Dict[str, float] | None = None
    time_constant_s: float | None = None


@dataclass(frozen=True)
class HeatSource(Described):
    """The dry block or bath.

    Parameters
    ----------
    tag : str
        Its tag.
    contributions : sequence of Contribution or dict
        Uniformity, stability, loading: one error each at every set point.

    Examples
    --------
    >>> cc.loop_calibration.HeatSource("block", [cc.loop_calibration.Contribution.rectangular("axial", 0.05)]).tag
    'block'
    """

    tag: str
    contributions: Sequence[Contribution | Dict[str, Any]]


@dataclass(frozen=True)
class Instrument(Described):
    """One link of the loop.

    Parameters
    ----------
    tag : str
        Its tag, unique in the run.
    kind : str
        "element", "transmitter", "output_stage", "indicator", "input_card", "custom" or "control_system".
    unit : str
        Unit of its readings: "ohm", "mV", "mA", "V", "degC", "degF", "K", "%" or "1", as its kind allows.
    range : Range or dict
        Its range; 4 mA and 20 mA stand for the two ends.
    tolerance : Tolerance or dict
        Its tolerance.
    resolution : float
        Smallest step of its reading, in its unit; 0 if it does not count.
    input : str, optional
        Tag of the link that it takes its value from; none for an element.
    curve : curve of calcore or dict, optional
        The curve by which an element is read.
    contributions : sequence of Contribution or dict
        Further contributions: a meter, leads.
    rounding : str, optional
        "truncate" for a display that cuts digits off.
    wiring : Wiring or dict, optional
        How an element read in ohm is connected.
    reference_junction : ReferenceJunction or dict, optional
        For an element that is read in mV.
    transfer : Transfer or dict, optional
        What its readings stand for, where the unit does not say so.
    read_within_s : float, optional
        Half the width of the doubt about when it was read, s.
    time_constant_s : float, optional
        Time constant of the element and all damping up to its reading, s.

    Examples
    --------
    >>> lc = cc.loop_calibration
    >>> half = lc.Tolerance.percent_of_span(0.5)
    >>> lc.Instrument("TI", "indicator", "degC", lc.Range(0.0, 150.0), half, input="TE").kind
    'indicator'
    """

    tag: str
    kind: Literal["element", "transmitter", "output_stage", "indicator", "input_card", "custom", "control_system"]
    unit: _Unit
    range: Range | Dict[str, Any]
    tolerance: Tolerance | Dict[str, Any]
    resolution: float = 0.0
    input: str | None = None
    curve: Any = None
    contributions: Sequence[Contribution | Dict[str, Any]] = ()
    rounding: Literal["nearest", "truncate"] | None = None
    wiring: Wiring | Dict[str, Any] | str | None = None
    reference_junction: ReferenceJunction | Dict[str, Any] | None = None
    transfer: Transfer | Dict[str, Any] | None = None
    read_within_s: float | None = None
    time_constant_s: float | None = None


@dataclass(frozen=True)
class Reading(Described):
    """The raw readings of one instrument at one set point.

    Parameters
    ----------
    tag : str
        Whose they are.
    time_s : array-like
        When, s, on the clock of the run.
    value : array-like
        What, in the unit of the instrument.
    reference_junction_c : float, optional
        Temperature of the reference junction here, °C, where it was measured anew.

    Examples
    --------
    >>> cc.loop_calibration.Reading("REF", [0.0, 10.0], [100.01, 100.02]).to_dict()["value"]
    [100.01, 100.02]
    """

    tag: str
    time_s: npt.ArrayLike
    value: npt.ArrayLike
    reference_junction_c: float | None = None


@dataclass(frozen=True)
class SetPoint(Described):
    """A set point with all that was read there.

    Parameters
    ----------
    nominal_c : float
        What the heat source was set to, °C.
    readings : sequence of Reading or dict
        One entry for the reference and for each instrument that was read.
    direction : str, optional
        "up" or "down": how it was approached.

    Examples
    --------
    >>> cc.loop_calibration.SetPoint(100.0, [], direction="up").nominal_c
    100.0
    """

    nominal_c: float
    readings: Sequence[Reading | Dict[str, Any]]
    direction: Literal["up", "down"] | None = None
