"""Which input matters most: first-order Sobol indices from draws that are there already."""

import numpy as np
from numpy.typing import NDArray

__all__ = ["first_order"]

FloatArray = NDArray[np.float64]

_HARMONICS = 10  # usual for the method
_LEAST_DRAWS = 200  # below which the indices are noise


def first_order(inputs: FloatArray, output: FloatArray) -> FloatArray:
    """Share of an output's variance that each input explains by itself, shape (k,), 0 to 1.

    Parameters
    ----------
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
    (2006); Tissot and Prieur (2012), by the steps of the library SALib without its repetitions for an error. Checked
    against the function of Ishigami and Homma in tests/studies/tolerance/test_sensitivity.py.
    """
    if len(output) < _LEAST_DRAWS or not np.ptp(output) > 1e-9 * np.abs(output).max():
        return np.zeros(len(inputs))
    from SALib.analyze.rbd_fast import compute_first_order, permute_outputs, unskew_S1  # loads slowly

    raw = [compute_first_order(permute_outputs(values, output), _HARMONICS) for values in inputs]
    return np.asarray(np.clip(unskew_S1(np.array(raw), _HARMONICS, len(output)), 0.0, 1.0), dtype=np.float64)
