"""The report of a layout as HTML, PDF and Markdown, all from one content.

`report_content` says what a report holds; the renderers know nothing of hydraulics. Jinja2, Typst and Matplotlib
load on first use.
"""

from loopsim.report.content import Column, Figure, Listing, Paragraph, Report, Section, Table
from loopsim.report.flow_report import report_content
from loopsim.report.html import to_html
from loopsim.report.markdown import to_markdown
from loopsim.report.pdf import to_pdf
from loopsim.report.write import REPORT_ENDINGS, write_report

__all__ = [
    "REPORT_ENDINGS",
    "Column",
    "Figure",
    "Listing",
    "Paragraph",
    "Report",
    "Section",
    "Table",
    "report_content",
    "to_html",
    "to_markdown",
    "to_pdf",
    "write_report",
]
