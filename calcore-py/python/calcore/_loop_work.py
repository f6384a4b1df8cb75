"""The descriptions of the work around a run: plan, adjustment, certificate, tables."""

from __future__ import annotations

from collections.abc import Mapping as Dict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from ._described import Described, plain
from ._loop_parts import plain_choice


@dataclass(frozen=True)
class PlanPoint(Described):
    """A point that an instrument needs; made by its kind, such as `celsius`.

    Parameters
    ----------
    description : dict
        As it stands in the document.

    Examples
    --------
    >>> list(cc.loop_calibration.PlanPoint.celsius(100.0, within_k=2.0).description)
    ['celsius']
    """

    description: Dict[str, Any]

    @classmethod
    def celsius(cls, at_c: float, *, within_k: float) -> PlanPoint:
        """A temperature.

        Parameters
        ----------
        at_c : float
            Where, °C.
        within_k : float
            How far from there it may lie, K.

        Examples
        --------
        >>> cc.loop_calibration.PlanPoint.celsius(100.0, within_k=2.0).to_dict()
        {'celsius': {'at': 100.0, 'within_k': 2.0}}
        """
        return cls(plain_choice("celsius", at=at_c, within_k=within_k))

    @classmethod
    def percent_of_span(cls, at: float, *, within: float) -> PlanPoint:
        """A part of the range.

        Parameters
        ----------
        at : float
            Where, percent of the span.
        within : float
            How far from there it may lie, percent of the span.

        Examples
        --------
        >>> list(cc.loop_calibration.PlanPoint.percent_of_span(50.0, within=5.0).description)
        ['percent_of_span']
        """
        return cls(plain_choice("percent_of_span", at=at, within=within))

    def to_dict(self) -> Any:
        """The description, of the form of the JSON document.

        Examples
        --------
        >>> cc.loop_calibration.PlanPoint.percent_of_span(50.0, within=5.0).to_dict()
        {'percent_of_span': {'at': 50.0, 'within': 5.0}}
        """
        return plain(self.description)


@dataclass(frozen=True)
class PlanInstrument(Described):
    """An instrument of a plan.

    Parameters
    ----------
    tag : str
        Its tag.
    low_c : float
        Lower end of its range, °C.
    high_c : float
        Upper end of its range, °C.
    points : sequence of PlanPoint or dict
        The points that it needs.
    element : str, optional
        Tag of the element that is put into the heat source for it, its own if left out.

    Examples
    --------
    >>> point = cc.loop_calibration.PlanPoint.celsius(100.0, within_k=2.0)
    >>> cc.loop_calibration.PlanInstrument("TT-1", 0.0, 200.0, [point]).tag
    'TT-1'
    """

    tag: str
    low_c: float
    high_c: float
    points: Sequence[PlanPoint | Dict[str, Any]]
    element: str | None = None


@dataclass(frozen=True)
class PlanSource(Described):
    """A heat source of a plan.

    Parameters
    ----------
    tag : str
        Its tag.
    low_c : float
        Lowest temperature, °C.
    high_c : float
        Highest temperature, °C.
    heating_k_per_min : float
        How fast it heats, K/min.
    cooling_k_per_min : float
        How fast it cools, K/min.
    settling_s : float
        How long it takes to settle at a set point, s.
    bores : int
        How many elements it takes beside the reference.
    start_c : float
        Where it stands when the work begins, °C.

    Examples
    --------
    >>> block = cc.loop_calibration.PlanSource(
    ...     "block", -20.0, 300.0, heating_k_per_min=10.0, cooling_k_per_min=5.0, settling_s=600.0, bores=3)
    >>> block.start_c
    23.0
    """

    tag: str
    low_c: float
    high_c: float
    heating_k_per_min: float
    cooling_k_per_min: float
    settling_s: float
    bores: int
    start_c: float = 23.0


@dataclass(frozen=True)
class PlanRequest(Described):
    """What is to be planned.

    Parameters
    ----------
    instruments : sequence of PlanInstrument or dict
        With the points that they need.
    heat_sources : sequence of PlanSource or dict
        A source that may be loaded twice is listed twice.
    order : str
        "up", "up_and_down" for hysteresis, or "quickest".
    reading_s : float
        Time to read all instruments at a set point, s.

    Examples
    --------
    >>> request.order
    'up'
    """

    instruments: Sequence[PlanInstrument | Dict[str, Any]]
    heat_sources: Sequence[PlanSource | Dict[str, Any]]
    order: Literal["up", "up_and_down", "quickest"] = "up"
    reading_s: float = 0.0


@dataclass(frozen=True)
class AdjustmentEvent(Described):
    """What was done to a link between the as-found and the as-left run.

    Parameters
    ----------
    tag : str
        Tag of the link.
    parameter : str
        What was changed, such as "sensor trim".
    old : str
        Value before.
    new : str
        Value after.
    reason : str
        Why.
    by : str
        Who.
    when : str
        When, as the user writes it.

    Examples
    --------
    >>> words = ("TT-1", "zero", "0 K", "-0.3 K", "as found outside", "technician", "2026-05-04")
    >>> cc.loop_calibration.AdjustmentEvent(*words).new
    '-0.3 K'
    """

    tag: str
    parameter: str
    old: str
    new: str
    reason: str
    by: str
    when: str


