"""The match page: safe with any text, nothing fetched, verdicts by word and shape, the worst reason first."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from html.parser import HTMLParser
from typing import Any

import pytest

from bom.answers.replacing import Judged
from bom.duty.before_parts import BeforeParts, Step
from bom.paper.pages.match_page import Page, Section, Shown, match_page
from bom.relays.relay import Status
from bom.values.finding import Finding, Outcome, Verdict
from bom.values.money import Money

EVIL = "<script>alert('x')</script>\"&\x07"


def finding(outcome: str, check: str = "height", margin: float | None = None, **said: str) -> Finding:
    known = {"required": "at most 14.8 mm", "offered": "13.9 mm", "why": f"because {outcome}", "source": "a sheet"}
    return Finding(check, Outcome(outcome), margin=margin, **{**known, **said})


def shown(verdict: str, *findings: Finding, part: str = "TW2-12S") -> Shown:
    cost = Money.of(Decimal("2.19"), "GBP")
    return Shown(Judged("Ostrel", part, Status.ACTIVE, Verdict(verdict), findings, Decimal(4), cost, ()))


def page(*candidates: Shown, **section: Any) -> str:
    counts = dict(zip(Verdict, (1, 0, 0, 2), strict=True))
    return match_page(Page("What may serve", (), (Section("OS-3:K1", shown=candidates, counts=counts, **section),)))


STEP = Step("fuse", "measure both sides", "the same", "a sheet")
BEFORE = BeforeParts("K1", ("valve opens", "valve closes"), (STEP,), "keep people clear")


class Tags(HTMLParser):
    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.seen: list[tuple[str, dict[str, str | None]]] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append((tag, dict(attrs)))
        if tag not in ("meta", "link", "br", "circle", "path", "rect", "use"):
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open and self.open.pop() == tag, f"</{tag}> closes nothing"


def everywhere(text: str) -> str:
    """A page in which every text is this one."""
    told = finding("fail", text, required=text, offered=text, why=text, source=text)
    evil = replace(shown("no", told), drawings=((text, '<svg class="duty"></svg>'),))
    candidate = replace(evil.candidate, maker=text, part_number=text, status=text)
    told_before = replace(BEFORE, functions=(text,), caution=text)
    every = replace(BEFORE, steps=(Step(text, text, text, text),))
    section = Section(
        text, ((text, text),), ((text, text, text),), (told_before, every), {Verdict.NO: 1},
        (replace(evil, candidate=candidate),), text, (text,),
    )  # fmt: skip
    return match_page(Page(text, ((text, text),), (section, section), (text,), (text,), text))


def test_text_from_anywhere_cannot_run() -> None:
    written = everywhere(EVIL)
    assert "<script" not in written and "alert(&#x27;x&#x27;)" in written and "\x07" not in written
    assert not [tag for tag, _ in Tags(written).seen if tag == "script"]


def test_every_tag_is_closed() -> None:
    assert not Tags(everywhere("K2R-12S")).open


def test_nothing_is_fetched() -> None:
    for tag, attributes in Tags(everywhere("K2R-12S")).seen:
        for name in ("src", "href", "srcset", "data", "action"):
            target = attributes.get(name) or "#"
            assert target.startswith("#") or target == "data:,", (tag, target)
    assert "@import" not in everywhere("") and "url(" not in everywhere("")


@pytest.mark.parametrize(
    ("verdict", "word", "shape"),
    [
        ("drop_in", "drop-in", "pass"),
        ("conditional", "conditional", "condition"),
        ("unknown", "unknown", "unknown"),
        ("no", "no", "fail"),
    ],
)
def test_a_verdict_is_a_word_and_a_shape(verdict: str, word: str, shape: str) -> None:
    badge = re.search(rf'<span class="badge {verdict}">(.*?)</span>', page(shown(verdict, finding("pass"))))
    assert badge and f"#sign-{shape}" in badge[1] and badge[1].endswith(word)


def test_the_worst_reason_comes_first_and_passes_are_not_reasons() -> None:
    order = [finding("pass"), finding("condition", "a"), finding("unknown", "b"), finding("fail", "c")]
    said = re.findall(r"because (\w+)", page(shown("no", *order)).split("Side by side")[0])
    assert said[:2] == ["fail", "unknown"] and "pass" not in said


def test_a_long_list_of_reasons_is_cut_and_says_so() -> None:
    many = [finding("fail", f"check {n}") for n in range(5)]
    assert "and 3 more, side by side below" in page(shown("no", *many))


def test_the_tightest_check_of_a_drop_in_is_named() -> None:
    written = page(shown("drop_in", finding("pass", "pull-in", 0.05), finding("pass", "height", 0.3)))
    assert "all 2 checks pass; the tightest is pull-in, 5&nbsp;% to spare" in written


def test_what_is_unknown_is_listed_with_its_parts() -> None:
    lacking = finding("unknown", "sealing", why="look up the sealing category")
    written = page(shown("unknown", lacking), shown("unknown", lacking, part="K2R-12S"))
    assert "sealing: look up the sealing category (TW2-12S, K2R-12S)" in written


def test_functions_that_come_to_the_same_share_a_row() -> None:
    both = [finding("pass", "start, valve opens"), finding("pass", "start, valve closes")]
    other = finding("pass", "start, pump", offered="9 A")
    written = page(shown("drop_in", *both, other)).split("Side by side")[1]
    assert "valve opens, valve closes" in written and written.count("<tr><th>start") == 2


def test_the_checks_before_parts_stand_in_their_order() -> None:
    steps = tuple(replace(STEP, what=what) for what in ("load", "fuse", "driver"))
    written = page(shown("drop_in", finding("pass")), before=(replace(BEFORE, steps=steps),))
    assert re.findall(r"<tr><td>(\d)</td><th>(\w+)</th>", written) == [("1", "load"), ("2", "fuse"), ("3", "driver")]
    assert "keep people clear" in written and "Sources: a sheet" in written


def test_a_whole_board_says_its_checks_once() -> None:
    places = tuple(Section(f"OS-3:{ref}", before=(replace(BEFORE, position=ref),)) for ref in ("K1", "K2"))
    written = match_page(Page("OS-3", (), places))
    assert written.count("Before a part is blamed") == written.count("measure both sides") == 1


def test_a_whole_board_opens_with_every_position() -> None:
    sections = tuple(Section(f"OS-3:K{n}", shown=(shown("drop_in", finding("pass")),)) for n in (1, 2, 3))
    tags = Tags(match_page(Page("OS-3", (), sections))).seen
    assert [a["href"] for tag, a in tags if tag == "a"] == ["#place-0", "#place-1", "#place-2"]
    assert {a["id"] for tag, a in tags if tag == "section"} == {"place-0", "place-1", "place-2"}
