"""What the descriptions of a run are made of: contributions, ranges, tolerances, rules."""

from __future__ import annotations

from collections.abc import Mapping as Dict
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

import numpy.typing as npt

from ._described import Described, plain

if TYPE_CHECKING:
    _Unit = Literal["ohm", "mA", "degC", "degF", "K", "mV", "V", "%", "1"]


def plain_choice(name: str, **fields: Any) -> dict[str, Any]:
    """One of several kinds, with the fields that were given."""
    return {name: {field: value for field, value in fields.items() if value is not None}}


@dataclass(frozen=True)
class Contribution(Described):
    """One contribution to the uncertainty; made by its kind, such as `rectangular`.

    Parameters
    ----------
    name : str
        What it is.
    unit : str
        "K", a difference of temperature, or the unit of the readings that it belongs to where that is none of
        temperature, such as "ohm" or "mA".
    distribution : dict
        As it stands in the document.
    scope : str, optional
        Among which results it is one error: "run", "set_point" or "point".
    source : str, optional
        Name of the thing that causes it: the same name is the same error.

    Examples
    --------
    >>> cc.loop_calibration.Contribution.rectangular("drift", 0.01).to_dict()["name"]
    'drift'
    """

    name: str
    unit: _Unit
    distribution: Dict[str, Any]
    scope: Literal["run", "set_point", "point"] | None = None
    source: str | None = None

    @classmethod
    def normal(
        cls,
        name: str,
        standard_uncertainty: float,
        *,
        degrees_of_freedom: float | None = None,
        unit: _Unit = "K",
        scope: Literal["run", "set_point", "point"] | None = None,
        source: str | None = None,
    ) -> Contribution:
        """A standard uncertainty.

        Parameters
        ----------
        name : str
            What it is.
        standard_uncertainty : float
            In the unit.
        degrees_of_freedom : float, optional
            Infinite if left out.
        unit : str
            "K", a difference of temperature, or the unit of the readings that it belongs to where that is none of
            temperature, such as "ohm" or "mA".
        scope : str, optional
            Among which results it is one error: "run", "set_point" or "point".
        source : str, optional
            Name of the thing that causes it: the same name is the same error.

        Examples
        --------
        >>> cc.loop_calibration.Contribution.normal("readout", 0.005).to_dict()["distribution"]
        {'normal': {'standard_uncertainty': 0.005}}
        """
        return cls(
            name,
            unit,
            plain_choice("normal", standard_uncertainty=standard_uncertainty, degrees_of_freedom=degrees_of_freedom),
            scope,
            source,
        )

    @classmethod
    def expanded(
        cls,
        name: str,
        expanded_uncertainty: float,
        *,
        coverage_factor: float,
        unit: _Unit = "K",
        scope: Literal["run", "set_point", "point"] | None = None,
        source: str | None = None,
    ) -> Contribution:
        """An expanded uncertainty, as a certificate states it.

        Parameters
        ----------
        name : str
            What it is.
        expanded_uncertainty : float
            In the unit.
        coverage_factor : float
            The one that the certificate states.
        unit : str
            "K", a difference of temperature, or the unit of the readings that it belongs to where that is none of
            temperature, such as "ohm" or "mA".
        scope : str, optional
            Among which results it is one error: "run", "set_point" or "point".
        source : str, optional
            Name of the thing that causes it: the same name is the same error.

        Examples
        --------
        >>> cc.loop_calibration.Contribution.expanded("certificate", 0.03, coverage_factor=2.0).unit
        'K'
        """
        return cls(
            name,
            unit,
            plain_choice("expanded", expanded_uncertainty=expanded_uncertainty, coverage_factor=coverage_factor),
            scope,
            source,
        )

    @classmethod
    def rectangular(
        cls,
        name: str,
        half_width: float,
        *,
        unit: _Unit = "K",
        scope: Literal["run", "set_point", "point"] | None = None,
        source: str | None = None,
    ) -> Contribution:
        """Anywhere between limits with equal probability.

        Parameters
        ----------
        name : str
            What it is.
        half_width : float
            Half the distance of the limits, in the unit.
        unit : str
            "K", a difference of temperature, or the unit of the readings that it belongs to where that is none of
            temperature, such as "ohm" or "mA".
        scope : str, optional
            Among which results it is one error: "run", "set_point" or "point".
        source : str, optional
            Name of the thing that causes it: the same name is the same error.

        Examples
        --------
        >>> cc.loop_calibration.Contribution.rectangular("axial", 0.05).name
        'axial'
        """
        return cls(name, unit, plain_choice("rectangular", half_width=half_width), scope, source)

    @classmethod
    def triangular(
        cls,
        name: str,
        half_width: float,
        *,
        unit: _Unit = "K",
        scope: Literal["run", "set_point", "point"] | None = None,
        source: str | None = None,
    ) -> Contribution:
        """Between limits, most probably in their middle.

        Parameters
        ----------
        name : str
            What it is.
        half_width : float
            Half the distance of the limits, in the unit.
        unit : str
            "K", a difference of temperature, or the unit of the readings that it belongs to where that is none of
            temperature, such as "ohm" or "mA".
        scope : str, optional
            Among which results it is one error: "run", "set_point" or "point".
        source : str, optional
            Name of the thing that causes it: the same name is the same error.

        Examples
        --------
        >>> cc.loop_calibration.Contribution.triangular("axial", 0.05).name
        'axial'
        """
        return cls(name, unit, plain_choice("triangular", half_width=half_width), scope, source)

    @classmethod
    def u_shaped(
        cls,
        name: str,
        half_width: float,
        *,
        unit: _Unit = "K",
        scope: Literal["run", "set_point", "point"] | None = None,
        source: str | None = None,
    ) -> Contribution:
        """Between limits, most probably near them: a ripple of a controller.

        Parameters
        ----------
        name : str
            What it is.
        half_width : float
            Half the distance of the limits, in the unit.
        unit : str
            "K", a difference of temperature, or the unit of the readings that it belongs to where that is none of
            temperature, such as "ohm" or "mA".
        scope : str, optional
            Among which results it is one error: "run", "set_point" or "point".
        source : str, optional
            Name of the thing that causes it: the same name is the same error.

        Examples
        --------
        >>> cc.loop_calibration.Contribution.u_shaped("axial", 0.05).name
        'axial'
        """
        return cls(name, unit, plain_choice("u_shaped", half_width=half_width), scope, source)

    @classmethod
    def table(
        cls,
        name: str,
        t_c: npt.ArrayLike,
        expanded_uncertainty: npt.ArrayLike,
        *,
        coverage_factor: float,
        unit: _Unit = "K",
        scope: Literal["run", "set_point", "point"] | None = None,
        source: str | None = None,
    ) -> Contribution:
        """Expanded uncertainties at the points of a certificate, straight between them.

        Parameters
        ----------
        name : str
            What it is.
        t_c : array-like
            The points, °C, rising.
        expanded_uncertainty : array-like
            At each, in the unit.
        coverage_factor : float
            The one that the certificate states.
        unit : str
            "K", a difference of temperature, or the unit of the readings that it belongs to where that is none of
            temperature, such as "ohm" or "mA".
        scope : str, optional
            Among which results it is one error: "run", "set_point" or "point".
        source : str, optional
            Name of the thing that causes it: the same name is the same error.

        Examples
        --------
        >>> cc.loop_calibration.Contribution.table("certificate", [0.0, 200.0], [0.02, 0.05], coverage_factor=2.0).name
        'certificate'
        """
        return cls(
            name,
            unit,
            plain_choice("table", t_c=t_c, expanded_uncertainty=expanded_uncertainty, coverage_factor=coverage_factor),
            scope,
            source,
        )


