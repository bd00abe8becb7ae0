"""What the advice on covers of clear plastic answers with. SI throughout; front ends convert at their edge."""

from dataclasses import dataclass
from typing import Literal

from loopsim.studies.sentence import read_marks

__all__ = ["COVER_CAUTIONS", "CoverAdvice", "CoverCheck", "CoverVerdict"]

CoverVerdict = Literal["fine", "for the test only", "change"]

COVER_CAUTIONS = (
    "Advice, not a certificate: glue, drilled holes, scratches, cleaners and heat weaken clear plastic far below its "
    "sheet value. Rely on parts rated by their makers, test with water first, behind a guard and with eye protection.",
    "Cutting, drilling and flame polishing acrylic gives splinters, dust and fumes: eye protection, mask, extraction. "
    "Anneal glued joints if you can: stress left in them crazes months later.",
)


@dataclass(frozen=True, slots=True)
class CoverCheck:
    """One thing that was looked at.

    Attributes
    ----------
    what : str
        ``"lid"``, ``"gasket squeeze"``, ...
    found : str
        What it is, with its unit.
    asked : str
        What is asked for, with its unit.
    margin : float
        How many times over it holds; below 1 it does not.
    verdict : str
        ``"fine"``; ``"for the test only"``: strong enough for minutes, not for years; ``"change"``.
    sentence, remedy : str
        The remedy is empty where it is fine.
    source : str
        Where what is asked for comes from.
    """

    what: str
    found: str
    asked: str
    margin: float
    verdict: CoverVerdict
    sentence: str
    remedy: str
    source: str

    def __post_init__(self) -> None:
        read_marks(self, "found", "asked", "sentence", "remedy")


@dataclass(frozen=True, slots=True)
class CoverAdvice:
    """All checks of one vessel or plate.

    Attributes
    ----------
    part, name : str
        Its id and name.
    material : str
    pressure : float
        Gauge, of the leak test [Pa].
    standing : float
        Gauge, when hot in a sealed loop; 0 in a vented one [Pa].
    is_guess : bool
        True where the sizes of the cover are a guess.
    checks : tuple of CoverCheck
        Empty where it is made of something else.
    """

    part: str
    name: str
    material: str
    pressure: float
    standing: float
    is_guess: bool
    checks: tuple[CoverCheck, ...]

    @property
    def verdict(self) -> CoverVerdict:
        """The worst of all."""
        verdicts = [each.verdict for each in self.checks]
        return "change" if "change" in verdicts else "for the test only" if "for the test only" in verdicts else "fine"
