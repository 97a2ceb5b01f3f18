"""`toebox convert`: toe between inches, millimetres, degrees, minutes and side-slip."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import product

import click

from toebox.cli import output
from toebox.errors import Fault, FaultyInput, FaultyText
from toebox.report import conversion
from toebox.report.conversion import Conversion
from toebox.units.exact import exact_length
from toebox.units.read import ToeText, read_length, read_toe
from toebox.units.table import INCH, LENGTHS

_MINUS = re.compile(r"^-(?= ?[\d.¼-¾⅐-⅞])")
_WORD = re.compile(r"\D+")
_WHOLE_NUMBER, _PROPER = re.compile(r"(?:.*\D )?[-−]?\d+"), re.compile(r"\d+/\d+")
_BARE = "[-−+\\d. /¼-¾⅐-⅞]"
_RANGE = re.compile(r"(.+?) +to +(.+?)(?: +by +(.+))?")
_SMALLEST, _LARGEST = 4 * INCH, 96 * INCH
_MOST = 200
# Diameters of a table where none are given: what tyres of cars and light lorries have.
_USUAL = {"in": "22 in to 36 in by 1 in", "mm": "550 mm to 900 mm by 25 mm"}


class _Negative(click.Command):
    """A command to which ``-1/8`` is a value, not an option."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Write a minus before a number as a sign that begins no option."""
        return super().parse_args(ctx, [_MINUS.sub("−", arg, count=1) for arg in args])


@click.command("convert", cls=_Negative)
@click.argument("values", metavar="VALUE...", nargs=-1, required=True)
@click.option(
    "--across",
    "diameters",
    metavar="DIAMETER",
    multiple=True,
    help="What a distance is taken across: the tyre, the rim, the slots of a toe plate. "
    '24, "600 mm", or several: "22 to 36 by 2".',
)
@click.option("--table", is_flag=True, help="One row for each diameter; without --across, many.")
@click.option(
    "--to",
    "unit",
    metavar="UNIT",
    type=click.Choice(list(conversion.UNITS)),
    help=f"This unit alone: {', '.join(conversion.UNITS)}.",
)
@click.option("--json", "as_json", is_flag=True, help="One JSON object a line for each answer.")
def command(
    values: tuple[str, ...],
    diameters: tuple[str, ...],
    table: bool,
    unit: str | None,
    as_json: bool,
) -> None:
    """Give each toe VALUE in inches, millimetres, degrees, minutes and side-slip.

    A VALUE is a distance (1/16, "1 1/8 in", 1.6mm), an angle (0.15deg, 9min, "0°09'") or a
    side-slip (2.6m/km, 13.8ft/mile). A bare number is a distance in the unit of --across, in
    inches as a rule; beside millimetres a fraction needs its unit. Toe-out is less than 0, or has
    the word: -1/8 or 1/8 toe-out.

    \b
    Examples:
      toebox convert 1/16 --across 24
      toebox convert 0.15deg 9min 1.6mm toe-out --across "600 mm"
      toebox convert 1/16 1/8 3/16 --table --to deg
      toebox convert 0.2deg --table --across "24 to 30 by 1/2"
    """
    faults: list[Fault] = []
    sizes, metric = _sizes(diameters or _usual(values, table), faults)
    read = _read_all(_joined(values), "mm" if metric else "in", faults)
    found = [] if faults else _converted(read, sizes or [None], metric, faults)
    if unit in conversion.DISTANCES and not sizes:
        faults.append(Fault("--across", "", f"a diameter: {unit} means nothing without it"))
    if faults:
        raise FaultyInput("convert", tuple(dict.fromkeys(faults)))
    _print(found, table=table, unit=unit, as_json=as_json)


def _print(found: list[Conversion], *, table: bool, unit: str | None, as_json: bool) -> None:
    if as_json:
        for one in found:
            output.write_json(conversion.toe_result(one))
    elif table:
        output.show(conversion.by_diameter(found, unit))
    elif unit is not None:
        for one in found:
            output.write_text(conversion.in_unit(one, unit))
    else:
        output.show(conversion.every_unit(found))


