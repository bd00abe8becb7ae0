"""Which input matters most: first-order Sobol indices from draws that are there already."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

__all__ = ["first_order"]

FloatArray = NDArray[np.float64]

_HARMONICS = 10  # usual for the method
_LEAST_DRAWS = 200  # below which the indices are noise


def first_order(names: Sequence[str], inputs: FloatArray, output: FloatArray) -> FloatArray:
    """Share of an output's variance that each input explains by itself, shape (k,), 0 to 1.

    Parameters
    ----------
    names : sequence of str, length k
    inputs : ndarray, shape (k, v)
        Independent of one another.
    output : ndarray, shape (v,)

    Returns
    -------
    ndarray
        Zeros where the output does not vary, or for fewer than 200 draws.

    References
    ----------
    Random balance designs with Fourier amplitudes and the correction of their bias: Tarantola, Gatelli and Mara
    (2006); Tissot and Prieur (2012), as in the library SALib. Checked against the function of Ishigami and Homma
    in tests/studies/tolerance/test_sensitivity.py.
    """
    if len(output) < _LEAST_DRAWS or not np.ptp(output) > 1e-9 * np.abs(output).max():
        return np.zeros(len(names))
    from SALib.analyze import rbd_fast  # loads slowly

    problem = {"num_vars": len(names), "names": list(names)}
    found = rbd_fast.analyze(problem, inputs.T, output, M=_HARMONICS, num_resamples=2, seed=0)
    return np.asarray(np.clip(found["S1"], 0.0, 1.0), dtype=np.float64)
