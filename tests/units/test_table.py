"""The unit table against pint's own factors and against published ones."""

import math
import subprocess
import sys
from fractions import Fraction as F

import pint
import pytest

from toebox.units import ANGLES, INCH, LENGTHS, SLOPES, quantity, read_angle, read_length, write
from toebox.units.table import ANGLE_WORDS, LENGTH_WORDS, SLOPE_WORDS


@pytest.fixture(scope="module")
def theirs():
    """Return pint's default units, which know nothing of ours, in exact fractions."""
    return pint.UnitRegistry(non_int_type=F)


@pytest.mark.parametrize("name", LENGTHS)
def test_lengths_are_pints(theirs, name):
    assert theirs.Quantity(F(1), name).to("m").magnitude == LENGTHS[name]


@pytest.mark.parametrize("name", ANGLES)
def test_angles_are_pints(theirs, name):
    got = theirs.Quantity(F(1), name).to("deg").magnitude
    assert float(got) == pytest.approx(float(ANGLES[name]), rel=1e-15)


@pytest.mark.parametrize("name", SLOPES)
def test_slopes_are_pints(theirs, name):
    assert theirs.Quantity(F(1), name).to("").magnitude == SLOPES[name]


@pytest.mark.parametrize(
    "words,table", [(LENGTH_WORDS, LENGTHS), (ANGLE_WORDS, ANGLES), (SLOPE_WORDS, SLOPES)]
)
def test_every_spelling_names_a_unit(words, table):
    assert set(words.values()) == set(table)


@pytest.mark.parametrize("name", [*LENGTHS, *ANGLES, "rad"])
def test_quantities_convert_like_pints(theirs, name):
    base = "m" if name in LENGTHS else "rad"
    ours = quantity(2.5, name).to(base).magnitude
    assert ours == pytest.approx(float(theirs.Quantity(2.5, name).to(base).magnitude), rel=1e-14)


def test_a_quantity_has_no_other_unit():
    with pytest.raises(ValueError, match="unit 'furlong' is not one of in, ft, mm"):
        quantity(1, "furlong")
    with pytest.raises(ValueError, match="unit '2 in' is not one of"):
        quantity(1, "2 in")


def test_lengths_and_angles_do_not_mix():
    with pytest.raises(pint.DimensionalityError, match="Cannot convert"):
        quantity(1, "in").to("deg")


def test_nist_sp_811():
    """NIST SP 811 Appendix B: 1 in = 25.4 mm and 1 ft = 0.3048 m, both exactly."""
    assert F(254, 10_000) == INCH
    assert read_length("1 ft", "in") == F(3048, 10_000)
    assert read_length("1 in", "mm") == read_length("25.4", "mm")


def test_si_brochure():
    """BIPM, The International System of Units, 5.3.3: 22.20° rather than 22°12'."""
    assert read_angle("22.20°") == read_angle("22°12'")
    assert write.degrees_minutes(math.radians(22.20)) == "22°12'"


def test_neither_pint_nor_numpy_is_imported():
    code = "import sys, toebox.units; sys.exit(bool({'pint', 'numpy'} & set(sys.modules)))"
    subprocess.run([sys.executable, "-c", code], check=True)
