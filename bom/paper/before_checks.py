"""Knows how the checks before a part is blamed are said once for a whole board: one list in their order, in which only
what differs from one position to another is worded for each."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from bom.duty.before_parts import BeforeParts, Step

Check = tuple[str, str, str]
Said = list[tuple[str, Step]]
"""One check as each position words it: the position's label and the step."""


@dataclass(frozen=True, slots=True)
class Checks:
    """What is looked at, what to do and what right looks like, in order; the cautions that go before; the sources."""

    rows: tuple[Check, ...]
    cautions: tuple[str, ...]
    sources: tuple[str, ...]


def checks_of(groups: Sequence[BeforeParts]) -> Checks:
    """Those of several positions and functions; lines of a text are for each."""
    labels = _labels(groups)
    rows = _in_one_row(_row(said, labels) for said in _together(labels, groups))
    sources = dict.fromkeys(part for g in groups for s in g.steps for part in s.source.split("; "))
    said = dict.fromkeys(g.caution for g in groups if g.caution)
    cautions = [text for text in said if not any(text in other and text != other for other in said)]
    return Checks(tuple(rows), tuple(cautions), tuple(sources))


def _labels(groups: Sequence[BeforeParts]) -> list[str]:
    """A position by its reference; with its functions where they are checked differently."""
    refs = [g.position for g in groups]
    return [
        ref if refs.count(ref) == 1 else f"{ref} {', '.join(group.functions)}"
        for ref, group in zip(refs, groups, strict=True)
    ]


def _together(labels: Sequence[str], groups: Sequence[BeforeParts]) -> list[Said]:
    """The checks of all groups in one order, each with how every group words it."""
    merged: list[tuple[object, Said]] = []
    for label, group in zip(labels, groups, strict=True):
        keys = [_key(step, group) for step in group.steps]
        for n, (key, step) in enumerate(zip(keys, group.steps, strict=True)):
            known = [other for other, _ in merged]
            if key not in known:  # before whatever this group checks next and others check too
                following = [known.index(later) for later in keys[n:] if later in known]
                merged.insert(following[0] if following else len(known), (key, []))
            next(said for other, said in merged if other == key).append((label, step))
    return [said for _, said in merged]


def _key(step: Step, group: BeforeParts) -> object:
    """What makes two checks one: what is looked at, and what is done where a group looks at it more than once."""
    once = sum(other.what == step.what for other in group.steps) == 1
    return step.what if once else (step.what, step.do)


def _row(said: Said, labels: Sequence[str]) -> Check:
    """What is looked at, what to do, and what right looks like."""
    do = _worded([(label, step.do) for label, step in said], labels, _PART)
    named = do not in (step.do for _, step in said)
    right = _worded([(label, step.right) for label, step in said], () if named else labels, _SENTENCE)
    return said[0][1].what, do, right


def _in_one_row(checks: Iterable[Check]) -> list[Check]:
    """Checks that follow each other and differ only in what to do become one, a line each."""
    rows: list[Check] = []
    for what, do, right in checks:
        if rows and (rows[-1][0], rows[-1][2]) == (what, right):
            rows[-1] = (what, f"{rows[-1][1]}\n{do}", right)
        else:
            rows.append((what, do, right))
    return rows


def _worded(texts: Sequence[tuple[str, str]], labels: Sequence[str], clause: re.Pattern[str]) -> str:
    """One text where all say the same; else the clauses that differ, position by position, and the rest once.

    ``labels``: all that there are, so that a check of some only names them; none where that is said already.
    """
    by_text: dict[str, list[str]] = {}
    for label, text in texts:
        by_text.setdefault(text, []).append(label)
    if len(by_text) == 1:
        named = f"{_names(by_text[texts[0][1]], labels)}: " if len(texts) < len(labels) else ""
        return named + texts[0][1]
    split = [clause.split(text) for text in by_text]
    head, tail = _alike(split), _alike([clauses[::-1] for clauses in split])
    tail = min(tail, min(map(len, split)) - head)
    own = [" ".join(clauses[head : len(clauses) - tail]).rstrip(",;.") for clauses in split]
    known = labels or [label for label, _ in texts]
    lines = [f"{_names(those, known)}: {words}" for those, words in zip(by_text.values(), own, strict=True)]
    return "\n".join(filter(None, (" ".join(split[0][:head]), *lines, " ".join(split[0][len(split[0]) - tail :]))))


def _names(those: Sequence[str], labels: Sequence[str]) -> str:
    """A position by its reference alone where all that is checked of it is meant."""
    refs = {label: label.partition(" ")[0] for label in labels}
    whole = {ref for ref in refs.values() if all(label in those for label in labels if refs[label] == ref)}
    return ", ".join(dict.fromkeys(refs[label] if refs[label] in whole else label for label in those))


_PART, _SENTENCE = re.compile(r"(?<=[,;.]) "), re.compile(r"(?<=[;.]) ")


def _alike(split: Iterable[Sequence[str]]) -> int:
    """How many clauses all of them begin with."""
    count = 0
    for clauses in zip(*split, strict=False):
        if len(set(clauses)) > 1:
            return count
        count += 1
    return count
