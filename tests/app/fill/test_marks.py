"""What plan and strip are told to show of one moment of the fill."""

from itertools import pairwise

import numpy as np
import pytest

from app.fill.marks import Moment
from loopsim.build import load
from loopsim.network import height_graph
from loopsim.studies.fill import FillSnapshot

PIER = "sample_loops/pier-camera.loop.json"


def moment(share: float) -> Moment:
    """Every passage full to one share."""
    build = load(PIER)
    graph = height_graph(build, build.layouts[0])
    snapshot = FillSnapshot(1, 0.0, np.full(len(graph.items), share), {}, 0.0, 0.0)
    return Moment(graph, snapshot, "")


@pytest.mark.parametrize("run", ["run_2", "run_3"])
def test_a_passage_that_is_half_full_is_so_from_its_lower_end_on(run: str):
    half, graph = moment(0.5), moment(0.5).graph
    passages = graph.passages_of[run]
    pieces = [*half.pieces(run)]
    assert len(pieces) == len(passages)
    for piece, passage in zip(pieces, passages, strict=True):
        start, end = graph.spots[graph.ends[passage]] * 1000.0
        low, middle = min(start[2], end[2]), (start[2] + end[2]) / 2
        assert sorted((piece.first.height_mm, piece.last.height_mm)) == pytest.approx([low, middle])
        share = graph.length[passage] / graph.length[passages].sum()
        assert piece.end - piece.begin == pytest.approx(share / 2)


def test_full_pieces_of_a_run_lie_end_to_end():
    pieces = [*moment(1.0).pieces("run_3")]
    assert pieces[0].begin == 0.0
    assert pieces[-1].end == pytest.approx(1.0)
    for before, after in pairwise(pieces):
        assert before.end == after.begin
        assert before.last == pytest.approx(after.first)


def test_a_dry_run_has_no_pieces_and_a_dry_part_holds_nothing():
    assert [*moment(0.0).pieces("run_3")] == []
    assert moment(0.0).share_of("radiator") == 0.0
    assert moment(0.25).share_of("radiator") == pytest.approx(0.25)
    assert moment(0.25).share_of("fan") is None
