"""Camber by the inclinometer and caster by sweeps, line by line."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

from toebox.job.model import SIDES, WheelGauge, axle_of, side_of
from toebox.report.working.closed import Difference, Found, words_of
from toebox.report.working.page import SCALES, WORDLESS, Page, either
from toebox.report.working.sums import RADIAN, Term, asin, atan, cos, number, sin, tan
from toebox.solve.gauge import SHOWN_SAI, USUAL_RIM, serves_for_camber, turned_wheel

CAMBER = either("top out", "top in", "upright")
INWARDS = either("top inwards", "top outwards")
FLOOR = {
    "front": either("left side higher", "right side higher", "level"),
    "rear": either("left side higher", "right side higher", "level"),
    "along": either("front higher", "rear higher", "level"),
}
TOO_MUCH = either("shows too much top out", "shows too much top in", "right")
PLATES = "assumed.turn_plates_zero_within"
ZERO, LEVEL = "assumed.gauge_zero_within", "assumed.floor_level_within."


def gauge_forms(page: Page, found: Found) -> None:
    """Work out camber and caster.

    Parameters
    ----------
    page : Page
        Takes up the lines.
    found : Found
        Quantities by the first source that gives them, and differences of the others.
    """
    gauges = _taken_up(page)
    if not gauges:
        return
    gauge = _Gauge(page, found, gauges)
    gauge.floor()
    gauge.camber()
    for wheel, readings in gauges.items():
        gauge.caster(wheel, readings)


def _taken_up(page: Page) -> dict[str, WheelGauge]:
    """Return the gauge readings without those that the solver refused: no car has such."""
    labels = [observation.label for observation in page.solved.network.observations]
    gauges = {}
    for wheel, gauge in page.solved.readings.gauge.items():
        ours = [label for label in labels if label.startswith(f"inclinometer.{wheel}.")]
        swept = any(label.startswith(f"inclinometer.{wheel}.sweep.") for label in ours)
        if ours:
            gauges[wheel] = gauge if swept else gauge._replace(sweep=())
    return gauges


@dataclass(frozen=True, slots=True)
class _Stop:
    """One stop of a sweep as numbers: products of the sweep equation."""

    steer: Term
    camber: Term
    s: Term
    c: Term
    g: Term


@dataclass
class _Gauge:
    """The working of one pass's inclinometer readings."""

    page: Page
    found: Found
    gauges: dict[str, WheelGauge]  # without what the solver refused
    slopes: dict[str, Term] = field(default_factory=dict)  # of the floor [degrees]
    zero: Term | None = None  # the gauge's zero error [degrees]

    def floor(self) -> None:
        """Work out how the floor slopes; level where that was not measured."""
        self.page.section(
            "slope of the floor",
            "h: how far the floor under the left wheel (along the car: under the front) stands "
            "above the other.",
        )
        car, floor = self.page.job.car, self.page.solved.readings.floor
        bases = {"front": car.track.get("front"), "rear": car.track.get("rear")}
        for where, base in {**bases, "along": car.wheelbase}.items():
            if where not in floor or base is None:
                self.slopes[where] = number(0.0, 0, slopes={LEVEL + where: 1.0})
                continue
            height = replace(self.page.size(floor[where]), slopes={f"floor.{where}": 1.0})
            symbols = f"slope = asin(h / {'wheelbase' if where == 'along' else 'track'})"
            label = f"Floor, {'along the car' if where == 'along' else where + ' axle'}"
            what = asin(height / self.page.size(base))
            self.slopes[where] = self.page.angle(label, symbols, what, FLOOR[where])

    # camber

    def camber(self) -> None:
        """Work out camber: both ways round first, for they tell the gauge's zero error."""
        both = {w: g for w, g in self.gauges.items() if g.camber and g.camber_turned}
        self.page.section(
            "camber",
            "c, c': as shown, and with the gauge turned end for end. z: zero error of the gauge, "
            + ("from wheels read both ways." if both else "taken as 0."),
        )
        for wheel, gauge in both.items():
            shown, turned = self._shown(wheel, gauge)
            z = self.page.angle(
                words_of(wheel), "z = (c - c') / 2", (shown - turned) / 2.0, TOO_MUCH
            )
            self._settle_zero(wheel, z)
            self._camber(wheel, (shown + turned) / 2.0, "(c + c') / 2")
        if self.zero is None:
            self.zero = number(0.0, 0, slopes={ZERO: 1.0})
        for wheel, gauge in self.gauges.items():
            if wheel in both or not (gauge.camber or gauge.camber_turned):
                continue
            shown, turned = self._shown(wheel, gauge)
            if gauge.camber:
                self._camber(wheel, shown - self.zero, "c - z")
            else:
                self._camber(wheel, turned + self.zero, "c' + z")

    def _settle_zero(self, wheel: str, z: Term) -> None:
        """Keep the first zero error; note by how much each further one differs."""
        if self.zero is None:
            self.zero = z
            return
        symbol = self.found.next_symbol
        value = self.page.angle(
            words_of(wheel), f"{symbol} = z - z before", z - self.zero, TOO_MUCH
        )
        self.found.differences.append(Difference(f"zero.{wheel}", symbol, value))

    def _shown(self, wheel: str, gauge: WheelGauge) -> tuple[Term, Term]:
        """Return camber as shown, both ways round, as means; one position carries the run-out."""
        means = []
        for key, symbol in (("camber", "c"), ("camber_turned", "c'")):
            reading = getattr(gauge, key)
            if not reading:
                means.append(number(0.0, 0))
                continue
            label = f"{words_of(wheel)}, {key.replace('_', ', ')}"
            mean = self.page.mean(f"inclinometer.{wheel}.{key}", label, symbol, reading, CAMBER)
            means.append(mean if len(reading) > 1 else mean.depending(self._wobble(wheel, -1.0)))
        counts = {len(r) for r in (gauge.camber, gauge.camber_turned) if r}
        if counts == {1, 2}:
            self._wobble_seen(wheel, "camber" if len(gauge.camber) == 2 else "camber_turned")
        return means[0], means[1]

    def _wobble(self, wheel: str, factor: float) -> dict[str, float]:
        """Return the slope of a camber by the rim's run-out [degrees per unit of length]."""
        rim = self.page.job.car.rim_diameter.get(axle_of(wheel), USUAL_RIM)
        by = math.degrees(2.0 * SCALES[self.page.unit] / rim)
        return {f"assumed.rim_runout.{wheel}.upright": factor * by}

    def _wobble_seen(self, wheel: str, key: str) -> None:
        """Note what two positions tell of the run-out that a single one carries."""
        label = f"inclinometer.{wheel}.{key}"
        one, two = (
            replace(self.page.degrees(value), slopes={f"{label}[{n}]": 1.0})
            for n, value in enumerate(getattr(self.gauges[wheel], key), start=1)
        )
        symbol = self.found.next_symbol
        seen = ((one - two) / 2.0).depending(self._wobble(wheel, -1.0))
        value = self.page.angle(
            f"{words_of(wheel)}, run-out", f"{symbol} = (c first - c second) / 2", seen
        )
        self.found.differences.append(Difference(f"wobble.{wheel}", symbol, value))

    def _camber(self, wheel: str, what: Term, symbols: str) -> None:
        """Refer camber to the floor."""
        slope, left = self.slopes[axle_of(wheel)], side_of(wheel) == "left"
        symbols = f"camber = {symbols} {'+' if left else '-'} slope"
        camber = what + slope if left else what - slope
        self.found.terms[f"camber.{wheel}"] = self.page.angle(
            words_of(wheel), symbols, camber, CAMBER
        )

    # caster

    def caster(self, wheel: str, gauge: WheelGauge) -> None:
        """Work out caster by a sweep, or as a gauge shows it."""
        self.page.section(
            f"caster of the {wheel.replace('_', ' ')} wheel",
            "d: steer angle, outwards positive. g: camber at that stop. S = sin(d) x cos(g), C = "
            "cos(d) x cos(g), G = sin(g). At every stop tan(caster) x S - tan(inclination) x C - k "
            "= G with the same k; taking one stop from another leaves k out.",
        )
        stops = self._stops(wheel, gauge)
        if len(stops) > 1:
            self._sweep(wheel, gauge, stops)
        if gauge.caster:
            label = f"inclinometer.{wheel}.caster"
            shown = self.page.mean(
                label, f"{words_of(wheel)}, caster", "shown", gauge.caster, WORDLESS
            )
            what = shown - self.slopes["along"]
            what = what.depending(_by_zero(self.page, wheel, math.tan(SHOWN_SAI)))
            value = self.page.angle(words_of(wheel), "caster = shown - slope along", what)
            self._further(f"caster.{wheel}", value, "gauge - sweep")

    def _further(self, name: str, value: Term, symbols: str) -> None:
        """Keep a quantity, or note by how much it differs from what was found before."""
        before = self.found.terms.get(name)
        if before is None:
            self.found.terms[name] = value
            return
        symbol = self.found.next_symbol
        label = words_of(name.partition(".")[2])
        difference = self.page.angle(label, f"{symbol} = {symbols}", value - before)
        self.found.differences.append(Difference(f"further.{name}", symbol, difference))

    def _stops(self, wheel: str, gauge: WheelGauge) -> list[_Stop]:
        """Return the stops of a sweep as numbers, the straightest first, then the outermost."""
        found = []
        by_zero = _by_zero(self.page, wheel, -1.0)
        for n, stop in enumerate(gauge.sweep, start=1):
            label = f"inclinometer.{wheel}.sweep"
            slopes = {f"{label}.steer[{n}]": 1.0, **by_zero}
            steer = replace(self.page.degrees(stop.steer), slopes=slopes)
            shown = replace(self.page.degrees(stop.camber), slopes={f"{label}.camber[{n}]": 1.0})
            found.append(self._stop(wheel, gauge, n, steer, shown))
        if not found:
            return []
        straight = min(found, key=lambda stop: abs(stop.steer.value))
        others = [stop for stop in found if stop is not straight]
        others.sort(key=lambda stop: -stop.steer.value)
        if len(others) > 2:
            others = [others[0], others[-1], *others[1:-1]]
        return [straight, *others]

    def _stop(self, wheel: str, gauge: WheelGauge, n: int, steer: Term, shown: Term) -> _Stop:
        """Work out one stop."""
        label, sign = f"Stop {n}", 1.0 if side_of(wheel) == "left" else -1.0
        camber, symbols = shown, "g = shown"
        across, along = self.slopes[axle_of(wheel)], self.slopes["along"]
        zero = self.zero if self.zero and serves_for_camber(gauge) else number(0.0, 0)
        parts = (
            (-1.0, zero, number(1.0, 0), "z"),
            (-1.0, along, sin(steer), "slope along x sin(d)"),
            (sign, across, cos(steer), "slope across x cos(d)"),
        )
        for way, size, factor, words in parts:
            if not size.value:
                camber = camber.depending(_scaled(size, way * factor.value))
                continue
            part = size if size is zero else size * factor
            camber = camber + part if way > 0.0 else camber - part
            symbols += f" {'+' if way > 0.0 else '-'} {words}"
        if serves_for_camber(gauge):
            camber = camber.depending(self._wobble(wheel, -1.0))
        if symbols != "g = shown":
            camber = self.page.angle(label, symbols, camber, CAMBER)
        s = self.page.fine(label, "S = sin(d) x cos(g)", sin(steer) * cos(camber))
        c = self.page.fine(label, "C = cos(d) x cos(g)", cos(steer) * cos(camber))
        g = self.page.fine(label, "G = sin(g)", sin(camber))
        return _Stop(steer, camber, s, c, g)

    def _sweep(self, wheel: str, gauge: WheelGauge, stops: list[_Stop]) -> None:
        """Work out caster and inclination from two or more stops."""
        name, sai = f"caster.{wheel}", f"steering_axis_inclination.{wheel}"
        given = self._given(sai)
        if len(stops) == 2:
            if given is None:
                return
            a, b, e = self._row("", "From one stop to the other", stops[1], stops[0])
            caster = atan((e + b * tan(given)) / a)
            symbols = "caster = atan((e + b x tan(inclination)) / a)"
            self.found.terms[name] = self.page.angle(words_of(wheel), symbols, caster)
            return
        a1, b1, e1 = self._row("1", "Outermost less straight", stops[1], stops[0])
        a2, b2, e2 = self._row("2", "Innermost less straight", stops[2], stops[0])
        below = self.page.tiny("Both", "q = a1 x b2 - a2 x b1", a1 * b2 - a2 * b1)
        x = self.page.fine(
            "Both", "tan(caster) = (e1 x b2 - e2 x b1) / q", (e1 * b2 - e2 * b1) / below
        )
        y = self.page.fine(
            "Both", "tan(inclination) = (a2 x e1 - a1 x e2) / q", (a2 * e1 - a1 * e2) / below
        )
        self.found.terms[name] = self.page.angle(
            words_of(wheel), "caster = atan(tan(caster))", atan(x)
        )
        self.found.terms[sai] = self.page.angle(
            words_of(wheel), "inclination = atan(tan(inclination))", atan(y), INWARDS
        )
        for stop in stops[3:]:
            self._more(wheel, stop, stops[0], x, y)
        if given is not None:
            self._further(sai, given, "inclination given - inclination by the sweep")
        if serves_for_camber(gauge):
            what = stops[0].camber - RADIAN * x * sin(stops[0].steer)
            symbols = "camber = g - 57.29578 x tan(caster) x sin(d), straight stop"
            self.found.terms[f"camber.{wheel}"] = self.page.angle(
                words_of(wheel), symbols, what, CAMBER
            )

    def _row(self, index: str, label: str, stop: _Stop, other: _Stop) -> tuple[Term, Term, Term]:
        """Return differences of two stops: ``a tan(caster) - b tan(inclination) = e``."""
        a = self.page.fine(label, f"a{index} = S - S", stop.s - other.s)
        b = self.page.fine(label, f"b{index} = C - C", stop.c - other.c)
        e = self.page.fine(label, f"e{index} = G - G", stop.g - other.g)
        return a, b, e

    def _more(self, wheel: str, stop: _Stop, straight: _Stop, x: Term, y: Term) -> None:
        """Note by how much a further stop misses the equation of the first three."""
        a, b, e = self._row("", "A further stop less straight", stop, straight)
        symbol = self.found.next_symbol
        value = self.page.fine(
            "This stop", f"{symbol} = a x tan(caster) - b x tan(inclination) - e", a * x - b * y - e
        )
        self.found.differences.append(Difference(f"stop.{wheel}", symbol, value))

    def _given(self, name: str) -> Term | None:
        """Return the inclination as given or assumed; None where the sweep alone tells it."""
        label = f"assumed.{name}"
        for observation in self.page.solved.network.observations:
            if observation.label == label:
                return replace(self.page.degrees(observation.value), slopes={label: 1.0})
        return None