def _usual(values: tuple[str, ...], table: bool) -> tuple[str, ...]:
    """Return the diameters of a table for which none are given."""
    if not table:
        return ()
    return (_USUAL["mm" if any(_is_metric(value) for value in values) else "in"],)


def _is_metric(text: str) -> bool:
    return re.search(r"[\d ](?:mm|cm|m)\b(?!/)", text) is not None


def _joined(values: tuple[str, ...]) -> list[str]:
    """Put units and words that came on their own beside the numbers that they belong to."""
    joined: list[str] = []
    for value in values:
        if joined and (_WORD.fullmatch(value) or _WORD.fullmatch(joined[-1])):
            joined[-1] += f" {value}"
        else:
            joined.append(value)
    return joined


def _read_all(values: list[str], unit: str, faults: list[Fault]) -> list[tuple[str, ToeText]]:
    """Read every value; a whole number and a fraction after it might be one or two."""
    found = []
    for before, value in zip(["", *values], values, strict=False):
        if _WHOLE_NUMBER.fullmatch(before) and _PROPER.match(value):
            wanted = f'"{before} {value}" in quotes if it is one value, units on both if two'
            faults.append(Fault("VALUE", f"{before} {value}", wanted))
        if unit == "mm" and re.fullmatch(rf"{_BARE}*[/¼-¾⅐-⅞]{_BARE}*", value):
            wanted = f"a unit: {value} in, or {value} mm (the diameter is in millimetres)"
            faults.append(Fault("VALUE", value, wanted))
            continue
        try:
            found.append((_named(value, unit), read_toe(value, unit)))
        except FaultyText as faulty:
            faults.append(Fault("VALUE", value, str(faulty)))
    return found


def _named(value: str, unit: str) -> str:
    """Return a value with the unit that it was taken to be in."""
    return f"{value} {unit}" if re.fullmatch(f"{_BARE}+", value) else value


def _sizes(texts: tuple[str, ...], faults: list[Fault]) -> tuple[list[Fraction | None], bool]:
    """Read the diameters [m]; tell whether they are metric."""
    sizes: list[Fraction | None] = []
    for text in texts:
        try:
            sizes += _range(text)
        except FaultyText as faulty:
            faults.append(Fault("--across", text, str(faulty)))
    shortest = [exact_length(size, "in") for size in sizes if size is not None]
    return sizes, bool(shortest) and all(text.endswith("mm") for text in shortest)


def _range(text: str) -> list[Fraction]:
    """Read one diameter, or all from one to another."""
    unit = "mm" if _is_metric(text) else "in"
    found = _RANGE.fullmatch(text.strip())
    if found is None:
        return [_size(text, unit)]
    first, last = _size(found[1], unit), _size(found[2], unit)
    step = read_length(found[3], unit) if found[3] else LENGTHS[unit] * (25 if unit == "mm" else 1)
    if step <= 0 or last < first or (last - first) / step > _MOST:
        raise FaultyText(f'from small to large, in at most {_MOST} steps, such as "22 to 36 by 2"')
    return [first + n * step for n in range(int((last - first) / step) + 1)]


def _size(text: str, unit: str) -> Fraction:
    size = read_length(text, unit)
    if _SMALLEST <= size <= _LARGEST:
        return size
    as_mm = unit == "in" and _SMALLEST <= size / INCH * LENGTHS["mm"] <= _LARGEST
    meant = f' (if millimetres: "{text} mm")' if as_mm else ""
    raise FaultyText(f"a diameter from 4 to 96 in (102 to 2438 mm){meant}")


def _converted(
    read: list[tuple[str, ToeText]],
    sizes: list[Fraction | None],
    metric: bool,
    faults: list[Fault],
) -> list[Conversion]:
    """Work out every value at every diameter."""
    found = []
    for size, (given, toe) in product(sizes, read):
        try:
            across = None if size is None else float(size)
            found.append(conversion.converted(given, toe, across, metric))
        except ValueError as wrong:
            faults.append(Fault("VALUE", given, str(wrong)))
    return found
