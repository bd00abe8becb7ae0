"""The picture or drawing that lies under the plan, read from its file and painted to scale."""

import base64
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QByteArray, QPointF, QRectF
from PySide6.QtGui import QImage, QPainter, QPainterPath, QPen
from PySide6.QtSvg import QSvgRenderer

from app.plan.coordinates import to_scene
from app.theme import Theme
from loopsim.build import Background
from loopsim.errors import FileError

if TYPE_CHECKING:
    from ezdxf.document import Drawing

__all__ = ["KINDS", "Picture", "first_look", "read_picture"]

KINDS = {".dxf": "DXF", ".svg": "SVG"}  # every other ending is a picture
_PIXEL_MM = 25.4 / 96  # of a drawing for the screen, as the SVG standard has it
_FLATNESS = 0.1  # largest distance between a curve of a drawing and its straight pieces, in its units


@dataclass(frozen=True)
class Picture:
    """What is painted, in its own units: its lower left corner at 0, 0, y running down.

    Attributes
    ----------
    width, height : float
    unit_mm : float or None
        Size of one unit as the file itself states it; None if it does not.
    paint : callable, (QPainter, Theme) -> None
    """

    width: float
    height: float
    unit_mm: float | None
    paint: Callable[[QPainter, Theme], None]

    def show(self, painter: QPainter, lies: Background, theme: Theme) -> None:
        """Paint it where it lies, as dim as is wanted."""
        painter.save()
        painter.setOpacity(1.0 - lies.dim_percent / 100.0)
        painter.translate(to_scene(lies.x_mm, lies.y_mm))
        painter.rotate(-lies.rotation_deg)
        painter.scale(lies.mm_per_unit, lies.mm_per_unit)
        self.paint(painter, theme)
        painter.restore()


def first_look(path: Path, length_mm: float) -> Background:
    """How a file is laid under the plan at first: to the scale that it states, else as wide as the enclosure.

    Raises
    ------
    FileError
        If it cannot be read.
    """
    kind: Any = KINDS.get(path.suffix.lower(), "picture")
    found = read_picture(Background(source=str(path), kind=kind), path.parent)
    return Background(source=str(path), kind=kind, mm_per_unit=found.unit_mm or length_mm / found.width, locked=False)


def read_picture(background: Background, folder: Path) -> Picture:
    """The picture of a background; `folder` is where the build's file lies.

    Raises
    ------
    FileError
        If it is missing, or is not what it should be.
    """
    content = _content(background.source, folder)
    read = {"picture": _image, "SVG": _svg, "DXF": _dxf}[background.kind]
    found = read(content)
    if found is None or not found.width > 0 or not found.height > 0:
        raise FileError(f"{_name(background.source)}: is no {background.kind} with anything to show")
    return found


def _content(source: str, folder: Path) -> bytes:
    if source.startswith("data:"):
        try:
            return base64.b64decode(source.partition(",")[2], validate=True)
        except ValueError as error:
            raise FileError("the drawing below: its data are damaged") from error
    try:
        return (folder / source).read_bytes()
    except OSError as error:
        raise FileError(f"{_name(source)}: cannot be read ({error.strerror}); lay the drawing anew") from error


def _name(source: str) -> str:
    return "the drawing below" if source.startswith("data:") else Path(source).name


def _image(content: bytes) -> Picture | None:
    image = QImage.fromData(QByteArray(content))
    if image.isNull():
        return None
    place = QRectF(0.0, -image.height(), image.width(), image.height())
    return Picture(image.width(), image.height(), None, lambda painter, _: painter.drawImage(place, image))


def _svg(content: bytes) -> Picture | None:
    renderer = QSvgRenderer(QByteArray(content))
    size = renderer.viewBoxF().size() if not renderer.viewBoxF().isEmpty() else renderer.defaultSize().toSizeF()
    if not renderer.isValid():
        return None
    unit = renderer.defaultSize().width() / size.width() * _PIXEL_MM if size.width() else None
    place = QRectF(0.0, -size.height(), size.width(), size.height())
    return Picture(size.width(), size.height(), unit, lambda painter, _: renderer.render(painter, place))


def _dxf(content: bytes) -> Picture | None:
    import ezdxf
    from ezdxf import recover, units
    from ezdxf.lldxf.const import DXFError

    try:
        from io import BytesIO

        drawing, _ = recover.read(BytesIO(content))
        lines = _lines(drawing)
    except (DXFError, OSError, ezdxf.DXFStructureError) as error:
        raise FileError(f"the drawing cannot be read as DXF ({error})") from error
    box = lines.boundingRect()
    placed = lines.translated(-box.left(), -box.bottom())
    unit = units.conversion_factor(drawing.units, units.MM) if drawing.units else None

    def paint(painter: QPainter, theme: Theme) -> None:
        pen = QPen(theme.ink, 1.0)
        pen.setCosmetic(True)
        painter.setPen(pen)
        painter.drawPath(placed)

    return Picture(box.width(), box.height(), unit, paint)


def _lines(drawing: "Drawing") -> QPainterPath:
    """Every line and curve of the model, blocks taken apart, y turned down."""
    from ezdxf import disassemble

    path = QPainterPath()
    entities = disassemble.recursive_decompose(drawing.modelspace())
    for primitive in disassemble.to_primitives(entities):
        shape = primitive.path
        if shape is None:
            continue
        points = [QPointF(each.x, -each.y) for each in shape.flattening(_FLATNESS)]
        for number, point in enumerate(points):
            (path.lineTo if number else path.moveTo)(point)
    return path
