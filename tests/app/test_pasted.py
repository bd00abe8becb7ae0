"""What builders paste: from spreadsheets, from makers' sheets, from other tables, in their own units and signs."""

import pytest

from app.pasted import pasted_from
from app.pasted_columns import fitted
from app.typed import figure
from loopsim.curves import DropPoint, HeadPoint
from loopsim.fields import describe
from loopsim.parts import Corner, KvPoint

HEAD, DROP, KV, CORNER = describe(HeadPoint), describe(DropPoint), describe(KvPoint), describe(Corner)


def taken(text: str, columns=HEAD) -> tuple[list[list[str]], list[str | None], str]:
    """Rows, unit labels and note that a table of these columns takes from a pasted text."""
    found = fitted(pasted_from(text), columns)
    return found.rows, [unit.label if unit else None for unit in found.units], found.note


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("3,5", 3.5),
        ("3.5", 3.5),
        ("1\u2009200", 1200.0),
        ("1 200,5", 1200.5),
        ("1.200,5", 1200.5),
        ("1,200.5", 1200.5),
        ("1'200.5", 1200.5),
        ("−0,25", -0.25),
        ("2e3", 2000.0),
    ],
)
def test_a_number_is_read_in_the_signs_of_its_country(text: str, number: float) -> None:
    assert figure(text) == number


@pytest.mark.parametrize("text", ["", "x", "1,2,3.4.5", "inf", "nan", "1/2"])
def test_what_is_no_finite_number_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r".*"):
        figure(text)


@pytest.mark.parametrize(
    ("heading", "unit"),
    [
        ("Flow (L/min)", "L/min"),
        ("flow [m3/h]", "m³/h"),
        ("Flow, US gal/min", "US gal/min"),
        ("Flow rate in l/h", "L/h"),
        ("Flow / mL/s", "mL/s"),
        ("FLOW GPM", "US gal/min"),
        ("Flow", None),
    ],
)
def test_a_heading_names_its_unit(heading: str, unit: str | None) -> None:
    rows, units, note = taken(f"{heading}\tHead\n0\t4\n10\t3")
    assert (rows, units, note) == ([["0", "4"], ["10", "3"]], [unit, None], "")


def test_units_may_stand_in_a_line_of_their_own() -> None:
    assert taken("Flow\tHead\nL/min\tft\n0\t13\n5\t9")[1] == ["L/min", "ft"]


def test_units_may_stand_in_the_cells() -> None:
    rows, units, _ = taken("0 L/min;400 mbar\n5 L/min;250 mbar")
    assert (rows, units) == ([["0", "400"], ["5", "250"]], ["L/min", "mbar"])


def test_headings_sort_columns_and_leave_others_out() -> None:
    rows, units, note = taken("Head (ft)\tPower (W)\tFlow (gpm)\n13\t10\t0\n9\t12\t1.5")
    assert (rows, units) == ([["0", "13"], ["1.5", "9"]], ["US gal/min", "ft"])
    assert note == "left out: “Power (W)”"


def test_a_column_is_known_by_its_unit_where_its_name_is_another() -> None:
    rows, units, _ = taken("No.;Δp [psi];Durchfluss [l/min]\n1;0,5;2\n2;1,8;4", DROP)
    assert (rows, units) == ([["2", "0,5"], ["4", "1,8"]], ["L/min", "psi"])


def test_headings_parted_by_blanks_keep_their_units() -> None:
    assert taken("Flow (L/min) Head (m)\n0 4.1\n5 3.0")[1] == ["L/min", "m"]
    assert taken("Flow rate (L/min), Head (m)\n0, 4.1\n5, 3.0")[1] == ["L/min", "m"]
    assert taken("Flow L/min Head m\n0 4.1\n5 3.0")[1] == ["L/min", "m"]


def test_headings_that_cannot_be_parted_are_told() -> None:
    assert taken("Flow rate L/min Head m\n0 4.1\n5 3.0")[1:] == ([None, None], "left out: “Flow rate L/min Head m”")


def test_a_title_above_the_table_does_no_harm() -> None:
    rows, units, note = taken("Pump at 12 V\nFlow (L/h)\tHead (m)\n0\t4\n100\t3")
    assert (rows, units, note) == ([["0", "4"], ["100", "3"]], ["L/h", "m"], "left out: “Pump at 12 V”")


