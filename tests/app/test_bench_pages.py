"""A bench shares out its room among its views; only where that is too little does it scroll."""

from PySide6.QtWidgets import QApplication

from app.scroll_page import ScrollPage
from app.window import MainWindow


def scrolls(window: MainWindow) -> bool:
    QApplication.processEvents()
    (area,) = [each for each in window.bench.findChildren(ScrollPage) if each.widget() is window.bench.page]
    return area.verticalScrollBar().maximum() > 0


def test_a_longer_sentence_takes_room_from_the_views_before_the_bench_scrolls(window: MainWindow):
    window.resize(1280, 800)
    window.bench.show_bench("Failures")
    window.bench.page.sentence.setText("The coolant boils in it, and the machine is shut down. " * 6)
    assert not scrolls(window)
    window.resize(1280, 600)
    assert scrolls(window)