def _by_zero(page: Page, wheel: str, slope: float) -> dict[str, float]:
    """Return the slope by the zero of a wheel's turn plates, where it is not taken as exact."""
    label = f"{PLATES}.{wheel}"
    return {label: slope} if label in page.uncertainties() else {}


def _scaled(what: Term, factor: float) -> dict[str, float]:
    """Return the slopes of a multiple of what is zero."""
    return {label: factor * slope for label, slope in what.slopes.items()}


def derive_gauge(page: Page, found: Found) -> None:
    """Work out differences from side to side.

    Parameters
    ----------
    page : Page
        Takes up the lines.
    found : Found
        Best values; what follows is added.
    """
    page.section("left compared with right")
    for kind, axles in (("camber", ("front", "rear")), ("caster", ("front",))):
        for axle in axles:
            left, right = (found.terms.get(f"{kind}.{side}_{axle}") for side in SIDES)
            if left is not None and right is not None:
                label = f"{words_of(axle)} cross-{kind}"
                more = either("more on the left", "more on the right", "alike")
                cross = page.angle(label, "left - right", left - right, more)
                found.terms[f"cross_{kind}.{axle}"] = cross


def turn_forms(page: Page, found: Found) -> None:
    """Work out toe-out on turns.

    Parameters
    ----------
    page : Page
        Takes up the lines.
    found : Found
        Quantities by the first source that gives them.
    """
    page.section("toe-out on turns")
    for side, turn in page.solved.readings.turn.items():
        both = []
        for which, reading in (("inner", turn.inner), ("outer", turn.outer)):
            label, words = f"turn.{side}.{which}", f"Steered {side}, {which} wheel"
            wheel, sign = turned_wheel(side, which)
            angle = page.mean(label, words, which, reading, WORDLESS)
            both.append(angle.depending(_by_zero(page, wheel, -sign)))
        inner, outer = both
        what = page.angle(f"Steered {side}", "inner - outer", inner - outer)
        found.terms[f"toe_out_on_turn.{side}"] = what
