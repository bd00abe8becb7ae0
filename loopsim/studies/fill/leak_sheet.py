"""The leak test sheet of a layout: how much pressure, what the readings say."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from loopsim.build import Build, BuildCoolant, Layout, LeakRecord
from loopsim.network import HeightGraph, height_graph
from loopsim.studies.fill.circuit_coolant import coolant_at
from loopsim.studies.fill.leak import USUAL_TEST_PRESSURE, LeakTest, air_test_pressure, expected_pressure, leak_test
from loopsim.studies.fill.places import millimetres, where
from loopsim.studies.fill.results import Where
from loopsim.studies.sentence import datum, quantity, read_marks
from loopsim.units import GRAVITY, to_si

__all__ = ["LeakSheet", "leak_sheet"]

_OTHER = {"fell": "rose", "rose": "fell"}

SHORT_TEST = 15 * 60.0  # a shorter wait hides slow leaks behind the settling of soft tube; common practice [s]


@dataclass(frozen=True)
class LeakSheet:
    """How to test a layout for leaks with air, and what a test said.

    Attributes
    ----------
    pressure : float
        To test with, gauge [Pa].
    weakest : str or None
        Name of the part with the lowest rating; None where no part states one.
    rating : float or None
        Of that part [Pa].
    lowest : Where or None
        Where the static pressure of the coolant is highest; None in an empty layout.
    column : float
        Of coolant above that place [m].
    per_kelvin : float
        By how much the gauge rises for each kelvin, at that pressure in a dry loop [Pa/K].
    record : LeakRecord or None
        The readings.
    result : LeakTest or None
        What they say.
    sentences : tuple of str
    """

    pressure: float
    weakest: str | None
    rating: float | None
    lowest: Where | None
    column: float
    per_kelvin: float
    record: LeakRecord | None
    result: LeakTest | None
    sentences: tuple[str, ...]

    def __post_init__(self) -> None:
        read_marks(self, "sentences")


def leak_sheet(build: Build, layout_name: str | None = None, record: LeakRecord | None = None) -> LeakSheet:
    """The sheet, with readings where there are any.

    Parameters
    ----------
    build : Build
    layout_name : str, optional
        The first layout if not given.
    record : LeakRecord, optional
        The layout's own if not given.

    Raises
    ------
    SketchError
        If there is no such layout.
    """
    layout = build.layout(layout_name)
    record = record or layout.leak_record
    graph = height_graph(build, layout)
    rated = [build.part(each) for each in layout.placements if build.part(each).rating_kpa is not None]
    weakest = min(rated, key=lambda part: part.rating_kpa or 0.0, default=None)
    rating = None if weakest is None else to_si(weakest.rating_kpa or 0.0, "kpa")
    lowest, column = _lowest(build, layout, graph)
    is_wet = record is not None and record.is_wet
    coolant = _coolant(build, layout, graph, lowest)
    density = coolant.medium.at(build.ambient.temperature_c).density
    ratings = [] if rating is None else [rating]
    pressure = air_test_pressure(ratings, column if is_wet else 0.0, density)
    at_room = build.ambient.temperature_c
    drift = expected_pressure(pressure, at_room, at_room + 1, build.ambient.pressure) - pressure
    result = None if record is None else _read(build, graph, record, coolant)
    name = None if weakest is None else weakest.name
    sheet = LeakSheet(pressure, name, rating, lowest, column, drift, record, result, ())
    return replace(sheet, sentences=tuple(_sentences(sheet, density)))


def _lowest(build: Build, layout: Layout, graph: HeightGraph) -> tuple[Where | None, float]:
    """The lowest place, and the coolant above it up to the highest level as drawn."""
    if not graph.names:
        return None, 0.0
    heights = graph.heights()
    wet = heights[graph.ends[graph.liquid > 0]]
    place = int(heights.argmin())
    top = float(wet.max()) if wet.size else float(heights[place])
    return where(graph, build, layout, place), top - float(heights[place])


def _coolant(build: Build, layout: Layout, graph: HeightGraph, lowest: Where | None) -> BuildCoolant:
    """That of the circuit which lies lowest."""
    return build.coolant if lowest is None else coolant_at(build, layout, graph, graph.number[lowest.place])


def _read(build: Build, graph: HeightGraph, record: LeakRecord, inside: BuildCoolant) -> LeakTest:
    coolant = inside.medium if record.is_wet else None
    volume = float((graph.volume - graph.liquid).sum() if record.is_wet else graph.volume.sum())
    ambient = build.ambient.pressure if record.start_air_kpa is None else to_si(record.start_air_kpa, "kpa")
    return leak_test(
        to_si(record.start_bar, "bar"),
        to_si(record.end_bar, "bar"),
        record.start_c,
        record.end_c,
        ambient,
        None if record.end_air_kpa is None else to_si(record.end_air_kpa, "kpa"),
        coolant,
        volume if volume > 0 else None,
        None if record.lasted_minutes is None else to_si(record.lasted_minutes, "minutes"),
    )


def _sentences(sheet: LeakSheet, density: float) -> Iterator[str]:
    yield (
        f"Test with air at {quantity(sheet.pressure, 'bar', 2)} at most: {_why(sheet)}. What the makers of the "
        "parts say goes before this"
    )
    if sheet.lowest is not None:
        static = quantity(density * GRAVITY * sheet.column, "bar", 3)
        yield (
            f"Full of coolant at rest, the highest static pressure sits at {sheet.lowest.name}, {static} under "
            f"{millimetres(sheet.column)} of it"
        )
    yield f"Warming by {datum(1.0, 'k')} raises the gauge by {quantity(sheet.per_kelvin, 'bar', 4)} in a dry loop"
    if sheet.record is not None and sheet.result is not None:
        yield from _readings(sheet.record, sheet.result, sheet.pressure)


def _why(sheet: LeakSheet) -> str:
    usual = f"{quantity(USUAL_TEST_PRESSURE, 'bar', 1)} for a whole loop is usual (common practice)"
    if sheet.weakest is None or sheet.rating is None:
        return f"{usual}, and no part states a rating"
    return f"{sheet.weakest} is rated for {quantity(sheet.rating, 'bar', 2)}, {usual}"


def _reading(pressure_bar: float) -> str:
    return quantity(to_si(pressure_bar, "bar"), "bar", 3)


def _readings(record: LeakRecord, result: LeakTest, most: float) -> Iterator[str]:
    yield (
        f"Read {_reading(record.start_bar)} at {datum(record.start_c, 'c')}, then {_reading(record.end_bar)} at "
        f"{datum(record.end_c, 'c')}; {quantity(result.expected, 'bar', 3)} are expected without a leak, "
        f"{quantity(result.allowed, 'bar', 3)} may hide in reading errors and soft tube: {result.verdict}"
    )
    if result.by_barometer:
        way = "fell" if result.by_barometer > 0 else "rose"
        change = quantity(abs(result.by_barometer), "bar", 4)
        yield f"The room's pressure {way} by {change} meanwhile, and so the gauge {_OTHER[way]} by as much"
    if result.leak is not None:
        yield f"That is {result.leak:.2g} Pa m³/s, where it is more than the errors of reading"
    if to_si(record.start_bar, "bar") > most * 1.001:
        yield "The test was made above the pressure proposed here"
    if record.lasted_minutes is not None and to_si(record.lasted_minutes, "minutes") < SHORT_TEST:
        yield "Less than a quarter of an hour hides slow leaks: test longer (common practice)"