@dataclass(frozen=True)
class Range(Described):
    """A range of temperature.

    Parameters
    ----------
    low : float
        Value at 4 mA, or the lower end.
    high : float
        Value at 20 mA, or the upper end; below `low` for a reversed range.
    unit : str
        "degC", "degF" or "K".

    Examples
    --------
    >>> cc.loop_calibration.Range(0.0, 150.0).to_dict()
    {'low': 0.0, 'high': 150.0, 'unit': 'degC'}
    """

    low: float
    high: float
    unit: Literal["degC", "degF", "K"] = "degC"


@dataclass(frozen=True)
class Tolerance(Described):
    """How far an error may go; made by its kind, such as `percent_of_span`.

    Parameters
    ----------
    kind : str
        Name of the kind.
    fields : dict or list
        As they stand in the document.

    Examples
    --------
    >>> cc.loop_calibration.Tolerance.absolute(0.5, "K").to_dict()
    {'absolute': {'half_width': 0.5, 'unit': 'K'}}
    """

    kind: str
    fields: Any

    @classmethod
    def absolute(cls, half_width: float, unit: _Unit) -> Tolerance:
        """A half-width.

        Parameters
        ----------
        half_width : float
            In the unit.
        unit : str
            "K", "degF" (an interval, not a temperature) or the unit of the readings.

        Examples
        --------
        >>> cc.loop_calibration.Tolerance.absolute(0.5, "K").kind
        'absolute'
        """
        return cls("absolute", {"half_width": half_width, "unit": unit})

    @classmethod
    def percent_of_span(cls, percent: float) -> Tolerance:
        """Percent of the span of the range.

        Parameters
        ----------
        percent : float
            Percent.

        Examples
        --------
        >>> cc.loop_calibration.Tolerance.percent_of_span(0.5).kind
        'percent_of_span'
        """
        return cls("percent_of_span", {"percent": percent})

    @classmethod
    def percent_of_reading(cls, percent: float) -> Tolerance:
        """Percent of the temperature in °C, as amount.

        Parameters
        ----------
        percent : float
            Percent.

        Examples
        --------
        >>> cc.loop_calibration.Tolerance.percent_of_reading(0.5).kind
        'percent_of_reading'
        """
        return cls("percent_of_reading", {"percent": percent})

    @classmethod
    def iec60751(cls, name: str, construction: Literal["wire_wound", "film"] | None = None) -> Tolerance:
        """A class of IEC 60751.

        Parameters
        ----------
        name : str
            "AA", "A", "B" or "C" of a thermometer, "W0.1" to "F0.6" of a bare resistor.
        construction : str, optional
            "wire_wound" or "film"; needed for a thermometer.

        Examples
        --------
        >>> cc.loop_calibration.Tolerance.iec60751("A", "film").kind
        'iec60751'
        """
        return cls(
            "iec60751", {"class": name} if construction is None else {"class": name, "construction": construction}
        )

    @classmethod
    def iec60584(cls, letter: str, number: int) -> Tolerance:
        """A class of IEC 60584-1.

        Parameters
        ----------
        letter : str
            Letter of the type.
        number : int
            1, 2 or 3.

        Examples
        --------
        >>> cc.loop_calibration.Tolerance.iec60584("K", 1).kind
        'iec60584'
        """
        return cls("iec60584", {"letter": letter, "class": number})

    @classmethod
    def astm_e230(cls, letter: str, limits: Literal["standard", "special"]) -> Tolerance:
        """Limits of ASTM E230.

        Parameters
        ----------
        letter : str
            Letter of the type.
        limits : str
            "standard" or "special".

        Examples
        --------
        >>> cc.loop_calibration.Tolerance.astm_e230("K", "special").kind
        'astm_e230'
        """
        return cls("astm_e230", {"letter": letter, "limits": limits})

    @classmethod
    def astm_e1137(cls, grade: str) -> Tolerance:
        """A grade of ASTM E1137.

        Parameters
        ----------
        grade : str
            Name of the grade.

        Examples
        --------
        >>> cc.loop_calibration.Tolerance.astm_e1137("A").kind
        'astm_e1137'
        """
        return cls("astm_e1137", {"grade": grade})

    @classmethod
    def gost6651(cls, material: Literal["copper", "nickel"], name: str) -> Tolerance:
        """A class of GOST 6651 for copper or nickel.

        Parameters
        ----------
        material : str
            "copper" or "nickel".
        name : str
            Name of the class.

        Examples
        --------
        >>> cc.loop_calibration.Tolerance.gost6651("nickel", "C").kind
        'gost6651'
        """
        return cls("gost6651", {"material": material, "class": name})

    @classmethod
    def asymmetric(cls, lower_k: float, upper_k: float) -> Tolerance:
        """Limits that are not the same below as above.

        Parameters
        ----------
        lower_k : float
            Most negative error allowed, K.
        upper_k : float
            Most positive error allowed, K.

        Examples
        --------
        >>> cc.loop_calibration.Tolerance.asymmetric(-0.5, 1.0).kind
        'asymmetric'
        """
        return cls("asymmetric", {"lower_k": lower_k, "upper_k": upper_k})

    @classmethod
    def sum(cls, *parts: Tolerance) -> Tolerance:
        """The sum of tolerances.

        Parameters
        ----------
        parts : Tolerance
            The tolerances.

        Examples
        --------
        >>> tolerance = cc.loop_calibration.Tolerance
        >>> parts = tolerance.absolute(0.2, "K"), tolerance.percent_of_reading(0.1)
        >>> tolerance.sum(*parts).kind
        'sum'
        """
        return cls("sum", list(parts))

    @classmethod
    def max(cls, *parts: Tolerance) -> Tolerance:
        """The largest of tolerances.

        Parameters
        ----------
        parts : Tolerance
            The tolerances.

        Examples
        --------
        >>> tolerance = cc.loop_calibration.Tolerance
        >>> parts = tolerance.absolute(0.2, "K"), tolerance.percent_of_reading(0.1)
        >>> tolerance.max(*parts).kind
        'max'
        """
        return cls("max", list(parts))

    def to_dict(self) -> dict[str, Any]:
        """The description as a dict, of the form of the JSON document.

        Examples
        --------
        >>> cc.loop_calibration.Tolerance.percent_of_span(0.5).to_dict()
        {'percent_of_span': {'percent': 0.5}}
        """
        return {self.kind: plain(self.fields)}


