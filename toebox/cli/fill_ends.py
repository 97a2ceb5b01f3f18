"""How filling in a job begins, what is shown when the questions are answered, and what is next."""

from __future__ import annotations

import re
from collections.abc import Callable

from toebox.cli import output
from toebox.cli.fill_leave import ask_for, leave_out, missing
from toebox.cli.fill_words import STOP, WORDS
from toebox.cli.filling import PATIENCE, Filling, Stop
from toebox.cli.talk import NoMore, ask, tell
from toebox.errors import FaultyInput, NoResult
from toebox.job.answers import spoken
from toebox.job.draft import CannotChange
from toebox.job.offers import Offer, next_pass, offers, take_up
from toebox.job.values import Angle, Length
from toebox.job.walk import questions

SETTLED = (
    "Before you measure: the car on its wheels on level ground, tyre pressures right, rolled "
    "forward to settle, steering wheel clamped straight. Never be under a car that only a jack "
    "holds. Left and right are as the driver sits."
)
_BARE = re.compile(r"[\d\s./]+")  # a number without its unit
_HOW = {"resolution": "read to ", "repeatability": "repeating within "}
MORE = "Measure something more in this pass, or add a goal or the tie rods"
ADJUSTERS = (
    "Adjusters of caster, camber and rear toe are written in with an editor, each under its own "
    "[[adjuster]]; toebox start --from full writes a job that shows how."
)
Choice = tuple[str, Callable[[], None]]


def converse(filling: Filling, *, again: bool) -> None:
    """Hold the whole conversation about a job.

    Parameters
    ----------
    filling : Filling
        The job.
    again : bool
        Whether to ask for what is answered already as well.
    """
    try:
        _begin(filling, again)
        while True:
            filling.walk(again=again)
            again = False
            _results(filling)
            choices = _choices(filling)
            chosen = _choose("What next? Enter stops.", [name for name, _ in choices])
            if chosen is None:
                break
            try:
                choices[chosen][1]()
            except CannotChange as refused:
                tell(f"Not done: {refused}. Write it in with an editor.")
                break
    except (Stop, NoMore):
        pass
    _end(filling)


def _begin(filling: Filling, again: bool) -> None:
    listed = questions(filling.draft.document)
    left = len(filling.open())
    if left:
        tell(f"{filling.path}: {left} of {len(listed)} values are open.")
        tell(WORDS)
        if not again and (stated := _stated(filling)):
            tell(stated)
        tell(SETTLED)
    elif not listed or not filling.draft.document.get("pass"):
        tell(f"{filling.path} has no readings yet.")
    else:
        tell(f"{filling.path}: every value is answered.")
        if again:
            tell(WORDS)


def _stated(filling: Filling) -> str:
    """Say what the file holds of the instruments, which nobody is asked for; empty if nothing."""
    document = filling.draft.document
    unit = document.get("length_unit", "")
    known: dict[str, list[str]] = {}
    for question in questions(document):
        path, value = question.path, spoken(question.given)
        if not question.is_stated or question.open or filling.fault(question):
            continue
        if _BARE.fullmatch(value) and isinstance(question.kind, (Angle, Length)):
            value += f" {unit}" if isinstance(question.kind, Length) else "°"
        name = " ".join(map(str, path[1:2] if path[0] == "instruments" else path))
        known.setdefault(name.replace("_", " "), []).append(_HOW.get(str(path[-1]), "") + value)
    if not known:
        return ""
    listed = "; ".join(f"{name} {', '.join(values)}" for name, values in known.items())
    return (
        f"Instruments as the file has them, which are not asked for: {listed}. If yours differ, "
        "change them in the file, or go through every answer with --again."
    )


