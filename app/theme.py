"""Paper and ink: the colours and the type of the whole window, light and dark.

Every colour is named after its role. Roles that end in ``_text`` are for words in that colour: they keep a contrast of
at least 4.5 on `paper`, `bench` and `chosen`, as do `ink` and `soft_ink` (the Web Content Accessibility Guidelines'
level for small text). Roles that begin with ``band`` belong to the dark line at the bottom.
"""

from dataclasses import dataclass, fields
from enum import StrEnum
from functools import cache, cached_property

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QColor, QFont, QFontDatabase, QGuiApplication, QPalette
from PySide6.QtWidgets import QApplication

from app.style_sheet import style_sheet

__all__ = ["CONTROL", "DARK", "LIGHT", "STEP", "Follow", "Theme", "Type", "font", "theme", "themes"]

STEP = 8  # distances are multiples of it [px]
CONTROL = 24  # least height of anything to click on [px]


@dataclass(frozen=True)
class Theme:
    """The colours of one appearance, by role."""

    name: str
    is_dark: bool
    paper: QColor  # ground of plan, strip, plot and editors
    bench: QColor  # ground of everything beside them
    chosen: QColor  # ground of a selected row
    ink: QColor
    soft_ink: QColor
    rule: QColor
    grid: QColor
    liquid: QColor
    rust: QColor
    amber: QColor
    good: QColor
    liquid_text: QColor
    rust_text: QColor
    amber_text: QColor
    good_text: QColor
    band: QColor
    band_ink: QColor
    band_soft_ink: QColor
    band_amber: QColor
    band_rust: QColor

    @cached_property
    def tube(self) -> QColor:
        """Liquid; in the dark a little sunk into the paper, since broad bands of it would glare."""
        share = 0.3 if self.is_dark else 0.0
        pairs = zip(self.liquid.getRgbF()[:3], self.paper.getRgbF()[:3], strict=True)
        return QColor.fromRgbF(*((1 - share) * liquid + share * paper for liquid, paper in pairs))


def _theme(name: str, is_dark: bool, **colours: str) -> Theme:
    return Theme(name, is_dark, **{role: QColor(value) for role, value in colours.items()})


LIGHT = _theme(
    "light",
    False,
    paper="#FBFAF6",
    bench="#F3F1EA",
    chosen="#E4EAE6",
    ink="#24313A",
    soft_ink="#5C6871",
    rule="#D9D5CA",
    grid="#EEEBE2",
    liquid="#1D6F7A",
    rust="#B5532A",
    amber="#C98A1B",
    good="#3C7A4E",
    liquid_text="#1D6F7A",
    rust_text="#A64A24",
    amber_text="#855609",
    good_text="#336D46",
    band="#24313A",
    band_ink="#FBFAF6",
    band_soft_ink="#B9C3C8",
    band_amber="#E9B44C",
    band_rust="#F0A27A",
)

DARK = _theme(
    "dark",
    True,
    paper="#1C2328",
    bench="#232B31",
    chosen="#2B383D",
    ink="#E6E4DC",
    soft_ink="#9BA7AE",
    rule="#39444B",
    grid="#262F35",
    liquid="#4FB3BF",
    rust="#E58A5C",
    amber="#E9B44C",
    good="#7CC08C",
    liquid_text="#57B8C4",
    rust_text="#EB9266",
    amber_text="#E9B44C",
    good_text="#7CC08C",
    band="#12181C",
    band_ink="#F3F1EA",
    band_soft_ink="#A9B4BA",
    band_amber="#E9B44C",
    band_rust="#EB9266",
)


class Type(StrEnum):
    """The three sizes of the one family."""

    SMALL = "small"  # headings of tables, help lines, labels of plots
    PLAIN = "plain"
    LARGE = "large"  # answers


_SIZES = {Type.SMALL: 0.9, Type.PLAIN: 1.0, Type.LARGE: 1.35}
_LEAST_PT = 9.5


