"""Sentences that are read in either system of units. Factors: NIST Special Publication 811, appendix B."""

import copy
import json
import pickle

import pytest

from loopsim.studies.results import Finding
from loopsim.studies.sentence import Sentence, datum, figure, marked, quantity, told
from loopsim.studies.words import l_h, millilitres, millimetres
from loopsim.units import System, to_si

US = System.CUSTOMARY


@pytest.mark.parametrize(
    ("text", "si", "us"),
    [
        (l_h(to_si(228, "l_h")), "228 L/h", "1.00 US gal/min"),
        (millilitres(to_si(35, "ml")), "35 mL", "1.18 US fl oz"),
        (millilitres(to_si(934, "ml")), "934 mL", "31.6 US fl oz"),
        (millilitres(to_si(1.04, "ml")), "1.0 mL", "0.035 US fl oz"),
        (millimetres(0.026), "26 mm", "1.02 in"),
        (quantity(77.4, "c"), "77 °C", "171 °F"),
        (quantity(-13.0, "c"), "−13 °C", "8.6 °F"),
        (quantity(3.0, "k", 1), "3.0 K", "5.4 °F"),  # a difference: 9/5, and no 32
        (quantity(77.2, "c", 1, half=6.0), "77 ± 6 °C", "171 ± 11 °F"),
        (quantity(1280.0, "kpa", 2), "1.28 kPa", "0.186 psi"),
        (quantity(50e3, "bar", 2), "0.50 bar", "7.3 psi"),
        (quantity(5.2e6, "mpa", 1), "5.2 MPa", "750 psi"),
        (quantity(7.6e6, "mpa", 1), "7.6 MPa", "1100 psi"),
        (quantity(50e3, "bar", 1), "0.5 bar", "7.3 psi"),
        (quantity(0.0, "kpa", 1), "0.0 kPa", "0.00 psi"),
        (datum(9.5, "mm"), "9.5 mm", "0.374 in"),
        (datum(62.0, "mm"), "62 mm", "2.441 in"),
        (datum(28.0, "c"), "28 °C", "82.4 °F"),
        (datum(-10.0, "c"), "−10 °C", "14 °F"),
        (datum(1.0, "k"), "1 K", "1.8 °F"),
    ],
)
def test_a_quantity_reads_as_its_reader_measures(text: str, si: str, us: str) -> None:
    sentence = Sentence(f"{text} there")
    assert sentence == f"{si} there"
    assert told(sentence, System.SI) == f"{si} there"
    assert told(sentence, US) == f"{us} there"


def test_a_range_says_its_unit_once() -> None:
    text = Sentence(f"{figure(0.42, 'm_s', 2)} to {quantity(0.6, 'm_s', 2)}")
    assert text == "0.42 to 0.60 m/s"
    assert told(text, US) == "1.38 to 1.97 ft/s"


def test_a_sentence_may_stand_in_another_one() -> None:
    inner = Sentence(f"Lamp reaches {quantity(78.0, 'c')}")
    outer = Sentence(f"full duty: {marked(inner)}, in {marked('plain words')}")
    assert outer == "full duty: Lamp reaches 78 °C, in plain words"
    assert told(outer, US) == "full duty: Lamp reaches 172 °F, in plain words"
    assert told(Sentence(inner), US) == told(inner, US)


def test_what_is_made_of_a_sentence_is_plain_text_in_si() -> None:
    sentence = Sentence(f"level at {quantity(0.044, 'mm')}")
    assert f"{sentence}." == "level at 44 mm."
    assert sentence[:5] + sentence[5:] == "level at 44 mm"
    assert json.loads(json.dumps({"text": sentence})) == {"text": "level at 44 mm"}


@pytest.mark.parametrize("again", [lambda each: pickle.loads(pickle.dumps(each)), copy.copy, copy.deepcopy])
def test_a_sentence_keeps_its_quantities_on_the_way_to_another_process(again) -> None:
    sentence = again(Sentence(f"level at {quantity(0.044, 'mm')}"))
    assert told(sentence, US) == "level at 1.73 in"


def test_a_finding_is_told_in_either_system_and_is_the_same_finding() -> None:
    found = Finding("rating", "pump", f"{quantity(300e3, 'kpa')} inside", remedy=f"keep {quantity(200e3, 'kpa')}")
    assert (told(found.text, US), told(found.remedy, US)) == ("43.5 psi inside", "keep 29.0 psi")
    assert found == Finding("rating", "pump", "300 kPa inside", remedy="keep 200 kPa")


@pytest.mark.parametrize(
    "inside", ["", "figure x", "unit x", "unit mm mm", "figure mm a b c", "figure x 1 1 1", "typed mm"]
)
def test_a_name_that_holds_the_marks_own_characters_does_no_harm(inside: str) -> None:
    text = Sentence(f"a \ufdd0{inside}\ufdd1 pump, {quantity(0.044, 'mm')}")
    assert text.endswith(" pump, 44 mm")
    assert told(text, US).endswith(" pump, 1.73 in")


def test_plain_text_is_told_as_it_is() -> None:
    assert told("plain", US) == "plain"
