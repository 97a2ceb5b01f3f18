"""A steering wheel to centre: what a report says of it, without the rest."""

from __future__ import annotations

from toebox import __version__
from toebox.correct.results import PassCorrection
from toebox.job.model import Goal
from toebox.report.blocks import Block, Paragraph, Points, Section, Steps, View
from toebox.report.view.agreement import agreement, disagreement
from toebox.report.view.basis import assumed, not_measured, unusual
from toebox.report.view.found import found
from toebox.report.view.goals import against_goals
from toebox.report.view.slips import doubtful
from toebox.report.view.todo import first_of_all, todo
from toebox.report.view.wheels import where_it_runs
from toebox.solve.results import Solution
from toebox.solve.standing import standing

COUNT = (
    "Before you turn anything, count the turns of the steering wheel from its spokes straight to "
    "each lock: where they differ by 1/8 turn or more, the gear is not in its middle then; give "
    "them as --turns-to-lock."
)
AIM = {"steering_wheel": Goal(0.0)}  # what the command is for
# What the parts of a report say of a job file, and what it is here: options.
_HERE = (
    (
        "in a job those readings are the next [[pass]], with what you turned",
        "ask again with the new readings",
    ),
    ("in a job those readings are the next [[pass]]", "ask again with the new readings"),
    ("; see 'What would settle what is not proven' in the report", "; give more of it"),
    ("a road test (steering_wheel_off) would", "--off would"),
    ("nothing in this pass says", "nothing says"),
    ("with the car's steering_ratio", "with --ratio"),
    ("Look first at what the report lists under", "Look first at what stands under"),
    ("needs outer_thread", "needs --thread"),
    (" (steering_wheel_straight_within puts it there)", ""),
    (", but where passes have shown what a turn does", ""),
    ("; what passes show of a turn is weighted against it", ""),
    ("(in a job: [tie_rods])", "(--arm and --thread)"),
    ("Nothing says so (steering_arm): the", "Without --ahead the"),
    ("(steering_arm was not stated)", "(--ahead was not given)"),
    ("write every drive as one more reading in the list", "give every drive as one more --off"),
    ("add them to the job (turns_to_lock)", "give them as --turns-to-lock"),
    ("In the next pass count", "Then count"),
    ("no reading in this pass", "no reading of it"),
    ("Put it right in the job and make the report anew", "Put it right and ask again"),
    ("(front_bar_width, rear_bar_width, bar_spacing)", "(a job takes them)"),
    (
        "The toe of the rear wheels is taken as fixed: the job does not say that it can be "
        "adjusted (car.rear_toe_adjustable).",
        "The toe of the rear wheels counts as not adjustable here; a job may say otherwise.",
    ),
    ("([goal] front_total_toe)", "(in a job: front_total_toe)"),
    ("the road test (steering_wheel_off)", "the road test (--off)"),
    ("tape.front readings (front_edge, rear_edge)", "--tape"),
    ("tape.front readings", "--tape"),
    ("car.steering_ratio", "--ratio"),
    ("pass[1].steering_wheel_off", "--off"),
    ("pass[1].string.", "--string "),
    ("pass[1].string:", "--string:"),
    ("pass[1].tape.front", "--tape"),
    ("pass[1].turns_to_lock", "--turns-to-lock"),
    ("The road test repeats", "The road test (--repeats) repeats"),
)


def centring_view(solution: Solution, corrections: tuple[PassCorrection, ...]) -> View:
    """Put the centring of a steering wheel into words.

    Parameters
    ----------
    solution : Solution
        A solved job of one pass.
    corrections : tuple of PassCorrection
        What to turn after it.

    Returns
    -------
    View
        What to do, what was found, and what that rests on.
    """
    job, solved, correction = solution.job, solution.passes[-1], corrections[-1]
    sections: list[Section | None] = [
        todo(job, solved, correction, first=first_of_all(solution, correction, 0)),
        against_goals(job, standing(solution)),
        found(job, solved),
        doubtful(solution),
        agreement(job, solved) if disagreement(job, solved) else None,
        where_it_runs(job, solved, correction),
        assumed(job._replace(goals={**AIM, **job.goals}), solved),
    ]
    if not correction.rods:
        sections.append(not_measured(solved))
    sections.append(unusual(job))
    subtitle = "The gear first, then both tie rods, the steering wheel's spline last."
    if correction.gear is None:
        subtitle += f" {COUNT}"
    return View(
        title=job.title,
        subtitle=(subtitle,),
        sections=tuple(_here(section) for section in sections if section is not None),
        footer=f"toebox {__version__}",
    )


def _here(section: Section) -> Section:
    """Return a section in the words of the command's options."""
    return section._replace(blocks=tuple(_block(block) for block in section.blocks))


def _block(block: Block) -> Block:
    if isinstance(block, Paragraph):
        return block._replace(text=_said(block.text))
    if isinstance(block, Steps | Points):
        return block._replace(items=tuple(_said(item) for item in block.items))
    return block


def _said(text: str) -> str:
    for job, here in _HERE:
        text = text.replace(job, here)
    return text
