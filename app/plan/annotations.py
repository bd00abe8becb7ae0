"""Names, marks and handles: all that keeps its size on the screen whatever the zoom."""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cache, lru_cache, partial, reduce
from itertools import pairwise

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QPainterPathStroker, QPolygonF

from app import figures
from app.plan.air_arrows import AirArrow, air_arrows
from app.plan.air_marks import BUBBLE_PX, liquid_lines, paint_bubble, pocket_line, pocket_lines, pockets_at
from app.plan.coordinates import to_scene
from app.plan.handles import corners_of, ends_of, ports_of, turn_handle
from app.plan.labels import Label, Line, Obstacles, Stand, keep_labels, place_labels
from app.plan.part_item import PartItem, pen, symbol_mm
from app.plan.rows import Row, row_name, rows
from app.plan.run_item import RunItem
from app.plan.scene import PlanScene
from app.plan.values import part_values, run_values
from app.theme import Theme, Type, font
from loopsim.build import Enclosure
from loopsim.studies import Finding

__all__ = ["Annotations", "paint_words"]

_MARK_PX = 7.0
_HANDLE_PX = 4.0
_RING_PX = 5.0
_INSET_PX = 8.0  # of words within a part, both sides together
_VALUE_PX = 4.0  # half of the tube that a value stands beside
_FEW_WORDS = {"stopped_estimate": "guessed at rest", "outside": "outside the walls"}


