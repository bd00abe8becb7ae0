"""Temperatures of many variants at once, against one at a time."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopsim.network import HeatNetwork
from loopsim.solve import solve_heat


def network(with_returns: bool) -> HeatNetwork:
    """A loop of four streams and an air path through two nodes; two exchangers; the last node is the room."""
    ints = lambda *values: np.array(values, dtype=np.intp)  # noqa: E731
    held = np.full(6, np.nan)
    held[5] = 0.0
    return HeatNetwork(
        nodes=("a", "b", "c", "d", "chamber", "room"),
        streams=("ab", "bc", "cd", "da", "in", "out"),
        start=ints(0, 1, 2, 3, 5, 4),
        end=ints(1, 2, 3, 0, 4, 5),
        held=held,
        exchange_a=ints(1, 3),
        exchange_b=ints(4, 5),
        return_from=ints(5) if with_returns else ints(),
        return_to=ints(4) if with_returns else ints(),
        return_share=np.array([0.3]) if with_returns else np.zeros(0),
    )


@settings(max_examples=30)
@given(seed=st.integers(0, 10_000), with_returns=st.booleans(), turned=st.booleans())
def test_each_variant_is_what_it_is_alone(seed: int, with_returns: bool, turned: bool) -> None:
    """Flows either way and at rest; every conductance below both of its rates, as it must be."""
    rng, count, of = np.random.default_rng(seed), 7, network(with_returns)
    loop, air = rng.uniform(50, 150, count), rng.uniform(20, 80, count)
    signs = rng.choice([-1.0, 1.0], count) if turned else np.ones(count)
    rate = np.array([*[loop * signs] * 4, *[air * signs] * 2])
    rate[:, 0] = 0.0
    stream_heat, node_heat = rng.uniform(0, 200, (6, count)), rng.uniform(0, 50, (6, count))
    stream_heat[:, 0] = 0.0
    weaker = np.minimum(np.abs(rate[[1, 3]]), np.abs(rate[[4, 5]]))
    conductance = rng.uniform(0.1, 0.8, (2, count)) * weaker
    found = solve_heat(of, rate, stream_heat, node_heat, conductance)
    for variant in range(count):
        alone = solve_heat(
            of, rate[:, variant], stream_heat[:, variant], node_heat[:, variant], conductance[:, variant]
        )
        for field in ("node", "inlet", "outlet", "exchanged"):
            one, other = getattr(found, field)[:, variant], getattr(alone, field)
            assert one == pytest.approx(other, rel=1e-6, abs=1e-6), field


def test_all_heat_of_each_variant_reaches_the_room() -> None:
    of, count = replace(network(False)), 5
    rate = np.array([*[np.linspace(50, 150, count)] * 4, *[np.linspace(20, 80, count)] * 2])
    stream_heat, node_heat = np.full((6, count), 30.0), np.zeros((6, count))
    found = solve_heat(of, rate, stream_heat, node_heat, np.full((2, count), 10.0))
    assert rate[5] * found.outlet[5] == pytest.approx(np.full(count, 180.0), rel=1e-6)
