"""Paper and ink: every text can be read on its ground, and the window wears what is asked for."""

import pytest
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QApplication, QLabel

from app.theme import DARK, LIGHT, Follow, Theme, Type, font, themes

GROUNDS = ("paper", "bench", "chosen")
TEXTS = ("ink", "soft_ink", "liquid_text", "rust_text", "amber_text", "good_text")
BAND_TEXTS = ("band_ink", "band_soft_ink", "band_amber", "band_rust")


def luminance(colour: QColor) -> float:
    """Relative luminance, Web Content Accessibility Guidelines 2.1, "relative luminance"."""
    parts = (colour.redF(), colour.greenF(), colour.blueF())
    linear = [part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: QColor, other: QColor) -> float:
    """Contrast ratio, Web Content Accessibility Guidelines 2.1, "contrast ratio"."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_the_contrast_of_black_on_white_is_21_and_of_grey_777_just_misses_the_limit():
    assert contrast(QColor("black"), QColor("white")) == pytest.approx(21.0, abs=1e-6)
    assert contrast(QColor("#777777"), QColor("white")) == pytest.approx(4.48, abs=0.005)  # often quoted; from memory


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("text", TEXTS)
def test_every_text_keeps_a_contrast_of_4_5_on_every_ground(theme: Theme, ground: str, text: str):
    assert contrast(getattr(theme, text), getattr(theme, ground)) >= 4.5


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
@pytest.mark.parametrize("text", BAND_TEXTS)
def test_every_text_of_the_verdict_keeps_a_contrast_of_4_5_on_its_band(theme: Theme, text: str):
    assert contrast(getattr(theme, text), theme.band) >= 4.5


@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=lambda theme: theme.name)
@pytest.mark.parametrize("line", ["ink", "liquid", "rust"])
def test_every_line_that_says_something_keeps_a_contrast_of_3(theme: Theme, line: str):
    """Web Content Accessibility Guidelines 2.1, success criterion 1.4.11, graphical objects."""
    assert contrast(getattr(theme, line), theme.bench) >= 3.0


def test_the_application_wears_the_theme_that_is_followed(qapp: QApplication):
    seen = []
    themes.changed.connect(seen.append)
    themes.follow(Follow.DARK)
    themes.changed.disconnect(seen.append)
    assert seen == [DARK]
    assert themes.current is DARK
    assert qapp.palette().color(QPalette.ColorRole.Window) == DARK.bench
    assert DARK.liquid_text.name() in qapp.styleSheet()


def test_there_are_three_sizes_of_one_family_with_figures_of_equal_width(qtbot):
    sizes = [font(size).pointSizeF() for size in Type]
    assert len(sizes) == 3
    assert sizes == sorted(sizes)
    assert len({font(size).family() for size in Type}) == 1
    label = QLabel()
    qtbot.addWidget(label)
    label.setFont(font())
    widths = {label.fontMetrics().horizontalAdvance(figure * 10) for figure in "0123456789"}
    assert len(widths) == 1