class Annotations:
    """Lays out the words of a scene for one zoom, and paints them."""

    def __init__(self, scene: PlanScene) -> None:
        self._scene = scene
        self._stands: dict[str, Stand] = {}
        self.labels: list[Label] = []
        self._marks: list[tuple[QPointF, Finding]] = []
        self._arrows: list[AirArrow] = []
        self._tight_rows: list[Row] = []  # named once at this zoom
        self._slips: Sequence[QRectF] = ()
        self._boxes: dict[str, QRectF] = {}  # of parts
        self._laid_out: tuple[float, int, Enclosure, Sequence[QRectF], bool] | None = None

    def lay_out(
        self, scale: float, enclosure: Enclosure, slips: Sequence[QRectF] = (), is_moving: bool = False
    ) -> None:
        """Find a place for every word at `scale` pixels per millimetre, clear of the slips on which notes are.

        While something is moving, words go along with what they name, and only new ones are given a place: to look
        for the best places for all takes long, and makes them jump about.
        """
        wanted = (scale, self._scene.stamp, enclosure, slips, is_moving)
        if wanted == self._laid_out:
            return
        if self._laid_out is not None and scale != self._laid_out[0]:
            self._tight_rows = []
        self._scale, self._laid_out, self._slips = scale, wanted, slips
        self._boxes = {part_id: self._boxed(item) for part_id, item in self._scene.parts.items()}
        self._marks = list(self._mark_points())
        self._arrows = list(air_arrows(self._scene.parts, self._scene.air, enclosure, scale))
        place = partial(self._place, cache(partial(self._obstacles, enclosure)), is_moving)
        possible = self._possible_rows()
        self._tight_rows = [row for row in possible if row in self._tight_rows]  # still too close, most likely
        self.labels = place(self._name_labels())
        at_ease = {label.key for label in self.labels if label.is_at_ease}
        tight = [row for row in possible if row not in self._tight_rows and not at_ease.issuperset(row)]
        if tight:
            self._tight_rows += tight
            self.labels = place(self._name_labels())
        values = place(list(self._value_labels(self._tight_rows)), self.labels)
        self.labels += [value for value in values if not value.is_far]  # further off it would seem another's

    def _place(
        self, obstacles: Callable[[], Obstacles], is_moving: bool, labels: list[Label], placed: Sequence[Label] = ()
    ) -> list[Label]:
        """The labels with their places, clear of those `placed` already."""
        free = [label for label in labels if label.box.isNull()]  # the others stand within their parts
        new = keep_labels(free, self._stands) if is_moving else free
        if new:
            standing = [label for label in (*placed, *labels) if not label.box.isNull()]
            place_labels(new, obstacles(), self._stands, standing)
        return labels

    def _name_labels(self) -> list[Label]:
        return [*self._mark_labels(), *self._part_labels(self._tight_rows), *self._corner_labels()]

    def paint(self, painter: QPainter, origin: QPointF, theme: Theme, corner: tuple[str, int] | None) -> None:
        """Paint in pixels of the view, whose scene begins at `origin`; `corner` is the one that is selected."""
        painter.translate(origin)
        self._paint_handles(painter, theme, corner)
        for label in self.labels:
            if not label.is_squeezed or label.key in self._scene.selection:
                _paint_label(painter, label, theme)
        for arrow in self._arrows:
            arrow.paint(painter, theme)
        _paint_marks(painter, [point for point, _ in self._marks], theme)
        marks = self._scene.marks
        for pocket, at in pockets_at(marks):
            paint_bubble(painter, at * self._scale, pocket, theme, marks.is_old)

    def _part_labels(self, rows: list[Row]) -> Iterator[Label]:
        told = {part_id: self._part_lines(part_id) for part_id in self._scene.parts}
        alike = [row for row in rows if self._is_alike(row, told)]
        in_rows, with_their_row = ({part_id for row in each for part_id in row} for each in (rows, alike))
        for row in rows:
            box = reduce(QRectF.united, (self._part_box(part_id) for part_id in row))
            name = Line(row_name([self._scene.parts[each].part.name for each in row]))
            yield _label(f"row {row[0]}", [name, *(told[row[0]] if row in alike else [])], box)
        for part_id, item in self._scene.parts.items():
            is_named = part_id not in in_rows and not self._scene.is_dimmed(item)
            is_told = told[part_id] or is_named or part_id in self._scene.selection
            if is_told and part_id not in with_their_row:
                label = _label(part_id, [Line(item.part.name), *told[part_id]], self._part_box(part_id))
                label.box = self._within(item, label.size)
                yield label

    def _within(self, item: PartItem, size: QSizeF) -> QRectF:
        """Below a part's symbol, where its words have room there; else null."""
        side, box = symbol_mm(item.part, item.placement.lie), self._part_box(item.part_id)
        if side is None or item.placement.rotation_deg % 90.0:
            return QRectF()
        low = box.center().y() + side * self._scale / 2
        if size.width() + _INSET_PX > box.width() or low + size.height() + _INSET_PX / 2 > box.bottom():
            return QRectF()
        return QRectF(QPointF(box.center().x() - size.width() / 2, (low + box.bottom() - size.height()) / 2), size)

    def _part_lines(self, part_id: str) -> list[Line]:
        """What is told of a part below its name."""
        item = self._scene.parts[part_id]
        lines = [Line("stopped", "amber_text")] * item.is_stopped
        lines += [Line(words, "amber_text") for words in self._words_at(part_id)]
        lines += [*pocket_lines(self._scene.marks, part_id), *liquid_lines(self._scene.marks, part_id)]
        return lines + [Line("locked", "soft_ink")] * (item.placement.locked and part_id in self._scene.selection)

    def _is_alike(self, row: Row, told: Mapping[str, list[Line]]) -> bool:
        """True if the same is told of every part of a row, so that it can be told once."""
        chosen = {part_id in self._scene.selection for part_id in row}
        return bool(told[row[0]]) and len(chosen) == 1 and all(told[part_id] == told[row[0]] for part_id in row)

    def _possible_rows(self) -> list[Row]:
        """Parts in rows that may be named once."""
        names = {part_id: item.part.name for part_id, item in self._scene.parts.items()}
        return rows(names, {part_id: self._part_box(part_id) for part_id in names})

    def _mark_labels(self) -> Iterator[Label]:
        for run_id, item in self._scene.runs.items():
            lines = [Line(words, "amber_text") for words in self._words_at(run_id)]
            if lines:
                yield _label(f"mark {run_id}", lines, _around(item.middle() * self._scale, _MARK_PX))
        for point, finding in self._marks:
            if finding.at is not None:
                line = Line(_few_words(finding.code, 1), "amber_text")
                yield _label(f"at {point.x():.0f} {point.y():.0f}", [line], _around(point, _MARK_PX))
        for pocket, at in pockets_at(self._scene.marks):
            if pocket.words and pocket.at.item in self._scene.runs:
                yield _label(f"air {pocket.at.place}", [pocket_line(pocket)], _around(at * self._scale, BUBBLE_PX))
        is_said = any(each.code == "tubes_meet" for each in self._scene.findings)
        for number, crossing in enumerate(each for each in self._scene.crossings if each.meet and not is_said):
            lines = [Line("tubes meet", "amber_text")]
            reach = crossing.outer_mm * self._scale + 2.0
            yield _label(f"crossing {number}", lines, _around(to_scene(*crossing.at) * self._scale, reach))

    def _corner_labels(self) -> Iterator[Label]:
        """Heights at the corners of the selected run."""
        if len(self._scene.selection) == 1:
            for item, index, point in corners_of(self._scene):
                lines = [Line(f"{item.run.corners[index].height_mm:g} mm up", "soft_ink")]
                yield _label(f"corner {item.run_id} {index}", lines, _around(point * self._scale, 6.0))

    def _value_labels(self, rows: list[Row]) -> Iterator[Label]:
        """What colours stand for: beside the names of parts, and beside runs that are long enough."""
        named = {label.key: label.box for label in self.labels if not label.is_squeezed}
        for group in (*rows, *((part_id,) for part_id in self._scene.parts)):
            key = f"row {group[0]}" if len(group) > 1 else group[0]
            lines = part_values(self._scene, group) if key in named else []
            if lines:
                yield _label(f"value {group[0]}", lines, named[key])
        for item, line in run_values(self._scene):
            if item.path.length_mm * self._scale > 1.5 * _size(line).width():
                yield _label(f"value {item.run_id}", [line], _around(item.middle() * self._scale, _VALUE_PX))

    def _words_at(self, item_id: str) -> list[str]:
        """Findings in few words; the whole sentence stands in the tool tip."""
        codes = Counter(each.code for each in self._scene.findings if each.part == item_id and each.at is None)
        back = self._scene.back_flows.get(item_id)
        if back is not None and codes.pop("back_flow", 0):
            runs_back = f"{figures.in_si(back, 'l_h')} L/h back"
            return [runs_back, *(_few_words(code, count) for code, count in codes.items())]
        return [_few_words(code, count) for code, count in codes.items()]

    def mark_at(self, point: QPointF) -> Finding | None:
        """The finding whose mark is at a place, in pixels from the scene's origin."""
        near = (finding for at, finding in self._marks if _around(at, _MARK_PX + 1.0).contains(point))
        return next(near, None)

    def _mark_points(self) -> Iterator[tuple[QPointF, Finding]]:
        """One mark for each place at which something was found, the most harmful there."""
        seen: set[tuple[int, int]] = set()
        for finding in self._scene.findings:
            point = self._mark_point(finding)
            place = (round(point.x()), round(point.y())) if point is not None else None
            if place is not None and place not in seen:
                seen.add(place)
                yield point, finding

    def _mark_point(self, finding: Finding) -> QPointF | None:
        if finding.at is not None:
            return to_scene(finding.at.x_mm, finding.at.y_mm) * self._scale
        if finding.part in self._scene.parts:
            return self._part_box(finding.part).topRight()
        return self._scene.runs[finding.part].middle() * self._scale if finding.part in self._scene.runs else None

    def _part_box(self, part_id: str) -> QRectF:
        """The part with its frames, in pixels."""
        return self._boxes[part_id]

    def _boxed(self, item: PartItem) -> QRectF:
        box = _scaled(item.outline().boundingRect(), self._scale)
        frame = 5.0 * item.is_stopped
        return box.adjusted(-frame, -frame, frame, frame)

    def _obstacles(self, enclosure: Enclosure) -> Obstacles:
        parts = [self._part_box(part_id) for part_id in self._scene.parts]
        rings = [_around(point * self._scale, _RING_PX) for _, point in ports_of(self._scene)]
        marks = [_around(point, _MARK_PX) for point, _ in self._marks]
        marks += [_around(at * self._scale, BUBBLE_PX) for _, at in pockets_at(self._scene.marks)]
        handles = [_around(point * self._scale, _HANDLE_PX) for _, _, point in corners_of(self._scene)]
        turn = turn_handle(self._scene, 1.0 / self._scale)
        handles += [_around(turn[1] * self._scale, _HANDLE_PX)] if turn is not None else []
        tubes = [box for item in self._scene.runs.values() for box in self._tube_boxes(item)]
        room = QRectF(0.0, -enclosure.width_mm, enclosure.length_mm, enclosure.width_mm)
        inside = _scaled(room, self._scale)
        arrows = [arrow.box for arrow in self._arrows]
        covered = [*parts, *self._slips, *rings, *marks, *handles, *arrows]
        return Obstacles(covered, self._walls(enclosure), tubes, inside, parts)

    def _tube_boxes(self, item: RunItem) -> Iterator[QRectF]:
        half = item.outer_mm / 2 * self._scale
        for a, b in pairwise(item.path.spots):
            ends = QRectF(QPointF(a.x_mm, -a.y_mm) * self._scale, QPointF(b.x_mm, -b.y_mm) * self._scale)
            yield ends.normalized().adjusted(-half, -half, half, half)

    def _walls(self, enclosure: Enclosure) -> list[QRectF]:
        length, width = enclosure.length_mm * self._scale, enclosure.width_mm * self._scale
        across = [QRectF(0.0, y - 2.0, length, 4.0) for y in (0.0, -width)]
        return across + [QRectF(x - 2.0, -width, 4.0, width) for x in (0.0, length)]

    def _paint_handles(self, painter: QPainter, theme: Theme, corner: tuple[str, int] | None) -> None:
        """Round for a bend, square for an elbow, standing on its corner for a mitre; filled where selected.

        At the ends of a run, a ring around the port: there it is taken to lead it to another one.
        """
        painter.setPen(pen(theme.ink, 1.5))
        painter.setBrush(theme.liquid)
        for _, point in ends_of(self._scene):
            painter.drawEllipse(_around(point * self._scale, _HANDLE_PX))
        turn = turn_handle(self._scene, 1.0 / self._scale)
        if turn is not None:
            at, foot = turn[1] * self._scale, turn[2] * self._scale
            painter.setBrush(theme.paper)
            painter.drawLine(at, foot)
            painter.drawEllipse(_around(at, _HANDLE_PX))
        for item, index, point in corners_of(self._scene):
            box = _around(point * self._scale, _HANDLE_PX)
            painter.setBrush(theme.ink if (item.run_id, index) == corner else theme.paper)
            painter.drawPath(_handle(box, item.run.corners[index].turn))


