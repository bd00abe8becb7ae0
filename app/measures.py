"""The units in which the window shows and reads numbers, by the builder's choice; files keep their own."""

from enum import StrEnum

from PySide6.QtCore import QLocale, QObject, Signal

from loopsim.units import UNITS, Unit, customary

__all__ = ["Measures", "System", "measures"]


class System(StrEnum):
    """What numbers are measured in."""

    SI = "SI"
    CUSTOMARY = "US customary"


class Measures(QObject):
    """The system in force.

    Signals
    -------
    changed(System)
    """

    changed = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.system = System.SI

    def choose(self, system: System) -> None:
        """Show and read everything in these units from now on."""
        if system is not self.system:
            self.system = system
            self.changed.emit(system)

    def unit(self, ending: str | None) -> Unit | None:
        """The unit shown for one that names end in, None for a number without one."""
        if not ending:
            return None
        return customary(ending) if self.system is System.CUSTOMARY else UNITS[ending]

    @staticmethod
    def of_the_system() -> System:
        """What the computer's own settings ask for."""
        imperial = QLocale.MeasurementSystem.ImperialUSSystem
        return System.CUSTOMARY if QLocale.system().measurementSystem() is imperial else System.SI


measures = Measures()
