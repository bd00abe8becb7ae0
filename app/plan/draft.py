"""A tube run as far as it is drawn: where it began, its corners, and where the next one would be."""

from dataclasses import dataclass, field

from app.plan.routing import Point, closing
from loopsim.build import Build, Layout
from loopsim.geometry import Path, Spot
from loopsim.parts import Corner, Tube

__all__ = ["TURNS", "RunDraft"]

TURNS = ("bend", "elbow", "mitre")


@dataclass
class RunDraft:
    """What the builder has drawn of a run.

    Attributes
    ----------
    build, layout, tube : Build, Layout, Tube
    begin : str
        ``"part.port"``, empty before the first click.
    corners : list of Corner
    height_mm : float or None
        Typed for the corners to come; None while the tube keeps the height of the port it begins at, and comes to
        that of the port it ends at with its last corner.
    turn : str
        Of the corners to come.
    """

    build: Build
    layout: Layout
    tube: Tube
    begin: str = ""
    corners: list[Corner] = field(default_factory=list)
    height_mm: float | None = None
    turn: str = "bend"

    @property
    def last(self) -> Point:
        """Where the next stretch begins, in plan."""
        return (self.corners[-1].x_mm, self.corners[-1].y_mm) if self.corners else self.spot(self.begin)[:2]

    @property
    def points(self) -> list[Point]:
        """The corners in plan."""
        return [(corner.x_mm, corner.y_mm) for corner in self.corners]

    @property
    def height_now(self) -> float:
        """Height of the corner to come."""
        if self.height_mm is not None:
            return self.height_mm
        return self.corners[-1].height_mm if self.corners else self.spot(self.begin).height_mm

    def spot(self, reference: str) -> Spot:
        """Where a port is."""
        return self.build.port_spot(self.layout, reference)

    def add(self, at: Point) -> None:
        """Set a corner down; one where the last one is says nothing new."""
        if at != self.last or (self.corners and self.height_now != self.corners[-1].height_mm):
            self.corners.append(self._corner(at))

    def rise(self, height_mm: float) -> None:
        """Straight up or down from the last corner; before the first one, the height of the run to come."""
        self.height_mm = height_mm
        if self.corners:
            self.add(self.last)

    def take_back(self) -> None:
        """The last corner was none."""
        if self.corners:
            self.corners.pop()

    def next_turn(self) -> None:
        """Bend, elbow, mitre, bend: for the last corner, and those to come."""
        self.turn = TURNS[(TURNS.index(self.turn) + 1) % len(TURNS)]
        if self.corners:
            self.corners[-1] = self.corners[-1].with_values(turn=self.turn)

    def ended(self, end: str, is_free: bool) -> list[Corner]:
        """All corners of the run if it ended at a port, with those it needs to arrive there from the front."""
        facings = (self._facing(self.begin), self._facing(end))
        points = closing(self.spot(self.begin)[:2], self.points, self.spot(end)[:2], *facings, is_free)
        kept = self._kept(points)
        corners = [*kept, *(self._corner(point) for point in points if point not in self.points)]
        if corners and self.height_mm is None:
            corners[-1] = corners[-1].with_values(height_mm=self.spot(end).height_mm)
        return corners

    def path_to(self, at: Point) -> Path:
        """The centre line if it went on to a place."""
        return self.path(self.corners, Spot(*at, self.height_now))

    def path(self, corners: list[Corner], end: Spot) -> Path:
        """The centre line over corners to an end."""
        radii = [self.tube.least_radius_mm if corner.turn == "bend" else 0.0 for corner in corners]
        return Path([self.spot(self.begin), *(corner.spot for corner in corners), end], radii)

    def _kept(self, points: list[Point]) -> list[Corner]:
        """The corners drawn, without a last one that lies on the way to the next, unless its height matters."""
        is_on_the_way = bool(self.corners) and self.points[-1] not in points
        before = self.corners[-2].height_mm if len(self.corners) > 1 else self.spot(self.begin).height_mm
        return self.corners[:-1] if is_on_the_way and self.corners[-1].height_mm == before else [*self.corners]

    def _corner(self, at: Point) -> Corner:
        return Corner(x_mm=at[0], y_mm=at[1], height_mm=self.height_now, turn=self.turn)

    def _facing(self, reference: str) -> float:
        part, port = self.build.port(reference)
        return self.layout.placement(part.id).place_of(part).facing(port.facing_deg)
