"""The closed formulas, source by source: strings, bars, tape, road test.

What each source says by itself. Where two sources say the same thing, the first is kept and the
difference of the second is noted; `combine` weighs them.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from toebox.job.model import AXLES, SIDES, WHEELS, axle_of, side_of
from toebox.report.working.page import SIDE, TAPER, TOE, YAW, Page, either
from toebox.report.working.sums import Term, asin, atan, number

NEARER = either("the left wheel is nearer to its string", "the right wheel is nearer to its string")
SETBACK = either("the right front wheel is further back", "the left front wheel is further back")


@dataclass(frozen=True, slots=True)
class Difference:
    """What a further source says of a quantity, minus what the first one said.

    `symbol` stands for it in later lines; `pair` holds what the first and the further source say,
    where `name` is that of a result.
    """

    name: str
    symbol: str
    value: Term
    pair: tuple[Term, Term] | None = None


@dataclass
class Found:
    """Quantities found so far, by the names of results; and differences between sources."""

    terms: dict[str, Term] = field(default_factory=dict)
    differences: list[Difference] = field(default_factory=list)

    def has(self, *names: str) -> bool:
        """Return whether all these quantities were found."""
        return all(name in self.terms for name in names)

    @property
    def next_symbol(self) -> str:
        """Return the symbol for the next difference."""
        return f"D{len(self.differences) + 1}"


def closed_forms(page: Page) -> Found:
    """Work out what every source says by itself.

    Parameters
    ----------
    page : Page
        Takes up the lines.

    Returns
    -------
    Found
        Quantities by the first source that gives them, and differences of the others.
    """
    found = Found()
    _strings(page, found)
    page.section(
        "total toe by the tape",
        "f, r: tape across the car at the front and at the rear points; across: from the front to "
        "the rear point of one wheel.",
    )
    for axle in AXLES:
        _tape(page, found, axle)
    _road_test(page, found)
    _setback(page, found)
    return found


def words_of(wheel: str) -> str:
    """Return a wheel or an axle in words, for the start of a line."""
    return wheel.replace("_", " ").capitalize()


# strings


def _strings(page: Page, found: Found) -> None:
    """Work out the toe of every wheel that has both rim edges read."""
    whole = [wheel for wheel in WHEELS if page.solved.readings.both_edges(wheel)]
    if not whole:
        return
    page.section(
        "angle of each wheel to its string",
        "F, R: string to the front and to the rear edge of the rim, the mean where it was read "
        "more than once. rim: distance between these two points. a: angle of the rim to the "
        "string. A: string to the centre of the rim.",
    )
    edges = {wheel: _edges(page, wheel) for wheel in whole}
    angles, centres = {}, {}
    for wheel, (front, rear) in edges.items():
        rim = page.size(page.job.car.rim_diameter[axle_of(wheel)])
        word = words_of(wheel)
        angles[wheel] = page.angle(word, "a = asin((F - R) / rim)", asin((front - rear) / rim), TOE)
        centres[wheel] = page.length(word, "A = (F + R) / 2", (front + rear) / 2.0)
    page.section("how strings and car stand to each other")
    found.terms["box.taper"] = taper = _taper(page)
    found.terms["box.yaw"] = yaw = _yaw(page, centres)
    page.section(
        "toe of each wheel by the strings",
        "t = a - o + p for a wheel on the left, t = a - o - p for one on the right.",
    )
    for wheel, angle in angles.items():
        left = side_of(wheel) == "left"
        toe = angle - taper + yaw if left else angle - taper - yaw
        symbols = f"t = a - o {'+' if left else '-'} p"
        toe = toe.depending(_clamped(page, wheel))
        found.terms[f"toe.{wheel}"] = page.angle(words_of(wheel), symbols, toe, TOE)
    _hubs(page, found, centres)


def _edges(page: Page, wheel: str) -> tuple[Term, Term]:
    """Return both rim edges of a wheel; one position alone carries the rim's run-out."""
    strings, word = page.solved.readings.string[wheel], words_of(wheel)
    front = page.mean(f"string.{wheel}.front", f"{word}, front edge", "F", strings.front)
    rear = page.mean(f"string.{wheel}.rear", f"{word}, rear edge", "R", strings.rear)
    wobble = f"assumed.rim_runout.{wheel}"
    if len(strings.front) == 1:
        front = front.depending({wobble: -1.0})
    if len(strings.rear) == 1:
        rear = rear.depending({wobble: 1.0})
    return front, rear


