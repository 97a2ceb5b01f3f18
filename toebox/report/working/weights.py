"""Where two sources give one result: their uncertainties, weights and weighted mean.

The uncertainty of a reading is that of JCGM 100:2008 (GUM) 4.3.7; angles of a few degrees are as
their sines. The mean with weights 1/u squared is what least squares comes to where nothing else
bears on the result.
"""

from __future__ import annotations

from toebox.job.model import SIDES, WHEELS, Instrument, Reading, axle_of
from toebox.report.view.words import name_of
from toebox.report.working.closed import Difference, Found, words_of
from toebox.report.working.combine import word_of
from toebox.report.working.page import Page
from toebox.report.working.sums import RADIAN, Term, number, sqrt, uncertainty

NEARLY = {"steering_wheel": 0.01}  # [degrees]
USUALLY = 0.001  # [degrees]
HEAD = (
    "u: standard uncertainty. Of one reading: u = sqrt(d x d / 12 + s x s), d the step to which it "
    "was read, s by how much it repeats; of the mean of n readings: u / sqrt(n). Weight of a "
    "source: 1 / (u x u)."
)


def weighted_means(page: Page, found: Found) -> None:
    """Show the weights where the result is, nearly, the weighted mean of two sources.

    Parameters
    ----------
    page : Page
        Takes up the lines.
    found : Found
        With the best values.
    """
    u = page.uncertainties()
    plain = [
        one for one in found.differences if _is_plain(one, found, u) and _whole(page, one.name)
    ]
    if plain:
        page.section("weights of the sources", HEAD)
    book = _Book(page)
    for one in plain:
        if one.pair is not None:
            book.weigh(one.name, *one.pair, u)


def _is_plain(one: Difference, found: Found, u: dict[str, float]) -> bool:
    """Return whether nothing else bears on the result but these two sources."""
    if one.pair is None or one.name not in found.terms:
        return False
    a, b = (uncertainty(term, u) ** 2 for term in one.pair)
    simple = one.pair[0].value + a / (a + b) * one.value.value
    return abs(simple - found.terms[one.name].value) < NEARLY.get(one.name, USUALLY)


def _whole(page: Page, name: str) -> bool:
    """Return whether every wheel that a result needs was read at both rim edges."""
    needed = [w for w in WHEELS if name == "steering_wheel" or name.endswith(axle_of(w))]
    return all(map(page.solved.readings.both_edges, needed))


