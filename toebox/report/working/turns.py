"""From the goals to what to turn and the readings to stop at, line by line."""

from __future__ import annotations

import math
from collections.abc import Sequence

from toebox.correct.rear import thrust_goal
from toebox.correct.results import PassCorrection, RearCorrection, RodCorrection
from toebox.correct.stops import read_once, wobble_of
from toebox.job.model import SIDES, Goal, TieRod
from toebox.report.view.words import finely, off_by, own_unit, towards, wheel_off
from toebox.report.working.closed import Found, words_of
from toebox.report.working.page import FINE_DIGITS, SIDE, TOE, Page, Word, either
from toebox.report.working.sums import Term, asin, number, sin
from toebox.units import write

TOWARDS = either("towards toe-in", "towards toe-out")
LONGER = either("longer", "shorter")
ACROSS = either("left wheel in, right wheel out", "left wheel out, right wheel in")
TOES_IN = either("a longer rod toes in", "a longer rod toes out")
FRONT_MORE = either("front edge more", "rear edge more", "both edges the same")
REAR_MORE = either("rear edge more", "front edge more", "both edges the same")
TOTAL, WHEEL, THRUST = "total_toe.front", "steering_wheel", "thrust_angle"
Row = tuple[str, str, str]
NEARLY = 1e-3  # of what a turn does: the short formula gives it where left and right stand apart
WAITS = "What is told to wait is not turned before what stands under 'What to do next' is found."
NOT_PROVEN = (
    "These changes are less than the readings can prove: nothing is to be turned. What follows "
    "says what they would mean."
)
ROUNDED = (
    "Turns are rounded, both rods together, to what can be turned, so that total toe and steering "
    "wheel end nearest their goals. done: what the rounded turns change."
)


def turn(page: Page, found: Found, correction: PassCorrection) -> None:
    """Work out what to turn.

    Parameters
    ----------
    page : Page
        Takes up the lines.
    found : Found
        The best values.
    correction : PassCorrection
        What to turn after the pass.
    """
    _Turning(page, found, correction).run()