def font(size: Type = Type.PLAIN, bold: bool = False) -> QFont:
    """The family of the system in one of three sizes, with figures of equal width."""
    return QFont(_font(size, bold))


@cache
def _font(size: Type, bold: bool) -> QFont:
    made = QFontDatabase.systemFont(QFontDatabase.SystemFont.GeneralFont)
    made.setPointSizeF(max(made.pointSizeF(), _LEAST_PT) * _SIZES[size])
    made.setBold(bold)
    made.setFeature(QFont.Tag("tnum"), 1)
    return made


class Follow(StrEnum):
    """Which appearance is wanted."""

    SYSTEM = "system"
    LIGHT = "light"
    DARK = "dark"


class Themes(QObject):
    """The theme in force, and word of every change."""

    changed = Signal(object)  # Theme

    def __init__(self) -> None:
        super().__init__()
        self.current = LIGHT
        self.followed = Follow.SYSTEM

    def start(self, application: QApplication) -> None:
        """Dress the application, and from now on follow the system's change between light and dark."""
        application.setStyle("Fusion")
        application.setFont(font())
        application.styleHints().colorSchemeChanged.connect(self._on_system_changed)
        self.follow(self.followed)

    def follow(self, wanted: Follow) -> None:
        """Wear light, dark, or what the system wears."""
        self.followed = wanted
        self._wear({Follow.LIGHT: LIGHT, Follow.DARK: DARK}.get(wanted, _of_the_system()))

    def _on_system_changed(self) -> None:
        self.follow(self.followed)

    def _wear(self, wanted: Theme) -> None:
        self.current = wanted
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.setPalette(palette(wanted))
            application.setPalette(_box_palette(wanted), "QCheckBox")
            application.setStyleSheet(style_sheet(names(wanted)))
        self.changed.emit(wanted)


themes = Themes()


def theme() -> Theme:
    """The theme in force."""
    return themes.current


def _box_palette(of: Theme) -> QPalette:
    """For boxes to tick: the style draws their rim 1.4 times darker than a window's ground, unseen in the dark."""
    made = palette(of)
    made.setColor(QPalette.ColorRole.Window, of.soft_ink.lighter(140))
    return made


def names(of: Theme) -> dict[str, str]:
    """Each role's colour as written in a style sheet."""
    colours = {field.name: getattr(of, field.name) for field in fields(of)}
    return {role: colour.name() for role, colour in colours.items() if isinstance(colour, QColor)}


def palette(of: Theme) -> QPalette:
    """The roles as a palette of Qt's, for what the style sheet leaves to the style."""
    role = QPalette.ColorRole
    made = QPalette()
    for name, colour in (
        (role.Window, of.bench),
        (role.WindowText, of.ink),
        (role.Base, of.paper),
        (role.AlternateBase, of.bench),
        (role.Text, of.ink),
        (role.PlaceholderText, of.soft_ink),
        (role.Button, of.bench),
        (role.ButtonText, of.ink),
        (role.BrightText, of.ink),
        (role.Light, of.paper),
        (role.Midlight, of.grid),
        (role.Mid, of.rule),
        (role.Dark, of.rule),
        (role.Shadow, of.rule),
        (role.Highlight, of.liquid),
        (role.HighlightedText, of.paper),
        (role.Accent, of.liquid),
        (role.ToolTipBase, of.paper),
        (role.ToolTipText, of.ink),
        (role.Link, of.liquid_text),
    ):
        made.setColor(name, colour)
    for name in (role.WindowText, role.Text, role.ButtonText):
        made.setColor(QPalette.ColorGroup.Disabled, name, of.soft_ink)
    return made


def _of_the_system() -> Theme:
    hints = QGuiApplication.styleHints() if QGuiApplication.instance() else None
    return DARK if hints is not None and hints.colorScheme() is Qt.ColorScheme.Dark else LIGHT
