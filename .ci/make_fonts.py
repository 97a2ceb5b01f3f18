"""Cut the report's two fonts out of DejaVu Sans and DejaVu Sans Bold.

Run once, when a character is to be added; its output is committed:

    python -m pip install fonttools
    python .ci/make_fonts.py /usr/share/fonts/truetype/dejavu toebox/report/fonts

DejaVu Sans 2.37 may be copied and cut down so long as its notices stay with it; the licence
is read out of the font itself and written beside the cut fonts. Hinting and layout tables
are dropped: a page printed at 10 points does not need them, and start-up does without them.
"""

import sys
from pathlib import Path

from fontTools import subset
from fontTools.ttLib import TTFont

RANGES = (
    "0020-007E 00A0-017F 0192 0218-021B 02C6 02C7 02D8-02DD "  # Latin
    "0384-038A 038C 038E-03A1 03A3-03CE 03D1 03D5 "  # Greek
    "0400-045F 0490 0491 "  # Cyrillic
    "2002-200A 2010-2015 2018-201E 2020-2022 2026 202F 2030 2032-2037 2039 203A 2044 "  # marks
    "2070 2071 2074-208E 20AC 2116 2122 2126 2150-215F 2189 "  # superscripts, fractions
    "2190-2199 21BA 21BB 21D0-21D5 2202 2206 2207 220F 2211 2212 2213 2215 2217 2219 221A "
    "221E 2220 2225 2248 2260 2261 2264 2265 22A5 22C5 2300 "  # arrows, mathematics, diameter
    "25A0 25A1 25AA 25AB 25B2 25B3 25B6 25B7 25BA 25BC 25BD 25C0 25C1 25C6 25C7 25CB 25CF "
    "2605 2606 2610-2612 26A0 2713 2717 FFFD"  # shapes, check boxes, replacement
)
COPYRIGHT, LICENCE = 0, 13  # numbers of the name table


def characters() -> list[int]:
    """Return the code points to keep."""
    kept: list[int] = []
    for item in RANGES.split():
        first, _, last = item.partition("-")
        kept.extend(range(int(first, 16), int(last or first, 16) + 1))
    return kept


def cut(source: Path, target: Path) -> None:
    """Write the subset of one font."""
    options = subset.Options(hinting=False, layout_features=[], notdef_outline=True)
    options.name_IDs = [COPYRIGHT, 1, 2, 3, 4, 5, 6]
    options.drop_tables += ["GPOS", "GSUB", "GDEF", "kern", "FFTM"]
    font = subset.load_font(str(source), options)
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=characters())
    cutter.subset(font)
    font["head"].modified = font["head"].created  # the same bytes on every run
    font.recalcTimestamp = False
    font.save(str(target))
    print(f"{target}: {target.stat().st_size} bytes")


def main(source: Path, target: Path) -> None:
    """Cut both fonts and write the licence that they carry."""
    for name in ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf"):
        cut(source / name, target / name)
    licence = str(TTFont(source / "DejaVuSans.ttf")["name"].getDebugName(LICENCE))
    (target / "LICENCE-DejaVu.txt").write_text(licence.strip() + "\n", encoding="utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