def _clamped(page: Page, wheel: str) -> dict[str, float]:
    """Return by how much the toe of a front wheel is less for each degree of the steering wheel.

    It was read as the steering wheel was clamped, taken as straight.
    """
    label, ratio = "assumed.steering_wheel_straight_within", page.job.car.least_ratio
    if axle_of(wheel) != "front" or label not in page.uncertainties():
        return {}
    return {label: -1.0 / ratio if side_of(wheel) == "left" else 1.0 / ratio}


def _taper(page: Page) -> Term:
    """Return half the angle between the strings, by the bars or as assumed."""
    readings = page.solved.readings
    spacing = readings.bar_spacing
    if spacing is None or not readings.bars_measured:
        page.say(
            "o, half the angle between the strings: not measured at the bars, taken as 0 "
            "(how far off it may be counts in the uncertainties)."
        )
        return number(0.0, 0, slopes={"assumed.strings_parallel_within": 1.0})
    page.say("o, half the angle between the strings, from their widths at both bars.")
    front = page.mean("string.front_bar_width", "Front bar", "width", readings.front_bar_width)
    rear = page.mean("string.rear_bar_width", "Rear bar", "width", readings.rear_bar_width)
    taper = atan((front - rear) / (2.0 * page.size(spacing)))
    symbols = "o = atan((front width - rear width) / (2 x spacing))"
    return page.angle("Strings", symbols, taper, TAPER)


def _yaw(page: Page, centres: dict[str, Term]) -> Term:
    """Return the angle of the car in the box, by the rim centres or as assumed."""
    wheelbase = page.size(page.job.car.wheelbase or 1.0)
    if any(wheel not in centres for wheel in WHEELS):
        page.say(
            "p, the angle of the car in the box: not all four wheels were read, taken as 0 "
            "(how far off it may be counts in the uncertainties)."
        )
        assumed = number(0.0, 0, slopes={"assumed.box_square_within": 1.0})
        return asin(assumed / wheelbase).as_number(0)
    page.say(
        "s: how far each axle stands to the left of the middle between the strings. "
        "p: the angle of the car in the box."
    )
    shifts = [
        page.length(
            f"{words_of(axle)} axle",
            "s = (A right - A left) / 2",
            (centres[f"right_{axle}"] - centres[f"left_{axle}"]) / 2.0,
            NEARER,
        )
        for axle in AXLES
    ]
    yaw = asin((shifts[0] - shifts[1]) / wheelbase)
    return page.angle("Car", "p = asin((s front - s rear) / wheelbase)", yaw, YAW)


def _hubs(page: Page, found: Found, centres: dict[str, Term]) -> None:
    """Compare hub readings with rim centres: both wheels of an axle should differ alike."""
    page.section(
        "hubs against rim centres",
        "H: string to the hub. H - A should be the same on both wheels of an axle; D is by how "
        "much it is not.",
    )
    readings = page.solved.readings.string
    for axle in AXLES:
        wheels = [f"{side}_{axle}" for side in SIDES]
        if not all(w in centres and readings[w].hub for w in wheels):
            continue
        left, right = (
            page.mean(f"string.{w}.hub", f"{words_of(w)}, hub", "H", readings[w].hub)
            for w in wheels
        )
        depth = left - centres[wheels[0]] - (right - centres[wheels[1]])
        symbol = found.next_symbol
        symbols = f"{symbol} = (H left - A left) - (H right - A right)"
        more = either("left more", "right more", "alike")
        value = page.length(f"{words_of(axle)} hubs", symbols, depth, more)
        found.differences.append(Difference(f"hubs.{axle}", symbol, value))


# tape


def _tape(page: Page, found: Found, axle: str) -> None:
    """Work out total toe by the tape, and what follows from it."""
    tape = page.solved.readings.tape.get(axle)
    if tape is None or tape.across is None or not (tape.front_edge and tape.rear_edge):
        return
    word = words_of(axle)
    front = page.mean(f"tape.{axle}.front_edge", f"{word}, front edge", "f", tape.front_edge)
    rear = page.mean(f"tape.{axle}.rear_edge", f"{word}, rear edge", "r", tape.rear_edge)
    total = 2.0 * asin((rear - front) / (2.0 * page.size(tape.across)))
    symbols = "T = 2 x asin((r - f) / (2 x across))"
    source = page.angle(f"{word} total toe by the tape", symbols, total, TOE)
    left, right = f"toe.left_{axle}", f"toe.right_{axle}"
    if found.has(left, right):
        first = page.angle(
            f"{word} total toe by the strings",
            "T = t left + t right",
            found.terms[left] + found.terms[right],
            TOE,
        )
        symbol, more = found.next_symbol, either("tape more", "tape less", "alike")
        value = page.angle(word, f"{symbol} = tape - strings", source - first, more)
        found.differences.append(Difference(f"total_toe.{axle}", symbol, value, (first, source)))
        return
    for known, other in ((left, right), (right, left)):
        if known in found.terms:
            label = words_of(other.partition(".")[2])
            toe = source - found.terms[known]
            found.terms[other] = page.angle(label, "t = T - t of the other wheel", toe, TOE)
            return
    found.terms[f"total_toe.{axle}"] = source


