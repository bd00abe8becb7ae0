"""What the program says of itself: what it is for, its keys, the model's limits, and the usual cautions."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QLabel, QVBoxLayout, QWidget

from app.theme import STEP

__all__ = ["ABOUT", "KEYS", "show_text"]

_WIDTH = 560

ABOUT = """
<h3>Loopsim</h3>
<p>For people who build one-off liquid-cooled machines by hand. From one sketch, drawn to scale with heights, it works
out what flows, what takes the pressure, what stays when a pump stops, and whether all stays cool.</p>
<p><b>What this version leaves out</b></p>
<ul>
<li>Filling, bleeding and draining are not worked out; the loop is taken as full, without air in it.</li>
<li>Flow and curves are those at the coolant temperature that you state; heat is worked out with the flow at the
temperatures that it finds. Spaces of air are taken as well mixed; tubes and walls pass no heat.</li>
<li>Losses in tees follow handbook laws, as if no other fitting were near.</li>
<li>The resistance of a standing impeller is an estimate until it is measured; so is every curve beyond its data.</li>
<li>Steady flow only: nothing is said of starting, stopping or pulsing.</li>
</ul>
<p><b>Cautions</b></p>
<ul>
<li>Water and mains: leave mains wiring to a licensed electrician, follow the local code, and keep a leak from reaching
anything live. Unplug before you fill, bleed or drain.</li>
<li>Test a loop for leaks with the machine switched off. Compressed air in plastic or glass can burst it: use low
pressure, a relief, and eye protection.</li>
<li>Ethylene glycol is poisonous. Keep it from children and animals, and dispose of it as the local code asks.</li>
<li>Never run a pump dry. Let hot parts cool before you touch them. Give what makes heat a cut-out of its own that acts
when flow or air stays away.</li>
<li>Cutting and gluing acrylic: wear eye protection, clamp the sheet, air the room.</li>
</ul>
<p>A calculation does not replace a test of the finished machine.</p>
"""

KEYS = """
<h3>Keys</h3>
<table cellspacing="6">
<tr><td style='white-space:nowrap'>Ctrl+1 to Ctrl+7</td><td>the benches, in the order of the job</td></tr>
<tr><td style='white-space:nowrap'>Ctrl+0</td><td>fit the plan</td></tr>
<tr><td style='white-space:nowrap'>Ctrl+Z, Ctrl+Shift+Z</td><td>undo, redo</td></tr>
<tr><td style='white-space:nowrap'>Delete</td><td>remove what is selected in the plan</td></tr>
<tr><td style='white-space:nowrap'>R, X, L, K, G</td><td>turn, mirror, tip, lock, group the selected parts</td></tr>
<tr><td style='white-space:nowrap'>T, Shift+T, P</td><td>draw a tube run; propose another way; place one more</td></tr>
<tr><td style='white-space:nowrap'>a number, Enter</td><td>height of what is selected, or of corners to come</td></tr>
<tr><td style='white-space:nowrap'>full stop, Insert, E</td><td>next corner; one more; bend, elbow, mitre</td></tr>
<tr><td style='white-space:nowrap'>W, Shift+W</td><td>lead the end of the run, or its start, elsewhere</td></tr>
<tr><td style='white-space:nowrap'>M, N</td><td>measure; write a note</td></tr>
<tr><td style='white-space:nowrap'>J, Shift+J</td><td>to the next warning; mend it</td></tr>
<tr><td style='white-space:nowrap'>S held</td><td>what flows with the selected pump stopped</td></tr>
<tr><td style='white-space:nowrap'>Ctrl+C, Ctrl+V, Ctrl+D</td><td>copy, paste, duplicate</td></tr>
<tr><td style='white-space:nowrap'>Enter or double click</td><td>on a part in the plan: to its data</td></tr>
<tr><td style='white-space:nowrap'>Esc</td><td>give up what is under way; take back what was typed</td></tr>
<tr><td style='white-space:nowrap'>Ctrl+F</td><td>find a part in the drawer by words of its name, size or help</td></tr>
<tr><td style='white-space:nowrap'>Ctrl+K</td><td>keep the selected part, or the run's tube, on your shelf</td></tr>
<tr><td style='white-space:nowrap'>Ctrl+N, Ctrl+O, Ctrl+S, Ctrl+Shift+S</td><td>new, open, save, save as</td></tr>
<tr><td style='white-space:nowrap'>Ctrl+E</td><td>export the report</td></tr>
<tr><td style='white-space:nowrap'>Ctrl+P</td><td>print the plan at true size</td></tr>
<tr><td style='white-space:nowrap'>Ctrl+R</td>
<td>change the room by hand: walls, corners, openings, reserved spaces; Esc ends</td></tr>
<tr><td style='white-space:nowrap'>Ctrl+L, Ctrl+Shift+L, F2</td>
<td>copy the layout, add an empty one, rename it</td></tr>
<tr><td style='white-space:nowrap'>Ctrl+PgUp, Ctrl+PgDown</td>
<td>the layout before, the next one; with Shift, move it</td></tr>
<tr><td style='white-space:nowrap'>Up, Down</td>
<td>in the heights below the plan: lift the selected part by 1 mm, with Shift by 10</td></tr>
<tr><td style='white-space:nowrap'>Shift+F1</td>
<td>what the numbers of the selected part mean, and where to get them</td></tr>
<tr><td style='white-space:nowrap'>Tab, Shift+Tab</td><td>to the next or the last field</td></tr>
</table>
"""


def show_text(title: str, text: str, parent: QWidget) -> None:
    """Show a page of text over a window, until it is closed."""
    page = QDialog(parent)
    page.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    page.setWindowTitle(title)
    words = QLabel(text, page, wordWrap=True, textFormat=Qt.TextFormat.RichText)
    words.setFixedWidth(_WIDTH)
    words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    close = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, page)
    close.rejected.connect(page.close)
    column = QVBoxLayout(page)
    column.setContentsMargins(3 * STEP, STEP, 3 * STEP, 2 * STEP)
    column.addWidget(words)
    column.addWidget(close)
    page.open()