class _Book:
    """Uncertainties worked out so far, so that none is worked out twice."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.known: dict[str, Term] = {}

    def weigh(self, name: str, first: Term, further: Term, u: dict[str, float]) -> None:
        """Work out the weighted mean of what two sources say."""
        page, words = self.page, name_of(name)
        other = "road test" if name == "steering_wheel" else "tape"
        sources = (
            ("strings", first, self.of_strings(name)),
            (other, further, self.of_other(name)),
        )
        weights = []
        for source, value, own in sources:
            exact = uncertainty(value, u)
            if abs(own.value - exact) > 0.01 * exact:  # unequal repeats: no short formula
                own = number(exact, 5)
            label = f"{words}, weight of the {source}"
            weights.append(page.ratio(label, "1 / (u x u)", 1.0 / (own * own)))
        mean = (weights[0] * first + weights[1] * further) / (weights[0] + weights[1])
        page.angle(f"{words}, weighted mean", "", mean, word_of(name))

    def of_other(self, name: str) -> Term:
        """Return the uncertainty of tape or road test."""
        readings = self.page.solved.readings
        if name == "steering_wheel":
            one = self.of_reading("road_test", "Road test", angle=True)
            count = len(readings.steering_wheel_off)
            return (
                one
                if count == 1
                else self.page.ratio(
                    "Road test, mean", "u / sqrt(n)", one / sqrt(_count(count)), "°"
                )
            )
        axle = name.partition(".")[2]
        tape = readings.tape[axle]
        one = self.of_reading("tape", "Tape")
        what = (
            RADIAN
            * sqrt(_over(one, tape.front_edge) + _over(one, tape.rear_edge))
            / self.page.size(tape.across or 1.0)
        )
        symbols = "u = 57.29578 x sqrt(u x u / n + u x u / n) / across"
        return self.page.ratio(f"{words_of(axle)} total toe by the tape", symbols, what, "°")

    def of_strings(self, name: str) -> Term:
        """Return the uncertainty of the strings for a total toe or the steering wheel."""
        if name == "steering_wheel":
            angles = [self.of_angle(wheel) for wheel in WHEELS]
            squares = angles[0] * angles[0]
            for angle in angles[1:]:
                squares = squares + angle * angle
            ratio = number(self.page.job.car.steering_ratio or 0.0, 6, strip=True)
            symbols = "u = ratio / 2 x sqrt(sum of u(a) x u(a))"
            label = "Steering wheel by the strings"
            u = self.page.ratio(label, symbols, ratio / 2.0 * sqrt(squares), "°")
            return self._with_clamp(u)
        axle = name.partition(".")[2]
        left, right = (self.of_angle(f"{side}_{axle}") for side in SIDES)
        taper = self.of_taper()
        what = sqrt(left * left + right * right + 4.0 * taper * taper)
        symbols = "u = sqrt(u(a) x u(a) + u(a) x u(a) + 4 x u(o) x u(o))"
        return self.page.ratio(f"{words_of(axle)} total toe by the strings", symbols, what, "°")

    def _with_clamp(self, u: Term) -> Term:
        """Add how straight the steering wheel was clamped."""
        within = self.page.job.instruments.steering_wheel_straight_within
        if not within:
            return u
        clamp = self.page.degrees(within) / sqrt(_count(3))
        clamp = self.page.ratio("Clamp", "u = straight within / sqrt(3)", clamp, "°")
        label, symbols = "Steering wheel by the strings, as clamped", "u = sqrt(u x u + u x u)"
        return self.page.ratio(label, symbols, sqrt(u * u + clamp * clamp), "°")

    def of_angle(self, wheel: str) -> Term:
        """Return the uncertainty of a wheel's angle to its string."""
        key = f"a.{wheel}"
        if key not in self.known:
            page = self.page
            strings, rule = (
                page.solved.readings.string[wheel],
                self.of_reading("string_rule", "Rule"),
            )
            squares = _over(rule, strings.front) + _over(rule, strings.rear)
            symbols = "u(a) = 57.29578 x sqrt(u x u / n + u x u / n) / rim"
            if len(strings.front) == len(strings.rear) == 1:
                runout = self.of_runout()
                squares = squares + 4.0 * runout * runout
                symbols = (
                    "u(a) = 57.29578 x sqrt(u x u + u x u + 4 x u(run-out) x u(run-out)) / rim"
                )
            rim = page.size(page.job.car.rim_diameter[axle_of(wheel)])
            self.known[key] = page.ratio(
                words_of(wheel), symbols, RADIAN * sqrt(squares) / rim, "°"
            )
        return self.known[key]

    def of_runout(self) -> Term:
        """Return the uncertainty of a rim edge by a run-out of unknown phase."""
        if "runout" not in self.known:
            size = self.page.size(self.page.job.instruments.rim_runout)
            what = size / (2.0 * sqrt(_count(2)))
            symbols = "u(run-out) = run-out / (2 x sqrt(2))"
            self.known["runout"] = self.page.length("Rim", symbols, what)
        return self.known["runout"]

    def of_taper(self) -> Term:
        """Return the uncertainty of half the angle between the strings."""
        if "taper" not in self.known:
            self.known["taper"] = self._taper()
        return self.known["taper"]

    def _taper(self) -> Term:
        page, readings = self.page, self.page.solved.readings
        spacing = readings.bar_spacing
        if spacing is not None and readings.bars_measured:
            tape = self.of_reading("tape", "Tape")
            both = _over(tape, readings.front_bar_width) + _over(tape, readings.rear_bar_width)
            symbols = "u(o) = 57.29578 x sqrt(u x u / n + u x u / n) / (2 x spacing)"
            return page.ratio(
                "Strings", symbols, RADIAN * sqrt(both) / (2.0 * page.size(spacing)), "°"
            )
        within = page.size(page.job.instruments.strings_parallel_within)
        base = page.size(spacing or page.job.car.wheelbase or 1.0)
        symbols = "u(o) = 57.29578 x parallel within / (2 x length x sqrt(3))"
        return page.ratio("Strings", symbols, RADIAN * within / (2.0 * base * sqrt(_count(3))), "°")

    def of_reading(self, name: str, words: str, *, angle: bool = False) -> Term:
        """Return the uncertainty of one reading with an instrument."""
        if name not in self.known:
            instrument: Instrument = getattr(self.page.job.instruments, name)
            show = self.page.degrees if angle else self.page.size
            d, s = show(instrument.resolution), show(instrument.repeatability)
            what = sqrt(d * d / 12.0 + s * s)
            label, symbols = f"{words}, one reading", "u = sqrt(d x d / 12 + s x s)"
            line = self.page.angle if angle else self.page.length
            self.known[name] = line(label, symbols, what)
        return self.known[name]


def _over(u: Term, reading: Reading) -> Term:
    """Return the squared uncertainty of a mean."""
    return u * u / len(reading) if len(reading) > 1 else u * u


def _count(n: int) -> Term:
    return number(float(n), 0)
