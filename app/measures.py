"""The units in which the window shows and reads numbers, by the builder's choice; files keep their own."""

from PySide6.QtCore import QLocale, QObject, Signal

from loopsim.units import UNITS, System, Unit, unit_in

__all__ = ["Measures", "System", "measures"]


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
        return unit_in(ending, self.system) if ending else None

    def is_own(self, ending: str | None) -> bool:
        """True where a number is shown in the very unit that its name ends in, or has none."""
        return not ending or self.unit(ending) is UNITS[ending]

    @staticmethod
    def of_the_system() -> System:
        """What the computer's own settings ask for."""
        imperial = QLocale.MeasurementSystem.ImperialUSSystem
        return System.CUSTOMARY if QLocale.system().measurementSystem() is imperial else System.SI


measures = Measures()