@dataclass(frozen=True)
class CertificateDetails(Described):
    """What a certificate says beside the results (ISO/IEC 17025:2017, 7.8); what is missing is named by `Certificate`.

    Parameters
    ----------
    title : str, optional
        Title (7.8.2.1 a).
    laboratory : str, optional
        Name and address of the laboratory (7.8.2.1 b).
    location : str, optional
        Where the work was done (7.8.2.1 c).
    identification : str, optional
        Unique identification (7.8.2.1 d).
    customer : str, optional
        Name and contact of the customer (7.8.2.1 e).
    method : str, optional
        The method used (7.8.2.1 f).
    item : str, optional
        What was calibrated (7.8.2.1 g).
    received : str, optional
        When the item was received, where that matters (7.8.2.1 h).
    performed : str, optional
        When the work was done (7.8.2.1 i).
    issued : str, optional
        When the certificate was issued (7.8.2.1 j).
    sampling : str, optional
        Sampling plan and method, where items were sampled (7.8.2.1 k).
    deviations : str, optional
        Additions to, deviations or exclusions from the method (7.8.2.1 n).
    authorised_by : str, optional
        Who authorises it (7.8.2.1 o).
    external_results : str, optional
        Which results are from external providers, where there are such (7.8.2.1 p).
    conditions : str, optional
        Conditions that influence the results (7.8.4.1 b).
    traceability : str, optional
        How the results are traceable (7.8.4.1 c).
    opinions : str, optional
        Opinions and interpretations, marked as such, where they are asked for (7.8.4.1 f).
    decision_rule_agreement : str, optional
        The agreement on the decision rule (7.8.6.2 c).

    Examples
    --------
    >>> cc.loop_calibration.CertificateDetails(title="Calibration certificate").to_dict()
    {'title': 'Calibration certificate'}
    """

    title: str | None = None
    laboratory: str | None = None
    location: str | None = None
    identification: str | None = None
    customer: str | None = None
    method: str | None = None
    item: str | None = None
    received: str | None = None
    performed: str | None = None
    issued: str | None = None
    sampling: str | None = None
    deviations: str | None = None
    authorised_by: str | None = None
    external_results: str | None = None
    conditions: str | None = None
    traceability: str | None = None
    opinions: str | None = None
    decision_rule_agreement: str | None = None


@dataclass(frozen=True)
class Mapping(Described):
    """Which column of a table is what; made by its kind, `wide` or `long`.

    Parameters
    ----------
    time : str
        Column of the time: seconds, hh:mm:ss, or date and time.
    set_point : str
        Column of the set point, °C; rows that follow each other with the same one belong together.
    readings : dict
        Where the readings are, as it stands in the document.
    direction : str, optional
        Column of the direction, "up" or "down".
    decimal_mark : str
        Decimal mark of a text; nothing is guessed.

    Examples
    --------
    >>> cc.loop_calibration.Mapping.wide("t", "sp", {"REF-01": "ref"}).decimal_mark
    '.'
    """

    time: str
    set_point: str
    readings: Dict[str, Any]
    direction: str | None = None
    decimal_mark: Literal[".", ","] = "."

    @classmethod
    def wide(
        cls,
        time: str,
        set_point: str,
        columns: Dict[str, str],
        *,
        direction: str | None = None,
        decimal_mark: Literal[".", ","] = ".",
    ) -> Mapping:
        """One column an instrument.

        Parameters
        ----------
        time : str
            Column of the time.
        set_point : str
            Column of the set point, °C.
        columns : dict
            Column of the readings by the tag of the instrument or reference.
        direction : str, optional
            Column of the direction, "up" or "down".
        decimal_mark : str
            Decimal mark of a text.

        Examples
        --------
        >>> cc.loop_calibration.Mapping.wide("t", "sp", {"REF-01": "ref"}).readings
        {'wide': [{'tag': 'REF-01', 'column': 'ref'}]}
        """
        if not hasattr(columns, "items"):
            raise TypeError(f"columns must be a dict of columns by tag, got {type(columns).__name__}")
        return cls(
            time,
            set_point,
            {"wide": [{"tag": tag, "column": column} for tag, column in columns.items()]},
            direction,
            decimal_mark,
        )

    @classmethod
    def long(
        cls,
        time: str,
        set_point: str,
        tag: str,
        value: str,
        *,
        direction: str | None = None,
        decimal_mark: Literal[".", ","] = ".",
    ) -> Mapping:
        """One row a reading.

        Parameters
        ----------
        time : str
            Column of the time.
        set_point : str
            Column of the set point, °C.
        tag : str
            Column of the tag.
        value : str
            Column of the value.
        direction : str, optional
            Column of the direction, "up" or "down".
        decimal_mark : str
            Decimal mark of a text.

        Examples
        --------
        >>> cc.loop_calibration.Mapping.long("t", "sp", "who", "what").readings
        {'long': {'tag': 'who', 'value': 'what'}}
        """
        return cls(time, set_point, {"long": {"tag": tag, "value": value}}, direction, decimal_mark)
