"""Ask for the values of a job one by one, check each, and save after each."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import TYPE_CHECKING, Any

from toebox.cli.fill_words import (
    BACK,
    CLEAR,
    HELP,
    MORE_WORDS,
    NO,
    SKIP,
    STOP,
    YES,
    first_words,
    places_words,
)
from toebox.cli.talk import ask, tell
from toebox.errors import FaultyInput, FaultyText, NoResult
from toebox.job import answers, lines
from toebox.job.draft import CannotChange, Draft, put
from toebox.job.model import Job
from toebox.job.notes import dotted
from toebox.job.reader import read_text
from toebox.job.schema import GOAL, OneOf
from toebox.job.so_far import job_so_far
from toebox.job.twins import unlike_twin
from toebox.job.values import PLANNED, Text
from toebox.job.walk import Question, questions
from toebox.report.files import write_whole
from toebox.units import read_toe

if TYPE_CHECKING:
    from toebox.solve.results import Result

PATIENCE = 100  # answers to one question that are none
_AS = {"distance": "a distance", "angle": "an angle"}
# Doubts that only mean that something is still to come.
_NOT_YET = ("only one", "only its", "read, but not used", "the stops lie within", "by the gaps on")


class Stop(Exception):
    """The user wants to stop here."""


class Filling:
    """One job file and the conversation about it.

    Parameters
    ----------
    path : str
        The job file.
    """

    def __init__(self, path: str) -> None:
        self.path = path
        self._saved = read_text(path)
        self.draft = Draft(self._saved)
        self.skipped: set[lines.Path] = set()
        self.staying: set[lines.Path] = set()  # open, and cannot be left out: told so
        self.known: dict[str, tuple[str, Result]] | None = None
        self.saved = 0
        self.asked: set[lines.Path] = set()
        self._told: set[tuple[lines.Path, str]] = set()

    @property
    def unit(self) -> str:
        """Unit of lengths without one."""
        unit = self.draft.get(("length_unit",))
        return unit if unit in ("in", "mm") else "in"

    # the questions

    def open(self) -> list[Question]:
        """Return the questions that still need an answer."""
        return [question for question in questions(self.draft.document) if self.needs(question)]

    def needs(self, question: Question) -> bool:
        """Tell whether a value is left open, or is one that the schema refuses."""
        return question.open or bool(self.fault(question))

    def fault(self, question: Question) -> str:
        """Return what is wrong with a value that is there; empty where nothing is."""
        if question.open:
            return ""
        try:
            answers.answer(answers.spoken(question.given), question.kind, question.path, self.unit)
        except FaultyText as faulty:
            return str(faulty)
        return ""

    def walk(self, *, again: bool = False) -> None:
        """Ask every question that needs an answer; with `again` every question there is.

        Parameters
        ----------
        again : bool
            Whether to ask for what is answered as well.

        Raises
        ------
        Stop
            If the user wants to stop.
        """
        here, back = -1, False
        farthest = len(questions(self.draft.document)) - 1 if again else -1
        while (place := self._next(here, farthest, again)) is not None:
            listed = questions(self.draft.document)
            question = listed[place]
            farthest = max(farthest, place)
            way = self._one(question, place + 1, len(listed), back)
            back = way in BACK
            if back:
                here = self._before_it(listed, place) - 1
                self.asked.add(listed[here + 1].path)
                continue
            if way in SKIP:
                self.skipped.add(question.path)
            here = self._place_of(question, place)

    def _next(self, here: int, farthest: int, again: bool) -> int | None:
        """Return the next question: the one after, as far as was asked before, else an open one."""
        listed = questions(self.draft.document)
        for place in range(here + 1, min(farthest + 1, len(listed))):
            if again or listed[place].path in self.asked:
                return place
        wanted = [
            place
            for place, question in enumerate(listed)
            if self.needs(question) and question.path not in self.skipped
        ]
        return next((place for place in wanted if place > here), wanted[0] if wanted else None)

    def _before_it(self, listed: list[Question], place: int) -> int:
        """Return the question asked before one, today if there is any; else the same."""
        today = [n for n in range(place) if listed[n].path in self.asked]
        before = today or [n for n in range(place) if not listed[n].is_stated]
        return before[-1] if before else place

    def _place_of(self, question: Question, before: int) -> int:
        """Return where a question stands now: several readings at once add questions."""
        paths = [other.path for other in questions(self.draft.document)]
        return paths.index(question.path) if question.path in paths else before

    # one question

    def _one(self, question: Question, number: int, total: int, back: bool) -> str:
        """Ask one question until it is answered; return how to go on."""
        self.asked.add(question.path)
        self._tell_first(question, quiet=back)
        self._show(question, number, total)
        typed = ask()
        for _ in range(PATIENCE):
            low = typed.lower()
            if low in STOP:
                raise Stop
            if low in BACK + SKIP:
                return low
            if low in HELP:
                tell(MORE_WORDS, "  ")
                tell(f"In the file: {dotted(question.path)}. Wanted: {question.kind.wanted}", "  ")
            elif not typed and not self.needs(question):
                return ""
            elif not typed:
                tell("There is nothing to keep: type it, or s to skip it.", "  ")
            elif (way := self._take(question, typed)) is not None:
                return way
            typed = ask()
        raise Stop

    def _tell_first(self, question: Question, *, quiet: bool) -> None:
        """Tell once what is to be done first at the car; not to somebody who goes back."""
        kind = question.path[:3]  # of which pass, with which instrument
        first = first_words(question)
        if first and not quiet and (kind, first) not in self._told:
            tell()
            tell(first)
        self._told.add((kind, first))

    def _show(self, question: Question, number: int, total: int) -> None:
        """Show what is asked for, what may be typed and what is there now."""
        tell()
        tell(f"[{number} of {total}] {self._pass_of(question)}{question.name}")
        if question.hint:
            tell(question.hint, "  ")
        if question.path[-1] == "camber" and "sweep" in question.path:
            steer = answers.spoken(self.draft.get((*question.path[:-1], "steer")))
            tell(f"Steered: {steer} (degrees on the turn plate)", "  ")
        tell(f"Wanted: {answers.expected(question.kind, self.unit)}", "  ")
        if fault := self.fault(question):
            tell(f"Now: {answers.spoken(question.given)}, but wanted is {fault}", "  ")
        elif not question.open:
            tell(f"Now: {answers.spoken(question.given)}", "  ")
        if before := self._before(question):
            tell(f"In the pass before: {before}", "  ")

    def _pass_of(self, question: Question) -> str:
        """Name the pass of a question that is not of the last one, where it could be meant for."""
        path, passes = question.path, self.draft.get(("pass",)) or []
        if path[0] != "pass" or path[1] == len(passes) - 1:
            return ""
        label = self.draft.get((*path[:2], "label"))
        named = f' "{label}"' if label and label != PLANNED else ""
        return f"Of pass {int(path[1]) + 1}{named}, not the last one: "

    def _before(self, question: Question) -> str:
        """Return what the same question was answered in the pass before."""
        path = question.path
        if not question.is_reading or not path[1]:
            return ""
        given = self.draft.get(("pass", int(path[1]) - 1, *path[2:]))
        if isinstance(given, dict):
            given = " ".join(str(part) for part in given.values())
        return "" if given in (None, PLANNED) or isinstance(given, list) else answers.spoken(given)

    def _take(self, question: Question, typed: str) -> str | None:
        """Read, check and save an answer; tell what is wrong with it where something is.

        Returns how to go on, as `_one` does; None where the question is still to be answered.
        """
        if typed.lower() in CLEAR:
            self._save(question, [PLANNED])
            return ""
        try:
            values = self._values(question, typed)
        except FaultyText as faulty:
            if self._other_goal(question, typed):
                return ""
            tell(f"Not taken. Wanted: {faulty}", "  ")
            return None
        again = self._asked_again(question, values)
        if again.lower() in (*SKIP, *BACK):
            return again.lower()
        if again.lower() in NO:
            tell("Type it again; s leaves it open, b goes back to the one before.", "  ")
            return None
        if again:
            return self._take(question, again)
        if len(values) > 1:
            tell(places_words(question, values), "  ")
        if self.known is None:
            self.known = self.results()
        try:
            self._save(question, values)
        except CannotChange as refused:
            tell(f"Not saved: {refused}. Write it in with an editor.", "  ")
            self.skipped.add(question.path)
            return ""
        taken = {path for path, _ in self._places(question, values)}
        listed = [other.path for other in questions(self.draft.document)]
        self.asked.update(path for path in listed if {path, path[:-1]} & taken)
        self._tell_known()
        return ""

    def _asked_again(self, question: Question, values: list[Any]) -> str:
        """Ask about an unusual answer; return what is typed in its place, empty to keep it."""
        doubt = self._doubt(question, values)
        if not doubt:
            return ""
        tell(f"Is that right? {doubt}", "  ")
        tell("Enter or y keeps it; n asks again, or type it again; b goes back.", "  ")
        again = ask()
        if again.lower() in STOP:
            raise Stop
        return "" if again.lower() in YES else again

    def _values(self, question: Question, typed: str) -> list[Any]:
        """Return the values that were typed, one as a rule."""
        parts = [typed]
        if question.repeats and ";" in typed:
            parts = [part.strip() for part in typed.split(";")]
            if question.place:
                raise FaultyText(f"one reading: {question.name}")
        if isinstance(question.kind, Text):
            parts = [typed.strip('"')]
        return [answers.answer(part, question.kind, question.path, self.unit) for part in parts]

    def _other_goal(self, question: Question, typed: str) -> bool:
        """Take a toe goal that was typed as an angle in place of a distance, or the reverse.

        Only where its unit says so: a bare number that is out of range is not what was meant.
        """
        path = question.path
        if path[0] != "goal" or not isinstance(kind := GOAL.keys.get(str(path[1])), OneOf):
            return False
        other = {"distance": "angle", "angle": "distance"}.get(str(path[-1]))
        if other is None:
            return False
        try:
            if {read_toe(typed, unit).kind for unit in ("in", "deg")} != {other}:
                return False
            value = answers.answer(typed, kind.kinds[other].keys[other], path, self.unit)
        except FaultyText:
            return False
        tell(f"Taken as {_AS[other]}: {answers.spoken(value)}.", "  ")
        self._write([(path[:-1], {other: value, "tolerance": PLANNED})])
        return True

    # doubts

    def _doubt(self, question: Question, values: list[Any]) -> str:
        """Say what is unusual about an answer; empty where nothing is."""
        for value in values:
            unlike = unlike_twin(value, question.kind, question.path, self.draft.get, self.unit)
            if unlike:
                return unlike
        before = self._doubts(self.draft.document)
        trial = copy.deepcopy(self.draft.document)
        try:
            for path, value in self._places(question, values):
                put(trial, path, value)
        except (TypeError, LookupError):
            return ""
        fresh = [doubt for doubt in self._doubts(trial) if doubt not in before]
        for where, _, doubt in (one.partition(": ") for one in fresh):
            if not doubt.startswith(_NOT_YET):
                here = dotted(question.path).startswith(where)
                return doubt if here else f"{where}: {doubt}"
        return ""

    def _doubts(self, document: dict[str, Any]) -> tuple[str, ...]:
        try:
            return job_so_far(document, "", self.path).doubts
        except FaultyInput:
            return ()

    # saving

    def _places(self, question: Question, values: list[Any]) -> list[tuple[lines.Path, Any]]:
        """Return which value goes where."""
        path = question.path
        if isinstance(path[-1], int) and question.repeats:
            return [((*path[:-1], path[-1] + n), value) for n, value in enumerate(values)]
        return [(path, values if len(values) > 1 else values[0])]

    def _save(self, question: Question, values: list[Any]) -> None:
        """Write an answer into the file."""
        changes = self._places(question, values)
        if question.path == ("length_unit",) and values[0] != self.unit:
            changes = [*answers.with_units(self.draft.document, self.unit), *changes]
        self._write(changes)

    def _write(self, changes: list[tuple[lines.Path, Any]]) -> None:
        """Make changes and put the file on the disk, whole."""
        self.refresh()
        if all(self.draft.get(path) is not None for path, _ in changes):
            self.draft.replace(changes)
        else:
            for path, value in changes:
                self.draft.set(path, value)
        self.store()

    def refresh(self) -> None:
        """Take up the file as it is now, if somebody else has changed it."""
        found = read_text(self.path)
        if found != self._saved:
            tell(f"{self.path} was changed meanwhile; your answer goes into it as it is now.", "  ")
            self._saved, self.draft = found, Draft(found)

    def store(self) -> None:
        """Put the file on the disk, whole."""
        text = self.draft.text
        if text != self._saved:
            try:
                write_whole(Path(self.path), text.encode("utf-8"))
            except KeyboardInterrupt:  # save first, then stop
                write_whole(Path(self.path), text.encode("utf-8"))
                raise
            self._saved = text
            self.saved += 1

    # results

    def job(self) -> Job:
        """Return the job without what is left open; raise FaultyInput as `job_so_far`."""
        return job_so_far(self.draft.document, self.draft.text, self.path)

    def results(self) -> dict[str, tuple[str, Result]]:
        """Return the results so far of the last pass, each with its line; none before readings."""
        from toebox.report.view.known import known
        from toebox.solve import solve_pass

        try:
            job = self.job()
            begun = len(job.passes) == len(self.draft.document.get("pass", []))
            if not (job.passes and begun):
                return {}
            solved = solve_pass(job, job.passes[-1])
            return {name: (line, solved[name]) for name, line in known(solved, job).items()}
        except (FaultyInput, NoResult):
            return {}

    def _tell_known(self) -> None:
        """Tell results that an answer has made known, or has put right."""
        from toebox.solve.decide import COVERAGE_FACTOR

        found, before = self.results(), self.known or {}
        for name, (line, result) in found.items():
            if name not in before:
                tell(f"Known now: {line}", "  ")
            elif abs(result.value - before[name][1].value) > COVERAGE_FACTOR * before[name][1].u:
                tell(f"Known better now: {line}", "  ")
            else:
                found[name] = before[name]  # as it was told
        self.known = before | found  # what is half typed may hide a result for a while
