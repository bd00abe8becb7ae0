"""What lies between a part's ports: places inside with heights, and the stretches of liquid that join them."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Literal

from loopsim.geometry import Spot

__all__ = ["InnerPath", "Inside", "Passages", "bore_mm2", "bowl", "shared_out", "straight"]

Opening = Literal["vented", "capped"]

HALF = 0.5  # share of a bowl's coolant on the way between its ports; the rest lies around it, a guess


@dataclass(frozen=True, slots=True)
class InnerPath:
    """One stretch of liquid inside a part, straight between two of its ports or inner places.

    Attributes
    ----------
    start, end : str
        Ports, or places inside.
    volume_ml : float
        Coolant that it holds when full.
    bore_mm : float
        Hydraulic diameter of one passage.
    area_mm2 : float
        Free area of all passages that it stands for.
    way : str or None
        Name of the part's flow path that must be open for liquid to pass here; None where nothing can shut it.
    length_mm : float or None
        Along its centre line; None: the straight line.
    holds_air : bool
        True above a free surface.
    """

    start: str
    end: str
    volume_ml: float
    bore_mm: float
    area_mm2: float
    way: str | None = None
    length_mm: float | None = None
    holds_air: bool = False


@dataclass(frozen=True)
class Inside:
    """The inside of a part.

    Attributes
    ----------
    paths : tuple of InnerPath
    places : mapping of str to Spot
        Places other than ports, by name, in the part's own axes [mm].
    openings : mapping of str to str
        Places where air can come and go: ``"vented"`` always, ``"capped"`` while the cap is off.
    """

    paths: tuple[InnerPath, ...] = ()
    places: Mapping[str, Spot] = field(default_factory=dict)
    openings: Mapping[str, Opening] = field(default_factory=dict)


def bore_mm2(bore_mm: float) -> float:
    """Area of a round bore [mm2]."""
    return math.pi / 4 * bore_mm**2


def straight(start: str, end: str, bore_mm: float, way: str | None = None) -> InnerPath:
    """A round bore from place to place; its volume is still to be shared out."""
    return InnerPath(start, end, 0.0, bore_mm, bore_mm2(bore_mm), way)


def shared_out(paths: Sequence[InnerPath], spots: Mapping[str, Spot], volume_ml: float) -> tuple[InnerPath, ...]:
    """The same stretches with a part's coolant shared out among them in proportion to area and length."""
    weights = [path.area_mm2 * math.dist(spots[path.start], spots[path.end]) for path in paths]
    whole = sum(weights)
    shares = [weight / whole if whole > 0 else 1 / len(paths) for weight in weights]
    return tuple(replace(path, volume_ml=volume_ml * share) for path, share in zip(paths, shares, strict=True))


def bowl(
    ports: Mapping[str, float], volume_ml: float, middle: Spot, top_mm: float, low_mm: float, side_mm: float
) -> Inside:
    """A round body around the way from port to port, as that of a pump or a filter.

    Parameters
    ----------
    ports : mapping of str to float
        Bore of each port by its name [mm].
    volume_ml : float
    middle : Spot
        Through which the way leads.
    top_mm, low_mm, side_mm : float
        How far it reaches above and below: heights above the underside; and to each side.
    """
    up, down = middle._replace(height_mm=max(top_mm, middle.height_mm)), middle._replace(height_mm=low_mm)
    ends = {"top": up, "bottom": down, "left": middle._replace(y_mm=side_mm), "right": middle._replace(y_mm=-side_mm)}
    on_way, around = HALF * volume_ml / len(ports), (1 - HALF) * volume_ml / len(ends)
    through = [replace(straight(name, "middle", bore), volume_ml=on_way) for name, bore in ports.items()]
    wide = 2 * max(math.dist(spot, middle) for spot in ends.values())
    area = max(bore_mm2(wide), bore_mm2(min(ports.values())))
    aside = [InnerPath("middle", name, around, wide, area) for name in ends]
    return Inside((*through, *aside), {"middle": middle, **ends})