def _handle(box: QRectF, turn: str) -> QPainterPath:
    path, middle = QPainterPath(), box.center()
    if turn == "bend":
        path.addEllipse(box)
    elif turn == "elbow":
        path.addRect(box)
    else:
        ends = (middle.x(), box.top()), (box.right(), middle.y()), (middle.x(), box.bottom()), (box.left(), middle.y())
        path.addPolygon(QPolygonF([QPointF(x, y) for x, y in ends]))
        path.closeSubpath()
    return path


def _label(key: str, lines: list[Line], beside: QRectF) -> Label:
    sizes = [_size(line) for line in lines]
    width, height = max(size.width() for size in sizes), sum(size.height() for size in sizes)
    return Label(key, tuple(lines), QSizeF(width, height), beside)


@lru_cache(maxsize=8)
def _ascent(role: str) -> float:
    return QFontMetricsF(_font(Line("", role))).ascent()


@lru_cache(maxsize=256)
def _size(line: Line) -> QSizeF:
    metrics = QFontMetricsF(_font(line))
    return QSizeF(metrics.horizontalAdvance(line.text), metrics.height())


def _few_words(code: str, count: int) -> str:
    """A finding's code as words; how often, if more than once."""
    words = _FEW_WORDS.get(code, code.replace("_", " "))
    return words if count == 1 else f"{words} ({count} times)"


