"""One content, three formats: complete, well formed, and true to every name."""

import json
import re
from dataclasses import replace
from html.parser import HTMLParser
from typing import ClassVar

import pytest
import typst
from markdown_it import MarkdownIt

from loopsim.report import Column, Listing, Paragraph, Report, Section, Table, to_html, to_markdown, to_pdf
from loopsim.report.pdf import to_typst

from .conftest import AWKWARD, DAY, TAGGED

NASTY = [
    AWKWARD,
    TAGGED,
    "</td><script>alert(1)</script>",
    "&amp; &lt;",
    "{{ report }} {% raw %}",
    "- not a list",
    "1. not a number",
    "# no heading",
    "+ plus",
    "| pipe | |",
    "[link](there) ![x](y)",
    "\\ back\\slash \\n",
    "\"quoted\" 'single'",
    "= h == // comment /* c */",
    "~~struck~~ **bold** __b__",
    "<https://example.org>",
]


class _Page(HTMLParser):
    """Reads a page strictly: every element must be closed in its turn."""

    EMPTY: ClassVar[set[str]] = {"meta", "br", "hr", "img", "link", "input"}

    def __init__(self, page: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert len(attrs) == len(dict(attrs)), f"{tag}: an attribute stands twice"
        self.tags.append((tag, dict(attrs)))
        if tag not in self.EMPTY:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open, f"</{tag}> closes nothing"
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.words.append(data)

    def all(self, tag: str) -> list[dict[str, str | None]]:
        return [attrs for name, attrs in self.tags if name == tag]


def _report(words: list[str]) -> Report:
    """A report that prints awkward words at every place."""
    table = Table((Column("name"), Column("value", "m", number=True)), tuple((word, "1") for word in words), words[0])
    blocks = (*(Paragraph(word) for word in words), Listing(tuple(words)), table)
    return Report(words[0], DAY, ((words[0], words[1]),), tuple(words), (Section(words[1], blocks),))


def test_the_page_is_well_formed_and_tells_its_language_and_title(report: Report) -> None:
    page = _Page(to_html(report))
    assert page.open == []
    assert page.all("html") == [{"lang": "en"}]
    assert report.title in page.words
    assert len(page.all("h1")) == 1
    assert len(page.all("h2")) == len(report.sections)


def test_the_page_fetches_nothing(report: Report) -> None:
    text = to_html(report)
    page = _Page(text)
    for tag, attrs in page.tags:
        assert tag not in ("script", "link", "iframe", "object", "img")
        for name, value in attrs.items():
            if name in ("src", "href", "xlink:href", "action", "data"):
                assert (value or "").startswith("#")
    addresses = set(re.findall(r"https?://[^\"' )<]*", text))
    assert all(address.startswith("http://www.w3.org/") for address in addresses)  # names of XML vocabularies
    assert "@import" not in text
    assert "url(" not in text.replace("url(#", "")


def test_figures_and_tables_can_be_read_aloud(report: Report) -> None:
    page = _Page(to_html(report))
    described = [svg for svg in page.all("svg") if svg.get("role") == "img"]
    assert [svg.get("aria-label") for svg in described] == [figure.alt for figure in report.figures]
    assert all(head.get("scope") in ("col", "row") for head in page.all("th"))
    ids = [attrs["id"] for _, attrs in page.tags if "id" in attrs]
    assert len(ids) == len(set(ids))
    assert {attrs["aria-labelledby"] for attrs in page.all("section")} <= set(ids)


def test_numbers_are_set_to_the_right(report: Report) -> None:
    page = _Page(to_html(report))
    assert {"class": "number"} in page.all("td")
    assert {"scope": "col", "class": "number"} in page.all("th")
    assert ".number { text-align: right" in to_html(report)


def test_the_page_has_rules_for_print(report: Report) -> None:
    assert "@media print" in to_html(report)
    assert "size: A4" in to_html(report)


def test_every_word_comes_out_of_the_page_as_it_was() -> None:
    page = _Page(to_html(_report(NASTY)))
    for word in NASTY:
        assert page.words.count(word) >= 4, word


def _plain(text: str) -> list[str]:
    """Text of every inline run of a Markdown file, as a reader of CommonMark with tables sees it."""
    tokens = [token for token in MarkdownIt("commonmark").enable("table").parse(text) if token.type == "inline"]
    assert all(
        child.type in ("text", "text_special", "strong_open", "strong_close", "image", "softbreak")
        for token in tokens
        for child in token.children or []
    )
    return ["".join(child.content for child in token.children or []) for token in tokens]


def test_every_word_comes_out_of_markdown_as_it_was() -> None:
    runs = _plain(to_markdown(_report(NASTY), "x")[0])
    for word in NASTY:
        assert runs.count(word) >= 4, word


def test_markdown_tables_are_well_formed(report: Report) -> None:
    text, _ = to_markdown(report, "x")
    tables = [block.splitlines() for block in text.split("\n\n") if block.startswith("|")]
    expected = [block for section in report.sections for block in section.blocks if isinstance(block, Table)]
    assert len(tables) == len(expected)
    for lines, table in zip(tables, expected, strict=True):
        assert len(lines) == 2 + len(table.rows) + bool(table.total)
        assert all(len(re.findall(r"(?<!\\)\|", line)) == len(table.columns) + 1 for line in lines)
        marks = [cell.strip() for cell in lines[1].strip("|").split("|")]
        assert marks == ["---:" if column.number else "---" for column in table.columns]


def test_a_reader_of_markdown_finds_every_table_heading_and_drawing(report: Report) -> None:
    text, drawings = to_markdown(report, "my report (1)")
    tokens = MarkdownIt("commonmark").enable("table").parse(text)
    tables = [block for section in report.sections for block in section.blocks if isinstance(block, Table)]
    assert sum(token.type == "table_open" for token in tokens) == len(tables)
    assert sum(token.type == "heading_open" for token in tokens) == 1 + len(report.sections)
    images = [child for token in tokens for child in token.children or [] if child.type == "image"]
    assert [image.attrs["src"] for image in images] == [
        "my%20report%20%281%29-plan.svg",
        "my%20report%20%281%29-budget.svg",
        "my%20report%20%281%29-grade-line.svg",
        "my%20report%20%281%29-curves.svg",
        "my%20report%20%281%29-heat-balance.svg",
    ]
    names = ("plan", "budget", "grade-line", "curves", "heat-balance")
    assert list(drawings) == [f"my report (1)-{name}.svg" for name in names]


def _typst_words(report: Report) -> str:
    """Contents of all headings and table cells as the typesetter understood them."""
    files = {"main.typ": to_typst(report).encode()}
    return "".join(typst.query(files, selector) for selector in ("heading", "list", "table"))


def test_every_word_reaches_the_typesetter_as_it_was() -> None:
    words = [word for word in NASTY if len(max(word.split(), key=len)) < 25]
    assert len(words) > 12
    found = _strings(_typst_words(_report(words)))
    for word in words:
        assert found.count(word) >= 2, word


def _strings(answer: str) -> list[str]:
    """Every string in the typesetter's answer."""
    found: list[str] = []

    def walk(value: object) -> None:
        if isinstance(value, dict):
            for each in value.values():
                walk(each)
        elif isinstance(value, list):
            for each in value:
                walk(each)
        elif isinstance(value, str):
            found.append(value)

    for part in re.split(r"(?<=\])(?=\[)", answer):
        walk(json.loads(part))
    return found


def test_the_pdf_has_pages_and_is_dated_by_the_report_alone(report: Report) -> None:
    pdf = to_pdf(report)
    assert pdf.startswith(b"%PDF")
    assert len(pdf) > 20_000
    assert len(re.findall(rb"/Type\s*/Page\b", pdf)) >= 3
    assert b"20260314" in pdf


def test_the_same_report_gives_the_same_bytes(report: Report) -> None:
    assert to_pdf(report) == to_pdf(report)
    assert to_html(report) == to_html(report)
    assert to_markdown(report, "x") == to_markdown(report, "x")


def test_long_words_may_break_in_a_narrow_column() -> None:
    long = "a" * 60
    assert f'"{"​".join(["a" * 12] * 5)}"' in to_typst(_report([long, "b"]))


def test_a_report_without_sections_can_be_set_in_every_format(report: Report) -> None:
    bare = replace(report, sections=(), notes=())
    assert to_pdf(bare).startswith(b"%PDF")
    assert _Page(to_html(bare)).open == []
    assert to_markdown(bare, "x")[0].startswith("# Flow and heat report")


@pytest.mark.parametrize("name", ["中文 名", "emoji 🔧", "bell \x07", "lone \ud800"])
def test_names_in_any_script_can_be_written(name: str) -> None:
    odd = _report([name, name])
    assert to_pdf(odd).startswith(b"%PDF")
    assert to_html(odd).encode()
    assert to_markdown(odd, "x")[0].encode()