@pytest.mark.parametrize(
    ("text", "rows"),
    [
        ("1,200\t3.5\n2,400\t2.0", [["1200", "3.5"], ["2400", "2.0"]]),
        ("1.200;3,5\n2.400;2,0", [["1200", "3,5"], ["2400", "2,0"]]),
        ("1\u202f200 3,5\n2\u202f400 2,0", [["1200", "3,5"], ["2400", "2,0"]]),
        ("1,5\t3,25\n2,5\t2,0", [["1,5", "3,25"], ["2,5", "2,0"]]),
    ],
)
def test_thousands_are_told_from_decimals_by_the_whole_table(text: str, rows: list[list[str]]) -> None:
    assert taken(text)[0] == rows


@pytest.mark.parametrize(
    ("text", "rows"),
    [
        ("0\t4,1\r\n100\t3,95", [["0", "4,1"], ["100", "3,95"]]),
        ("flow, L/h; head, m\n0; 4.1", [["0", "4.1"]]),
        ("0, 4.1\n\n100, 3.95\n", [["0", "4.1"], ["100", "3.95"]]),
        ("0 4,1", [["0", "4,1"]]),
        ("0,4.1", [["0", "4.1"]]),
    ],
)
def test_rows_are_read_from_tabs_semicolons_blanks_and_commas(text: str, rows: list[list[str]]) -> None:
    assert taken(text)[0] == rows


def test_nothing_is_lost_of_a_short_row_or_a_remark() -> None:
    rows, _, note = taken("0\t4\n100\t\n200\t2\n* at 20 °C, own measurement")
    assert rows == [["0", "4"], ["100", ""], ["200", "2"]]
    assert note == "left out: “* at 20 °C, own measurement”"


def test_a_cell_in_another_unit_than_its_column_keeps_it() -> None:
    assert taken("Flow (L/min)\tHead (m)\n1 gpm\t4\n2\t3")[0][0] == ["1 gpm", "4"]


def test_empty_columns_and_quotation_marks_of_a_spreadsheet_do_no_harm() -> None:
    rows, units, _ = taken("\tFlow (L/min)\tHead (m)\t\n\t0\t4\t\n\t5\t3\t")
    assert (rows, units) == ([["0", "4"], ["5", "3"]], ["L/min", "m"])
    assert taken('"Flow (L/min)","Head (m)"\n"0,5","4,1"\n"1,5", "3,2"')[0] == [["0,5", "4,1"], ["1,5", "3,2"]]


def test_a_column_that_is_headed_but_empty_waits_for_its_cells() -> None:
    assert taken("Flow (L/min)\tHead (m)\n0\t\n5\t")[0] == [["0", ""], ["5", ""]]


def test_a_unit_beside_each_figure_makes_no_cell_of_its_own() -> None:
    rows, units, _ = taken("0 L/h   0.40 bar\n200 L/h 0.35 bar\n400 L/h  0.2 bar")
    assert (rows, units) == ([["0", "0.40"], ["200", "0.35"], ["400", "0.2"]], ["L/h", "bar"])


def test_an_unknown_unit_is_told() -> None:
    assert taken("Flow (hogsheads)\tHead (m)\n1\t4\n2\t3")[2] == "no unit known in “Flow (hogsheads)”"


def test_a_table_of_cv_is_known() -> None:
    assert taken("Opening (%)\tCv\n50\t1\n100\t3", [*KV[:1], *KV[1:]])[1] == ["%", "Cv"]


def test_a_single_column_has_a_heading_too() -> None:
    found = fitted(pasted_from("Cv\n1,5", commas_part=False), KV[1:])
    assert (found.rows, found.units[0].label) == ([["1,5"]], "Cv")


def test_words_in_a_table_stay_words() -> None:
    rows, units, _ = taken("x (cm)\ty (cm)\theight (mm)\tturn\n10\t20\t30\telbow", CORNER)
    assert (rows, units) == ([["10", "20", "30", "elbow"]], ["cm", "cm", "mm", None])


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "holds no rows of figures"),
        ("flow head", "holds no rows of figures"),
        ("1\t2\t3", r"has 3 columns, must be 2 \(flow, head\), or more under headings that name these"),
        ("1 2\n1 2 3\n1 2", "row 2 of what was pasted has 3 cells, must be 2"),
        ("1\n2", "has 1 column, must be 2"),
    ],
)
def test_what_does_not_fit_says_so(text: str, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        taken(text)