@dataclass(frozen=True, slots=True)
class Passages:
    """Tubes or channels between two headers.

    Attributes
    ----------
    volume_ml, headers_ml : float
        Coolant in all passages, and in all headers together.
    bore_mm : float
        Hydraulic diameter of one passage.
    area_mm2 : float
        Free area of all passages that run side by side.
    header_bore_mm, header_mm2 : float
        The same of a header.
    half_width_mm : float
        Reach of a whole header from the middle line to each side.
    heights_mm : tuple of float
        Above the underside: lowest and highest passage, or one value where all are level.
    """

    volume_ml: float
    headers_ml: float
    bore_mm: float
    area_mm2: float
    header_bore_mm: float
    header_mm2: float
    half_width_mm: float
    heights_mm: tuple[float, ...]

    def inside(self, ports: Mapping[str, Spot], bore_mm: float, near_mm: float, far_mm: float) -> Inside:
        """The way from the first port to the second.

        With a port at each end, from one header through all passages to the other. With both ports at one end, from
        one half of the near header to the far one and back to the other half.

        Parameters
        ----------
        ports : mapping of str to Spot
            Two of them, in the part's own axes [mm].
        bore_mm : float
        near_mm, far_mm : float
            Where the headers lie along the part's own x.
        """
        (first, first_spot), (second, second_spot) = ports.items()
        wide = self.half_width_mm
        sides: dict[str, tuple[float, tuple[float, ...]]]
        left, right = (wide, 0.0), (0.0, -wide)
        if first_spot.x_mm != second_spot.x_mm:
            sides = {first: (near_mm, (wide, -wide)), second: (far_mm, (wide, -wide))}
            joins = [(first, second, (wide, -wide))]
        else:
            sides = {first: (near_mm, left), second: (near_mm, right), "far": (far_mm, (wide, 0.0, -wide))}
            joins = [(first, "far", left), (second, "far", right)]
        places: dict[str, Spot] = {}
        paths = [straight(port, f"{port}_header", bore_mm) for port in ports]
        for name, (x, reach) in sides.items():
            paths += self._header(name, x, reach, self.headers_ml / len(sides), places)
        for start, end, reach in joins:
            paths += self._between(start, end, reach, len(joins))
        return Inside(tuple(paths), places)

    def _header(
        self, name: str, x: float, reach: tuple[float, ...], volume_ml: float, places: dict[str, Spot]
    ) -> list[InnerPath]:
        """From the middle of a header to each of its corners, and along its crown and floor from corner to corner.

        Half of it lies above the middle however it lies, as in a box.
        """
        middle = Spot(x, sum(reach) / len(reach), sum(self.heights_mm) / len(self.heights_mm))
        rows = [[(self._corner(name, y, z), Spot(x, y, z)) for y in reach] for z in self.heights_mm]
        places[f"{name}_header"] = middle
        places.update(corner for row in rows for corner in row)
        corners = [corner for row in rows for corner, _ in row]
        sizes = self.header_bore_mm, self.header_mm2
        share = volume_ml / len(corners), self.header_bore_mm, self.header_mm2 / len(reach)
        spokes = [InnerPath(f"{name}_header", corner, *share) for corner in corners]
        edges = [pair for line in (*rows, *zip(*rows, strict=True)) for pair in pairwise(line)]
        return [*spokes, *(InnerPath(one, other, 0.0, *sizes) for (one, _), (other, _) in edges)]

    def _between(self, start: str, end: str, reach: tuple[float, ...], passes: int) -> list[InnerPath]:
        rows = [(y, z) for y in reach for z in self.heights_mm]
        count = len(rows) * passes
        return [
            InnerPath(
                self._corner(start, y, z),
                self._corner(end, y, z),
                self.volume_ml / count,
                self.bore_mm,
                self.area_mm2 / count,
                "",
            )
            for y, z in rows
        ]

    def _corner(self, header: str, y_mm: float, z_mm: float) -> str:
        """Its name, such as ``"a_left_high"``."""
        side = "left" if y_mm > 0 else "right" if y_mm < 0 else "mid"
        height = "" if len(self.heights_mm) == 1 else "_low" if z_mm == self.heights_mm[0] else "_high"
        return f"{header}_{side}{height}"
