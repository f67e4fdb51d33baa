#!/usr/bin/python3
"""Makes site/assets/math.woff2, the font of formulas: the characters that our
formulas use, and all that they stretch into, from STIXMath-Regular.otf of Debian's
package fonts-stix (SIL Open Font License 1.1). The subset has a name of its own,
because the licence reserves the name of the original.

    apt-get install fonttools python3-brotli fonts-stix
    site/mathfont/subset.py /usr/share/fonts/opentype/stix-word/STIXMath-Regular.otf site/assets/math.woff2
"""
import sys
from fontTools import subset
from fontTools.ttLib import TTFont

NAME = "Loopdrill Math"
source, target = sys.argv[1:3]

chars = set(range(0x20, 0x7F))  # ASCII
chars |= set(map(ord, "\u00a0°±²³µ·¹×÷–—…′⁄₀₁₂₃₄Ω←→⇒∂∆∇∑−∓∕∘√∞∣∥≈≠≤≥≪≫⋅‖‰ℎϕϵϑ\u2061"))
chars |= set(range(0x391, 0x3AA)) - {0x3A2} | set(range(0x3B1, 0x3CA))  # Greek
chars |= set(range(0x1D434, 0x1D468)) | set(range(0x1D6E2, 0x1D71C))  # slanted Latin and Greek
chars |= {0x2308, 0x2309, 0x230A, 0x230B}

font = TTFont(source)
options = subset.Options()
options.flavor = "woff2"
options.layout_features = ["ssty", "math", "kern", "liga"]
options.name_IDs = ["*"]
options.hinting = False
options.drop_tables += ["DSIG", "FFTM", "GPOS"]
subsetter = subset.Subsetter(options)
subsetter.populate(unicodes=chars)
subsetter.subset(font)
for record in list(font["name"].names):
    if record.nameID in (1, 3, 4, 6, 16, 18):
        text = NAME.replace(" ", "") if record.nameID == 6 else NAME
        font["name"].setName(text, record.nameID, record.platformID, record.platEncID, record.langID)
cff = font["CFF "].cff
cff.fontNames = [NAME.replace(" ", "")]
cff[0].FullName = cff[0].FamilyName = NAME
font.flavor = "woff2"
font.save(target)
print(target, len(font.getGlyphOrder()), "glyphs")
