"""Types of the compiled part. Units stand in the names; the documentation is that of the objects themselves."""

from typing import Any, Literal, TypeAlias, final, overload

import numpy as np
import numpy.typing as npt

__all__ = [
    "CalcoreError",
    "CallendarVanDusen",
    "DocumentError",
    "InvalidRunError",
    "InvalidValueError",
    "LengthMismatchError",
    "ModelFailedError",
    "NoConvergenceError",
    "NotFiniteError",
    "NotPositiveDefiniteError",
    "OutOfRangeError",
    "TooFewPointsError",
    "UndeterminedError",
    "UnknownNameError",
    "__version__",
]

__version__: str

_Array: TypeAlias = npt.NDArray[np.float64]
_Invalid: TypeAlias = Literal["raise", "nan"]

# errors

class CalcoreError(ValueError):
    code: int | None
    quantity: str | None
    value: float | None
    low: float | None
    high: float | None
    unit: str | None
    index: int | None
    count: int | None
    requirement: str | None
    name: str | None
    expected: str | int | None
    found: int | None
    needed: int | None
    parameter: str | None
    row: int | None
    steps: int | None
    last: float | None
    path: str | None
    problems: list[tuple[str, str]] | None

class NotFiniteError(CalcoreError): ...
class OutOfRangeError(CalcoreError): ...
class InvalidValueError(CalcoreError): ...
class UnknownNameError(CalcoreError): ...
class LengthMismatchError(CalcoreError): ...
class TooFewPointsError(CalcoreError): ...
class UndeterminedError(CalcoreError): ...
class NotPositiveDefiniteError(CalcoreError): ...
class NoConvergenceError(CalcoreError): ...
class ModelFailedError(CalcoreError): ...
class DocumentError(CalcoreError): ...
class InvalidRunError(CalcoreError): ...

# curves

@final
class CallendarVanDusen:
    def __new__(
        cls, r0: float, a: float, b: float, c: float = 0.0, *, range_c: tuple[float, float] | None = None
    ) -> CallendarVanDusen: ...
    @classmethod
    def iec60751(cls, r0: float = 100.0) -> CallendarVanDusen: ...
    @classmethod
    def from_alpha_delta_beta(cls, r0: float, alpha: float, delta: float, beta: float = 0.0) -> CallendarVanDusen: ...
    @overload
    def resistance(self, t_c: float, *, invalid: _Invalid = "raise", extrapolate: bool = False) -> float: ...
    @overload
    def resistance(self, t_c: npt.ArrayLike, *, invalid: _Invalid = "raise", extrapolate: bool = False) -> _Array: ...
    @overload
    def temperature(self, ohm: float, *, invalid: _Invalid = "raise", extrapolate: bool = False) -> float: ...
    @overload
    def temperature(self, ohm: npt.ArrayLike, *, invalid: _Invalid = "raise", extrapolate: bool = False) -> _Array: ...
    @overload
    def slope(self, t_c: float, *, invalid: _Invalid = "raise", extrapolate: bool = False) -> float: ...
    @overload
    def slope(self, t_c: npt.ArrayLike, *, invalid: _Invalid = "raise", extrapolate: bool = False) -> _Array: ...
    @property
    def r0(self) -> float: ...
    @property
    def a(self) -> float: ...
    @property
    def b(self) -> float: ...
    @property
    def c(self) -> float: ...
    @property
    def alpha(self) -> float: ...
    @property
    def delta(self) -> float: ...
    @property
    def beta(self) -> float: ...
    @property
    def range(self) -> tuple[float, float]: ...
    def __eq__(self, other: object, /) -> bool: ...
    def __hash__(self) -> int: ...
    def __reduce__(self) -> tuple[Any, tuple[float, float, float, float]]: ...
