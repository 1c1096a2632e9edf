"""The page and the Markdown are what their standards say, whatever people have written."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any
from xml.etree import ElementTree

import drawsvg
import html5lib
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from diag.cli.report.drawings import rows_of
from diag.jobs.entries import (
    Attached,
    Figured,
    Labelled,
    Offered,
    PartUsed,
    Remarked,
    Unreadable,
    Worked,
)
from diag.jobs.pictures.svg import svg_of
from diag.jobs.record import At
from diag.jobs.report.building import report_of
from diag.jobs.report.document import Report
from diag.jobs.report.markdown import report_markdown
from diag.jobs.report.markdown import words as in_markdown
from diag.jobs.report.material import JobMaterial
from diag.jobs.report.page import as_page, drawn_in_text
from tests.jobs.shipped_jobs import material

HOSTILE = (
    "</td><script>alert(1)</script>", "<b>bold", "&lt;img src=x&gt;", '"><img src=x onerror=y>',
    "-->", "]]>", "\u202egnip\u202c", "\u2066\u2067", "שלום", "\x1b[31mred\x07", "\x00", "\ud800",
    "\ufffe", "| a | b |", "# head", "1. one", "- two", "+ three", "> quote", "```", "~~~",
    "*a* _b_",
    "[link](http://example.org)", "![x](y)", "http://example.org", "www.example.org",
    "me@example.org", "<http://example.org>", "&amp;", "a\nb\n\n# c", "---", "===", "    code",
    "\\", "`x`", "$x$", "~~gone~~", "[^1]", "[ ] done", ":smile:", "| --- |", "x\r\ny", "\u2028",
    "{{ x }}", "\\*", "1)", "12.5 V", "<!-- x", "</style>", "</title>", "\t- x",
)  # fmt: skip
words_of_people = (
    st.lists(st.sampled_from(HOSTILE) | st.text(min_size=1, max_size=20), min_size=1, max_size=4)
    .map(" ".join)
    .filter(lambda text: bool(text.split()))
)


def said_by(people: str, kind: str = "finished") -> JobMaterial:
    """Return a job in which people have written one text wherever they can write."""
    job = material(kind)
    at = "2026-11-03T10:00:00+00:00"
    entries: Mapping[str, Any] = {
        "notes": Remarked(people),
        "figures": Figured(people),
        "parts": PartUsed(people, people, people),
        "work": Worked(5.0, people),
        "offers": Offered(people, False, people),
        "attached": Attached(people, people, 3),
        "unreadable": Unreadable(people),
    }
    record = replace(
        job.record,
        label=Labelled(people, people, people, people, people),
        complaint=people,
        outcome=people,
        **{row: (At(at, entry),) for row, entry in entries.items()},
    )
    sessions = tuple(
        replace(one, notes=(people,), passed={people: people}, left_out=(people,))
        for one in job.history.sessions
    )
    return replace(job, record=record, history=replace(job.history, sessions=sessions))


def page_of(report: Report, drawn: bool = True) -> str:
    """Return the page of a report, its pictures as SVG or in characters."""
    if drawn:
        return "\n".join(as_page(report, lambda one, beside: svg_of(one, drawsvg, beside)))
    return "\n".join(as_page(report, lambda one, _: drawn_in_text(rows_of(one, 72)), "drawn"))


def tree_of(page: str) -> list[tuple[int, str, tuple[str, ...]]]:
    """Return the elements of a page, by depth, name and names of attributes; strictly parsed."""
    parser = html5lib.HTMLParser(strict=True, namespaceHTMLElements=False)
    return list(_walked(parser.parse(page), 0))


def _walked(element: ElementTree.Element, depth: int) -> Iterator[tuple[int, str, tuple[str, ...]]]:
    names = tuple(sorted(name for name in element.attrib if name != "class"))
    yield depth, str(element.tag), names
    for one in element:
        yield from _walked(one, depth + 1)


def marked(lines: Iterator[str]) -> list[tuple[str, str, int]]:
    """Return the tokens of Markdown but its words, by a parser of CommonMark with tables."""
    parser = MarkdownIt("gfm-like", {"linkify": False}).enable("table")
    tokens = parser.parse("\n".join(lines))
    inner = [token for one in tokens for token in (one, *(one.children or ()))]
    return [(one.type, one.tag, one.nesting) for one in inner if one.type != "text"]


KINDS = ("finished", "open", "checked over", "danger", "empty")


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("quote", [False, True])
@pytest.mark.parametrize("drawn", [False, True])
def test_every_page_is_html_without_an_error(kind: str, quote: bool, drawn: bool) -> None:
    """A strict parser of the HTML standard (html5lib) finds nothing to mind."""
    page = page_of(report_of(material(kind), quote=quote), drawn)
    assert (0, "html", ("lang",)) == tree_of(page)[0]


@pytest.mark.parametrize("kind", KINDS)
def test_a_page_stands_by_itself(kind: str) -> None:
    """No script, no frame, no address to be fetched; the only addresses are names of XML."""
    page = page_of(report_of(material(kind)))
    names = {name for _, name, _ in tree_of(page)}
    assert set() == names & {"script", "link", "img", "iframe", "object", "embed", "image", "use"}
    attributes = {one for _, _, several in tree_of(page) for one in several}
    assert set() == {one for one in attributes if one.startswith("on") or one in ("src", "href")}
    assert {"http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink"} >= set(
        re.findall(r"[a-z]+://[^\"' ]+", page)
    )
    assert "url(" not in page
    assert "@import" not in page


@pytest.mark.parametrize("kind", ["finished", "checked over"])
@settings(max_examples=25)
@given(people=words_of_people)
@example(people=" ".join(HOSTILE))
def test_what_people_write_is_never_markup_in_the_page(kind: str, people: str) -> None:
    """The page has the same elements whatever a label, a note or a part's name holds."""
    plain = tree_of(page_of(report_of(said_by("plain words", kind)), drawn=False))
    assert plain == tree_of(page_of(report_of(said_by(people, kind)), drawn=False))


@settings(max_examples=25)
@given(people=words_of_people)
@example(people=" ".join(HOSTILE))
def test_what_people_write_is_never_markdown(people: str) -> None:
    """Markdown has the same structure whatever is written, by a CommonMark parser with tables."""
    plain = marked(report_markdown(report_of(said_by("plain words")), rows_of))
    assert plain == marked(report_markdown(report_of(said_by(people)), rows_of))


@given(words_of_people)
@example("1. \x85 b")
def test_markdown_of_words_reads_as_the_words(people: str) -> None:
    """What a reader of Markdown shows of escaped words is the words, on one line."""
    parser = MarkdownIt("gfm-like", {"linkify": False})
    (inline,) = [one for one in parser.parse(in_markdown(people)) if one.type == "inline"]
    from diag.model.phrasing import printable

    shown = "".join(one.content for one in inline.children or ())
    assert " ".join(printable(people, keep="").split()) == shown


@given(words_of_people)
def test_no_control_character_is_in_any_form(people: str) -> None:
    """Neither page nor Markdown holds a control, direction or private character but line ends."""
    report = report_of(said_by(people), "owner")
    for text in (page_of(report, drawn=False), "\n".join(report_markdown(report, rows_of))):
        assert [] == [one for one in text if one != "\n" and not one.isprintable()]
