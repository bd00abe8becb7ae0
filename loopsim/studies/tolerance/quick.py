"""How sure is it, at once: each input moved by itself within its band, and the effects added as independent ones."""

import numpy as np

from loopsim.studies.heat.results import HeatPoint
from loopsim.studies.tolerance.model import Model
from loopsim.studies.uncertain import LOAD_TOLERANCE, uncertainties

__all__ = ["quick_bands"]

_DEVIATIONS = 2.0  # half of a band of 95 %


def quick_bands(heat: HeatPoint, load_tolerance: float = LOAD_TOLERANCE) -> dict[str, float]:
    """Half width of the 95 % band of each figure, to first order, without draws.

    Every curve, bore and load is moved up and down by one standard deviation of what `tolerance` draws it from, all
    of them as variants of one solve; half of the difference of a figure is what that input adds to its spread. Good
    where figures follow their inputs about in proportion: within a tenth of the draws' deviation on the samples, see
    tests/studies/tolerance/test_quick.py. Where a component changes its place as the warmest, or a flow its
    direction, within the band, the draws tell more.

    Parameters
    ----------
    heat : HeatPoint
    load_tolerance : float
        Half width of the band of the heat of components on blocks, as a share.

    Returns
    -------
    dict of str to float
        By the keys of `loopsim.studies.figures`, SI and kelvin; the flow alone where heat has no way out.

    References
    ----------
    Propagation of uncorrelated uncertainties: ISO/IEC Guide 98-3 (GUM), 5.1.2, with finite differences as in its note
    on numerical sensitivities, 5.1.3.
    """
    inputs = uncertainties(heat.coupled.thermal, load_tolerance)
    if not inputs:
        return {}
    steps = np.diag(np.log1p([each.tolerance for each in inputs]) / _DEVIATIONS)
    figures = Model(heat, inputs).figures(np.exp(np.concatenate((steps, -steps), axis=1)))
    halves = {key: np.subtract(*np.split(values, 2)) / 2 for key, values in figures.items() if len(values) > 1}
    return {key: float(_DEVIATIONS * np.linalg.norm(each)) for key, each in halves.items()}