# road test


def _road_test(page: Page, found: Found) -> None:
    """Work out where the steering wheel stands, or what follows from it."""
    reading, ratio = page.solved.readings.steering_wheel_off, page.job.car.steering_ratio
    if not reading or ratio is None:
        return
    page.section("road test", "off: how far the steering wheel stands off centre, right positive.")
    off = page.mean("steering_wheel_off", "Steering wheel", "off", reading)
    by = number(ratio, 6, strip=True)
    if found.has(*(f"toe.{wheel}" for wheel in WHEELS)) and (thrust := _thrust(page, found)):
        symbols = "ratio x (thrust - (t left front - t right front) / 2)"
        half = (found.terms["toe.left_front"] - found.terms["toe.right_front"]) / 2.0
        first = page.angle("Steering wheel by the strings", symbols, by * (thrust - half), SIDE)
        symbol, more = found.next_symbol, either("road test more to the right", "more to the left")
        value = page.angle("Steering wheel", f"{symbol} = road test - strings", off - first, more)
        found.differences.append(Difference("steering_wheel", symbol, value, (first, off)))
        return
    found.terms["steering_wheel"] = off
    half = page.angle("Off at the front wheels", "off / ratio", off / by, SIDE)
    _from_road_test(page, found, half)


def _from_road_test(page: Page, found: Found, half: Term) -> None:
    """Work out what the road test tells beside other readings; `half` is ``off / ratio``."""
    left, right = "toe.left_front", "toe.right_front"
    total, thrust = found.terms.get("total_toe.front"), _thrust(page, found)
    if found.has(left, right):
        symbols = "off / ratio + (t left front - t right front) / 2"
        value = half + (found.terms[left] - found.terms[right]) / 2.0
        found.terms["thrust_angle"] = page.angle("Thrust angle", symbols, value, SIDE)
    elif total is not None and thrust is not None:
        turned = page.angle("Front wheels", "thrust - off / ratio", thrust - half, SIDE)
        for name, sign in ((left, 1.0), (right, -1.0)):
            toe = total / 2.0 + turned if sign > 0.0 else total / 2.0 - turned
            symbols = f"t = T / 2 {'+' if sign > 0.0 else '-'} (thrust - off / ratio)"
            found.terms[name] = page.angle(words_of(name.partition(".")[2]), symbols, toe, TOE)
        del found.terms["total_toe.front"]
    elif total is not None:
        for name, toe in (("left", total / 2.0 - half), ("right", total / 2.0 + half)):
            symbols = f"T / 2 {'-' if name == 'left' else '+'} off / ratio"
            label = f"{words_of(name)} front, to the thrust line"
            found.terms[f"toe_to_thrust.{name}_front"] = page.angle(label, symbols, toe, TOE)


def _thrust(page: Page, found: Found) -> Term | None:
    """Return the thrust angle by the rear wheels, its line printed; None where not known."""
    left, right = "toe.left_rear", "toe.right_rear"
    if not found.has(left, right):
        return None
    value = (found.terms[left] - found.terms[right]) / 2.0
    return page.angle("Thrust angle", "(t left rear - t right rear) / 2", value, SIDE)


def _setback(page: Page, found: Found) -> None:
    """Work out setback from the two wheelbases."""
    readings = page.solved.readings
    if not (readings.wheelbase_left and readings.wheelbase_right):
        return
    page.section("setback")
    both = (readings.wheelbase_left, readings.wheelbase_right)
    left, right = (
        page.mean(f"wheelbase_{side}", f"{words_of(side)} wheelbase", "", reading)
        for side, reading in zip(SIDES, both, strict=True)
    )
    found.terms["setback"] = page.length("Setback", "left - right", left - right, SETBACK)
