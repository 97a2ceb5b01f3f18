"""A job file to begin with: a template whose examples have become notes.

Whatever belongs to one car stands as ``"?"``, so that no invented value is ever taken for one
that was measured. What holds for most cars (instruments, smallest turn) keeps its value.
"""

from __future__ import annotations

import re

from toebox.job.answers import size_of
from toebox.job.draft import Draft
from toebox.job.values import PLANNED, Length
from toebox.job.walk import Question, questions

_KEPT = {
    "length_unit", "instruments", "goal.thrust_angle", "goal.steering_wheel",
    "goal.cross_camber", "goal.cross_caster", "tie_rods.smallest_turn", "pass.label",
}  # fmt: skip
_NO_EXAMPLE = ("title", "date")
_INVENTED = re.compile(r"# Every value here is an invented example:.*?(?=# A line that)", re.S)
_MEANING = """\
# A "?" is a value that you still have to give; what follows "such as" is invented. Leave out what
# you do not know or did not measure: delete its line.
"""
_BARE_INCHES = re.compile(r'"\d+ \d+/\d+", (?="\d+ \d+/\d+ in")')  # how a value may be written
_RUN = "Then run:  toebox report THIS-FILE.toml"
_FILL = """\
To be asked for it all, run
#   toebox fill THIS-FILE.toml
# or write it in here. For the results run
#   toebox report THIS-FILE.toml"""
_LONGEST = 100
_LINE = re.compile(r'(?P<key>[\w.]+ *= *)"\?"(?P<gap> *)(?P<note>#.*)?')
_COLUMN = 34
_OPEN = f'"{PLANNED}"'
_VALUE = re.compile(r'"([^"]*)"|(?<![\w"])(-?\d[\d.]*)')


def blank(template: str, unit: str = "in") -> str:
    """Return a template with ``"?"`` for everything that is to be measured or looked up.

    Parameters
    ----------
    template : str
        A whole job file with comments.
    unit : {"in", "mm"}
        Unit of lengths without one.

    Returns
    -------
    str
        The same lines; each example has become a note.
    """
    example = in_unit(template, unit)
    draft = Draft(example)
    asked = questions(draft.document)
    draft.replace([(question.path, PLANNED) for question in asked if not _is_kept(question)])
    old, new = example.split("\n"), draft.text.split("\n")
    lines = [
        _noted(before, after) if after.count(_OPEN) < 2 else _several(before, after, above)
        for before, after, above in zip(old, new, ["", *new], strict=False)
    ]
    return _INVENTED.sub(_MEANING, "\n".join(_without_adjusters(lines))).replace(_RUN, _FILL)


def in_unit(template: str, unit: str) -> str:
    """Return a template with its lengths in another unit.

    Parameters
    ----------
    template : str
        A whole job file in inches.
    unit : {"in", "mm"}
        Unit of lengths.

    Returns
    -------
    str
        For millimetres, lengths rounded to half a millimetre, the least 0.5 mm.
    """
    if unit == "in":
        return template
    draft = Draft(template)
    lengths = [q for q in questions(draft.document) if isinstance(q.kind, Length)]
    metric = [(question.path, _millimetres(question)) for question in lengths]
    draft.replace([(("length_unit",), unit), *metric])
    return _BARE_INCHES.sub("", draft.text, count=1)


def _millimetres(question: Question) -> int | float | str:
    """Return a length in millimetres, with the word for its sign where it has one."""
    metres = size_of(question.given, question.kind, "in") or 0.0
    halves = max(1, round(abs(metres) * 2000.0)) if metres else 0
    size = halves // 2 if halves % 2 == 0 else halves / 2
    signs = getattr(question.kind, "signs", None)
    if signs and metres:
        return f"{size} {signs[0] if metres > 0.0 else signs[1]}"
    return -size if metres < 0.0 else size


def _is_kept(question: Question) -> bool:
    """Tell whether a value holds for most cars."""
    names = [part for part in question.path if isinstance(part, str)]
    starts = {".".join(names[:length]) for length in (1, 2)}
    return bool(starts & _KEPT) or names[-1] == "steer" or names[0] == "adjuster"


def _noted(before: str, after: str) -> str:
    """Return a line with its example as a note."""
    found = _LINE.fullmatch(after)
    if before == after or found is None:
        return after
    key, note = found["key"], (found["note"] or "").lstrip("# ")
    value = before[len(key) :].removesuffix(found["note"] or "").strip().replace('"', "")
    start = f'{key}"?"'.ljust(_COLUMN)
    if key.split()[0] in _NO_EXAMPLE or value in note or value.startswith("{"):
        return f"{start}# {note}" if note else after
    line = f"{start}# {note}; such as {value}" if note else f"{start}# such as {value}"
    return line if len(line) <= _LONGEST else f"{start}# {note};\n{' ' * _COLUMN}# such as {value}"


def _several(before: str, after: str, above: str) -> str:
    """Return a line of several values with their examples; the first alone of lines in a row."""
    body, _, note = before.partition("#")
    if above.count(_OPEN) > 1 or note:
        return after
    values = [text or digits for text, digits in _VALUE.findall(body.partition("=")[2])]
    line = f"{after}  ".ljust(_COLUMN) + f"# such as {', '.join(values)}"
    return line if len(line) <= _LONGEST + 4 else after


def _without_adjusters(lines: list[str]) -> list[str]:
    """Return the lines with all adjusters as notes: few cars have those of the example."""
    inside = False
    found = []
    for line in lines:
        inside = line.startswith("[[adjuster]]") or (inside and line != "")
        found.append(f"# {line}" if inside else line)
    return found
