"""How far an instrument may be off: classes of the standards, and a user's own tolerances.

A tolerance is a limit for an error. It is not an uncertainty.
"""

from ._native import Tolerance
from ._native import tolerance_astm_e230 as astm_e230
from ._native import tolerance_astm_e230_confirmation as astm_e230_confirmation
from ._native import tolerance_astm_e230_range as astm_e230_range
from ._native import tolerance_astm_e1137 as astm_e1137
from ._native import tolerance_gost6651 as gost6651
from ._native import tolerance_iec60584 as iec60584
from ._native import tolerance_iec60584_confirmation as iec60584_confirmation
from ._native import tolerance_iec60584_range as iec60584_range
from ._native import tolerance_iec60751 as iec60751
from ._native import tolerance_iec60751_range as iec60751_range

__all__ = [
    "Tolerance",
    "astm_e230",
    "astm_e230_confirmation",
    "astm_e230_range",
    "astm_e1137",
    "gost6651",
    "iec60584",
    "iec60584_confirmation",
    "iec60584_range",
    "iec60751",
    "iec60751_range",
]
