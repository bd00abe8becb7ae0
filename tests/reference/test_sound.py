"""Sound of fans against published rules."""

from loopsim.parts import Fan
from loopsim.studies.heat.sound import incoherent_sum

from .conftest import Case, published


@published("so-add-two-sources")
def test_two_fans_together(case: Case) -> None:
    pairs = zip(case.given["levels_1"], case.given["levels_2"], strict=True)
    for name, pair in zip(("equal", "six_apart"), pairs, strict=True):
        case.check(name, incoherent_sum(pair))


@published("so-fan-speed-law")
def test_sound_falls_with_the_speed(case: Case) -> None:
    fan = Fan(id="f", name="F", sound_dba=40.0)
    names = ("ten_percent", "double", "half", "p1200_to_800")
    for name, speed in zip(names, case.given["speed_ratio"], strict=True):
        case.check(name, fan.sound_dba_at(speed) - 40.0)