def _results(filling: Filling) -> None:
    """Print the summary of the last pass, or say why there is none."""
    from toebox.correct import correct
    from toebox.report.view.whole import make_view
    from toebox.solve import solve

    try:
        job = filling.job()
        if not job.passes:
            return
        solution = solve(job)
    except FaultyInput as faulty:
        tell("No results yet. The file still needs:")
        for fault in faulty.faults:
            tell(f"- {fault}", "  ")
        return
    except NoResult as none:
        tell(f"No results yet: {none}.")
        return
    output.write("")
    output.show(make_view(solution, correct(solution)), summary=True)


def _choices(filling: Filling) -> list[Choice]:
    """Return what can be done next."""
    choices: list[Choice] = []
    left = {question.path for question in filling.open()}
    if left:
        choices.append((f"Ask again for what is open ({len(left)})", filling.skipped.clear))
    if out := len(left - filling.staying):
        what = f"Leave that out: it was not measured ({out})"
        choices.append((what, lambda: leave_out(filling)))
    if lacking := len(missing(filling)):
        choices.append((f"Answer what the file still needs ({lacking})", lambda: ask_for(filling)))
    if filling.draft.document.get("pass"):
        choices.append(("A new pass: something was turned, measure again", lambda: _pass(filling)))
    if offers(filling.draft.document):
        choices.append((MORE, lambda: _more(filling)))
    if questions(filling.draft.document):
        choices.append(("Go through every answer once more", lambda: filling.walk(again=True)))
    return choices


def _choose(heading: str, names: list[str]) -> int | None:
    """Ask for one of several things by its number; None where none is wanted."""
    tell()
    tell(heading)
    wide = len(str(len(names)))
    for number, name in enumerate(names, start=1):
        tell(name, "  ", f"{number:>{wide}}  ")
    for _ in range(PATIENCE):
        typed = ask()
        if not typed:
            return None
        if typed.lower() in STOP:
            raise Stop
        if typed.isdecimal() and 0 < int(typed) <= len(names):
            return int(typed) - 1
        tell(f"Type a number from 1 to {len(names)}, or press Enter.", "  ")
    raise Stop


def _pass(filling: Filling) -> None:
    """Add a pass with the same readings as the last one."""
    filling.refresh()
    number = len(filling.draft.document["pass"])
    label = "after the first turn" if number == 1 else f"after turn {number}"
    filling.draft.add_pass(next_pass(filling.draft.document, label))
    filling.store()
    filling.known = {}
    # What the passes before leave open is not asked for under the heading of this one.
    filling.skipped = {
        q.path for q in filling.open() if q.path[0] == "pass" and q.path[1] != number
    }
    tell()
    tell(f"New pass: {label}. First what was turned, then the readings.")
    tell(SETTLED)


def _more(filling: Filling) -> None:
    """Take up further readings."""
    offered: list[Offer] = offers(filling.draft.document)
    names = [f"{offer.name}: {offer.gives}" for offer in offered]
    tell(ADJUSTERS)
    chosen = _choose("What will you measure, or add to the job? Enter: nothing.", names)
    if chosen is not None:
        filling.refresh()
        take_up(filling.draft, offered[chosen])
        filling.store()


def _end(filling: Filling) -> None:
    """Say what is saved and how to go on."""
    left, path = len(filling.open()), output.typed(filling.path)
    if filling.saved:
        tell(f"Saved in {filling.path}.")
    if left:
        are = "value is" if left == 1 else "values are"
        tell(f"{left} {are} open. To go on: toebox fill {path}")
    elif filling.draft.document.get("pass"):
        from toebox.solve import solve

        try:
            solve(filling.job())
        except FaultyInput:
            if missing(filling):
                tell(f"The file still lacks something. To answer it: toebox fill {path}")
            else:
                tell(
                    "The file still has faults. Mend them with an editor, or answer anew: toebox "
                    f"fill --again {path}"
                )
        except NoResult as none:
            tell(f"No report yet: {str(none).removeprefix(f'{filling.path}: ')}.")
            tell(f"To go on: toebox fill {path}")
        else:
            tell(f"For the whole report: toebox report {path}")
