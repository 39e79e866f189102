"""Numbers from outside: what was computed, what a publication or a plain fact says, and how sure that is."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

Value: TypeAlias = float | Sequence[float] | Mapping[str, float]
VERIFIED = "verified: text seen"
FORMULA = "formula and inputs verified, value worked out by hand"
MEMORY = "from memory"
PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class Published:
    """One outside number. `within`: the value lies in [low, high]; else it equals `says` to `tolerance`."""

    what: str
    computed: Callable[[], object]
    says: object
    tolerance: float
    source: str
    mark: str
    within: bool = False

    def __str__(self) -> str:
        return self.what

    def check(self) -> None:
        value = self.computed()
        if self.within:
            low, high = np.asarray(self.says, dtype=float)
            assert np.all(np.asarray(value) >= low - self.tolerance), self
            assert np.all(np.asarray(value) <= high + self.tolerance), self
        elif isinstance(self.says, Mapping):
            assert isinstance(value, Mapping)
            assert value.keys() == self.says.keys()
            assert list(value.values()) == _near([self.says[key] for key in value], self.tolerance), self
        else:
            np.testing.assert_allclose(np.asarray(value, dtype=float), np.asarray(self.says, dtype=float), 0, self.tolerance)


def _near(values: Sequence[float], tolerance: float) -> object:
    import pytest

    return pytest.approx(values, abs=tolerance, rel=0)
