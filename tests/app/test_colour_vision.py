"""What is said by colour is seen by those who see fewer colours, or is said by a sign, a dash or words as well.

How a colour looks to a person without one kind of cone is worked out after Machado, Oliveira and Fernandes, "A
Physiologically-based Model for Simulation of Color Vision Deficiency", IEEE Transactions on Visualization and Computer
Graphics 15 (2009), 1291-1298: matrices for severity 1.0, on linear RGB. The digits are from memory; that white stays
white, which they must give, is checked here. Differences are those of CIE 1976 L*a*b*; 2.3 of them are said to be
just seen (Mahy, Van Eycken and Oosterlinck 1994; from memory), so that what is asked for below is plain to see.
"""

from itertools import combinations

import numpy as np
import pytest
from numpy.typing import NDArray
from PySide6.QtGui import QColor

from app.compare.strokes import stroke_of
from app.failing import words
from app.plan.tint import colour_at
from app.theme import DARK, LIGHT, Theme

Array = NDArray[np.float64]

VISIONS = {
    "all cones": np.eye(3),
    "no long waves": np.array(
        [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]
    ),
    "no middle waves": np.array(
        [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]
    ),
    "no short waves": np.array(
        [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]
    ),
}
SRGB_TO_XYZ = np.array(  # IEC 61966-2-1, white of D65
    [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]]
)
JUST_SEEN = 2.3
PLAIN, CLEAR = 6 * JUST_SEEN, 17 * JUST_SEEN
THEMES = pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
EYES = pytest.mark.parametrize("vision", VISIONS.values(), ids=VISIONS)


def lab(colour: QColor, vision: Array) -> Array:
    """L*, a*, b* of a colour as it is seen."""
    parts = np.array(colour.getRgbF()[:3])
    linear = np.where(parts <= 0.04045, parts / 12.92, ((parts + 0.055) / 1.055) ** 2.4)
    xyz = SRGB_TO_XYZ @ np.clip(vision @ linear, 0.0, 1.0) / SRGB_TO_XYZ.sum(axis=1)
    bent = np.where(xyz > (6 / 29) ** 3, np.cbrt(xyz), xyz * (29 / 6) ** 2 / 3 + 4 / 29)
    return np.array([116 * bent[1] - 16, 500 * (bent[0] - bent[1]), 200 * (bent[1] - bent[2])])


def apart(one: QColor, other: QColor, vision: Array) -> float:
    return float(np.linalg.norm(lab(one, vision) - lab(other, vision)))


@EYES
def test_white_and_grey_stay_what_they_are(vision: Array):
    np.testing.assert_allclose(vision.sum(axis=1), 1.0, atol=2e-6)
    assert lab(QColor("white"), vision) == pytest.approx([100.0, 0.0, 0.0], abs=0.02)


def test_red_and_green_of_one_lightness_come_together_without_the_cones_that_part_them():
    """Else the other checks would prove nothing."""
    red, green = QColor("#C05040"), QColor("#6A7A20")
    assert apart(red, green, VISIONS["all cones"]) > 3 * apart(red, green, VISIONS["no middle waves"])


@THEMES
@EYES
def test_what_fails_stands_out_from_what_runs(theme: Theme, vision: Array):
    """Lines and bars in rust and in the colour of the liquid."""
    assert apart(theme.rust, theme.liquid, vision) > CLEAR


@THEMES
@EYES
def test_bad_doubtful_and_good_differ(theme: Theme, vision: Array):
    for one, other in combinations((theme.rust, theme.amber, theme.good), 2):
        assert apart(one, other, vision) > PLAIN


def test_every_verdict_has_a_sign_of_its_own():
    signs = [sign for sign in words.SIGNS.values() if sign]
    assert len(signs) == len(set(signs)) >= len(words.SIGNS) - 1


@THEMES
@EYES
def test_layouts_side_by_side_differ_by_colour_or_by_dash(theme: Theme, vision: Array):
    for one, other in combinations(map(stroke_of, range(6)), 2):
        colours = getattr(theme, one.role), getattr(theme, other.role)
        assert one.dash is not other.dash or apart(*colours, vision) > PLAIN


@EYES
def test_the_map_of_colours_grows_lighter_all_the_way_to_every_eye(vision: Array):
    lightness = np.array([lab(colour_at(share), vision)[0] for share in np.linspace(0.0, 1.0, 33)])
    assert (np.diff(lightness) > 0.5).all()
    assert lightness[-1] - lightness[0] > 60.0