class _Turning:
    """The working of one correction; `rows` sets its results beside what the report prints."""

    def __init__(self, page: Page, found: Found, correction: PassCorrection) -> None:
        self.page, self.terms, self.correction = page, found.terms, correction
        self.rows: list[Row] = []
        self.effects: dict[str, Term] = {}  # what a turn does, by side
        self.then: dict[str, Term] = {}  # where the front wheels stand when set, by side
        self.here: dict[str, Term] = {}  # where they stand before, the gear in its middle

    def row(self, label: str, found: Term, tag: str, word: Word, printed: str) -> None:
        """Set a result beside what the report prints."""
        meaning = word(found.value)
        self.rows.append(
            (label, f"{found.text}{tag}" + (f" ({meaning})" if meaning else ""), printed)
        )

    def run(self) -> None:
        """Rear first, then front."""
        self.rear()
        if self.correction.rods:
            self.front()
        if self.rows:
            self.page.section("what to change, and what the report prints")
            self.page.table(("What", "By this working", "As printed"), self.rows, "lll")

    # rear

    def rear(self) -> None:
        """Work out the changes at rear wheels that can be adjusted."""
        wheels = self.correction.rear
        if not wheels or not {THRUST, "toe.left_rear", "toe.right_rear"} <= self.terms.keys():
            return
        self.page.section("what should change at the rear wheels")
        goal = self.page.degrees(thrust_goal(self.page.job))
        by_thrust = self.page.angle(
            "Thrust", "dS = thrust goal - thrust", goal - self.terms[THRUST], SIDE
        )
        parts = {THRUST: by_thrust}
        if wanted := self.page.job.goals.get("total_toe.rear"):
            parts["total_toe.rear"] = self.half_total("rear", wanted)
        for wheel, name in zip(wheels, ("left_rear", "right_rear"), strict=True):
            change = self.changed(wheel, parts, THRUST)
            self.wheel(name, change, wheel)

    def wheel(self, name: str, change: Term, wheel: RearCorrection) -> None:
        """Work out where a rear wheel should stand and the reading to stop at."""
        label = words_of(name)
        self.row(f"{label}, change of toe", change, "°", TOWARDS, towards(wheel.toe_change))
        if not wheel.to_set:
            return
        if wheel.reached is not None:
            change = self.page.degrees(wheel.reached)
            self.page.say(
                f"{label}: the adjusters bring it no further than by {change.text}°, as worked out "
                "under their moves."
            )
        wanted = self.wanted(name, change)
        self.stop_at_string(name, wanted, wheel.stop_at_string)

    # front

    def front(self) -> None:
        """Work out what should change at the front wheels, turns and stops."""
        self.page.section("what should change at the front wheels")
        parts = self.parts()
        names = self.correction.corrected or self.correction.judged
        kept = [name for name in parts if name not in names]
        if kept and self.correction.corrected:
            self.page.say(
                "Of these changes, one is not proven to be needed and is left out: "
                + ("dT." if TOTAL in kept else "dW.")
            )
        used = {name: part for name, part in parts.items() if name in names}
        changes = [self.changed(rod, used, WHEEL) for rod in self.correction.rods]
        for rod, change in zip(self.correction.rods, changes, strict=True):
            label = f"{rod.side.capitalize()} rod"
            self.row(f"{label}, change of toe", change, "°", TOWARDS, towards(rod.toe_change))
        self.rods(changes)
        if self.correction.to_turn:
            done = self.rounded(changes)
            self.left_over(done, parts)
            self.stops(done if self.correction.by_turns else changes)

    def pairs(self, changes: Sequence[Term]) -> list[tuple[RodCorrection, Term]]:
        """Return rods with their changes."""
        return list(zip(self.correction.rods, changes, strict=True))

    def half_total(self, axle: str, goal: Goal) -> Term:
        """Return half of what total toe should change by."""
        wanted = self.page.degrees(goal.value)
        if goal.across is not None:
            distance = self.page.size(goal.across * math.sin(goal.value))
            across = self.page.size(goal.across)
            label = f"{words_of(axle)} goal"
            symbols = "T goal = asin(distance / across)"
            wanted = self.page.angle(label, symbols, asin(distance / across))
        half = (wanted - self.terms[f"total_toe.{axle}"]) / 2.0
        return self.page.angle("Half of the total toe", "dT = (T goal - T) / 2", half, TOWARDS)

    def parts(self) -> dict[str, Term]:
        """Return the change of the half sum and of the half difference of the front toes."""
        parts, goal = {}, self.page.job.goals.get(TOTAL)
        if goal is not None and TOTAL in self.terms:
            parts[TOTAL] = self.half_total("front", goal)
        difference = self.difference()
        if difference is not None:
            parts[WHEEL] = difference
        return parts

    def difference(self) -> Term | None:
        """Return the change of half the difference: what puts the steering wheel straight."""
        terms, offset = self.terms, self.offset()
        rear_turns, by_adjusters = self.correction.thrust_set, self.by_adjusters()
        kind = "toe" if rear_turns and by_adjusters is None else "toe_to_thrust"
        left, right = (terms.get(f"{kind}.{side}_front") for side in SIDES)
        label = "Steering wheel"
        if left is not None and right is not None:
            half = (left - right) / 2.0
            if by_adjusters is not None:
                what = by_adjusters - offset - half
                symbols = "dW = dS - goal / ratio - (left - right, to the thrust line) / 2"
            elif rear_turns:
                goal = self.page.degrees(thrust_goal(self.page.job))
                what = goal - offset - half
                symbols = "dW = thrust goal - goal / ratio - (t left - t right) / 2"
            else:
                what = number(0.0, 0) - offset - half
                symbols = "dW = 0 - goal / ratio - (left - right, to the thrust line) / 2"
            return self.page.angle(label, symbols, what, ACROSS)
        ratio = self.page.job.car.steering_ratio
        if ratio is None or WHEEL not in terms:
            return None
        what = terms[WHEEL] / number(ratio, 6, strip=True) - offset
        return self.page.angle(label, "dW = off / ratio - goal / ratio", what, ACROSS)

    def by_adjusters(self) -> Term | None:
        """Return the change of the thrust angle by adjusters, not by readings; else None."""
        rear, moved = self.correction.rear, self.correction.thrust_by_adjusters
        if moved is not None:
            label = "Thrust, by the moves of the adjusters"
            return self.page.angle(label, "dS", self.page.degrees(moved), SIDE)
        if not self.correction.thrust_set or all(wheel.reached is None for wheel in rear):
            return None
        left, right = (self.page.degrees(wheel.change) for wheel in rear)
        symbols = "dS = (change left - change right) / 2, as far as the adjusters reach"
        return self.page.angle("Thrust", symbols, (left - right) / 2.0, SIDE)

    def offset(self) -> Term:
        """Return the steering wheel's goal at the front wheels, less what its spline is moved."""
        goal, ratio = self.page.job.goals.get(WHEEL), self.page.job.car.steering_ratio
        moved = self.correction.gear.moved if self.correction.gear else 0.0
        angle = (goal.value if goal else 0.0) - moved
        if not angle or not ratio:
            return number(0.0, 0)
        what = self.page.degrees(angle) / number(ratio, 6, strip=True)
        return self.page.angle("Steering wheel's goal", "goal / ratio", what, SIDE)

    # both axles

    def changed(
        self, to_do: RodCorrection | RearCorrection, parts: dict[str, Term], odd: str
    ) -> Term:
        """Return the change of toe of one wheel: its share of the parts that are made."""
        sign = 1.0 if to_do.side == "left" else -1.0
        best, symbols = None, ""
        for names in _subsets(tuple(parts)):
            what, words = self._sum(names, parts, odd, sign)
            if abs(what.value - math.degrees(to_do.toe_change)) < 1e-3:
                best, symbols = what, words
                break
        if best is None:
            best, symbols = self.page.degrees(to_do.toe_change), "as the report gives it"
        return self.page.angle(f"{to_do.side.capitalize()}", f"change = {symbols}", best, TOWARDS)

    def _sum(
        self, names: tuple[str, ...], parts: dict[str, Term], odd: str, sign: float
    ) -> tuple[Term, str]:
        total, words = number(0.0, 0), "0"
        for name in names:
            symbol = {WHEEL: "dW", THRUST: "dS"}.get(name, "dT")
            minus = name == odd and sign < 0.0
            if words == "0" and not minus:
                total, words = parts[name], symbol
            else:
                total = total - parts[name] if minus else total + parts[name]
                words += f" {'-' if minus else '+'} {symbol}"
        return total, words

    def wanted(self, wheel: str, change: Term) -> Term | None:
        """Return where a wheel should stand."""
        toe = self.here.get(wheel) or self.terms.get(f"toe.{wheel}")
        if toe is None:
            return None
        return self.page.angle(words_of(wheel), "t wanted = t + change", toe + change, TOE)

    def stop_at_string(self, wheel: str, wanted: Term | None, stop: float | None) -> Term | None:
        """Work out front minus rear edge on the string at which to stop."""
        taper, yaw = self.terms.get("box.taper"), self.terms.get("box.yaw")
        if stop is None or wanted is None or taper is None or yaw is None:
            return None
        left = wheel.startswith("left")
        rim = self.page.size(self.page.job.car.rim_diameter[wheel.partition("_")[2]])
        angle = wanted + taper - yaw if left else wanted + taper + yaw
        symbols = f"F - R = rim x sin(t wanted + o {'-' if left else '+'} p)"
        label = f"{words_of(wheel)}, stop at"
        what = rim * sin(angle)
        if read_once(self.page.solved, wheel):
            symbols += " + 2 x w"
            what = what + number(2.0, 0) * self.page.size(wobble_of(self.page.solved, wheel))
        found = self.page.length(label, symbols, what, FRONT_MORE)
        printed = self.edges(stop, FRONT_MORE)
        self.row(label, found, f" {self.page.unit}", FRONT_MORE, printed)
        return found

    def at_valve(self, rod: RodCorrection, stop: Term) -> None:
        """Work out the same with the valve up and down, by the wobble w that the fit finds."""
        if rod.stop_at_valve is None:
            return
        up, down = rod.stop_at_valve
        wobble = self.page.size((up - down) / 4.0)
        for position, sign, value in (("up", "+", up), ("down", "-", down)):
            label = f"{words_of(f'{rod.side}_front')}, stop at with the valve {position}"
            twice = number(2.0, 0) * wobble
            what = stop + twice if sign == "+" else stop - twice
            found = self.page.length(label, f"F - R {sign} 2 x w", what, FRONT_MORE)
            printed = self.edges(value, FRONT_MORE)
            self.row(label, found, f" {self.page.unit}", FRONT_MORE, printed)

    def edges(self, difference: float, word: Word) -> str:
        """Return a difference of two edges as the report prints it."""
        size = own_unit(abs(difference), self.page.job)
        same = size == own_unit(0.0, self.page.job)
        return f"{size} ({word(0.0 if same else difference)})"

    # rods

    def rods(self, changes: Sequence[Term]) -> None:
        """Work out length and turns of both rods."""
        self.page.section("length and turns of the tie rods")
        if any(rod.refused for rod in self.correction.rods):
            self.page.say(WAITS)
        elif not self.correction.to_turn:
            self.page.say(NOT_PROVEN)
        for rod, change in self.pairs(changes):
            tie_rod, label = self.page.job.tie_rods.get(rod.side), f"{rod.side.capitalize()} rod"
            if tie_rod is not None and rod.length_change is not None:
                arm = self.page.size(tie_rod.arm_length or 0.0)
                what = (
                    arm * sin(change) if tie_rod.arm_behind else number(-1.0, 0) * arm * sin(change)
                )
                symbols = f"length = {'' if tie_rod.arm_behind else '-1 x '}arm x sin(change)"
                length = self.page.length(label, symbols, what, LONGER)
                printed = finely(abs(rod.length_change), self.page.job)
                printed += f" ({LONGER(rod.length_change)})"
                self.row(f"{label}, length", length, f" {self.page.unit}", LONGER, printed)
            if rod.effect is not None and rod.exact_turns is not None:
                self.effects[rod.side] = e = self.effect(rod, tie_rod)
                turns = self.page.ratio(
                    f"{label}, turns", "sin(change) / e", sin(change) / e, word=LONGER
                )
                exact = write.signed(abs(rod.exact_turns), 2)
                printed = (
                    f"{exact} ({LONGER(rod.exact_turns)}), told: {write.turns(rod.turns or 0.0)}"
                )
                self.row(f"{label}, turns", turns, "", LONGER, printed)

    def effect(self, rod: RodCorrection, tie_rod: TieRod | None) -> Term:
        """Return what one turn does: the sine of the change of toe."""
        effect, label = rod.effect, f"{rod.side.capitalize()} rod, one turn"
        if effect is None:
            return number(0.0, 0)
        if effect.arithmetic is None or tie_rod is None or tie_rod.outer_thread is None:
            return self._given(label, effect.per_turn)
        pitch = self.page.size(tie_rod.outer_thread.pitch)
        symbols, inner = "P", tie_rod.inner_thread
        if inner is not None:
            opposite = inner.left_hand != tie_rod.outer_thread.left_hand
            other = self.page.size(inner.pitch)
            pitch = pitch + other if opposite else pitch - other
            symbols = f"(P outer {'+' if opposite else '-'} P inner)"
        arm = self.page.size(tie_rod.arm_length or 1.0)
        e = pitch / arm if tie_rod.arm_behind else number(-1.0, 0) * pitch / arm
        sign = "" if tie_rod.arm_behind else "-1 x "
        by_arithmetic = self.page.fine(label, f"e = {sign}{symbols} / arm", e, TOES_IN)
        if abs(by_arithmetic.value - effect.per_turn) < 1e-6 * abs(effect.per_turn):
            return by_arithmetic
        return self._learned(label, rod, by_arithmetic)

    def _given(self, label: str, per_turn: float) -> Term:
        """Return what a turn does as the passes showed it."""
        e = number(per_turn, FINE_DIGITS)
        return self.page.fine(f"{label}, as the passes showed it", "e", e, TOES_IN)

    def _learned(self, label: str, rod: RodCorrection, by_arithmetic: Term) -> Term:
        """Return what a turn does by arithmetic and passes together."""
        effect = rod.effect
        if effect is None or effect.u_arithmetic is None or effect.u_observed is None:
            return by_arithmetic
        observed = self._given(label, effect.observed or 0.0)
        if abs(effect.per_turn - (effect.observed or 0.0)) < 1e-9:
            return observed
        pairs = ((by_arithmetic, effect.u_arithmetic), (observed, effect.u_observed))
        known = [(value, number(u, FINE_DIGITS)) for value, u in pairs]
        (a, ua), (b, ub) = known
        mean = (a * ub * ub + b * ua * ua) / (ua * ua + ub * ub)
        if abs(mean.value - effect.per_turn) > NEARLY * abs(effect.per_turn):
            label = f"{label}, fitted to what both rods showed at once"
            return self.page.fine(label, "e", number(effect.per_turn, FINE_DIGITS), TOES_IN)
        symbols = f"weighted by 1 / (u x u), u {ua.text} by thread and arm, {ub.text} by the passes"
        return self.page.fine(f"{label}, both together", symbols, mean, TOES_IN)

    def rounded(self, changes: Sequence[Term]) -> list[Term]:
        """Return the changes of toe that doing as told makes."""
        if self.effects:
            self.page.say(ROUNDED)
        done = []
        for rod, change in self.pairs(changes):
            if rod.turns is None or rod.side not in self.effects:
                done.append(change if rod.to_set else number(0.0, 0))
                continue
            what = asin(number(rod.turns, 5, strip=True) * self.effects[rod.side])
            label = f"{rod.side.capitalize()} rod, as rounded"
            done.append(self.page.angle(label, "done = asin(turns x e)", what, TOWARDS))
        return done

    # stops

    def stops(self, making: Sequence[Term]) -> None:
        """Work out the readings to stop at."""
        self.page.section("readings to stop at")
        self.clamped()
        for rod, change in self.pairs(making):
            wheel = f"{rod.side}_front"
            wanted = self.wanted(wheel, change)
            if wanted is not None:
                self.then[rod.side] = wanted
                stop = self.stop_at_string(wheel, wanted, rod.stop_at_string)
                if stop is not None:
                    self.at_valve(rod, stop)
        self.tape(making)

    def clamped(self) -> None:
        """Work out how the wheels stand where the steering wheel is clamped off straight.

        For a spline to be moved the gear is clamped in its middle, else as it was for the strings.
        """
        gear, ratio = self.correction.gear, self.page.job.car.steering_ratio
        toes = {side: self.terms.get(f"toe.{side}_front") for side in SIDES}
        moved = gear.moved if gear is not None and gear.wrong_spline else -self.page.solved.clamped
        if not moved or not ratio or None in toes.values():
            return
        what = self.page.degrees(moved) / number(ratio, 6, strip=True)
        label = "From the clamp to spokes straight"
        turn = self.page.angle(label, "m / ratio", what, SIDE)
        for side, toe in toes.items():
            if toe is not None:
                here = toe - turn if side == "left" else toe + turn
                symbols = f"t {'-' if side == 'left' else '+'} m / ratio"
                label = f"{side.capitalize()} front, clamped"
                self.here[f"{side}_front"] = self.page.angle(label, f"t = {symbols}", here, TOE)

    def left_over(self, done: Sequence[Term], parts: dict[str, Term]) -> None:
        """Work out what should remain of total toe and steering wheel."""
        self.page.section("what should remain to the goals")
        remains = self.correction.remains
        if TOTAL in parts and remains.total_toe is not None:
            what = done[0] + done[1] - 2.0 * parts[TOTAL]
            symbols = "done left + done right - 2 x dT"
            left = self.page.angle("Total toe", symbols, what, TOE)
            printed = write.toe_words(remains.total_toe)
            if not self.correction.total_kept:
                printed = off_by(TOTAL, remains.total_toe)
            self.row("Total toe, remaining", left, "°", TOE, printed)
        ratio = self.page.job.car.steering_ratio
        if WHEEL in parts and remains.steering_wheel is not None and ratio is not None:
            half = (done[0] - done[1]) / 2.0
            what = number(ratio, 6, strip=True) * (parts[WHEEL] - half)
            symbols = "ratio x (dW - (done left - done right) / 2)"
            left = self.page.angle("Steering wheel", symbols, what, SIDE)
            goal = self.page.job.goals.get("steering_wheel")
            printed = wheel_off(remains.steering_wheel, goal)
            self.row("Steering wheel, remaining", left, "°", SIDE, printed)

    def tape(self, making: Sequence[Term]) -> None:
        """Work out what the tape shows after each rod."""
        across, total = self.correction.tape_across, self.terms.get(TOTAL)
        if across is None or total is None:
            return
        toes = {
            side: self.here.get(f"{side}_front") or self.terms.get(f"toe.{side}_front")
            for side in SIDES
        }
        half = total / 2.0
        if None in toes.values():
            half = self.page.angle("Half of the total toe", "T / 2", half, TOE)
        now = {side: half if toe is None else toe for side, toe in toes.items()}
        base = self.page.size(across)
        for rod, change in self.pairs(making):
            if rod.limited or rod.to_set:
                now[rod.side] = self.then.get(rod.side) or self.page.angle(
                    f"{rod.side.capitalize()} front", "t then = T / 2 + change", half + change, TOE
                )
            if rod.stop_at_tape is None:
                continue
            label = f"Tape, {rod.side} rod set"
            symbols = "r - f = across x (sin(t left) + sin(t right))"
            what = base * (sin(now["left"]) + sin(now["right"]))
            stop = self.page.length(label, symbols, what, REAR_MORE)
            printed = self.edges(rod.stop_at_tape, REAR_MORE)
            self.row(label, stop, f" {self.page.unit}", REAR_MORE, printed)


def _subsets(names: tuple[str, ...]) -> list[tuple[str, ...]]:
    """Return all of the names, then each one alone."""
    return [names, *((name,) for name in names)] if len(names) > 1 else [names]
