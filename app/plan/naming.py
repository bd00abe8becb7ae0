"""Which words stand on the plan: names of parts, what was found, heights at corners, values of colours."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from functools import reduce

from PySide6.QtCore import QPointF, QRectF, QSizeF

from app import figures
from app.plan.air_marks import BUBBLE_PX, liquid_lines, pocket_line, pocket_lines, pockets_at
from app.plan.at_scale import AtScale, around
from app.plan.coordinates import to_scene
from app.plan.found_marks import MARK_PX, FoundMark
from app.plan.handles import corners_of
from app.plan.labels import Label, Line
from app.plan.lettering import label_of, line_size
from app.plan.part_item import PartItem, symbol_mm
from app.plan.rows import Row, row_name, rows
from app.plan.values import part_values, run_values

__all__ = ["Naming"]

_RIM_PX = 6.0  # of a part, which its colour takes; words within keep off it
_VALUE_PX = 4.0  # half of the tube that a value stands beside
_HEIGHT_PX = 6.0  # around a corner, beside which its height stands
_FEW_WORDS = {"stopped_estimate": "guessed at rest", "outside": "outside the walls"}


class Naming:
    """Labels of a scene at one zoom; those of parts that have room within stand there already."""

    def __init__(self, seen: AtScale, found: list[FoundMark]) -> None:
        self._seen, self._scene, self._found = seen, seen.scene, found
        self._codes: dict[str | None, list[str]] = defaultdict(list)  # of what was found at parts and runs as a whole
        for each in seen.scene.findings:
            if each.at is None:
                self._codes[each.part].append(each.code)

    def possible_rows(self) -> list[Row]:
        """Parts in rows that may be named once."""
        names = {part_id: item.part.name for part_id, item in self._scene.parts.items()}
        return rows(names, {part_id: self._seen.box(part_id) for part_id in names})

    def labels(self, tight_rows: list[Row]) -> list[Label]:
        """What was found, names of parts (once for each of the rows), heights at the corners of the selected run."""
        return [*self._found_labels(), *self._part_labels(tight_rows), *self._corner_labels()]

    def value_labels(self, tight_rows: list[Row], named: Mapping[str, QRectF]) -> Iterator[Label]:
        """What colours stand for: beside the names of parts, and beside runs that are long enough."""
        for group in (*tight_rows, *((part_id,) for part_id in self._scene.parts)):
            key = f"row {group[0]}" if len(group) > 1 else group[0]
            lines = part_values(self._scene, group) if key in named else []
            if lines:
                yield label_of(f"value {group[0]}", lines, named[key])
        for item, line in run_values(self._scene):
            if item.path.length_mm * self._seen.scale > 1.5 * line_size(line).width():
                yield label_of(f"value {item.run_id}", [line], around(self._seen.middle(item.run_id), _VALUE_PX))

    def _part_labels(self, tight_rows: list[Row]) -> Iterator[Label]:
        told = {part_id: self._part_lines(part_id) for part_id in self._scene.parts}
        alike = [row for row in tight_rows if self._is_alike(row, told)]
        in_rows, with_their_row = ({part_id for row in each for part_id in row} for each in (tight_rows, alike))
        for row in tight_rows:
            box = reduce(QRectF.united, (self._seen.box(part_id) for part_id in row))
            name = Line(row_name([self._scene.parts[each].part.name for each in row]))
            yield label_of(f"row {row[0]}", [name, *(told[row[0]] if row in alike else [])], box)
        for part_id, item in self._scene.parts.items():
            is_named = part_id not in in_rows and not self._scene.is_dimmed(item)
            is_told = told[part_id] or is_named or part_id in self._scene.selection
            if is_told and part_id not in with_their_row:
                label = label_of(part_id, [Line(item.part.name), *told[part_id]], self._seen.box(part_id))
                label.box = self._within(item, label.size)
                yield label

    def _within(self, item: PartItem, size: QSizeF) -> QRectF:
        """Below a part's symbol, where its words have room there; else null."""
        side, box = symbol_mm(item.part, item.placement.lie), self._seen.box(item.part_id)
        if side is None or item.placement.rotation_deg % 90.0:
            return QRectF()
        low = box.center().y() + side * self._seen.scale / 2
        bottom = box.bottom() - _RIM_PX
        if size.width() + 2 * _RIM_PX > box.width() or low + size.height() > bottom:
            return QRectF()
        return QRectF(QPointF(box.center().x() - size.width() / 2, (low + bottom - size.height()) / 2), size)

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

    def _found_labels(self) -> Iterator[Label]:
        """What was found at runs and at places, pockets in runs, tubes that meet."""
        for run_id in self._scene.runs:
            lines = [Line(words, "amber_text") for words in self._words_at(run_id)]
            if lines:
                yield label_of(f"mark {run_id}", lines, around(self._seen.middle(run_id), MARK_PX))
        for point, finding in self._found:
            if finding.at is not None:
                line = Line(_few_words(finding.code, 1), "amber_text")
                yield label_of(f"at {point.x():.0f} {point.y():.0f}", [line], around(point, MARK_PX))
        for pocket, at in pockets_at(self._scene.marks):
            if pocket.words and pocket.at.item in self._scene.runs:
                beside = around(at * self._seen.scale, BUBBLE_PX)
                yield label_of(f"air {pocket.at.place}", [pocket_line(pocket)], beside)
        yield from self._crossing_labels()

    def _crossing_labels(self) -> Iterator[Label]:
        """Where tubes meet, as long as no finding says so."""
        if any(each.code == "tubes_meet" for each in self._scene.findings):
            return
        for number, crossing in enumerate(each for each in self._scene.crossings if each.meet):
            reach = crossing.outer_mm * self._seen.scale + 2.0
            beside = around(to_scene(*crossing.at) * self._seen.scale, reach)
            yield label_of(f"crossing {number}", [Line("tubes meet", "amber_text")], beside)

    def _corner_labels(self) -> Iterator[Label]:
        """Heights at the corners of the selected run."""
        if len(self._scene.selection) == 1:
            for item, index, point in corners_of(self._scene):
                lines = [Line(f"{figures.length_mm(item.run.corners[index].height_mm)} up", "soft_ink")]
                beside = around(point * self._seen.scale, _HEIGHT_PX)
                yield label_of(f"corner {item.run_id} {index}", lines, beside)

    def _words_at(self, item_id: str) -> list[str]:
        """Findings in few words; the whole sentence stands in the tool tip."""
        if item_id not in self._codes:
            return []
        codes = Counter(self._codes[item_id])
        back = self._scene.back_flows.get(item_id)
        if back is not None and codes.pop("back_flow", 0):
            runs_back = f"{figures.amount(back, 'l_h')} back"
            return [runs_back, *(_few_words(code, count) for code, count in codes.items())]
        return [_few_words(code, count) for code, count in codes.items()]


def _few_words(code: str, count: int) -> str:
    """A finding's code as words; how often, if more than once."""
    words = _FEW_WORDS.get(code, code.replace("_", " "))
    return words if count == 1 else f"{words} ({count} times)"