@dataclass(frozen=True)
class Coverage(Described):
    """How the standard uncertainty becomes an expanded one.

    Parameters
    ----------
    kind : str
        "probability", "factor" or "shapes".
    value : float
        The probability or the factor.

    Examples
    --------
    >>> cc.loop_calibration.Coverage.probability(0.95).to_dict()
    {'probability': 0.95}
    """

    kind: Literal["probability", "factor", "shapes"]
    value: float

    @classmethod
    def probability(cls, p: float) -> Coverage:
        """The coverage factor follows from a probability and the effective degrees of freedom.

        Parameters
        ----------
        p : float
            Such as 0.95.

        Examples
        --------
        >>> cc.loop_calibration.Coverage.probability(0.95).value
        0.95
        """
        return cls("probability", p)

    @classmethod
    def factor(cls, k: float) -> Coverage:
        """A coverage factor of one's own.

        Parameters
        ----------
        k : float
            Such as 2.

        Examples
        --------
        >>> cc.loop_calibration.Coverage.factor(2.0).value
        2.0
        """
        return cls("factor", k)

    @classmethod
    def shapes(cls, p: float) -> Coverage:
        """The coverage factor follows from a probability and the shapes of the contributions, convolved.

        Parameters
        ----------
        p : float
            Such as 0.95.

        Examples
        --------
        >>> cc.loop_calibration.Coverage.shapes(0.95).kind
        'shapes'
        """
        return cls("shapes", p)

    def to_dict(self) -> dict[str, Any]:
        """The description as a dict, of the form of the JSON document.

        Examples
        --------
        >>> cc.loop_calibration.Coverage.factor(2.0).to_dict()
        {'factor': 2.0}
        """
        return {self.kind: plain(self.value)}


@dataclass(frozen=True)
class Decision(Described):
    """The decision rule and its guard band.

    Parameters
    ----------
    rule : str
        "simple", "guarded" or "four_state".
    guard_band_factor : float, optional
        Guard band as a multiple of the expanded uncertainty; 1 if left out.

    Examples
    --------
    >>> cc.loop_calibration.Decision("guarded").to_dict()
    {'rule': 'guarded'}
    """

    rule: Literal["simple", "guarded", "four_state"]
    guard_band_factor: float | None = None
