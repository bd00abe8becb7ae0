"""What the program remembers between two starts: files opened lately, and how the window looked."""

from pathlib import Path

from PySide6.QtCore import QObject, QSettings, Signal

__all__ = ["Recent", "data_folder", "open_settings"]

_MOST = 8
_KEY = "recent/files"


def open_settings() -> QSettings:
    """The program's settings, an ini file in the user's configuration directory."""
    import platformdirs

    return QSettings(str(Path(platformdirs.user_config_dir("loopsim")) / "window.ini"), QSettings.Format.IniFormat)


def data_folder() -> Path:
    """Where the program keeps what is the user's but no settings: unsaved edits, marks of open files."""
    import platformdirs

    return Path(platformdirs.user_data_dir("loopsim"))


class Recent(QObject):
    """Files opened or saved lately, the latest first; a file that is gone drops out."""

    changed = Signal()

    def __init__(self, settings: QSettings, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._settings = settings

    @property
    def paths(self) -> list[Path]:
        """The files that still exist."""
        known = self._settings.value(_KEY) or []
        names = [known] if isinstance(known, str) else known  # an ini file gives a list of one as its one
        return [path for path in map(Path, names) if path.is_file()]

    def add(self, path: Path) -> None:
        """Put a file first."""
        path = path.resolve()
        paths = [path, *(each for each in self.paths if each != path)][:_MOST]
        self._settings.setValue(_KEY, [str(each) for each in paths])
        self._settings.sync()
        self.changed.emit()
