"""The two kinds of figure physics works on: a float, or an array of floats.

Every function takes either; arrays broadcast against each other and against floats. Floats in
give floats out. NumPy is imported only where arrays are really at hand, so that a question
about one joint does not pay for it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar

from specdb.errors import BadRequest

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float64]
    V = TypeVar("V", float, NDArray[np.float64])
else:
    V = TypeVar("V")


class Rule(NamedTuple):
    """What must hold for the argument `field`: `ok` is a bool or an array of them."""

    field: str
    ok: Any
    accepted: str


def is_number(value: object) -> bool:
    """True for a Python number, a NumPy scalar and a 0-d array."""
    # The float first: nearly every figure is one, and this is asked millions of times.
    if type(value) is float:
        return True
    return isinstance(value, float | int) or getattr(value, "ndim", None) == 0


def plain(value: Any) -> Any:
    """A float for whatever counts as one number, a float64 array for everything else."""
    if type(value) is float:
        return value
    if is_number(value):
        return float(value)
    import numpy as np

    return np.asarray(value, dtype=np.float64)


def require(given: Mapping[str, Any], *rules: Rule) -> None:
    """Raise BadRequest for the first rule that fails, with a value that fails it."""
    for rule in rules:
        if rule.ok is True or (rule.ok is not False and rule.ok.all()):
            continue
        value = _failing(given[rule.field], rule.ok)
        raise BadRequest(
            f"{rule.field}: {value:g} is not possible here.",
            hint=f"Accepted: {rule.accepted}.",
            field=rule.field,
        )


def _failing(value: Any, ok: Any) -> float:
    if is_number(value):
        return float(value)
    import numpy as np

    wide, good = np.broadcast_arrays(value, ok)
    return float(wide[~good][0])
