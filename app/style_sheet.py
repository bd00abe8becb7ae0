"""The style sheet: thin rules, no boxes in boxes, every control at least 24 px high."""

from string import Template

__all__ = ["style_sheet"]

_SHEET = Template("""
QMainWindow, QDialog, QMessageBox { background: $bench; }
QDialogButtonBox { dialogbuttonbox-buttons-have-icons: 0; }
QToolTip { background: $paper; color: $ink; border: 1px solid $rule; padding: 4px 8px; }

QMenuBar { background: $bench; color: $ink; }
QMenuBar::item { background: transparent; padding: 4px 8px; }
QMenuBar::item:selected, QMenu::item:selected { background: $chosen; color: $ink; }
QMenu { background: $paper; color: $ink; border: 1px solid $rule; padding: 4px 0; }
QMenu::item { padding: 5px 24px 5px 24px; }
QMenu::item:disabled { color: $soft_ink; }
QMenu::separator { height: 1px; background: $rule; margin: 4px 0; }

QLineEdit, QComboBox { background: $paper; color: $ink; border: 1px solid $rule; border-radius: 3px;
    padding: 1px 6px; min-height: 22px; selection-background-color: $liquid; selection-color: $paper; }
QLineEdit:focus, QComboBox:focus, QTableView:focus { border: 1px solid $liquid; }
QLineEdit[refused="true"] { border: 1px solid $rust; }
QLineEdit:read-only { background: $bench; }
QComboBox::drop-down { border: none; width: 20px; }
QComboBox::down-arrow { image: none; width: 0; height: 0; border-left: 4px solid $paper; border-right: 4px solid $paper;
    border-top: 5px solid $soft_ink; margin-right: 6px; }
QComboBox QAbstractItemView { background: $paper; color: $ink; border: 1px solid $rule;
    selection-background-color: $chosen; selection-color: $ink; }
QCheckBox { min-height: 24px; spacing: 8px; color: $ink; }

QPushButton { background: $paper; color: $ink; border: 1px solid $rule; border-radius: 3px;
    padding: 1px 12px; min-height: 24px; }
QPushButton:hover, QPushButton:focus { border: 1px solid $liquid; }
QPushButton:pressed { background: $chosen; }
QPushButton:disabled { color: $soft_ink; }
QPushButton[flat="true"] { background: transparent; border: none; color: $liquid_text; padding: 1px 4px; }
QPushButton[flat="true"]:hover, QPushButton[flat="true"]:focus { text-decoration: underline; }

QTableView { background: transparent; color: $ink; border: 1px solid transparent; gridline-color: $rule;
    selection-background-color: $chosen; selection-color: $ink; }
QTableView::item { border: none; border-bottom: 1px solid $rule; padding: 0 4px; }
QTableView::item:selected { background: $chosen; color: $ink; }
QTableView::item:focus { border-bottom: 1px solid $liquid; }
QTableWidget { background: $paper; border: 1px solid $rule; border-radius: 3px; }
QTableView QLineEdit, QTableView QComboBox { border-radius: 0; padding: 0 3px; min-height: 0; }
QHeaderView, QHeaderView::section { background: transparent; color: $soft_ink; border: none; padding: 4px 4px; }
QHeaderView::section { border-bottom: 1px solid $rule; padding-right: 8px; }
QHeaderView QComboBox { background: transparent; border: none; padding: 0 0 0 4px; min-height: 0; }
QHeaderView QComboBox:focus, QHeaderView QComboBox:hover { border-bottom: 1px solid $liquid; }
QTableCornerButton::section { background: transparent; border: none; }

QScrollArea { background: transparent; border: none; }
QScrollArea:focus { border: 1px solid $liquid; }
CaseList { border: 1px solid transparent; }
CaseList:focus { border: 1px solid $liquid; }
QScrollBar:vertical { background: transparent; width: 10px; margin: 0; }
QScrollBar:horizontal { background: transparent; height: 10px; margin: 0; }
QScrollBar::handle { background: $rule; border-radius: 4px; min-height: 32px; min-width: 32px; margin: 1px; }
QScrollBar::handle:hover { background: $soft_ink; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0; height: 0; }
QScrollBar::add-page, QScrollBar::sub-page { background: transparent; }
QSplitter::handle { background: $rule; }
QSplitter::handle:hover { background: $liquid; }

QLabel { background: transparent; color: $ink; }
QLabel[tone="soft"] { color: $soft_ink; }
QLabel[tone="rust"] { color: $rust_text; }
QLabel[tone="amber"] { color: $amber_text; }
QLabel[tone="band"] { color: $band_ink; }
QLabel[tone="band soft"] { color: $band_soft_ink; }
QLabel[tone="band amber"] { color: $band_amber; }
QLabel[tone="band rust"] { color: $band_rust; }

QWidget#verdict { background: $band; }
QWidget#bench, QWidget#header { background: $bench; }
QFrame[rule="true"] { background: $rule; border: none; }
QLabel#hint { background: $bench; color: $ink; border: 1px solid $rule; border-radius: 3px; padding: 4px 8px; }
QWidget#message { background: $paper; border: none; border-left: 4px solid $rust; }

QTabBar { background: transparent; qproperty-drawBase: 0; }
QTabBar::tab { background: transparent; color: $soft_ink; border: none; border-bottom: 2px solid transparent;
    padding: 4px 8px; margin: 0 2px; min-height: 24px; }
QTabBar::tab:hover { color: $ink; }
QTabBar::tab:selected { color: $ink; border-bottom: 2px solid $ink; }
QTabBar::tab:selected:focus { color: $liquid_text; background: $chosen; border-bottom: 2px solid $liquid; }
QPushButton[tab="true"] { background: transparent; color: $soft_ink; border: none; border-radius: 0;
    border-bottom: 2px solid transparent; padding: 2px 8px; min-height: 24px; }
QPushButton[tab="true"]:hover { color: $ink; }
QPushButton[tab="true"]:checked { color: $ink; border-bottom: 2px solid $ink; }
QPushButton[tab="true"]:checked:focus { color: $liquid_text; background: $chosen; border-bottom: 2px solid $liquid; }
""")


def style_sheet(colours: dict[str, str]) -> str:
    """The whole window's style sheet for the colours of a theme, by role."""
    return _SHEET.substitute(colours)
