"""Swell and clear plastic in the report."""

from pathlib import Path

from loopsim.build import Build, edits, load
from loopsim.report import Listing, Paragraph, Table
from loopsim.report.closing_sections import clear_plastic, swelling
from loopsim.studies import heat_points, operating_point
from loopsim.studies.fill import COVER_CAUTIONS, SWELL_CAUTIONS, covers, swell_sheet


def test_swell_says_cautions_first_and_every_sentence(plinth_path: Path) -> None:
    plinth = load(plinth_path)
    point, heats = operating_point(plinth), heat_points(plinth)
    section = swelling(swell_sheet(point, heats))
    assert section.blocks[0] == Listing(SWELL_CAUTIONS)
    said = [block.text for block in section.blocks if isinstance(block, Paragraph)]
    (circuit,) = swell_sheet(point, heats)
    assert [each.lower() for each in said[1:]] == [f"{each}.".lower() for each in circuit.sentences]


def test_covers_are_a_table_with_remedies_and_sources(plinth_path: Path) -> None:
    plinth = load(plinth_path)
    point = operating_point(plinth)
    (section,) = clear_plastic(point, swell_sheet(point, heat_points(plinth)))
    assert section.blocks[0] == Listing(COVER_CAUTIONS)
    (table,) = [block for block in section.blocks if isinstance(block, Table)]
    assert [row[0] for row in table.rows] == [each.what for each in covers(plinth)[0].checks]
    assert "a guess" in table.caption
    said = " ".join(block.text for block in section.blocks if isinstance(block, Paragraph))
    assert "Remedy: keep it under pressure for the test only" in said
    assert "Source: plate theory" in said


def test_a_vessel_of_something_else_gets_no_section(plinth_path: Path) -> None:
    plinth: Build = load(plinth_path)
    other = plinth.part("reservoir").cover.with_values(material="something else")
    steel = edits.change_part(plinth, "reservoir", cover=other).build
    assert clear_plastic(operating_point(steel), ()) == ()