def _font(line: Line) -> QFont:
    return font(Type.PLAIN if line.role == "ink" else Type.SMALL)


def _paint_label(painter: QPainter, label: Label, theme: Theme) -> None:
    if label.is_far:
        painter.setPen(theme.soft_ink)
        painter.drawLine(label.leader)
    top = label.box.top()
    for line in label.lines:
        painter.setFont(_font(line))
        size = _size(line)
        baseline = QPointF(label.box.center().x() - size.width() / 2, top + _ascent(line.role))
        if label.on_tube:
            _paint_halo(painter, baseline, line, theme.paper)
        painter.setPen(getattr(theme, line.role))
        painter.drawText(baseline, line.text)
        top += size.height()


def _paint_halo(painter: QPainter, baseline: QPointF, line: Line, paper: QColor) -> None:
    """A rim of paper round letters that stand on a tube."""
    painter.translate(baseline)
    painter.fillPath(_rim(line), paper)
    painter.translate(-baseline)


@lru_cache(maxsize=256)
def _rim(line: Line) -> QPainterPath:
    """Broadened letters: made once, since this is slow."""
    letters = QPainterPath()
    letters.addText(QPointF(0.0, 0.0), _font(line), line.text)
    stroker = QPainterPathStroker()
    stroker.setWidth(4.0)
    stroker.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    return stroker.createStroke(letters).simplified()


def _paint_marks(painter: QPainter, points: Sequence[QPointF], theme: Theme) -> None:
    painter.setPen(pen(theme.paper, 1.5))
    painter.setBrush(theme.amber)
    painter.setFont(font(Type.SMALL, bold=True))
    metrics = QFontMetricsF(painter.font())
    aside = QPointF(-metrics.horizontalAdvance("!") / 2, (metrics.ascent() - metrics.descent()) / 2)
    for point in points:
        painter.drawEllipse(point, _MARK_PX, _MARK_PX)
        painter.drawText(point + aside, "!")


def _around(point: QPointF, reach: float) -> QRectF:
    return QRectF(point.x() - reach, point.y() - reach, 2 * reach, 2 * reach)


def _scaled(box: QRectF, scale: float) -> QRectF:
    return QRectF(box.topLeft() * scale, box.size() * scale)


def paint_words(painter: QPainter, at: QPointF, text: str, theme: Theme) -> None:
    """A few words on a piece of paper, their baseline beginning at `at`."""
    painter.setFont(font(Type.SMALL))
    box = QFontMetricsF(painter.font()).boundingRect(text).translated(at).adjusted(-5, -3, 5, 3)
    painter.setPen(pen(theme.rule, 1.0))
    painter.setBrush(theme.paper)
    painter.drawRoundedRect(box, 3, 3)
    painter.setPen(theme.ink)
    painter.drawText(at, text)
