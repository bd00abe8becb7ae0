"""What the window does so that no edit is lost: it keeps them, offers what was left, and says who else writes."""

from pathlib import Path

from PySide6.QtCore import QObject

from app.build_files import BuildFiles
from app.file_watch import FileWatch
from app.offer_strip import Offer, OfferStrip
from app.recovery import LeftOver, Recovery

__all__ = ["Safety"]

_CHANGED, _SHARED = "changed", "shared"


class Safety(QObject):
    """Brings recovery and file watch to the builder's notice, with what can be done."""

    def __init__(self, files: BuildFiles, offers: OfferStrip, data: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.files, self.offers, self.document = files, offers, files.document
        self.recovery = Recovery(self.document, data / "recovery", self)
        self.watch = FileWatch(self.document, data / "open", self)
        self.files.has_foreign_edits = self.watch.differs
        self.recovery.refused.connect(files.refused)
        self.watch.changed.connect(self._on_changed)
        self.watch.gone.connect(self._on_gone)
        self.watch.shared.connect(self._on_shared)
        self.document.path_changed.connect(self._on_path_changed)

    def look_back(self) -> None:
        """Offer what windows that could not close have left."""
        for left in self.recovery.left_over():
            name = left.path.name if left.path else "a build that had no file yet"
            self.offers.ask(
                Offer(
                    str(left.folder),
                    f"Unsaved edits of {name} were kept on {left.when:%x} at {left.when:%X}; the program ended before "
                    "they were saved.",
                    {
                        "Bring them back": lambda left=left: self._bring_back(left),
                        "Later": lambda: None,
                        "Throw them away": left.discard,
                    },
                )
            )

    def close(self) -> None:
        """The builder has decided about all edits."""
        self.recovery.close()
        self.watch.close()

    def _bring_back(self, left: LeftOver) -> None:
        if self.files.open_unsaved(left.build, left.path):
            self.recovery.flush()  # only then is the old copy one too many
            left.discard()

    def _on_changed(self, path: Path) -> None:
        self.offers.ask(
            Offer(
                _CHANGED,
                f"{path.name} was changed on disk by something else.",
                {"Read it again": lambda: self.files.open_path(path), "Keep what is open here": lambda: None},
            )
        )

    def _on_gone(self, path: Path) -> None:
        self.offers.ask(
            Offer(
                _CHANGED,
                f"{path.name} is no longer where it was; what is open here stays open.",
                {"Save it there again": self.files.save, "Leave it": lambda: None},
            )
        )

    def _on_shared(self, path: Path) -> None:
        self.offers.ask(
            Offer(
                _SHARED,
                f"{path.name} is open in another window too. Whichever saves last would overwrite the other.",
                {"Go on with a copy": self._go_on_with_copy, "Open it here as well": lambda: None},
            )
        )

    def _go_on_with_copy(self) -> None:
        self.document.detach()

    def _on_path_changed(self) -> None:
        """Something was opened or saved: what was said of the file before no longer holds."""
        self.offers.withdraw(_CHANGED)
        if self.watch.is_alone:
            self.offers.withdraw(_SHARED)
