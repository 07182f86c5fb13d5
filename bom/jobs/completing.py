"""What the shell offers while a part is being typed: numbers, or maker and number where two makers share it."""

from __future__ import annotations

MOST = 20
"""More would not be read. Own choice."""


def parts_beginning(url: str | None, typed: str) -> list[str]:
    """Names of parts that begin with what was typed, or whose maker does; none where no database is there.

    What was typed stays as it is, capitals or not: a shell drops what does not begin with it to the letter.
    """
    from bom.jobs.bench import glance
    from bom.store.part_names import part_names
    from bom.store.search import parts_typed
    from bom.values.problem import Refused

    try:
        with glance(url) as session:
            name, found = part_names(session).name, parts_typed(session, typed, MOST)
    except Refused:
        return []
    offered = dict.fromkeys(word for number, maker in found for word in (name(number, maker), f"{maker} {number}"))
    return [typed + word[len(typed) :] for word in offered if word.casefold().startswith(typed.casefold())]
