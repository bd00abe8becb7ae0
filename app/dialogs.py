"""Questions that only the builder can answer. Tests put their own answers in place of these."""

from enum import Enum
from pathlib import Path

from PySide6.QtWidgets import QDialog, QFileDialog, QMessageBox, QWidget

from loopsim.build import FILE_ENDING, Build

__all__ = ["Dialogs", "Foreign", "Unsaved"]

_BUILDS = f"Builds (*{FILE_ENDING});;All files (*)"
_DRAWINGS = "Pictures and drawings (*.png *.jpg *.jpeg *.bmp *.svg *.dxf);;All files (*)"


class Unsaved(Enum):
    """What is to become of edits that are not saved."""

    SAVE = "save"
    DISCARD = "discard"
    CANCEL = "cancel"


class Foreign(Enum):
    """What is to become of a file that somebody else has written since it was opened."""

    OVERWRITE = "overwrite"
    ELSEWHERE = "elsewhere"
    CANCEL = "cancel"


class Dialogs:
    """Asks with the system's own dialogs, over `window`."""

    def __init__(self, window: QWidget | None = None) -> None:
        self.window = window

    def unsaved(self, name: str) -> Unsaved:
        """What to do with the edits of the open build."""
        button = QMessageBox.StandardButton
        answer = QMessageBox.question(
            self.window,
            "Unsaved edits",
            f"“{name}” has edits that are not saved. Save them?",
            button.Save | button.Discard | button.Cancel,
            button.Save,
        )
        return {button.Save: Unsaved.SAVE, button.Discard: Unsaved.DISCARD}.get(answer, Unsaved.CANCEL)

    def new_build(self) -> Build | None:
        """The room that a new build has."""
        from app.new_build import NewBuild

        page = NewBuild(self.window)
        return page.build if page.exec() == QDialog.DialogCode.Accepted else None

    def foreign_edits(self, path: Path) -> Foreign:
        """Whether to write over what somebody else has saved."""
        box = QMessageBox(self.window)
        box.setIcon(QMessageBox.Icon.Warning)
        box.setWindowTitle("Changed on disk")
        box.setText(f"{path.name} was changed on disk by something else since it was opened here.")
        box.setInformativeText("Saving here would write over those changes.")
        elsewhere = box.addButton("Save under another name", QMessageBox.ButtonRole.AcceptRole)
        overwrite = box.addButton("Write over them", QMessageBox.ButtonRole.DestructiveRole)
        box.addButton(QMessageBox.StandardButton.Cancel)
        box.setDefaultButton(elsewhere)
        box.exec()
        answers = {elsewhere: Foreign.ELSEWHERE, overwrite: Foreign.OVERWRITE}
        return answers.get(box.clickedButton(), Foreign.CANCEL)

    def open_path(self, folder: Path) -> Path | None:
        """Which file to open."""
        name, _ = QFileDialog.getOpenFileName(self.window, "Open a build", str(folder), _BUILDS)
        return Path(name) if name else None

    def drawing_path(self, folder: Path) -> Path | None:
        """Which picture or drawing to lay under the plan."""
        name, _ = QFileDialog.getOpenFileName(self.window, "Lay a drawing under the plan", str(folder), _DRAWINGS)
        return Path(name) if name else None

    def save_path(self, suggested: Path) -> Path | None:
        """Where to save the build."""
        name, _ = QFileDialog.getSaveFileName(self.window, "Save the build as", str(suggested), _BUILDS)
        return _with_ending(Path(name), FILE_ENDING) if name else None

    def print_path(self, suggested: Path) -> Path | None:
        """Where to write the plan at true size."""
        name, _ = QFileDialog.getSaveFileName(self.window, "Print the plan at true size", str(suggested), "PDF (*.pdf)")
        return _with_ending(Path(name), ".pdf") if name else None

    def export_path(self, suggested: Path) -> Path | None:
        """Where to write the report; the ending chooses its kind."""
        kinds = {".html": "HTML (*.html)", ".pdf": "PDF (*.pdf)", ".md": "Markdown (*.md)"}
        first = kinds.get(suggested.suffix, kinds[".html"])
        name, chosen = QFileDialog.getSaveFileName(
            self.window, "Write the report", str(suggested), ";;".join(kinds.values()), first
        )
        if not name:
            return None
        path = Path(name)
        ending = next((ending for ending, kind in kinds.items() if kind == chosen), ".html")
        return path if path.suffix.lower() in kinds else path.with_name(path.name + ending)


def _with_ending(path: Path, ending: str) -> Path:
    return path if path.name.lower().endswith((ending, ".json")) else path.with_name(path.name + ending)
