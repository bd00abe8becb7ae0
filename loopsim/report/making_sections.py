"""Sections for the bench: parts list, cut list, coolant to mix."""

from loopsim.build import Build, Layout
from loopsim.parts import TubeRun
from loopsim.report.content import Block, Column, Paragraph, Section, Table
from loopsim.report.inventory import CUTTING_ALLOWANCE, Cut, Stock, part_classes, placed_parts, stocks
from loopsim.report.text import significant
from loopsim.report.words import Namer, data_words

__all__ = ["coolant_volume", "cut_list", "parts_list"]


def parts_list(build: Build, layout: Layout) -> Section:
    """Parts, alike ones on one line."""
    columns = (
        Column("count", number=True),
        Column("kind"),
        Column("name"),
        Column("size: length × width × height", "mm"),
        Column("data"),
    )
    rows = [
        (str(len(alike.parts)), part.title, alike.names, _size(part.length_mm, part.width_mm, part.height_mm), data)
        for alike in part_classes(build, layout)
        for part, data in [(alike.parts[0], data_words(alike.provenance))]
    ]
    return Section("Parts list", (Table(columns, tuple(rows), "Parts of this layout"),))


def _size(*lengths_mm: float) -> str:
    return " × ".join(f"{length:.4g}" for length in lengths_mm)


def cut_list(build: Build, layout: Layout, name: Namer) -> Section:
    """One table for each tube."""
    found = stocks(build, layout)
    if not found:
        return Section("Tube cut list", (Paragraph("No tube is drawn."),))
    advice = Paragraph(
        "Lengths are those of the centre line from port plane to port plane; add what is pushed onto or into each "
        "fitting. At elbow fittings and mitres the tube is cut: the pieces run to the corner. Take off what an elbow "
        "itself is long; at a mitre cut both pieces at half the angle, with these lengths in their middle. Bend radii "
        "(r, in mm) are those of the centre line.",
        "remark",
    )
    return Section("Tube cut list", (*(block for stock in found for block in _stock_blocks(stock, name)), advice))


def _stock_blocks(stock: Stock, name: Namer) -> tuple[Block, ...]:
    columns = (
        Column("run"),
        Column("from"),
        Column("to"),
        Column("length", "mm", number=True),
        Column("pieces", "mm"),
        Column("bends"),
        Column("elbows", number=True),
        Column("mitres", number=True),
    )
    tube = stock.tube
    turns = _counts(sum(cut.elbows for cut in stock.cuts), sum(cut.mitres for cut in stock.cuts))
    total = ("total", "", "", f"{stock.length_mm:.0f}", "", "", *turns)
    buy = Paragraph(
        f"To buy: {stock.to_buy_mm / 1000:.1f} m, with {100 * CUTTING_ALLOWANCE:.0f} % for cutting waste "
        "(common practice), rounded up to 0.1 m.",
        "plain",
    )
    caption = f"{tube.name}: bore {tube.bore_mm:g} mm, outside {tube.outer_mm:g} mm"
    return Table(columns, tuple(_cut_row(cut, name) for cut in stock.cuts), caption, total), buy


def _cut_row(cut: Cut, name: Namer) -> tuple[str, ...]:
    pieces = " + ".join(f"{piece:.0f}" for piece in cut.pieces_mm) if len(cut.pieces_mm) > 1 else "–"
    length, turns = f"{cut.length_mm:.0f}", _counts(cut.elbows, cut.mitres)
    return name.item(cut.run.id), *name.ends(cut.run), length, pieces, cut.bends_in_words or "–", *turns


def _counts(*numbers: int) -> tuple[str, ...]:
    return tuple(str(number) if number else "–" for number in numbers)


def coolant_volume(build: Build, layout: Layout, name: Namer) -> Section:
    """Coolant in every part and run, and in all."""
    volumes = [(part.name, part.title, part.coolant_ml) for part in placed_parts(build, layout)]
    volumes += [
        (name.item(cut.run.id), TubeRun.title, TubeRun.coolant_ml(stock.tube, cut.path))
        for stock in stocks(build, layout)
        for cut in stock.cuts
    ]
    total_ml = sum(volume for _, _, volume in volumes)
    columns = (Column("part"), Column("kind"), Column("volume", "mL", number=True))
    rows = tuple((label, kind, f"{volume:.1f}") for label, kind, volume in volumes if volume > 0)
    table = Table(columns, rows, "Coolant inside", ("total", "", f"{total_ml:.1f}"))
    words = f"In all {significant(total_ml)} mL ({significant(total_ml / 1000)} L). {_recipe(build, total_ml)}"
    return Section("Coolant volume", (Paragraph(words.strip()), table))


def _recipe(build: Build, total_ml: float) -> str:
    """Mass of glycol in the fill, where there is any."""
    coolant = build.coolant
    if not coolant.glycol_mass_fraction:
        return ""
    mass_kg = total_ml * 1e-6 * coolant.state.density
    glycol_kg = mass_kg * coolant.glycol_mass_fraction
    return (
        f"By mass: {significant(glycol_kg)} kg of {coolant.kind.replace('_', ' ')} and "
        f"{significant(mass_kg - glycol_kg)} kg of water."
    )
